"""From findings to the files of the book: pages as values, the theme's own files, and each page drawn in its turn."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date
from functools import partial
from html import escape
from typing import Any, TypeVar, cast

from compiler import crew, faults, prose
from compiler.book import Book, Findings, Frame, Moment, PageMaker, Stamp, Told
from compiler.diagnostics import Diagnostic, Grade, settled
from compiler.faults import attempt
from compiler.horizon import plainly
from compiler.pages import Asset, Link, Page, relative, unfit_paths
from compiler.pictures import Picture, copied
from compiler.shape import Value, replace
from compiler.shares import Drawn, Hand, Job, Shares, shared
from compiler.single import holding, unlinked
from compiler.source import Span
from compiler.templates import Theme

S = TypeVar("S")
L = TypeVar("L")
F = TypeVar("F")

NOT_THERE = "the rest of the book is made; these pages are not in it, or say that they could not be made"
NO_FRAME = "pages that show anything of the frame cannot be drawn"
STANDS_IN = "the page says that it could not be made; the rest of the book is made"
STAND_IN = """<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
</head>
<body>
<h1>{title}</h1>
<p>This page could not be made, because of a fault in the program. The notes themselves are safe.
Do not rely on an older copy of this page.</p>
<pre>{message}</pre>
<p><a href="{home}">Front page</a></p>
</body>
</html>
"""


Leaf = Page | Asset | Picture


class _Look(Value):
    """What all pages are drawn with."""

    theme: Theme
    frame: Any
    navigation: tuple[Link, ...]


class Bound(Value):
    """Everything that is to be written, by path, and what drawing a page needs.

    `shown` is where a file of the notes folder stands in the book: the page that tells a note, the copy of a picture.
    Pages that several hands made are kept by them, in `shares`; their `view` is only its class. `again` then binds the
    book in this process alone.
    """

    files: Mapping[str, Leaf]
    look: _Look
    shown: Mapping[str, str]
    told: Told
    shares: Shares | None = None
    again: Callable[[], Bound] | None = None

    @property
    def seals(self) -> dict[str, bytes]:
        """The files that speak for all others, with what stands in their place while anything is being written."""
        assets = (leaf for leaf in self.files.values() if isinstance(leaf, Asset))
        return {leaf.path: leaf.meanwhile for leaf in assets if leaf.meanwhile is not None}

    @property
    def views(self) -> dict[str, type]:
        """What each template is given to draw."""
        pages = (leaf for leaf in self.files.values() if isinstance(leaf, Page))
        return {page.template: page.view if isinstance(page.view, type) else type(page.view) for page in pages}


@contextmanager
def bound_by_hands(findings: Findings[S, L, F], book: Book[S, L, F], theme: Theme) -> Iterator[Bound]:
    """The book as `bind` gives it, its pages made and drawn by several hands where that is worth it."""
    contents = book.contents()
    look, told = _look(findings, book, theme)
    theme.prepare()  # once, not by every hand
    job = Job(contents.pages, findings, stamp_of(findings), Hand(partial(_drawn, look), _placed))
    with shared(job) as shares:
        if shares is None:
            yield bind(findings, book, theme)
        else:
            leaves = [*shares.leaves, *theme.assets()]
            yield replace(
                _bound(findings, leaves, told, look), shares=shares, again=partial(bind, findings, book, theme)
            )


def bind(findings: Findings[S, L, F], book: Book[S, L, F], theme: Theme) -> Bound:
    """All pages and files of the book, not drawn yet. A group of pages that fails is told, and the others are made."""
    contents = book.contents()
    leaves, told = _leaves(findings, contents.pages)
    if told:  # once more, so that the pages that list what is wrong list this too
        findings = replace(findings, diagnostics=settled((*findings.diagnostics, *told)))
        leaves, _ = _leaves(findings, contents.pages)
    look, faulty = _look(findings, book, theme)
    return _bound(findings, [*leaves, *theme.assets()], [*told, *faulty], look)


def draw(order: Sequence[str], bound: Bound, told: list[Diagnostic]) -> Iterator[bytes]:
    """The bytes of each file in turn. A page that fails says so in its place, and in `told`. What a hand that the
    system ended leaves undone is made anew by this process.
    """
    written = 0
    try:
        for data in _drawn_in_turn(order, bound, told):
            yield data
            written += 1
    except crew.LOST:
        if bound.again is None:
            raise
        yield from _drawn_in_turn(order[written:], bound.again(), told)


def _bound(
    findings: Findings[S, L, F], leaves: Sequence[Page | Asset], told: Sequence[Diagnostic], look: _Look
) -> Bound:
    pictures = _shown_pictures(findings, leaves)
    files, misplaced = _by_path([*leaves, *pictures])
    files.update(_unmade(look.navigation, files, told))
    pages = [leaf for leaf in files.values() if isinstance(leaf, Page) and not leaf.alone]
    shown = {note: page.path for page in reversed(pages) for note in page.notes}
    shown.update((picture.path, picture.place) for picture in pictures)
    return Bound(files, look, shown, (*told, *misplaced))


def _drawn_in_turn(order: Sequence[str], bound: Bound, told: list[Diagnostic]) -> Iterator[bytes]:
    """Pages that others hold are drawn first, and once."""
    pages = {path: leaf for path in order if isinstance(leaf := bound.files[path], Page)}
    held = dict.fromkeys(path for page in pages.values() for path in page.holds if path in bound.files)
    first = [path for path in held if isinstance(bound.files[path], Page)]
    coming = _drawn_pages([*first, *(path for path in pages if path not in held)], bound)
    drawn = {path: next(coming) for path in first}
    for path in order:
        leaf = bound.files[path]
        if isinstance(leaf, Page):
            whole = drawn[path] if path in drawn else next(coming)
            yield _or_instead(leaf, _with_held(leaf, whole, drawn), told)
        else:
            yield leaf.data if isinstance(leaf, Asset) else _copied(leaf, told)


def _drawn_pages(paths: Sequence[str], bound: Bound) -> Iterator[Drawn]:
    if bound.shares:
        return bound.shares.drawn(paths, bound.shown)
    pages = (cast(Page, bound.files[path]) for path in paths)
    return (_placed(page, _drawn(bound.look, page), bound.shown) for page in pages)


def _with_held(page: Page, drawn: Drawn, others: Mapping[str, Drawn]) -> Drawn:
    """A page with those that it holds; of one that stands alone whatever would lead out of it is words."""
    parts = {path: others[path] for path in page.holds if path in others}
    for part in (drawn, *parts.values()):
        if isinstance(part, Diagnostic):
            return part
    if not (page.alone or parts):
        return drawn
    html = holding(_text(drawn), page.path, {path: _text(part) for path, part in parts.items()})
    return (unlinked(html) if page.alone else html).encode()


def _text(drawn: Drawn) -> str:
    return cast(bytes, drawn).decode()


def stamp_of(findings: Findings[Any, Any, Any]) -> Stamp:
    """The build stamp. It follows from the notes and the moment asked about, never from the clock."""
    collection, moment = findings.collection, replace(findings.today, at=plainly(findings.today.at))
    grades = [message.grade for message in findings.diagnostics]
    listed = len(collection.holes) + len(collection.others)
    return Stamp(
        on=moment,
        made=moment.at.strftime("%Y-%m-%d %H:%M" if moment.timed else "%Y-%m-%d"),
        read=collection.read,
        placed=collection.read - listed,
        listed=listed,
        newest=_newest(findings, moment),
        errors=grades.count(Grade.ERROR),
        asks=grades.count(Grade.ASK),
        warnings=grades.count(Grade.WARNING),
        gaps=grades.count(Grade.GAP),
    )


def stand_in(path: str, title: str, told: Iterable[Diagnostic]) -> bytes:
    """What stands in the place of a page that could not be made or drawn."""
    message = escape("\n".join(item.message for item in told))
    home = relative(path, "index.html")
    return STAND_IN.format(title=escape(title), message=message, home=home).encode("utf-8", "replace")


def _unmade(navigation: Iterable[Link], files: Mapping[str, Leaf], told: Sequence[Diagnostic]) -> dict[str, Leaf]:
    """Pages that say so where the navigation leads to pages whose group failed: the front page is always there."""
    if not told:
        return {}
    return {
        link.path: Asset(link.path, stand_in(link.path, link.label, told))
        for link in navigation
        if link.path not in files
    }


def _plain_frame(book: Book[S, L, F]) -> Callable[[Findings[S, L, F], Stamp], Frame]:
    return lambda findings, stamp: Frame(book.title(findings.settings), stamp)


def _newest(findings: Findings[Any, Any, Any], moment: Moment) -> str:
    """The day of the newest note that is not from the future, or ""."""
    days = (getattr(record, "date", None) for record in findings.collection.records)
    return max((day.isoformat() for day in days if isinstance(day, date) and day <= moment.day), default="")


def _leaves(
    findings: Findings[S, L, F], makers: Sequence[PageMaker[S, L, F]]
) -> tuple[list[Page | Asset], list[Diagnostic]]:
    stamp = stamp_of(findings)
    leaves: list[Page | Asset] = []
    told: list[Diagnostic] = []
    for maker in makers:
        make = partial(_made, maker, findings, stamp)
        outcome = attempt(make, faults.IN_PAGES, f"the pages {maker.name}", NOT_THERE)
        if isinstance(outcome, Diagnostic):
            told.append(outcome)
        else:
            leaves += outcome
    return leaves, told


def _made(maker: PageMaker[S, L, F], findings: Findings[S, L, F], stamp: Stamp) -> list[Page | Asset]:
    return list(maker.make(findings, stamp))


def _shown_pictures(findings: Findings[S, L, F], leaves: Sequence[Page | Asset]) -> list[Picture]:
    """The pictures that remarks or pages show: only these go into the book."""
    remarks = (record.origin.html for record in findings.collection.records if '"note:' in record.origin.html)
    wanted = {path for html in remarks for path in prose.targets(html)}
    wanted.update(path for leaf in leaves if isinstance(leaf, Page) for path in leaf.pictures)
    return [picture for picture in findings.pictures if picture.path in wanted]


def _by_path(leaves: Sequence[Leaf]) -> tuple[dict[str, Leaf], list[Diagnostic]]:
    """Each file by its path; of two that want one path the first stays."""
    files: dict[str, Leaf] = {}
    told: list[Diagnostic] = []
    unfit = unfit_paths(_place(leaf) for leaf in leaves)
    for leaf in leaves:
        path = _place(leaf)
        why = unfit.get(path) or ("another page is there already" if path in files else "")
        if why:
            told.append(faults.IN_PATHS.at(Span(path), f"no place for `{path}`: {why}", faults.HELP, NOT_THERE))
        else:
            files[path] = leaf
    return files, told


def _place(leaf: Leaf) -> str:
    return leaf.place if isinstance(leaf, Picture) else leaf.path


def _drawn(look: _Look, page: Page) -> Drawn:
    """A page's bytes, the links of its remarks not settled yet, or why it could not be drawn."""
    return attempt(partial(look.theme.draw, page, look.frame, look.navigation), faults.IN_DRAWING, page.path, STANDS_IN)


