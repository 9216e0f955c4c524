"""Drawing pages: strict templates that can only show what a view holds.

A template sees four names: `page` (a `Drawn`: title, path, root, section, look, inline), `view` (the page's own typed
view), `book` (what every page shows alike: see `Book.frame`) and `nav` (an `Entry` for each page of the navigation).
"""

from __future__ import annotations

import base64
import hashlib
import posixpath
from contextlib import suppress
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from compiler.pages import ELSEWHERE, Asset, Html, Link, Page, linked, relative_to, root_of, slug
from compiler.shape import Value

if TYPE_CHECKING:
    from jinja2 import Environment

    from compiler.functions import Functions
    from compiler.printing import Here

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
    """A folder of templates, style and script. Nothing is loaded until the first page is drawn.

    Pages are drawn by functions made from the templates; whatever these cannot draw is drawn by Jinja2, which is what
    a page looks like by definition.
    """

    def __init__(self, folder: Path, memory: Path | None = None) -> None:
        """The theme in `folder`, its templates in `folder/templates`; the functions are remembered in `memory`."""
        self.folder, self.memory = folder, memory
        self._path = ""
        self._around = Around(())
        self._left: set[str] = set()  # templates on which a function has failed

    def draw(self, page: Page, frame: Any, navigation: tuple[Link, ...]) -> bytes:
        """A page as UTF-8. Raises whatever the template raises (an unknown name, a missing template)."""
        if page.template in self.functions.drawings and page.template not in self._left:
            try:
                return self.drawn_by_functions(page, frame, navigation)
            except Exception:  # Jinja2 draws it all the same, or says what is wrong and where
                self._left.add(page.template)
        return self.drawn_by_jinja(page, frame, navigation)

    def prepare(self) -> None:
        """Have the functions ready, which the first page would otherwise wait for."""
        _ = self.functions

    def drawn_by_functions(self, page: Page, frame: Any, navigation: tuple[Link, ...]) -> bytes:
        """A page drawn without Jinja2. Raises KeyError for a template that is left to it."""
        root, blocks = self.functions.drawings[page.template]
        here = self._here(page, navigation)
        out: list[str] = []
        root(out, here, blocks, self._drawn(page), page.view, frame, here.nav)
        return "".join(out).encode("utf-8", "replace")

    def drawn_by_jinja(self, page: Page, frame: Any, navigation: tuple[Link, ...]) -> bytes:
        """A page drawn by Jinja2."""
        self._path = page.path
        template = self.environment.get_template(page.template)
        nav = self._here(page, navigation).nav
        return template.render(page=self._drawn(page), view=page.view, book=frame, nav=nav).encode("utf-8", "replace")

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
    def functions(self) -> Functions:
        """The templates as functions."""
        from compiler.functions import Asked, functions

        key = hashlib.sha256(str(self.folder.resolve()).encode("utf-8", "surrogateescape")).hexdigest()[:16]
        return functions(Asked(self.texts(), self._parsed, self.memory, f"theme-{key}"))

    @cached_property
    def environment(self) -> Environment:
        """Jinja2 without anything that computes: undefined names are errors, everything is escaped."""
        from jinja2 import Environment, FileSystemLoader, StrictUndefined, pass_context

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
        # Given the context, a constant path is linked anew from every page, not once for all.
        link = pass_context(lambda _, path: linked(self._path, path))
        made.filters.update(link=link, relative=relative_to, slug=slug)
        made.filters = {name: made.filters[name] for name in FILTERS}
        made.tests = {name: made.tests[name] for name in TESTS}
        made.globals.clear()
        return made

    def _drawn(self, page: Page) -> Drawn:
        inline = self.inline if page.alone else None
        return Drawn(page.path, page.title, page.section, root_of(page.path), page.look, inline)

    def _here(self, page: Page, navigation: tuple[Link, ...]) -> Here:
        if navigation is not self._around.navigation:
            self._around = Around(navigation)
        return self._around.of(page)

    def texts(self) -> dict[str, str]:
        """All templates that can be read."""
        texts: dict[str, str] = {}
        for name in self.names():
            with suppress(OSError, UnicodeDecodeError):
                texts[name] = self.source(name)
        return texts

    def _parsed(self, name: str) -> Any:
        return self.environment.parse(self.source(name))


class Around:
    """A navigation as seen from every page: the same for all pages of a folder that it does not mark differently."""

    def __init__(self, navigation: tuple[Link, ...]) -> None:
        """Nothing is made before a page asks for it."""
        self.navigation = navigation
        self.paths = frozenset(link.path for link in navigation)
        self.sections = frozenset(link.section for link in navigation)
        self.known: dict[tuple[str, str, str], Here] = {}
        self.links: dict[str, dict[str, str]] = {}  # by folder

    def of(self, page: Page) -> Here:
        """The navigation as seen from a page."""
        folder = posixpath.dirname(page.path)
        path = page.path if page.path in self.paths else ""
        key = (folder, path, page.section if page.section in self.sections else "")
        if key not in self.known:
            from compiler.printing import Here

            self.known[key] = Here(page.path, entries(self.navigation, page), self.links.setdefault(folder, {}))
        return self.known[key]


def entries(navigation: tuple[Link, ...], page: Page) -> tuple[Entry, ...]:
    """The navigation as seen from a page: current are the page itself and the tab of the section it belongs to."""
    here = {link for link in navigation if page.path == link.path or page.section == link.section != ""}
    marked = any(link in here for link in navigation if not link.group)
    return tuple(
        Entry(link.label, link.path, link.group, link in here or (not marked and link.section == ELSEWHERE))
        for link in navigation
    )


def is_copied(name: str) -> bool:
    """Whether a file of the theme (its path below the theme's folder) goes into the book."""
    parts = name.split("/")
    return parts[0] != FOLDER and not any(part.startswith((".", "_")) for part in parts)
