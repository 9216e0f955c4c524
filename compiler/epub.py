"""The book as one EPUB 3 file, written with the standard library: the same pages as in the folder, as they are drawn
there, with what only a browser needs taken off.

EPUB 3.3 (W3C): `mimetype` first and stored, `META-INF/container.xml`, a package document, a navigation document, and an
NCX (OPF 2.0.1) for readers of before 2011. The same pages give the same bytes.
"""

from __future__ import annotations

import io
import posixpath
import re
import uuid
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from html import escape
from urllib.parse import unquote
from xml.etree import ElementTree as ET

from compiler.binding import Bound, draw
from compiler.diagnostics import Diagnostic
from compiler.pages import Asset, Link, Page, relative
from compiler.pictures import Picture
from compiler.shape import Value

MARK = b'content="flockbook epub"'  # in the package document, which stands near the file's beginning
BEGUN = (1980, 1, 1, 0, 0, 0)  # the earliest time of a ZIP entry: the same for every file
ROOT, PACKAGE, NAV, NCX = "EPUB", "package.opf", "nav.xhtml", "toc.ncx"
XHTML, SVG, OPS = "http://www.w3.org/1999/xhtml", "http://www.w3.org/2000/svg", "http://www.idpf.org/2007/ops"
SCRIPTS = 1  # a page of the folder has the book's own script; one that has more does not work without them
NOT_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")  # XML 1.0, production 2
OPEN = re.compile(r"<(br|hr|img)\b([^<>]*?)\s*/?>")  # what remarks leave open, as HTML may
CSS = "text/css"
MEDIA = {
    ".css": CSS, ".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".png": "image/png", ".gif": "image/gif",
    ".webp": "image/webp",
}  # fmt: skip
MARGINS = re.compile(rb"@(?:top|bottom)-\w+\s*\{[^}]*\}")  # what stands in the margins of paper, which readers refuse
LEFT_OFF = frozenset({"unstamped", "told"})  # of the foot: what the stamp's style sheet would fill
HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'
CONTAINER = (
    f'{HEAD}<container version="1.0" xmlns="urn:oasis:names:tc:opendocument:xmlns:container"><rootfiles>'
    f'<rootfile full-path="{ROOT}/{PACKAGE}" media-type="application/oebps-package+xml"/></rootfiles></container>\n'
)


class About(Value):
    """What the file says of itself. `made` is the moment that the book speaks of, `stamp` the same in a sentence."""

    title: str
    language: str
    made: datetime
    stamp: str


class Leaflet(Value):
    """One file of the EPUB: its path, its bytes, its media type and the properties that the package names."""

    path: str
    data: bytes
    media: str
    properties: str = ""


def epub(bound: Bound, about: About, told: list[Diagnostic]) -> bytes:
    """All pages that work without scripts, in the order of the navigation and then of their paths."""
    drawn = dict(zip(bound.files, draw(list(bound.files), bound, told), strict=True))
    pages = {leaf.path: leaf for leaf in bound.files.values() if isinstance(leaf, Page) and stands_here(leaf, drawn)}
    order = list(dict.fromkeys([*(link.path for link in bound.look.navigation if link.path in pages), *sorted(pages)]))
    kept = [leaf for leaf in bound.files.values() if isinstance(leaf, Asset | Picture)]
    beside = [item for leaf in kept if (item := leaflet(leaf, drawn)) is not None]
    sheets = [item.path for item in beside if item.media == CSS]
    made = [xhtml_page(pages[path], drawn[path], Around(pages, tuple(sheets), about)) for path in order]
    links = [link for link in bound.look.navigation if link.path in pages]
    files = [*made, *beside, navigation(links, order, pages, about), old_navigation(links, about)]
    return zipped(package(files, about), files)


class Around(Value):
    """What a page needs of the others."""

    pages: Mapping[str, Page]
    sheets: tuple[str, ...]
    about: About


def stands_here(page: Page, drawn: Mapping[str, bytes]) -> bool:
    """Whether a page works in a reader: it is no copy for the night or to be handed out alone, and needs no script."""
    data = drawn[page.path]
    return not page.alone and page.look != "night" and data.count(b"<script") <= SCRIPTS and b"<main" in data


