"""Pictures in the notes folder: found, measured, and copied without where and when they were taken.

The picture itself is kept bit for bit; what else a camera writes beside it (place, time, names, a preview, a film
behind the end) is left out. Only how the camera was turned stays, because the picture would lie on its side without it.
"""

from __future__ import annotations

import os
import re
import struct
from collections.abc import Iterator
from pathlib import Path

from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.filenames import PICTURE_ENDINGS, is_passing, shown
from compiler.output import MANIFEST
from compiler.pages import slug
from compiler.shape import Value
from compiler.source import Span

LOST = Rule(
    "N140",
    "picture-lost",
    Grade.WARNING,
    "A picture that a page shows could not be copied into the book; the page shows its words instead.",
    "a picture that was cut off while it was sent",
)
RULES = (LOST,)

FOLDER = "pictures"  # of the book
LARGEST = 30_000_000  # bytes of one picture (our own limit)
HEAD = 300_000  # bytes in which a picture's size stands; what cameras write before it is at most a few times 64 kB

# JPEG: ITU-T T.81, annex B. Kept are JFIF (APP0), colour profiles (APP2) and Adobe's colour transform (APP14).
_JPEG = b"\xff\xd8"
_SCAN, _END, _EXIF, _PROFILE = 0xDA, 0xD9, 0xE1, 0xE2
_SIZES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
_LEFT_OUT = frozenset(range(0xE1, 0xF0)) - {_PROFILE, 0xEE} | {0xFE}
_NEXT_MARKER = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]")
# Exif 2.32, tag 0x0112: how the camera was turned, 1 (upright) to 8; 5 to 8 lie on their side.
_ORIENTATION = 0x0112
# PNG: W3C, Portable Network Graphics, third edition, 11: chunks that decide how the picture looks.
_PNG = b"\x89PNG\r\n\x1a\n"
_PNG_KEPT = frozenset(b"IHDR PLTE IDAT IEND tRNS gAMA cHRM sRGB iCCP sBIT bKGD pHYs cICP acTL fcTL fdAT".split())
# WebP: RFC 9649, 2.5 to 2.7.
_WEBP_KEPT = frozenset([b"VP8 ", b"VP8L", b"VP8X", b"ALPH", b"ANIM", b"ANMF", b"ICCP"])
_WEBP_NO_METADATA = 0xFF ^ 0x0C  # flags of VP8X without "Exif" and "XMP"


class NotAPicture(ValueError):
    """The bytes are no whole JPEG, PNG or WebP picture."""


class Picture(Value):
    """A picture: its path in the notes, its place in the book, its size in dots as seen; `file` is on disk."""

    path: str
    place: str
    width: int
    height: int
    file: Path


def find(notes: Path, leave_out: Path | None = None) -> tuple[Picture, ...]:
    """All pictures below the notes folder that can be shown, in order of path. `leave_out` is the book's own folder."""
    found: list[Picture] = []
    taken: set[str] = set()
    for path, file in sorted(_files(os.fspath(notes), "", leave_out.resolve() if leave_out else None)):
        try:
            with open(file, "rb") as opened:
                width, height = size(opened.read(HEAD))
        except (OSError, NotAPicture):
            continue
        place = _place(path, taken)
        taken.add(place)
        found.append(Picture(path, place, width, height, Path(file)))
    return tuple(found)


def copied(picture: Picture) -> bytes | Diagnostic:
    """The picture without what else the camera wrote, or why it cannot be copied."""
    try:
        if picture.file.stat().st_size > LARGEST:
            raise NotAPicture(f"it is larger than {LARGEST // 1_000_000} MB")
        return cleaned(picture.file.read_bytes())
    except (OSError, NotAPicture) as error:
        why = error.strerror if isinstance(error, OSError) else str(error)
        return LOST.at(Span(picture.path), f"this picture cannot be copied: {why}", "save it again as JPEG or PNG")


def cleaned(data: bytes) -> bytes:
    """The same picture without place, time and words. Raises NotAPicture."""
    try:
        if data.startswith(_JPEG):
            return b"".join(_jpeg_parts(data))
        if data.startswith(_PNG):
            return _PNG + b"".join(whole for name, whole in _png_chunks(data) if name in _PNG_KEPT)
        if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
            return _webp(data)
    except (struct.error, IndexError) as error:
        raise NotAPicture("it is cut off") from error
    raise NotAPicture("it is no JPEG, PNG or WebP picture")


def size(head: bytes) -> tuple[int, int]:
    """Width and height in dots, as the picture is seen, from the first bytes of a file. Raises NotAPicture."""
    try:
        if head.startswith(_JPEG):
            return _jpeg_size(head)
        if head.startswith(_PNG):
            width, height = struct.unpack_from(">II", head, 16)
            return int(width), int(height)
        if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
            return _webp_size(head)
    except (struct.error, IndexError) as error:
        raise NotAPicture("it is cut off") from error
    raise NotAPicture("it is no JPEG, PNG or WebP picture")


def _files(folder: str, path: str, leave_out: Path | None) -> Iterator[tuple[str, str]]:
    try:
        entries = [entry for entry in os.scandir(folder) if not is_passing(entry.name) and not entry.is_symlink()]
    except OSError:
        return
    if os.path.isfile(os.path.join(folder, MANIFEST)):
        return  # another book
    for entry in entries:
        if entry.is_dir():
            if leave_out is None or Path(os.path.realpath(entry.path)) != leave_out:
                yield from _files(entry.path, f"{path}{shown(entry.name)}/", leave_out)
        elif entry.name.lower().endswith(PICTURE_ENDINGS) and entry.is_file():
            yield f"{path}{shown(entry.name)}", entry.path


