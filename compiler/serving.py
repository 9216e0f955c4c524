"""A book served to browsers of this machine, or asked for, read-only to the yard's network.

Only files that the book's own list names are given, by whole path; nothing is listed, no link is followed, nothing can
be written. A request must name this server as its host, and come from a page of it where it says from where.
"""

from __future__ import annotations

import json
import os
import socket
import stat
import threading
from collections.abc import Callable, Iterable
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, unquote, urlsplit

from compiler.output import MANIFEST, OutputRefused, listed_files
from compiler.renewal import SCRIPT, SCRIPT_PATH, STATE, brief_digest, renewing

LOOPBACK = "127.0.0.1"
NAMES = ("localhost", LOOPBACK, "[::1]")
PATIENCE = 10.0  # seconds that a browser may take over a request
MOST_OPEN = 50  # pages that are remembered as open
TYPES = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".jpeg": "image/jpeg",
    ".webp": "image/webp",
    ".gif": "image/gif",
}
GONE = """<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>No such page</title></head>
<body><h1>No such page</h1><p>The book has no page of this name, or no longer. It may be called otherwise since a note
was changed.</p><p><a href="/">Front page</a></p></body></html>
"""


class State:
    """What open pages ask for: what is to be told, and whether the book is being made just now."""

    def __init__(self, place: Path, stamp: str) -> None:
        """`stamp` is the path of the file that speaks for all pages, "" for none."""
        self.place, self.stamp = place, stamp
        self.version, self.told, self.busy = 0, list[str](), False
        self.open: dict[str, None] = {}  # the pages asked about last, the newest at the end
        self._guard = threading.Lock()

    def tell(self, told: Iterable[str]) -> None:
        """What is to be told now."""
        self.told, self.version = list(told), self.version + 1

    def opened(self, page: str) -> None:
        """Somebody has a page open."""
        with self._guard:
            self.open.pop(page, None)
            self.open[page] = None
            while len(self.open) > MOST_OPEN:
                del self.open[next(iter(self.open))]

    def wanted(self) -> tuple[str, ...]:
        """The pages that are open, the newest first."""
        with self._guard:
            return tuple(reversed(self.open))

    def file(self, path: str) -> bytes | None:
        """A file of the book, or None."""
        try:
            return file_of(self.place, path) if path in listed_files(self.place) else None
        except (OSError, OutputRefused):
            return None

    def about(self, page: str) -> dict[str, object]:
        """What is so of one page."""
        digests = {"page": brief_digest(self.file(page)), "stamp": brief_digest(self.file(self.stamp))}
        return {"version": str(self.version), "told": self.told, "busy": self.busy, **digests}


def file_of(place: Path, path: str) -> bytes | None:
    """The bytes of a plain file reached through plain folders."""
    step = place
    for part in path.split("/"):
        step = step / part
        if stat.S_ISLNK(os.lstat(step).st_mode):
            return None
    return step.read_bytes() if step.is_file() else None


class Server(ThreadingHTTPServer):
    """The server; it ends with the program."""

    daemon_threads = True
    allow_reuse_address = os.name == "posix"  # elsewhere two programs could then share a port

    def __init__(self, host: str, port: int, state: State, names: Iterable[str]) -> None:
        """Raises OSError where the port is taken."""
        self.state = state
        super().__init__((host, port), Handler)
        self.hosts = {f"{name}:{self.server_port}" for name in names}

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A browser that goes away half-way is nobody's fault."""


class Handler(BaseHTTPRequestHandler):
    """One request."""

    server: Server
    timeout = PATIENCE
    protocol_version = "HTTP/1.0"  # no connection is held open
    server_version, sys_version = "book", ""

    def do_GET(self) -> None:
        """A page, a file of the book, or what is new."""
        self.answer(self.wfile.write)

    def do_HEAD(self) -> None:
        """The same without what stands in it."""
        self.answer(lambda _: None)

    def answer(self, send: Callable[[bytes], object]) -> None:
        """The answer to a request."""
        asked = urlsplit(self.path)
        if not self.is_ours():
            self.reply(HTTPStatus.FORBIDDEN, "text/plain; charset=utf-8", b"not this host\n", send)
            return
        path = unquote(asked.path).removeprefix("/") or "index.html"
        if path == SCRIPT_PATH:
            self.reply(HTTPStatus.OK, TYPES[".js"], SCRIPT.encode(), send)
        elif path == STATE:
            page = parse_qs(asked.query).get("page", [""])[0]
            self.server.state.opened(page)
            self.reply(HTTPStatus.OK, TYPES[".json"], json.dumps(self.server.state.about(page)).encode(), send)
        else:
            self.file(path, send)

    def file(self, path: str, send: Callable[[bytes], object]) -> None:
        """A file of the book."""
        state, data = self.server.state, self.server.state.file(path)
        if data is None:
            self.reply(HTTPStatus.NOT_FOUND, TYPES[".html"], GONE.encode(), send)
            return
        if path.endswith(".html"):
            state.opened(path)
            data = renewing(path, data, brief_digest(state.file(state.stamp)))
        sort = TYPES.get(os.path.splitext(path)[1].lower(), "application/octet-stream")
        self.reply(HTTPStatus.OK, sort, data, send)

    def is_ours(self) -> bool:
        """Whether the request means this server, and comes from one of its own pages where it says from where."""
        origin = self.headers.get("Origin")
        hosts = self.server.hosts
        return self.headers.get("Host", "").lower() in hosts and (
            origin is None or origin.lower().removeprefix("http://") in hosts
        )

    def reply(self, status: HTTPStatus, sort: str, data: bytes, send: Callable[[bytes], object]) -> None:
        """Send an answer that nobody keeps."""
        self.send_response(status)
        self.send_header("Content-Type", sort)
        self.send_header("Content-Length", str(len(data)))
        self.send_header("Cache-Control", "no-store")
        self.send_header("X-Content-Type-Options", "nosniff")
        self.send_header("Referrer-Policy", "no-referrer")
        self.send_header("Cross-Origin-Resource-Policy", "same-origin")
        self.send_header("X-Frame-Options", "DENY")
        self.end_headers()
        send(data)

    def log_message(self, format: str, *args: object) -> None:
        """Nothing is said of requests."""
        del format, args


def started(host: str, port: int, state: State, names: Iterable[str] = NAMES) -> Server:
    """A server at work in a thread of its own. Raises OSError where the port is taken."""
    server = Server(host, port, state, names)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    return server


def own_address() -> str:
    """The address of this machine in its network, "" where it has none. Nothing is sent for it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # RFC 5737: an address for documentation, no machine's
        except OSError:
            return ""
        address: str = probe.getsockname()[0]
        return address


__all__ = ["LOOPBACK", "MANIFEST", "NAMES", "Server", "State", "own_address", "started"]