def leaflet(leaf: Asset | Picture, drawn: Mapping[str, bytes]) -> Leaflet | None:
    """A style sheet or a picture; no other file is needed, nor the sheet that speaks for pages of the folder."""
    if isinstance(leaf, Asset) and leaf.meanwhile is not None:
        return None
    path = leaf.place if isinstance(leaf, Picture) else leaf.path
    media = MEDIA.get(posixpath.splitext(path)[1].lower(), "")
    data = MARGINS.sub(b"", drawn[path]) if media == CSS else drawn[path]
    return Leaflet(path, data, media) if media and data else None


# Pages


def xhtml_page(page: Page, drawn: bytes, around: Around) -> Leaflet:
    """A page as XHTML: its heading, its main part and its foot."""
    body = body_of(drawn, around.about.stamp)
    for node in body.iter():
        settle(node, page.path, around.pages)
    in_namespaces(body, XHTML)
    text = ET.tostring(body, encoding="unicode", short_empty_elements=True)
    has_svg = any(isinstance(node.tag, str) and node.tag.startswith(f"{{{SVG}}}") for node in body.iter())
    return Leaflet(
        renamed(page.path), framed(page, text, around).encode(), "application/xhtml+xml", "svg" if has_svg else ""
    )


def body_of(drawn: bytes, stamp: str) -> ET.Element:
    """The main part and the foot of a drawn page, without what leads about in the folder."""
    text = OPEN.sub(r"<\1\2/>", clean(drawn.decode("utf-8")).partition("\n")[2])
    whole = next(iter(ET.fromstring(text).iter("body")))
    body = ET.Element("body", {"class": whole.get("class", "")})
    for part in whole:
        if part.tag == "main" or part.tag == "footer":
            body.append(stamped(part, stamp) if part.tag == "footer" else part)
    return body


def framed(page: Page, body: str, around: Around) -> str:
    """The document around a body."""
    hrefs = (relative(page.path, sheet) for sheet in around.sheets)
    links = "".join(f'<link rel="stylesheet" type="text/css" href="{href}"/>' for href in hrefs)
    language = around.about.language
    return (
        f'{HEAD}<!DOCTYPE html>\n<html xmlns="{XHTML}" lang="{language}" xml:lang="{language}">\n<head>'
        f"<title>{escape(clean(page.title))} · {escape(clean(around.about.title))}</title>{links}</head>\n"
        f"{body}\n</html>\n"
    )


def stamped(foot: ET.Element, stamp: str) -> ET.Element:
    """The foot with the stamp in words."""
    for line in list(foot):
        if line.get("class") in LEFT_OFF:
            foot.remove(line)
        elif line.get("class") == "made":
            line.text = clean(stamp)
    return foot


def settle(node: ET.Element, page: str, pages: Mapping[str, Page]) -> None:
    """Links lead to pages of this file, or are none; what only the script reads is taken off."""
    for name in [name for name in node.attrib if name.startswith("data-")]:
        del node.attrib[name]
    href = node.get("href", "") if node.tag == "a" else ""
    if not href or href.startswith(("#", "http:", "https:", "mailto:", "tel:")):
        return
    file, mark, place = href.partition("#")
    target = posixpath.normpath(posixpath.join(posixpath.dirname(page), unquote(file)))
    if target in pages:
        node.set("href", renamed(file) + mark + place)
    else:
        node.tag = "span"
        del node.attrib["href"]


def renamed(path: str) -> str:
    """`log/teal.html` as `log/teal.xhtml`."""
    return f"{posixpath.splitext(path)[0]}.xhtml"


def in_namespaces(node: ET.Element, space: str) -> None:
    """Every element in its namespace, drawings in that of SVG."""
    if isinstance(node.tag, str) and not node.tag.startswith("{"):
        space = SVG if node.tag == "svg" else space
        node.tag = f"{{{space}}}{node.tag}"
    for inner in node:
        in_namespaces(inner, space)


def clean(text: str) -> str:
    """A text without what XML cannot hold."""
    return NOT_XML.sub("", text)


# What leads to the pages


