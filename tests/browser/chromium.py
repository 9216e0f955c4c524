"""A headless Chromium, driven through its own debugging protocol (Chrome DevTools Protocol) over a web socket on this
machine.
"""

from __future__ import annotations

import base64
import json
import os
import shutil
import subprocess
import tempfile
import time
import urllib.request
from pathlib import Path
from typing import Any

import pytest

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--hide-scrollbars", "--remote-debugging-port=0",
    "--remote-allow-origins=*",
)  # fmt: skip
A4, LETTER = (8.27, 11.69), (8.5, 11.0)  # ISO 216; ANSI/ASME Y14.1
PATIENCE = 20.0  # seconds to wait for the browser


def browser() -> str:
    """The browser's program. Without one the tests are skipped; where CI is set they fail."""
    found = next((path for name in NAMES if (path := shutil.which(name))), None)
    if found is None:
        if os.environ.get("CI"):
            pytest.fail("no browser is installed, and the tests of the finished pages need one")
        pytest.skip("no browser is installed")
    return found


class Tab:
    """One tab of a browser of its own."""

    def __init__(self, width: int, height: int = 1180, folder: str = "") -> None:
        """Start the browser with a window of this size; `folder` keeps what pages store for the next browser."""
        import websocket

        self.folder, self.own = folder or tempfile.mkdtemp(), not folder
        Path(self.folder, "DevToolsActivePort").unlink(missing_ok=True)
        size = f"--window-size={width},{height}"
        command = [browser(), *FLAGS, f"--user-data-dir={self.folder}", size, "about:blank"]
        self.process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        self.socket = websocket.create_connection(self.address(), timeout=PATIENCE)
        self.number, self.events = 0, []
        for domain in ("Page.enable", "Runtime.enable", "Log.enable"):
            self.call(domain)
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)

    def address(self) -> str:
        """Where the tab listens."""
        told = Path(self.folder, "DevToolsActivePort")
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end and not (told.exists() and told.read_text().strip()):
            time.sleep(0.05)
        port = told.read_text().split()[0]
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/json", timeout=PATIENCE) as answer:
            tabs = json.load(answer)
        return str(next(tab["webSocketDebuggerUrl"] for tab in tabs if tab["type"] == "page"))

    def call(self, method: str, **parameters: Any) -> dict[str, Any]:
        """One command and its answer; events that come meanwhile are kept."""
        self.number += 1
        self.socket.send(json.dumps({"id": self.number, "method": method, "params": parameters}))
        while True:
            answer = json.loads(self.socket.recv())
            if answer.get("id") == self.number:
                return dict(answer.get("result", answer))
            self.events.append(answer)

    def open(self, page: Path) -> None:
        """Go to a file and wait until it is drawn."""
        self.events.clear()
        self.call("Page.navigate", url=page.resolve().as_uri())
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            if self.value("document.readyState") == "complete":
                return
            time.sleep(0.02)
        raise TimeoutError(page)

    def value(self, expression: str) -> Any:
        """What an expression gives in the page."""
        answer = self.call("Runtime.evaluate", expression=expression, returnByValue=True)
        return answer.get("result", {}).get("value")

    def errors(self) -> list[Any]:
        """Exceptions and log entries since the page was opened."""
        self.value("1")
        return [
            event["params"] for event in self.events if event["method"] in ("Runtime.exceptionThrown", "Log.entryAdded")
        ]

    def pdf(self, paper: tuple[float, float] = LETTER) -> bytes:
        """The page as it would be printed on paper of this size, in inches."""
        width, height = paper
        return base64.b64decode(self.call("Page.printToPDF", paperWidth=width, paperHeight=height)["data"])

    def kill(self) -> None:
        """End the browser at once, as a battery does."""
        self.socket.close()
        self.process.kill()
        self.process.wait()

    def close(self) -> None:
        """End the browser."""
        self.socket.close()
        self.process.terminate()
        self.process.wait()
        if self.own:
            shutil.rmtree(self.folder, ignore_errors=True)
