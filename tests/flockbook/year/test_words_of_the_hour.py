"""Words of notes that change what is owed, and sentences that lead on: from notes to the pages that say so."""

from __future__ import annotations

import pytest

from flockbook.pages.breeding import due_page
from flockbook.pages.farm import feed, fleece_page
from flockbook.pages.medicine import medicine_book
from flockbook.pages.today import front
from tests.flockbook.small import Notes, meat, read, unchecked
from tests.flockbook.year.test_twenty_moments import page_of, words
from tests.flockbook.year.test_what_was_missed import EWE, FLOCK, US, now, today, told

BORN = "events/2026-03-18 1100 lambing Kit.md"
LEVAMISOLE = (
    "---\nnote: medicine\nname: levamisole\nlabel rate: 2 mL per 50 lb\nmeat withdrawal: 3 days\n"
    "milk withdrawal: not for milk\n---\n"
)
DRENCH: Notes = {"medicines/drench.md": LEVAMISOLE}


@pytest.mark.parametrize(
    ("said", "seen"),
    [
        ("Afterbirth away at noon.", True),
        ("Placenta out at 4, all up.", True),
        ("Cleansing came away clean.", True),
        ("Afterbirth not away yet.", False),
        ("Afterbirth still hanging out.", False),
        ("Placenta out? Look again.", False),
        ("Part of the placenta out.", False),
    ],
)
def test_an_afterbirth_told_in_plain_words_is_not_asked_for(said: str, seen: bool) -> None:
    """Common practice, no source: only a clause that says it came, and nothing against it, settles it."""
    notes = {**FLOCK, BORN: f"- ewe 9 lb, tag 61\n\n{said}\n"}
    assert ("afterbirth not written as seen" in today(notes, "2026-03-20T12:00")) is not seen


@pytest.mark.parametrize(
    ("sample", "sent"),
    [("afterbirth on ice", True), ("none", False), ("no", False), ("not yet", False), ("to send", False)],
)
def test_a_sample_that_was_not_sent_is_asked_for(sample: str, sent: bool) -> None:
    """Common practice, no source: “none” in the field for a sample is no sample."""
    notes = {**FLOCK, "events/2026-02-18 abortion Kit.md": f"---\ndays: 40\nsample: {sample}\n---\n"}
    assert ("the sample is sent" in today(notes, "2026-02-19")) is sent
    assert ("ask the vet for a sample" in told(notes, "2026-02-19")) is not sent


@pytest.mark.parametrize(("into", "away"), [("bucks", True), ("home", False)])
def test_a_ram_drafted_among_the_ewes_is_not_out(into: str, away: bool) -> None:
    """A draft into another mob than that of his ewes ends a joining; one into theirs does not. The ewe's last day is
    that of a pregnancy of 159 days at the most from then, and does not move.
    """
    notes = {
        **FLOCK,
        "sheep/1 Edith.md": "---\nnote: ewe\nborn: 2021\nmob: home\n---\n",
        "sheep/9 Tully.md": "---\nnote: ram\nborn: 2021\nmob: bucks\n---\n",
        "events/2025-10-20 joining Tully.md": "---\newes: Edith\n---\n",
        "events/2025-11-30 draft.md": f"---\nsheep: Tully\ninto: {into}\n---\n",
    }
    assert ("drafted away or gone on Nov 30, 2025" in today(notes, "2026-01-15")) is away
    last = {on: told(notes, on).partition("her last day, ")[2][:12] for on in ("2026-12-10", "2027-03-01")}
    assert len(set(last.values())) == 1
    assert ("May" in last["2026-12-10"]) is away


def test_the_medicine_book_says_of_each_sheep_from_when_it_was_clear() -> None:
    """Kit's three days from 21 May are over on 25 May; of the lamb, dosed over its label, no day is known (V12)."""
    notes = {
        **FLOCK, **DRENCH,
        "events/2026-04-01 lambing Kit.md": "- ewe 9 lb, tag 61\n",
        "events/2026-05-21 treatment.md": "---\nsheep: Kit, 61\nmedicine: levamisole\ndose: 6 mL\ngiven: May 21\n---\n",
    }  # fmt: skip
    seen = unchecked(notes, "2026-09-10")
    book = words(page_of(seen, medicine_book, "medicine-book.html"))
    assert "2: clear from May 25, 2026, 61: UNKNOWN" in book
    assert "not weighed then: the most that its last weight and its growth allow" in today(notes, "2026-09-10")