def navigation(links: Iterable[Link], order: Iterable[str], pages: Mapping[str, Page], about: About) -> Leaflet:
    """The navigation document: the groups of the book's navigation, then every page."""
    groups: dict[str, list[Link]] = {}
    for link in links:
        groups.setdefault(link.group, []).append(link)
    shown = "".join(group_entry(name, inside) for name, inside in groups.items())
    rest = [Link(pages[path].title, path, "") for path in order if path not in {link.path for link in links}]
    shown += group_entry("All other pages", rest)
    text = (
        f'{HEAD}<!DOCTYPE html>\n<html xmlns="{XHTML}" xmlns:epub="{OPS}" lang="{about.language}" '
        f'xml:lang="{about.language}">\n<head><title>{escape(clean(about.title))}</title></head>\n<body>'
        f'<nav epub:type="toc" id="toc"><h1>{escape(clean(about.title))}</h1><ol>{shown}</ol></nav></body>\n</html>\n'
    )
    return Leaflet(NAV, text.encode(), "application/xhtml+xml", "nav")


def group_entry(name: str, links: Iterable[Link]) -> str:
    """The pages of a group under its heading; those of no group by themselves."""
    items = "".join(f'<li><a href="{renamed(link.path)}">{escape(clean(link.label))}</a></li>' for link in links)
    return f"<li><span>{escape(clean(name))}</span><ol>{items}</ol></li>" if name and items else items


def old_navigation(links: Iterable[Link], about: About) -> Leaflet:
    """The same for old readers: the book's navigation without its groups."""
    points = "".join(
        f'<navPoint id="p{number}" playOrder="{number}"><navLabel><text>{escape(clean(link.label))}</text></navLabel>'
        f'<content src="{renamed(link.path)}"/></navPoint>'
        for number, link in enumerate(links, 1)
    )
    text = (
        f'{HEAD}<ncx xmlns="http://www.daisy.org/z3986/2005/ncx/" version="2005-1"><head>'
        f'<meta name="dtb:uid" content="{identity(about)}"/></head>'
        f"<docTitle><text>{escape(clean(about.title))}</text></docTitle><navMap>{points}</navMap></ncx>\n"
    )
    return Leaflet(NCX, text.encode(), "application/x-dtbncx+xml")


def identity(about: About) -> str:
    """The same for the same title, whatever the day: a reader replaces the older file."""
    return f"urn:uuid:{uuid.uuid5(uuid.NAMESPACE_URL, f'urn:book:{about.title}')}"


def package(files: list[Leaflet], about: About) -> str:
    """The package document."""
    ids = {item.path: f"f{number}" for number, item in enumerate(files)}
    items = "".join(
        f'<item id="{ids[item.path]}" href="{item.path}" media-type="{item.media}"'
        + (f' properties="{item.properties}"' if item.properties else "")
        + "/>\n"
        for item in files
    )
    spine = "".join(f'<itemref idref="{ids[item.path]}"/>\n' for item in files if item.media == "application/xhtml+xml")
    return (
        f'{HEAD}<package xmlns="http://www.idpf.org/2007/opf" version="3.0" unique-identifier="id" '
        f'xml:lang="{about.language}">\n<metadata xmlns:dc="http://purl.org/dc/elements/1.1/">'
        f'<meta name="generator" {MARK.decode()}/><dc:identifier id="id">{identity(about)}</dc:identifier>'
        f"<dc:title>{escape(clean(about.title))}</dc:title><dc:language>{about.language}</dc:language>"
        f"<dc:description>{escape(clean(about.stamp))}</dc:description>"
        f'<meta property="dcterms:modified">{about.made:%Y-%m-%dT%H:%M:%SZ}</meta></metadata>\n'
        f'<manifest>\n{items}</manifest>\n<spine toc="{ids[NCX]}">\n{spine}</spine>\n</package>\n'
    )


def zipped(opf: str, files: Iterable[Leaflet]) -> bytes:
    """The container: `mimetype` first and stored, the package next, so that the file is known by its beginning."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as made:
        for path, data, how in entries(opf, files):
            entry = zipfile.ZipInfo(path, BEGUN)
            entry.compress_type, entry.external_attr, entry.create_system = how, 0o644 << 16, 3
            made.writestr(entry, data)
    return out.getvalue()


def entries(opf: str, files: Iterable[Leaflet]) -> Iterator[tuple[str, bytes, int]]:
    """Every entry with its bytes, and how it is kept."""
    yield "mimetype", b"application/epub+zip", zipfile.ZIP_STORED
    yield f"{ROOT}/{PACKAGE}", opf.encode(), zipfile.ZIP_STORED
    yield "META-INF/container.xml", CONTAINER.encode(), zipfile.ZIP_DEFLATED
    for item in files:
        yield f"{ROOT}/{item.path}", item.data, zipfile.ZIP_DEFLATED
