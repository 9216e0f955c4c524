"""Drawing pages: strict templates that can only show what a view holds.

A template sees four names: `page` (a `Drawn`: title, path, root, section, look, inline), `view` (the page's own typed
view), `book` (what every page shows alike: see `Book.frame`) and `nav` (an `Entry` for each page of the navigation).
"""

from __future__ import annotations

import base64
import hashlib
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from compiler.pages import Asset, Html, Link, Page, relative, root_of, slug
from compiler.shape import Value

if TYPE_CHECKING:
    from jinja2 import Environment

FILTERS = frozenset({"link", "relative", "slug", "escape", "e", "join", "safe"})  # none of them computes
TESTS = frozenset({"defined", "none", "true", "false", "string", "number", "mapping", "sequence", "sameas", "in"})
NAMES = frozenset({"page", "view", "book", "nav"})
FOLDER = "templates"  # below the theme's folder; everything else there is copied into the book
STYLE = "style.css"  # the style sheet that a single file carries inside


class Inline(Value):
    """The style sheet of a single file, and its digest in the form of Content Security Policy Level 3 (`sha256-…`)."""

    css: Html
    digest: str


class Drawn(Value):
    """The page being drawn. `root` leads back to the book's folder ("" or "../"); `inline` is for files alone."""

    path: str
    title: str
    section: str
    root: str
    look: str
    inline: Inline | None


class Entry(Value):
    """One page of the navigation, as seen from the page being drawn; `href` is written from the book's folder."""

    label: str
    href: str
    group: str
    current: bool


class Theme:
    """A folder of templates, style and script. Nothing is loaded until the first page is drawn."""

    def __init__(self, folder: Path) -> None:
        """The theme in `folder`; its templates stand in `folder/templates`."""
        self.folder = folder
        self._path = ""

    def draw(self, page: Page, frame: Any, navigation: tuple[Link, ...]) -> bytes:
        """A page as UTF-8. Raises whatever the template raises (an unknown name, a missing template)."""
        self._path = page.path
        inline = self.inline if page.alone else None
        drawn = Drawn(page.path, page.title, page.section, root_of(page.path), page.look, inline)
        template = self.environment.get_template(page.template)
        text = template.render(page=drawn, view=page.view, book=frame, nav=entries(navigation, page))
        return text.encode("utf-8", "replace")

    def assets(self) -> tuple[Asset, ...]:
        """The theme's other files, at the same paths in the book. Raises OSError."""
        files = sorted(path for path in self.folder.rglob("*") if path.is_file())
        named = [(path.relative_to(self.folder).as_posix(), path) for path in files]
        return tuple(Asset(name, path.read_bytes()) for name, path in named if is_copied(name))

    def names(self) -> tuple[str, ...]:
        """The names of all templates."""
        base = self.folder / FOLDER
        return tuple(sorted(path.relative_to(base).as_posix() for path in base.rglob("*") if path.is_file()))

    def source(self, name: str) -> str:
        """A template's text. Raises OSError, UnicodeDecodeError."""
        return (self.folder / FOLDER / name).read_text("utf-8")

    @cached_property
    def inline(self) -> Inline:
        """The style sheet for single files. Raises OSError if there is none."""
        css = (self.folder / STYLE).read_text("utf-8").replace("</", "<\\/")
        digest = base64.b64encode(hashlib.sha256(css.encode()).digest()).decode()
        return Inline(Html(css), f"sha256-{digest}")

    @cached_property
    def environment(self) -> Environment:
        """Jinja2 without anything that computes: undefined names are errors, everything is escaped."""
        from jinja2 import Environment, FileSystemLoader, StrictUndefined

        made = Environment(
            loader=FileSystemLoader(self.folder / FOLDER),
            undefined=StrictUndefined,
            autoescape=True,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
            cache_size=-1,
            auto_reload=False,
        )
        made.filters.update(link=self._link, relative=_relative_to, slug=slug)
        made.filters = {name: made.filters[name] for name in FILTERS}
        made.tests = {name: made.tests[name] for name in TESTS}
        made.globals.clear()
        return made

    def _link(self, path: str) -> str:
        """The link to a path of the book (with or without `#place`) from the page that is being drawn."""
        file, mark, place = path.partition("#")
        return (relative(self._path, file) if file else "") + mark + place


def entries(navigation: tuple[Link, ...], page: Page) -> tuple[Entry, ...]:
    """The navigation as seen from a page: current are the page itself and the section it belongs to."""
    return tuple(
        Entry(link.label, link.path, link.group, page.path == link.path or page.section == link.section != "")
        for link in navigation
    )


def is_copied(name: str) -> bool:
    """Whether a file of the theme (its path below the theme's folder) goes into the book."""
    parts = name.split("/")
    return parts[0] != FOLDER and not any(part.startswith((".", "_")) for part in parts)


def _relative_to(path: str, page: str) -> str:
    return relative(page, path)
