"""Bytes to text: what people's machines write is read, and what is damaged is listed."""

from __future__ import annotations

import codecs
import hashlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler.source import MOST_PLACES, Damage, Span, read_source


def test_plain_text() -> None:
    """Plain UTF-8 text comes through whole, with a digest of its bytes."""
    source = read_source("a.md", "Über dem Tor\n".encode())
    assert source.text == "Über dem Tor\n"
    assert source.damage == ()
    assert source.digest == hashlib.blake2b("Über dem Tor\n".encode(), digest_size=16).hexdigest()


@pytest.mark.parametrize("data", [b"a\r\nb", b"a\rb", b"a\nb", b"\xef\xbb\xbfa\nb", "a\u2028b".encode()])
def test_line_ends_and_mark(data: bytes) -> None:
    """CRLF, CR, the line separators of Unicode and a byte-order mark are what other machines write: no damage."""
    source = read_source("a.md", data)
    assert source.text == "a\nb"
    assert source.damage == ()


def test_latin_1_is_damage_with_its_place() -> None:
    """A byte that is no UTF-8 is listed where it stands, and the rest is kept."""
    source = read_source("a.md", "one\nf\xe4nce\n".encode("latin-1"))
    assert [(item.line, item.column) for item in source.damage] == [(2, 2)]
    assert source.text.startswith("one\nf")


def test_letters_lost_earlier_are_damage() -> None:
    """A replacement character means that some program lost a letter here before: the word is not what was typed."""
    assert len(read_source("a.md", "K4\ufffd71".encode()).damage) == 1


@pytest.mark.parametrize("sign", ["\0", "\x07", "\x1b", "\x0b", "\x7f", "\x9f", "\ufffe"])
def test_control_characters_are_damage(sign: str) -> None:
    """NUL and the other control characters (ISO/IEC 6429, C0 and C1) are no text."""
    assert [(item.line, item.column) for item in read_source("a.md", f"ab\n{sign}".encode()).damage] == [(2, 1)]


@pytest.mark.parametrize("coding", ["utf-16", "utf-16-le", "utf-16-be"])
def test_utf_16_is_damage_but_legible(coding: str) -> None:
    """A file saved as UTF-16, with or without its mark, is named as such and its words can still be shown."""
    source = read_source("a.md", "---\nnote: repair\nboats: Marigold\n---\n".encode(coding))
    assert source.text.startswith("---\nnote: repair\n")
    assert "UTF-16" in source.damage[0].what


def test_only_a_handful_of_places() -> None:
    """A file that is all damage lists a few places, not all."""
    assert len(read_source("a.md", b"\xff" * 10_000).damage) == MOST_PLACES


def test_no_damage_is_left_out_for_the_sake_of_order() -> None:
    """Damage of two sorts is listed in the order of its places."""
    found = read_source("a.md", b"\x00\n\xff\n\x00").damage
    assert [item.line for item in found] == [1, 2, 3]


@given(st.binary(max_size=400))
def test_any_bytes(data: bytes) -> None:
    """Whatever the bytes, there is text with bare newlines, and places that lie inside it."""
    source = read_source("a.md", data)
    lines = source.text.split("\n")
    assert "\r" not in source.text
    assert all(item.line <= len(lines) and 1 <= item.column <= len(lines[item.line - 1]) + 1 for item in source.damage)


@given(st.text(alphabet=st.characters(codec="utf-8"), max_size=200))
def test_what_has_no_damage_is_what_was_written(text: str) -> None:
    """Undamaged text reads back exactly, but for its line ends and a mark at its beginning."""
    source = read_source("a.md", text.encode())
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n")
    for end in ("\r", "\x85", "\u2028", "\u2029"):
        plain = plain.replace(end, "\n")
    assert source.damage or source.text == plain
    assert (
        not text.startswith(codecs.BOM_UTF8.decode()) or not source.text.startswith("\ufeff") or text[1:2] == "\ufeff"
    )


def test_span_moves_along_its_line() -> None:
    """A part of a span is found by its distance from the start."""
    assert Span("a.md", 3, 8, 20).shifted(4, 2) == Span("a.md", 3, 12, 2)
    assert Damage("x", 1, 1).what == "x"
