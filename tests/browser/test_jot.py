"""The jot page in a real browser, from disk: tapped as with a thumb, killed, reloaded, given out, and filed."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from datetime import date
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from flockbook.cli.main import main
from tests.browser.chromium import Tab, browser
from tests.flockbook.compiled import Compiled
from tests.flockbook.small import read

EWE = "---\nnote: ewe\nborn: 2022-04\nmob: hill\n---\n"
TODAY = date.today().isoformat()  # the page goes by the clock of the tablet, so the notes must be of this day
YEAR = TODAY[:4]
NOTES = {
    "flock.yaml": "flock: Corrie Hask\n",
    "sheep/C214 Bramble.md": EWE,
    "sheep/C230 Teasel.md": EWE,
    "sheep/D314 Sorrel.md": EWE,
    "sheep/R7 Harrow.md": "---\nnote: ram\nborn: 2022-04\n---\n",
    "paddocks/Low Field.md": "---\nnote: paddock\n---\n",
    "medicines/example drench.md": "---\nnote: medicine\nname: example drench\nmeat withdrawal: 28 days\n"
    "milk withdrawal: not for milk\nsource: label\nchecked: 2026-01-02\n---\n",
    f"events/{YEAR}/{int(YEAR) - 1}-04-19 lambing Teasel.md": "- ewe 4.1, tag 741\n",
}
HIT_APART = 0.26  # seconds between two hits at one spot


class Jot:
    """The page under a thumb: taps are counted, each at the middle of what is shown there."""

    def __init__(self, tab: Tab, page: Path) -> None:
        """Open the page."""
        self.tab, self.page, self.taps = tab, page, 0
        self.open()

    def open(self) -> None:
        """Open or reload it, and wait until it has read what it keeps."""
        self.tab.open(self.page)
        self.wait("document.querySelector('#jot button') !== null")

    def wait(self, expression: str) -> None:
        """Wait until something holds in the page."""
        for _ in range(400):
            if self.tab.value(expression):
                return
            time.sleep(0.02)
        raise TimeoutError(f"{expression}: {self.words()}")

    def words(self) -> str:
        """What the page shows in the part that the script draws."""
        return str(self.tab.value("document.getElementById('jot').innerText"))

    def tap(self, *labels: str) -> None:
        """Tap the buttons that begin with these words, one after the other."""
        for label in labels:
            at = self.middle_of(label)
            for kind in ("mousePressed", "mouseReleased"):
                self.tab.call("Input.dispatchMouseEvent", type=kind, x=at["x"], y=at["y"], button="left", clickCount=1)
            self.taps += 1
            time.sleep(HIT_APART)

    def middle_of(self, label: str) -> dict[str, Any]:
        """The place of a button, scrolled to where a thumb reaches it."""
        found = self.tab.value(
            "(() => { const all = [...document.querySelectorAll('#jot button')].filter(b => !b.disabled); "
            f"const said = b => b.innerText.trim(); const one = all.find(b => said(b) === {label!r}) || "
            f"all.find(b => said(b).startsWith({label!r})); if (!one) return null; "
            "one.scrollIntoView({block: 'center'}); "
            "const box = one.getBoundingClientRect(); "
            "return {x: box.x + box.width / 2, y: box.y + box.height / 2}; })()"
        )
        assert found, f"no button {label!r} in: {self.words()}"
        return dict(found)

    def lines(self) -> list[str]:
        """The lines that the tablet keeps, as they would be given out."""
        self.tap("Give out")
        kept = self.tab.value("document.querySelector('#jot textarea').value")
        self.tap("Back")
        return [line for line in str(kept).splitlines() if line]


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book of a small flock, made today."""
    browser()
    return Compiled(NOTES, TODAY, tmp_path_factory.mktemp("jot")).folder


GLASS = [(360, "light"), (360, "dark"), (820, "light"), (820, "dark")]


@pytest.fixture(params=GLASS, ids=lambda one: f"{one[0]}-{one[1]}")
def jot(request: pytest.FixtureRequest, book: Path) -> Iterator[Jot]:
    """The page on a phone and on a tablet, by day and by night."""
    tab = Tab(request.param[0])
    tab.call("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": request.param[1]}])
    yield Jot(tab, book / "jot.html")
    tab.close()