def _place(path: str, taken: set[str]) -> str:
    stem, _, ending = path.rpartition(".")
    name, count = slug(stem), 1
    place = f"{FOLDER}/{name}.{ending.lower()}"
    while place in taken:
        count += 1
        place = f"{FOLDER}/{name}-{count}.{ending.lower()}"
    return place


def _jpeg_segments(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Marker and whole bytes of each segment; a scan goes with the coded data behind it. Ends after the end marker."""
    place = 2
    while True:
        if data[place] != 0xFF:
            raise NotAPicture("it is damaged")
        marker = data[place + 1]
        if marker == 0xFF:  # fill
            place += 1
            continue
        if marker == _END:
            yield marker, data[place : place + 2]
            return
        (length,) = struct.unpack_from(">H", data, place + 2)
        end = place + 2 + length
        if marker == _SCAN:
            found = _NEXT_MARKER.search(data, end)
            if found is None:
                raise NotAPicture("it is cut off")
            end = found.start()
        if length < 2 or end > len(data):
            raise NotAPicture("it is cut off")
        yield marker, data[place:end]
        place = end


def _jpeg_parts(data: bytes) -> Iterator[bytes]:
    segments = list(_jpeg_segments(data))
    turned = _turned(segments)
    yield _JPEG
    first = [whole for marker, whole in segments[:1] if marker == 0xE0]
    yield from first
    if turned != 1:
        yield _turned_segment(turned)
    for marker, whole in segments[len(first) :]:
        is_other = marker == _PROFILE and not whole[4:].startswith(b"ICC_PROFILE\0")
        if marker not in _LEFT_OUT and not is_other:
            yield whole


def _jpeg_size(head: bytes) -> tuple[int, int]:
    before: list[tuple[int, bytes]] = []
    for marker, whole in _jpeg_segments(head):
        if marker in _SIZES:
            height, width = struct.unpack_from(">HH", whole, 5)
            return (height, width) if _turned(before) > 4 else (width, height)
        before.append((marker, whole))
    raise NotAPicture("it has no size")


def _turned(segments: list[tuple[int, bytes]]) -> int:
    """How the camera was turned, as Exif counts it; 1 where it does not say."""
    for marker, whole in segments:
        if marker == _EXIF and whole[4:10] == b"Exif\0\0":
            try:
                return _orientation(whole[10:])
            except struct.error:
                return 1
    return 1


def _orientation(tiff: bytes) -> int:
    order = {b"II": "<", b"MM": ">"}.get(tiff[:2], "<")
    (first,) = struct.unpack_from(f"{order}I", tiff, 4)
    (count,) = struct.unpack_from(f"{order}H", tiff, first)
    for number in range(min(count, 500)):
        tag, _, _, value = struct.unpack_from(f"{order}HHIH", tiff, first + 2 + 12 * number)
        if tag == _ORIENTATION and 1 <= value <= 8:
            return int(value)
    return 1


def _turned_segment(turned: int) -> bytes:
    """An Exif segment that says nothing but how the camera was turned."""
    entry = struct.pack(">HHIHH", _ORIENTATION, 3, 1, turned, 0)
    tiff = b"MM\0*" + struct.pack(">IH", 8, 1) + entry + struct.pack(">I", 0)
    return b"\xff\xe1" + struct.pack(">H", 2 + 6 + len(tiff)) + b"Exif\0\0" + tiff


def _png_chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Name and whole bytes of each chunk, up to the last."""
    place = len(_PNG)
    while True:
        (length,) = struct.unpack_from(">I", data, place)
        name, end = data[place + 4 : place + 8], place + 12 + length
        if end > len(data):
            raise NotAPicture("it is cut off")
        yield name, data[place:end]
        if name == b"IEND":
            return
        place = end


def _webp_chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Name and whole bytes of each chunk."""
    (whole,) = struct.unpack_from("<I", data, 4)
    place = 12
    while place < whole + 8:
        name = data[place : place + 4]
        (length,) = struct.unpack_from("<I", data, place + 4)
        end = place + 8 + length + length % 2
        if end > len(data):
            raise NotAPicture("it is cut off")
        yield name, data[place:end]
        place = end


def _webp(data: bytes) -> bytes:
    kept = [
        whole[:8] + bytes([whole[8] & _WEBP_NO_METADATA]) + whole[9:] if name == b"VP8X" else whole
        for name, whole in _webp_chunks(data)
        if name in _WEBP_KEPT
    ]
    body = b"WEBP" + b"".join(kept)
    return b"RIFF" + struct.pack("<I", len(body)) + body


def _webp_size(head: bytes) -> tuple[int, int]:
    name = head[12:16]
    if name == b"VP8X":
        low_width, high_width, low_height, high_height = struct.unpack_from("<HBHB", head, 24)
        return low_width + (high_width << 16) + 1, low_height + (high_height << 16) + 1
    if name == b"VP8L":
        (bits,) = struct.unpack_from("<I", head, 21)
        return (bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1
    if name == b"VP8 ":
        width, height = struct.unpack_from("<HH", head, 26)
        return width & 0x3FFF, height & 0x3FFF
    raise NotAPicture("it is no WebP picture")