def _placed(page: Page, drawn: Drawn, shown: Mapping[str, str]) -> Drawn:
    """With the links of its remarks settled; a page alone has nothing to link to."""
    if isinstance(drawn, Diagnostic) or b'"note:' not in drawn:
        return drawn

    def where(path: str) -> str | None:
        return relative(page.path, shown[path]) if path in shown and not page.alone else None

    return prose.placed(drawn.decode(), where).encode()


def _or_instead(page: Page, drawn: Drawn, told: list[Diagnostic]) -> bytes:
    if isinstance(drawn, bytes):
        return drawn
    told.append(drawn)
    return stand_in(page.path, page.title, [drawn])


def _copied(picture: Picture, told: list[Diagnostic]) -> bytes:
    outcome = copied(picture)
    if isinstance(outcome, bytes):
        return outcome
    told.append(outcome)
    return b""  # a reader then shows the picture's words


def _look(findings: Findings[S, L, F], book: Book[S, L, F], theme: Theme) -> tuple[_Look, list[Diagnostic]]:
    contents, stamp = book.contents(), stamp_of(findings)
    framed = partial(contents.frame or _plain_frame(book), findings, stamp)
    frame = attempt(framed, faults.IN_PAGES, "the frame", NO_FRAME)
    if isinstance(frame, Diagnostic):
        return _Look(theme, Frame(book.name, stamp), contents.navigation), [frame]
    return _Look(theme, frame, contents.navigation), []