def plain(lines: list[str]) -> list[str]:
    """Lines without their day, time and id."""
    return [re.sub(r"^\S+ \S+ | \[[^\]]*\]$", "", line) for line in lines]


def test_twins_a_treatment_and_the_rest_in_few_taps(jot: Jot) -> None:
    """Twins, one with a leg back, tagged and weighed in at most 18 taps, a treatment in at most 12 (targets of the
    design); what is kept is the line of the grammar, and nothing that was not tapped stands in it.
    """
    jot.tap("Lambing", "1", "4", "C214", "+ ewe lamb", "tag 742", "4", "1")
    jot.tap("+ ram lamb", "tag 743", "one leg back", "assisted", "4", "6", "Keep")
    assert jot.taps <= 18, jot.taps
    birth = jot.taps
    jot.taps = 0
    jot.tap("Treatment", "3", "0", "C230", "example drench")
    assert "ml" not in jot.tab.value("document.querySelector('[data-line]').textContent")
    jot.tap("6", "Keep")
    assert jot.taps <= 12, jot.taps
    dose = jot.taps
    jot.taps = 0
    jot.tap("Labour seen", "3", "1", "4", "D314", "waters", "Keep")
    labour = jot.taps
    print(f"taps: twins {birth}, treatment {dose}, labour {labour}")
    assert plain(jot.lines()) == [
        "C214 lambed ewe 4.1 kg tag 742; ram 4.6 kg tag 743 assisted one leg back",
        "C230 treated example drench; 6 ml",
        "D314 labour waters",
    ]
    assert "3 lines not yet in the book" in jot.words()