def test_what_is_not_clear_of_the_ewe_is_named_beside_her_lamb() -> None:
    """Her meat is clear after three days; her milk is not, as the label says, and that is what the lamb may suck."""
    notes = {
        **FLOCK, **DRENCH,
        "events/2026-04-01 lambing Kit.md": "- ewe 9 lb, tag 61\n",
        "events/2026-05-21 treatment Kit.md": "---\nmedicine: levamisole\ndose: 6 mL\ngiven: May 21\n---\n",
    }  # fmt: skip
    assert "may be nursing Kit (2), whose milk is not clear: levamisole, May 21, 2026" in today(notes, "2026-06-10")


def test_what_the_seller_gave_says_which_note_lets_the_sheep_out() -> None:
    """The note that the message names, written so, ends the hold in its time: 3 days after 30 May, and one more because
    no hour is known (rule W2).
    """
    bought = {"events/2026-06-01 purchase.md": "---\ntreated: levamisole, 2026-05-30\n---\n- ewe tag 116, born 2023\n"}
    seen = read({**FLOCK, **DRENCH, **bought}, "2026-07-01")
    (message,) = [one for one in seen.diagnostics if one.code == "E113"]
    for line in ("`2026-06-01 treatment.md`", "`sheep: 116`", "`medicine: levamisole`", "`given: 2026-05-30`"):
        assert line in message.help
    assert meat(seen, "116") == "unknown"
    note = {"events/2026-06-01 treatment.md": "---\nsheep: 116\nmedicine: levamisole\ngiven: 2026-05-30\n---\n"}
    assert meat(unchecked({**FLOCK, **DRENCH, **bought, **note}, "2026-06-02"), "116") == "held 2026-06-03"
    assert meat(unchecked({**FLOCK, **DRENCH, **bought, **note}, "2026-07-01"), "116") == "clear"


def test_more_ewes_than_a_published_guide_has_for_a_ram_are_told() -> None:
    """Univ. of Wyoming Extension 2017: two grown rams for a hundred ewes, a ram lamb for thirty at the most."""
    ewes = {f"sheep/E{place}.md": EWE for place in range(31)}
    joined = {"events/2025-10-15 joining R1.md": f"---\newes: {', '.join(f'E{place}' for place in range(31))}\n---\n"}
    for born, over in (("2025-03-20", True), ("2022", False)):
        ram = {"sheep/R1.md": f"---\nnote: ram\nborn: {born}\n---\n"}
        seen = unchecked({"flock.yaml": US, **ewes, **ram, **joined}, "2025-11-01")
        page = words(page_of(seen, due_page, "due.html"))
        assert ("31, more than published for him (Univ. of Wyoming Extension 2017" in page) is over


def test_a_fleece_of_which_nothing_is_said_has_no_row_of_dashes() -> None:
    """What nobody wrote of any fleece has no column; the note that the empty page names is read."""
    notes = {**FLOCK, "events/2026-05-01 job shearing.md": "- Edith fleece 5 lb\n- Kit fleece 6 lb\n"}
    page = page_of(unchecked(notes, "2026-06-01"), fleece_page, "fleeces.html")
    (table,) = [table for table in page.iter("table") if table.get("id") == "fleeces-2026"]
    assert words(table) == "Sheep Day Fleece 2 Kit May 1, 2026 6.0 lb 1 Edith May 1, 2026 5.0 lb"
    assert "2026-06-20 job shearing.md" in words(page_of(unchecked(FLOCK, "2026-06-01"), fleece_page, "fleeces.html"))


def test_the_supply_note_that_the_feed_page_asks_for_is_read() -> None:
    """The page without hay says what to write; so written it opens the count and withholds nobody."""
    asked = words(page_of(unchecked(FLOCK, "2026-01-01"), feed, "feed.html"))
    assert "‘note: supply’, ‘name: hay’ and ‘have: 96 bales of" in asked
    seen = unchecked({**FLOCK, "supplies/hay.md": "---\nnote: supply\nname: hay\nhave: 96 bales of 40 lb\n---\n"})
    assert "3840 lb of hay in hand" in words(page_of(seen, feed, "feed.html")).replace(",", "")
    assert meat(seen, "1") == "clear"


def test_where_the_vet_is_to_be_called_a_missing_number_is_told() -> None:
    """Common practice, no source: a row that sends to the vet stands beside the number, or says that it is wanting."""
    ill = {"events/2026-03-19 illness Kit.md": "---\nproblem: bloat\n---\n"}
    assert "The vet: your vet (write the number into flock.yaml)" in today({**FLOCK, **ill}, "2026-03-19T08:00")
    sound = words(page_of(unchecked(FLOCK, "2026-03-19T08:00"), front, "index.html"))
    assert "The vet:" not in sound
    assert now(FLOCK, "2026-03-19T08:00") == []
