"""Every way in which the bytes of one note are damaged."""

from __future__ import annotations

from collections.abc import Iterator

ENCODINGS = ("utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp037")


def damaged(text: bytes, other: bytes = b"sheep: C231") -> Iterator[bytes]:
    """A note cut at every byte, with every bit turned, bytes lost, lines lost, doubled and swapped, in wrong encodings,
    and with a conflict in it whose other side says `other`.
    """
    yield from cut(text)
    yield from turned(text)
    yield from lost_bytes(text)
    yield from lines_moved(text)
    yield from encoded(text)
    yield from conflicted(text, other)


def cut(text: bytes) -> Iterator[bytes]:
    """Cut off at every byte."""
    yield from (text[:end] for end in range(len(text)))


def turned(text: bytes) -> Iterator[bytes]:
    """Every bit turned, one at a time."""
    for place, byte in enumerate(text):
        yield from (text[:place] + bytes([byte ^ (1 << bit)]) + text[place + 1 :] for bit in range(8))


def lost_bytes(text: bytes) -> Iterator[bytes]:
    """Every byte lost, one at a time."""
    yield from (text[:place] + text[place + 1 :] for place in range(len(text)))


def lines_moved(text: bytes) -> Iterator[bytes]:
    """A line lost, doubled, or swapped with the next."""
    lines = text.split(b"\n")
    for place, line in enumerate(lines):
        before, after = lines[:place], lines[place + 1 :]
        yield b"\n".join([*before, *after])
        yield b"\n".join([*before, line, line, *after])
        if after:
            yield b"\n".join([*before, after[0], line, *after[1:]])


def encoded(text: bytes) -> Iterator[bytes]:
    """The same words in wrong encodings, with a mark before them, and with a letter of an old code page."""
    words = text.decode()
    yield from (words.encode(name) for name in ENCODINGS)
    yield b"\xef\xbb\xbf" + text
    yield text.replace(b"\n", b"\r")
    yield text.replace(b"a", b"\xe4")
    yield text.replace(b" ", b"\xa0")
    yield text.replace(b" ", b"\x00")


def conflicted(text: bytes, other: bytes) -> Iterator[bytes]:
    """Each line as one side of a conflict that nobody has settled, and the marks of one in the line's place."""
    lines = text.split(b"\n")
    for place, line in enumerate(lines):
        both = [b"<<<<<<< ours", line, b"=======", other, b">>>>>>> theirs"]
        yield b"\n".join([*lines[:place], *both, *lines[place + 1 :]])
        yield b"\n".join([*lines[:place], *both[:2], *lines[place + 1 :]])