def test_buttons_are_large_enough_and_nothing_runs_over(jot: Jot) -> None:
    """Every button is 48 px high and wide, 64 at night; no sideways scroll; no error in the console."""
    night = jot.tab.value("matchMedia('(prefers-color-scheme: dark)').matches")
    steps = ("Lambing", "1", "4", "C214", "+ ewe lamb", "4")
    for step in (*steps, ""):
        small = jot.tab.value(
            "[...document.querySelectorAll('#jot button')].map(b => b.getBoundingClientRect())"
            f".filter(r => r.height < {64 if night else 48} || r.width < {64 if night else 48}).length"
        )
        wide = jot.tab.value("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert (small, wide) == (0, 0), jot.words()
        if step:
            jot.tap(step)
    assert jot.tab.errors() == []


def test_killed_after_every_tap_nothing_is_lost(book: Path, tmp_path: Path) -> None:
    """The browser is killed after each tap of a birth and started again: the half-entered birth goes on where it was,
    and the line that was kept is there.
    """
    browser()
    steps = ("Lambing", "1", "4", "C214", "+ ewe lamb", "tag 742", "4", "1", "Keep")
    for step in steps:
        jot = Jot(Tab(360, folder=str(tmp_path)), book / "jot.html")
        jot.tap(step)
        if step == "Keep":
            jot.wait("document.getElementById('jot').innerText.includes('Kept:')")
        jot.tab.kill()
    jot = Jot(Tab(360, folder=str(tmp_path)), book / "jot.html")
    assert plain(jot.lines()) == ["C214 lambed ewe 4.1 kg tag 742"]
    jot.open()
    assert plain(jot.lines()) == ["C214 lambed ewe 4.1 kg tag 742"]
    jot.tab.close()


def test_taken_back_struck_given_out_and_filed(book: Path, tmp_path: Path) -> None:
    """Undo until given out, then `strike`; the file given out goes into the inbox and is filed; a line that the book
    shows as filed is no longer counted.
    """
    browser()
    tab = Tab(820)
    tab.call("Browser.setDownloadBehavior", behavior="allow", downloadPath=str(tmp_path / "down"))
    jot = Jot(tab, book / "jot.html")
    jot.tap("Weighed", "2", "3", "0", "C230", "6", "1", "Keep")
    jot.tap("1 line not", "Take it back", "Back")
    jot.tap("Weighed", "2", "3", "0", "C230", "6", "2", "Keep")
    jot.tap("Moved", "all hill", "Low Field", "Keep")
    jot.tap("Give out", "Save as a file")
    jot.wait("document.getElementById('jot').innerText.includes('given out as')")
    jot.tap("Back", "2 lines not", "Strike it", "Back")
    assert plain(jot.lines())[:2] == ["C230 weighed 62 kg", "hill moved to Low Field"]
    assert "strike" in jot.lines()[2]
    saved = next((tmp_path / "down").glob("jot-*.txt")).read_text().splitlines()
    assert saved == jot.lines()[:2]
    notes = {**NOTES, "inbox/jot.txt": "\n".join(saved) + "\n"}
    folder = Compiled(notes, TODAY, tmp_path / "flock").folder.parent / "notes"
    done = CliRunner().invoke(main, ["note", "--from-inbox", "--file", "--folder", str(folder)])
    assert "2 filed, 0 stay" in done.output
    CliRunner().invoke(main, ["compile", str(folder), "--to", str(book.parent / "again")])
    jot = Jot(tab, book.parent / "again" / "jot.html")
    assert "1 line not yet in the book" in jot.words()
    tab.close()


def test_two_hits_at_one_spot_are_one_and_a_refusing_tablet_says_so(book: Path) -> None:
    """A double hit within a quarter of a second counts once; where storage is refused a red bar says NOT kept, and the
    line stays on the screen.
    """
    browser()
    tab = Tab(360)
    jot = Jot(tab, book / "jot.html")
    jot.tap("Weighed", "2")
    at = jot.middle_of("3")
    for kind in ("mousePressed", "mouseReleased", "mousePressed", "mouseReleased"):
        tab.call("Input.dispatchMouseEvent", type=kind, x=at["x"], y=at["y"], button="left", clickCount=1)
    assert tab.value("document.querySelector('#jot .typed').innerText") == "23"
    full = "IDBFactory.prototype.open = () => { throw new Error('full'); };"
    tab.call("Page.addScriptToEvaluateOnNewDocument", source=full)
    jot.open()
    assert "NOT kept" in jot.words()
    jot.tap("Weighed", "3", "0", "C230", "6", "1", "Keep")
    assert "NOT kept" in jot.words()
    assert "C230 weighed 61 kg" in tab.value("document.querySelector('[data-line]').textContent")
    tab.close()


def test_without_scripts_the_page_says_how_to_write(book: Path) -> None:
    """Scripts off: the page says so, and shows lines by hand that the inbox reads whole."""
    browser()
    tab = Tab(360)
    tab.call("Emulation.setScriptExecutionDisabled", value=True)
    tab.open(book / "jot.html")
    assert "write the lines by hand" in str(tab.call("DOM.getDocument", depth=-1))
    tab.close()
    page = (book / "jot.html").read_text()
    lines = [unescape(line) for line in re.findall(r"<code>(.*?)</code>", page)]
    lines = [line.replace("NAME OF THE MEDICINE", "example drench") for line in lines]
    seen = read({**NOTES, "inbox/hand.txt": "\n".join(lines)}, TODAY)
    assert len(lines) == 8
    assert not [item.message for item in seen.diagnostics if item.code == "J102"]


def test_what_the_book_says_of_a_line_that_stays_is_shown(book: Path, tmp_path: Path) -> None:
    """A line given out whose reading is in doubt: the next book tells the tablet why it is not filed."""
    browser()
    tab = Tab(360)
    jot = Jot(tab, book / "jot.html")
    jot.tap("Weighed", "9", "9", "9", "Nobody known", "6", "1", "Keep")
    (line,) = jot.lines()
    again = Compiled({**NOTES, "inbox/jot.txt": f"{line}\n"}, TODAY, tmp_path).folder
    jot = Jot(tab, again / "jot.html")
    jot.tap("1 line not")
    assert "nobody here is called `999`" in jot.words()
    tab.close()


def test_a_ewe_who_lambed_and_a_clock_behind_are_told(tmp_path: Path) -> None:
    """A ewe that the book shows as lambed says so; a tablet whose clock is before the book's day asks for the day."""
    browser()
    notes = {**NOTES, f"events/{YEAR}/{TODAY} 0001 lambing Bramble.md": "- ewe 4.1, tag 742\n"}
    made = Compiled(notes, f"{TODAY}T23:59", tmp_path)
    tab = Tab(360)
    jot = Jot(tab, made.folder / "jot.html")
    jot.tap("Lambing", "1", "4")
    assert "already lambed" in jot.words()
    text = (made.folder / "jot-data.js").read_text()
    (made.folder / "jot-data.js").write_text(text.replace(f'"made":"{TODAY}"', '"made":"2199-01-01"'))
    jot.open()
    assert "Set the day" in jot.words()
    tab.close()
