"""Pictures go into the book as they are, without where and when they were taken."""

from __future__ import annotations

import io
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageOps, PngImagePlugin

from compiler.pictures import NotAPicture, cleaned, copied, find, size

SECRET = b"corrie hask"


def painted(width: int = 60, height: int = 40) -> Image.Image:
    """A picture with something to see in every corner."""
    image = Image.new("RGB", (width, height), (240, 230, 210))
    for place in range(width):
        image.putpixel((place, place * height // width), (place * 4, 90, 20))
    return image


def exif(turned: int) -> Image.Exif:
    """What a telephone writes: how it was turned, when, and where."""
    made = Image.Exif()
    made[0x0112] = turned
    made[0x0132] = "2026:04:19 03:40:00"
    made[0x010E] = SECRET.decode()
    made.get_ifd(0x8825).update({1: "N", 2: (57.0, 12.0, 30.0), 3: "W", 4: (5.0, 40.0, 2.0)})
    return made


def saved(kind: str, **more: Any) -> bytes:
    """A picture file with everything in it that gives its writer away."""
    data = io.BytesIO()
    if kind == "PNG":
        words = PngImagePlugin.PngInfo()
        words.add_text("Comment", SECRET.decode())
        words.add_itxt("XML:com.adobe.xmp", SECRET.decode())
        more["pnginfo"] = words
    painted().save(data, kind, **more)
    return data.getvalue()


JPEGS = {
    f"{style} turned {turned}": saved(
        "JPEG", exif=exif(turned), comment=SECRET, progressive=style == "progressive", quality=90
    )
    for style in ("plain", "progressive")
    for turned in (1, 3, 6, 8)
}
OTHERS = {
    "png": saved("PNG", exif=exif(1)),
    "webp": saved("WEBP", exif=exif(1), xmp=SECRET, quality=80),
    "webp lossless": saved("WEBP", exif=exif(1), xmp=SECRET, lossless=True),
    "webp bare": saved("WEBP", lossless=True),
    "webp bare lossy": saved("WEBP", quality=80),
    "jpeg bare": saved("JPEG"),
    "png bare": saved("PNG"),
}
ALL = {**JPEGS, **OTHERS}


def seen(data: bytes) -> Image.Image:
    """The picture as a reader sees it (Pillow, an independent reader)."""
    return ImageOps.exif_transpose(Image.open(io.BytesIO(data)))


@pytest.mark.parametrize("name", ALL)
def test_the_picture_stays_and_its_secrets_go(name: str) -> None:
    """Pillow (an independent reader) sees every dot as before, turned alike, and finds no place and no words."""
    data = ALL[name]
    clean = cleaned(data)
    assert seen(clean).tobytes() == seen(data).tobytes()
    assert SECRET not in clean
    assert b"2026:04:19" not in clean
    found = Image.open(io.BytesIO(clean))
    assert not found.getexif().get_ifd(0x8825)
    assert set(found.getexif()) <= {0x0112}
    assert cleaned(clean) == clean


@pytest.mark.parametrize("name", ALL)
def test_size_is_as_seen(name: str) -> None:
    """Width and height are those that Pillow shows, after turning."""
    assert size(ALL[name]) == seen(ALL[name]).size


def test_a_film_behind_the_picture_is_left_out() -> None:
    """Telephones hang a short film, with its own place, behind the end of a picture."""
    data = JPEGS["plain turned 1"]
    assert cleaned(data + SECRET * 1000) == cleaned(data)
    assert cleaned(OTHERS["png"] + SECRET) == cleaned(OTHERS["png"])


def test_colour_profiles_stay() -> None:
    """A colour profile decides how the picture looks, so it stays."""
    from PIL import ImageCms

    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    for kind in ("JPEG", "PNG", "WEBP"):
        clean = cleaned(saved(kind, icc_profile=profile))
        assert Image.open(io.BytesIO(clean)).info["icc_profile"] == profile


@given(st.sampled_from(sorted(ALL)), st.integers(0, 3000), st.integers(0, 255), st.integers(0, 4000))
@settings(max_examples=600, deadline=None)
def test_any_damage(name: str, place: int, byte: int, length: int) -> None:
    """A damaged or cut-off picture is copied or refused, never anything else."""
    data = bytearray(ALL[name])
    data[place % len(data)] = byte
    for part in (bytes(data), bytes(data[:length])):
        for call in (cleaned, size):
            with suppress(NotAPicture):
                assert call(part)


@given(st.binary(max_size=200))
def test_any_bytes(data: bytes) -> None:
    """Whatever bytes come, whatever they begin with, they are copied or refused."""
    for start in (b"", b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF\xff\0\0\0WEBP", b"RIFF\xff\0\0\0WEBPVP8X"):
        for call in (cleaned, size):
            with suppress(NotAPicture):
                assert call(start + data)


def test_finding(tmp_path: Path) -> None:
    """Pictures are found at any depth, but no hidden, linked or damaged ones nor a book's; places never collide."""
    good = JPEGS["plain turned 6"]
    for name in (
        "photos/Bramble at birth.JPG",
        "photos/bramble-at-birth.jpg",
        ".hidden.jpg",
        "book/p.jpg",
        "older/p.jpg",
    ):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(good)
    (tmp_path / "older" / ".book-files").write_text("")
    (tmp_path / "bad.jpg").write_bytes(b"no picture")
    (tmp_path / "link.jpg").symlink_to(tmp_path / "photos" / "bramble-at-birth.jpg")
    found = find(tmp_path, tmp_path / "book")
    assert [(item.path, item.place, item.width, item.height) for item in found] == [
        ("photos/Bramble at birth.JPG", "pictures/photos-bramble-at-birth.jpg", 40, 60),
        ("photos/bramble-at-birth.jpg", "pictures/photos-bramble-at-birth-2.jpg", 40, 60),
    ]
    assert copied(found[0]) == cleaned(good)


def test_a_picture_that_is_lost(tmp_path: Path) -> None:
    """A picture that is cut off, or gone by the time it is copied, is told in words."""
    (tmp_path / "a.png").write_bytes(OTHERS["png"][:200])
    (picture,) = find(tmp_path)
    outcome = copied(picture)
    assert not isinstance(outcome, bytes)
    assert (outcome.code, outcome.span.path) == ("N140", "a.png")
    (tmp_path / "a.png").unlink()
    assert not isinstance(copied(picture), bytes)
