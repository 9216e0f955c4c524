"""What tired people jot down in passing: whoever was really dosed is never clear. Each case says who that was."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from shutil import copytree, ignore_patterns

import pytest

from compiler.build import proof
from flockbook.book import BOOK
from tests.flockbook.small import moment

DEMO = Path(__file__).parents[3] / "site_demo"
EWE = "---\nnote: ewe\nborn: 2022-04\nmob: hill\n---\n"
MEDICINE = "---\nnote: medicine\nactive: levamisole\nmeat withdrawal: 28 days\nmilk withdrawal: 14 days\n"
SHORT = "medicines/short drench.md"
FLOCK = {
    "sheep/C214 Bramble.md": EWE,
    "sheep/C230 Teasel.md": EWE,
    "sheep/C107 Salt.md": EWE.replace("hill", "low"),
    "sheep/H001 Harrow.md": "---\nnote: ram\nmob: tups\n---\n",
    "medicines/example drench.md": MEDICINE + "---\n",
    SHORT: MEDICINE.replace("28", "14") + "---\n",
    "mobs/hill.md": "---\nnote: mob\n---\n",
    "mobs/low.md": "---\nnote: mob\n---\n",
    "events/2026/2026-04-19 lambing Bramble.md": "- ewe 4.1 kg, tag 731\n- ram 4.6 kg, tag 732\n",
}
Files = dict[str, str]


def treatment(
    head: str = "", body: str = "", name: str = "2026-06-02 treatment", medicine: str = "example drench"
) -> Files:
    """A treatment of 2 June."""
    return {f"events/2026/{name}.md": f"---\n{head}medicine: {medicine}\ndose: 3 ml\n---\n{body}"}


HILL = treatment("mob: hill\n")


def other(kind: str, text: str, day: str = "2026-06-02") -> Files:
    """A note of another kind."""
    return {f"events/2026/{day} {kind}.md": text}


def weighed(heading: str, cell: str) -> Files:
    """A weighing with a column too many."""
    table = {"events/2026/2026-06-02 weighing.csv": f"sheep,kg,{heading}\n731,27,{cell}\n"}
    return {**other("weighing", "---\nstage: 8 weeks\n---\n"), **table}


def moved(kind: str, text: str) -> Files:
    """A move told on 30 May, and the treatment of the hill mob."""
    return {**other(kind, text, "2026-05-30"), **HILL}


KIN = [("ewe lamb", "731"), ("her ewe lamb", "731"), ("the tup", "H001"), ("ram", "H001")]
STRANGERS = (
    "Teazel 3 ml", "C23O 3 ml", "3 ml Teazel", "Teazel: 3 ml", "Teazel 3", "blue ewe 3 ml", "another 3 ml", "? 3 ml",
    "no tag 3 ml", "the one with the cut ear 3 ml", "Teazel too",
)  # fmt: skip
NAMES = ("Bramble and Teazel", "Bramble and 230", "Bramble and C23O", "Bramble and C203")
CASES: list[tuple[str, Files, str]] = [
    *((f"head: and {word}", treatment(f"sheep: Bramble and {word}\n"), who) for word, who in KIN),
    *((f"line: and {word}", treatment("", f"- Bramble and {word} 3 ml\n"), who) for word, who in KIN),
    *((f"name: and {word}", treatment(name=f"2026-06-02 treatment Bramble and {word}"), who) for word, who in KIN),
    *((f"bare: {words}", treatment("", f"Bramble 3 ml\n{words}\n"), "C230") for words in STRANGERS),
    *((f"name: {words}", treatment(name=f"2026-06-02 treatment {words}"), "C230") for words in NAMES),
    ("name: twin", treatment(name="2026-06-02 treatment 731 and twin"), "732"),
    *(
        (f"short tag {words}", treatment("", f"- {words} 1 ml\n"), "732")
        for words in ("731/2", "731,2", "731 & 2", "731.732")
    ),
    ("the year before", treatment("mob: hill\n", name="2025-06-02 treatment"), "731"),
    (
        "the year before, on the last of a month",
        {
            **treatment("mob: hill\n", name="2025-05-31 treatment"),
            **other("draft Salt to hill", "---\nsheep: Salt\n---\n", "2026-05-29"),
        },
        "C107",
    ),
    ("lambs of the year before", treatment("mob: lambs\n", name="2025-06-02 treatment"), "732"),
    (
        "years ahead, then drafted out",
        {
            **treatment("mob: hill\n", name="2062-06-02 treatment"),
            **other("draft low", "---\nsheep: Bramble\n---\n", "2026-06-05"),
        },
        "C214",
    ),
    *(
        (f"file: {kind}", moved(kind, "---\nby: Una\n---\n"), "C107")
        for kind in ("draft Salt to hill", "move Salt to hill")
    ),
    ("joined", moved("remark", "Salt joined the hill mob.\n"), "C107"),
    ("to hill", moved("remark", "Salt to hill.\n"), "C107"),
    ("job", moved("job", "---\nsheep: Salt\ndid: moved to hill\n---\n"), "C107"),
    ("on a line", moved("weighing", "- Salt 60 into hill\n"), "C107"),
    ("a task", moved("task", "---\nwhat: put Salt in hill\ndone: yes\n---\n"), "C107"),
    ("seen", moved("count", "---\nmob: hill\ncount: 3\nseen: C214, C230, Salt\n---\n"), "C107"),
    *(
        (f"column {heading}", weighed(heading, cell), "731")
        for heading in ("drench", "wormed", "ml")
        for cell in ("x", "3")
    ),
    ("column of the product", weighed("example drench", "yes"), "731"),
    ("a cell too many", {**weighed("", ""), "events/2026/2026-06-02 weighing.csv": "sheep,kg\n731,27,dosed\n"}, "731"),
    *(
        (f"check {words}", other("check", f"- Bramble {words}\n"), "C214")
        for words in ("bcs 3 drenched", "eyelid 4 wormed")
    ),
    ("egg count", other("egg count", "- 731 12 eggs, 1 ml example drench\n"), "731"),
    ("scan", other("scan", "- Bramble twins, 3 ml\n"), "C214"),
    ("eid", other("tagging", "- 731 eid 826070999900731 1 ml\n"), "731"),
    ("her copy", {"sheep/P214 Bramble.md": EWE, **treatment("sheep: C214\n")}, "P214"),
    ("medicine note", {"medicines/example drench.md": MEDICINE + "---\n- 2 Jun Bramble, Teasel\n"}, "C230"),
    ("its field", {"medicines/example drench.md": MEDICINE + "used: 2 Jun Bramble\n---\n"}, "C214"),
    ("her twin", treatment("sheep: 731\n", "Her twin too.\n"), "732"),
    ("her mother", treatment("sheep: 731\n", "Her mother too.\n"), "C214"),
    *(
        (f"prose {words}", treatment("sheep: Bramble\n", f"{words}\n"), "C230")
        for words in ("two others the same", "x 4")
    ),
    *(
        (f"remark {words}", other("remark", f"---\nsheep: Bramble\n---\n{words}\n"), "C214")
        for words in ("Drenchd", "Worming her today", "Jab today", "Long-acting antibiotic.", "Two pills.")
    ),
]
BESIDE = (
    ("Bramble 3 ml/Teasel 4 ml", "C230"), ("731 3ml/732 4ml", "732"), ("C214/30 3 ml", "C230"),
    ("C214 & 30 3 ml", "C230"), ("C214 230", "C230"),
    ("Bramble Teazel 3 ml", "C230"), ("Bramble 3 ml (Teazel 4)", "C230"),
    ("C214 C23O 3 ml", "C230"),
    ("Bramble, + 2 others 3 ml", "C230"), ("Bramble and 2 more 3 ml", "C230"), ("Bramble etc 3 ml", "C230"),
    ("Bramble &c 3 ml", "C230"), ("Bramble lot 3 ml", "C230"),
)  # fmt: skip
AFTER_ALL = (
    "Caught Teasel later, 3 ml.",
    "Dosed Teasel the day after.",
    "Teasel too after all.",
    "Teasel had hers on Thursday.",
)
HARMLESS = {
    "medicines/vitamin.md": "---\nnote: medicine\nmeat withdrawal: none\nmilk withdrawal: none\n---\n",
    "events/2026/2026-06-05 treatment Salt.md": "---\nmedicine: vitamin\ndose: 3 ml\n---\n",
}
CASES += [
    *((f"line: {words}", treatment("", f"- {words}\n"), who) for words, who in BESIDE),
    *((f"except: {words}", treatment("mob: hill\nexcept: Teasel\n", f"{words}\n"), "C230") for words in AFTER_ALL),
    *(
        (f"vitamin: {words}", {**other("remark", words), **HARMLESS}, "C107")
        for words in ("Drenched Salt.", "Wormed the low lot.")
    ),
    ("stock", other("stock drench", "---\nmedicine: example drench\nused: 9 ml\n---\n- hill 3 ml\n"), "C214"),
    ("stock of a mob", other("stock", "---\nmedicine: example drench\nused: 3 ml\nmob: hill\n---\n"), "C214"),
    ("stock of hay", other("stock", "---\nsupply: hay\nused: 2\n---\nSalt 3 ml example drench\n"), "C107"),
    ("in for", treatment("sheep: Bramble\nfor: worms, salt 4 ml\n"), "C107"),
    ("lambs in for", treatment("sheep: Bramble\nfor: worms, lambs 5 ml each\n"), "731"),
    ("tag as name", {"sheep/Salt C107.md": EWE, **treatment("mob: hill\n")}, "C107"),
    ("of another", other("job", "---\ndid: feet\nsheep: Bramble\n---\nGave Teazel 3 ml example drench.\n"), "C230"),
    ("mob in words", {"sheep/C107 Salt.md": EWE.replace("hill", "Hill ewes"), **treatment("mob: hill\n")}, "C107"),
    ("and the tups", treatment("sheep: Bramble\n", "And the tups.\n"), "H001"),
    ("the rest", treatment("sheep: Bramble\n", "The rest got it too.\n"), "C230"),
]
AWAY = "events/2026/2026-06-04 treatment put right.md"
CORRECTED = {AWAY: "---\nsheep: Salt\nmedicine: example drench\ndose: 3 ml\ncorrects: 2026-06-02 treatment\n---\n"}
CASES += [
    ("a range corrected away", {**treatment("sheep: C214-C230\n"), **CORRECTED}, "C230"),
    (
        "bought into a mob misspelt",
        {**other("purchase", "---\nmob: hil\n---\n- E501 ewe\n", "2026-05-02"), **HILL},
        "E501",
    ),
    ("bought with a word on the line", {**other("purchase", "- E501 ewe, hill\n", "2026-05-02"), **HILL}, "E501"),
    (
        "a mob misspelt twice",
        {**other("draft", "---\ninto: hil\nsheep: Salt\n---\n", "2026-05-20"), **treatment("mob: hil\n")},
        "C214",
    ),
    ("except with a question", treatment("mob: hill\nexcept: Teasel?\n"), "C230"),
    ("hers done too", treatment("sheep: Bramble\n", "Teasel's done too.\n"), "C230"),
    ("stock with a sheep", other("stock", "---\nsheep: Bramble\nmedicine: example drench\nused: 16 ml\n---\n"), "C214"),
    (
        "medicine note of a mob",
        {"medicines/example drench.md": MEDICINE + "---\nDrenched the hill 2 Jun 2026.\n"},
        "C230",
    ),
    (
        "written twice",
        {
            "sheep/F401 Clover.md": "---\nnote: lamb\nsex: ewe\ndam: Bramble\nborn: 2026-04-19\n---\n",
            **treatment("sheep: 731\n"),
        },
        "F401",
    ),
]
LAMBED = "events/2026/2026-04-16 lambing Salt.md"
FOSTERED = (
    "fostered to Brambel", "fostered to C241", "fostered to ?", "given to Bramble", "put on Bramble", "set on Bramble",
    "moved to Bramble", "fostered on Bramble", "fostered by Bramble", "fostered Bramble", "fosterd to Bramble",
    "fostered",
)  # fmt: skip
RETAGGED = ("C230 H88", "H88 was C230", "C230 -> H88", "C230 nwo H88", "C230 lost, now H88")
H88 = {"sheep/H88.md": EWE.replace("hill", "low")}
SOLD = {"events/2026/2026-06-04 sale.md": "---\nsheep: C230\nto: Over Yarrow\n---\n"}
CASES += [
    *((f"lamb {words}", {LAMBED: f"- ram 3 kg, tag 751, {words}\n", **HILL}, "751") for words in FOSTERED),
    *(
        (f"tagging {words}", {**other("tagging", f"- {words}\n"), **H88, **treatment("sheep: C230\n")}, "H88")
        for words in RETAGGED
    ),
    ("tagging without a dash", {**other("tagging", "C230 now H88\n"), **H88, **treatment("sheep: C230\n")}, "H88"),
    *(
        (
            f"she {words}",
            {"sheep/H88.md": EWE.replace("hill\n", f"low\n{words}\n"), **treatment("sheep: C230\n")},
            "H88",
        )
        for words in ("was: C230", "old tag: C230")
    ),
    ("she says", {"sheep/H88.md": EWE.replace("hill", "low") + "Was C230.\n", **treatment("sheep: C230\n")}, "H88"),
    (
        "bought back",
        {**other("purchase", "- H88 ewe, was C230\n", "2026-06-06"), **SOLD, **treatment("sheep: C230\n")},
        "H88",
    ),
    *(
        (f"illness {field}", other("illness Bramble", f"---\nproblem: lameness\n{field}\n---\n"), "C214")
        for field in (
            "medicine: oxytett",
            "product: penicillin",
            "given: antibiotic",
            "treatment: long acting",
            "dose: 4",
        )
    ),
    ("illness and Teasel", other("illness Bramble", "---\nproblem: lame\n---\nDrenched, and Teasel.\n"), "C214"),
    *(
        (f"prose: {words}", treatment("sheep: Bramble\n", f"{words}\n"), who)
        for words, who in (
            ("Did the rest.", "C230"),
            ("whole mob done", "C230"),
            ("Whole pen.", "C230"),
            ("every ewe got it", "C230"),
            ("Then the tups.", "H001"),
            ("Tups next.", "H001"),
            ("plus two more", "C230"),
        )
    ),
    *(
        (f"job {words}", other("job", f"---\ndid: {words}\nmob: hill\n---\n"), "C214")
        for words in ("worming", "dipped", "fly treatment", "fly spray")
    ),
    *(
        (f"told {words}", other("remark", f"{words}\n"), "C214")
        for words in ("inj Bramble", "Bramble drnched", "dosd Bramble", "levamisole to Bramble", "levamisol to Bramble")
    ),
    ("a slip in the name", treatment("sheep: Bramble\n", name="2026-06-02 treatment Teasle"), "C230"),
    ("lower case", treatment("", "- bramble teasel salt\n"), "C230"),
    ("lower case with figures", treatment("", "- bramble 8 teasel 8 salt 7\n"), "C107"),
    ("lower case, undashed", treatment("", "bramble 8 teasel 8\n"), "C230"),
]
PUT_RIGHT = "---\nsheep: Teasel\nmedicine: example drench\ndose: 3 ml\ncorrects: 2026-06-02 treatment\n"
SOLD_TO_JONES = other("sale", "---\nsheep: C230\nto: Jones\n---\n", "2026-06-04")
BACK = other("purchase", "---\nfrom: Jones\n---\n- ewe tag J55 Teasel\n", "2026-06-08")
DRAFTED_ANEW = {"events/2026/2026-06-05 draft.md": "---\nsheep: Salt\ninto: hill\ncorrects: 2026-05-30 draft\n---\n"}
CASES += [
    *(
        (
            f"dose: {words}",
            {"events/2026/2026-06-02 treatment C107.md": f"---\nmedicine: example drench\ndose: 12 ml, {words}\n---\n"},
            who,
        )
        for words, who in (("731 too", "731"), ("the ram too", "H001"), ("Brambel too", "C214"))
    ),
    ("ends of tags", treatment("", "- 731,2,3 12 ml\n"), "732"),
    *(
        (f"name {words}", treatment(name=f"2026-06-02 treatment {words}"), who)
        for words, who in (("C214 C23O", "C230"), ("C2I4 C230", "C214"))
    ),
    ("til", treatment("sheep: 731 til 732\n"), "732"),
    ("end of a tag in a remark", other("remark", "Drenched C214, 230 with example drench\n"), "C230"),
    ("sold and bought back", {**SOLD_TO_JONES, **BACK, **treatment("sheep: C230\n")}, "J55"),
    *(
        (f"moved to {words}", moved("move", f"---\nsheep: Salt\nto: {words}\n---\n"), "C107")
        for words in ("hill paddock", "in with hill")
    ),
    ("drafted on a line", moved("draft", "---\ninto: hill\n---\n- Salt\n"), "C107"),
    ("a draft put right later", {**moved("draft", "---\nsheep: Harrow\ninto: hill\n---\n"), **DRAFTED_ANEW}, "C107"),
    (
        "in a note on hay",
        other("stock", "---\nsupply: hay\n---\nGave Bramble example drench while I was at it.\n"),
        "C214",
    ),
    ("a list of its own", {"events/2026/2026-06-02 drench list.csv": "sheep,ml\nC214,3\n"}, "C214"),
    ("a table in a remark", other("remark", "| sheep | ml |\n|---|---|\n| C214 | 3 |\n"), "C214"),
    ("a tick in a column", weighed("jab", "✓"), "731"),
    (
        "corrected twice",
        {
            **treatment("sheep: Bramble\n"),
            "events/2026/2026-06-03 treatment.md": PUT_RIGHT + "not dosed: Bramble\n---\n",
            "events/2026/2026-06-04 treatment.md": PUT_RIGHT.replace("06-02", "06-03") + "---\n",
        },
        "C214",
    ),
]
LEFT = other("sale", "---\nsheep: C230\nto: Jones\n---\n", "2026-06-04")
LEFT_AND_BACK = {**LEFT, **other("purchase", "---\nfrom: Jones\n---\n- ewe tag C230 Teasel\n", "2026-06-07")}
CASES += [
    *(
        (f"row {words}", treatment("sheep: Salt\n", f"{words}\n"), who)
        for words, who in (
            ("- 731\u2011732 3 ml", "732"),
            ("- 731 \u2212 732 3 ml", "732"),
            ("- 731~732", "732"),
            ("- 731 up to 732", "732"),
            ("- 731 onwards", "732"),
            ("- 731+", "732"),
            ("- 731 & up", "732"),
            ("- 731 x 3 ml, 732", "731"),
        )
    ),
    *((f"list {words}", treatment(f"sheep: {words}\n"), "732") for words in ("731 -- 732", "731~732", "731+", "731-")),
    ("a long row", {"sheep/733.md": EWE, **treatment("sheep: Salt\n", "731 732 733\n")}, "731"),
    *(
        (f"bought with {words}", {**LEFT_AND_BACK, **treatment(f"{words}\n")}, "C230")
        for words in ("mob: hil", "sheep: the lame one", "sheep: Plovr")
    ),
    *(
        (f"in a field: {words}", {f"events/2026/2026-06-02 treatment {who}.md": f"---\n{words}\n---\n"}, who_else)
        for who, words, who_else in (
            ("Bramble", "medicine: example drench, Teasel too", "C230"),
            ("Bramble", "medicine: example drench\ngiven: 2 Jun, 732 too", "732"),
            ("Bramble", "medicine: example drench\nby: Una, the ram as well", "H001"),
        )
    ),
    *(
        (f"waiting: {words}", other("remark", f"---\nsheep: Bramble\n---\n{words}\n"), "C214")
        for words in ("Withdrawal until 20 June.", "Not clear till 20 June.", "In withdrawal.")
    ),
    *(
        (f"field {name}", other("check", f"---\n{name}: 28 May\n---\n- Bramble bcs 3\n"), "C214")
        for name in ("wormed", "treated on", "vaccinated", "last wormed")
    ),
    *(
        (f"weighed, {word}", other("weighing", f"- C214 60 {word}\n"), "C214")
        for word in ("jab", "drench", "antibiotic")
    ),
    ("illness that ends so", other("illness Bramble", "---\nproblem: lame\noutcome: antibiotic\n---\n"), "C214"),
    (
        "drafted out on the day",
        {
            **other("job", "---\nmob: hill\ndid: feet\n---\nExample drench 3 ml each.\n"),
            **other("draft", "---\nsheep: Bramble\ninto: low\n---\n", "2026-06-02 0900"),
        },
        "C214",
    ),
]
BOUGHT = "2026-05-02"
CASES += [
    *(
        (f"short {words}", treatment("", f"- {words} 3 ml\n"), who)
        for words, who in (("731,32,33", "732"), ("C229,30", "C230"))
    ),
    *(
        (f"told short {words}", other("remark", f"Drenched {words} with example drench\n"), "732")
        for words in ("731/2", "731, 32")
    ),
    ("short in the name", treatment(name="2026-06-02 treatment 731 2"), "732"),
    *(
        (f"bought, {field}", {**other("purchase", f"---\n{field}\n---\n- E501 ewe\n", BOUGHT), **HILL}, "E501")
        for field in ("place: hill", "withdrawal: 20 June", "wormed: 28 May")
    ),
    *(
        (f"told {words}", other("remark", f"{words}\n"), "C214")
        for words in ("Dipped Bramble.", "Example-drench to Bramble")
    ),
    (
        "lambs behind the medicine",
        {"events/2026/2026-06-02 treatment Bramble.md": "---\nmedicine: example drench, lambs 4 ml\n---\n"},
        "731",
    ),
]
FREE = {"medicines/vitamin.md": "---\nnote: medicine\nmeat withdrawal: none\nmilk withdrawal: none\n---\n"}
LOST_FOSTER = {"events/2026/2026-04-20 foster.md": "---\nlamb: 752\nonto: Brambel\n---\n"}
SALTS = {"events/2026/2026-04-18 lambing Salt.md": "- ewe 4 kg, tag 752\n- ram 4 kg, tag 753\n"}
CASES += [
    *(
        (f"a class alone: {words}", treatment("sheep: Salt\n", f"{words}\n"), who)
        for words, who in (("- ewes", "C214"), ("- rams", "H001"), ("- lambs", "731"), ("ewes", "C214"))
    ),
    ("T9/10", {"sheep/T9.md": EWE, "sheep/T10.md": EWE, **treatment("", "- T9/10 3 ml\n")}, "T10"),
    ("no weight of a ewe", treatment("", "- C214, 30 3 ml\n"), "C230"),
    ("its brother", treatment("sheep: 731 & its brother\n"), "732"),
    *((f"also {words}", treatment(f"sheep: Salt\nalso: {words}\n"), "C230") for words in ("black faced ewe", "#230")),
    ("dots", other("remark", "Drenched C214..C230 with example drench\n"), "C230"),
    ("a task done in words", other("task", "---\nwhat: example drench for ewe 230, done 2 June\n---\n"), "C230"),
    (
        "a job on another",
        other("job", "---\nsheep: Salt\ndid: feet\n---\nGave example drench 5 ml to ewe 230\n"),
        "C230",
    ),
    *(
        (f"moved {words}", moved("move", f"---\nsheep: {words}\nto: hill\n---\n"), "C107")
        for words in ("Salti", "Salt (C241)", "C1O7", "C107-2")
    ),
    *(
        (f"foster lost {words}", {**SALTS, **LOST_FOSTER, **treatment(f"sheep: {words}\n")}, "752")
        for words in ("Bramble's lambs", "Bramble's lamb")
    ),
    *(
        (f"drafted: {words}", moved("draft", f"---\ninto: hill\n---\n- Teasel {words}\n"), "C107")
        for words in ("+ 1", "& 2", "and another")
    ),
    *(
        (
            f"beside a vitamin: {words}",
            {**FREE, **treatment("sheep: Bramble\n", f"{words}\n", medicine="vitamin")},
            "C214",
        )
        for words in (
            "And wormed.",
            "Wormed too.",
            "Drenched 12 ml.",
            "Injected with oxytet as well.",
            "C214 foot, 6 ml LA",
            "C214 limping, gave her a jab.",
            "Pen & strep 5 ml.",
        )
    ),
]
BY_MOUTH = {"medicines/example drench.md": MEDICINE.replace("---\n", "---\nroute: oral\n", 1) + "---\n"}
CASES += [
    *(
        (f"line {words}", treatment("", f"- {words}\n"), who)
        for words, who in (
            ("C229,230: 3 ml each", "C230"),
            ("H51, 52", "H52"),
            ("H51 52", "H52"),
            ("T9 and 10", "T10"),
            ("T9-10 15 ml", "T10"),
            ("731 2 732 2", "732"),
            ("tups 12 low 11", "C107"),
        )
    ),
    *(
        (
            f"in dose: {words}",
            {"events/2026/2026-06-02 treatment Salt.md": f"---\nmedicine: example drench\ndose: {words}\n---\n"},
            who,
        )
        for words, who in (("731-732 2 ml", "732"), ("C214 & 230 11 ml", "C230"))
    ),
    *(
        (f"remark {words}", other("remark", f"Drenched {words} with example drench\n"), "C230")
        for words in ("C214 230 731", "C214,230")
    ),
    *(
        (f"of another: {words}", other("weighing", f"- Salt 60\n\n{words}\n"), "C214")
        for words in ("Bramble lame. Jabbed her.", "Brambel jabbed", "214 jabbed")
    ),
    ("a page", {"pages/notes.md": "---\nnote: page\n---\nBrambel jabbed 2 Jun.\n"}, "C214"),
    *(
        (f"jotted: {words}", other("remark", f"{words}\n"), "C214")
        for words in (
            "Example drench today",
            "Bramble had 6 mils",
            "two jabs for Bramble",
            "Gave Bramble LA",
            "sprayed Bramble for fly",
            "Bramble dry cow tube",
            "steroid for Bramble",
            "half a syringe into Bramble",
        )
    ),
    *(
        (f"a class: {words}", treatment(f"sheep: {words}\n"), who)
        for words, who in (("weaners", "731"), ("mothers", "C214"))
    ),
    *(
        (f"and {words}", treatment("sheep: Salt\n", f"{words}\n"), "C230")
        for words in (
            "And the gimmers.",
            "all the gimmers",
            "hoggets too",
            "Also the flock.",
            "And the sheep.",
        )
    ),
]
for sheep in ("H51", "H52", "T9", "T10"):
    FLOCK[f"sheep/{sheep}.md"] = EWE.replace("hill", "low").replace("2022-04", "2025-04")
CASES += [
    *(
        (f"product: {words}", other("remark", f"{words}\n"), "C230")
        for words in (
            "Gave 230 example drench",
            "Gave Teazel example drench",
            "Example drench to ewe 230",
            "Example drench to the shearlings",
            "Example drench given today",
            "Used example drench on the lame one",
            "Drenched Bramble & Teazel",
            "Bramble and Teazel wormed",
            "Drenched Bramble, 230",
            "Drenched C214 and C23O",
            "Drenched low and Teazel",
            "Drenched Bramble and the gimmers",
            "Drenched Bramble and one other",
        )
    ),
    ("and its dam", other("remark", "Drenched 731 and its dam\n"), "C214"),
    *(
        (f"got: {words}", treatment("sheep: Salt\n", f"{words}\n"), "C214")
        for words in (
            "hill got example drench.",
            "Gave the hill ewes example drench.",
            "bramble got example drench",
            "214 got example drench",
        )
    ),
    (
        "beside a vitamin, the hill",
        {**FREE, **treatment("sheep: Salt\n", "Drenched the hill mob while at it.\n", medicine="vitamin")},
        "C214",
    ),
    *(
        (f"name: {words}", treatment(name=f"2026-06-02 treatment {words}"), "C230")
        for words in (
            "Bramble teazel",
            "Bramble C23O",
            "Bramble 230",
            "Bramble and another",
        )
    ),
    ("moved with a mob", moved("move", "---\nsheep: Salt\nmob: hill\n---\n"), "C107"),
]
ONE_LINE = {
    "events/2026/2026-06-02 treatment.md": "---\nsheep: Bramble, Salt medicine: example drench dose: 3 ml\n---\n",
}
CASES += [
    *(
        (f"not, but: {words}", other("remark", f"{words}\n"), "C214")
        for words in (
            "Nobody drenched but Bramble.",
            "None dosed except Bramble.",
            "Bramble not dosed until today.",
            "Bramble was to be wormed, done now.",
            "12 ml each before the sale.",
            "5 ml each, next lot tomorrow.",
            "Drenched, later than last year.",
            "Drenched as in 2024.",
            "3 ml each, 40 ml left.",
        )
    ),
    ("same as above", other("weighing", "- Salt 60 jabbed\n- Bramble 58 same\n"), "C214"),
    *(
        (f"tag 12: {name}", {"sheep/12.md": EWE, **files}, "12")
        for name, files in (
            ("in a name", treatment(name="2026-06-02 treatment Salt and 12")),
            ("in words", treatment("sheep: Salt\n", "Also 12.\n")),
            ("in a remark", other("remark", "Drenched Salt and 12.\n")),
            ("on a line", treatment("", "- Salt 12\n")),
        )
    ),
    ("all on one line", ONE_LINE, "C107"),
    ("in remarks", treatment("sheep: Bramble\nremarks: also 230\n"), "C230"),
    *(
        (f"field {field}", other("check", f"---\n{field}: 26 June\n---\n- Bramble bcs 3\n"), "C214")
        for field in ("clear on", "withdrawn until", "do not sell before")
    ),
    (
        "accents apart",
        {"sheep/C900 \u00c9lise.md": EWE.replace("hill", "low"), **other("remark", "Wormed Salt and E\u0301lise\n")},
        "C900",
    ),
]
LATER = [
    *(
        (
            f"days in a table: {head}",
            treatment("", f"| sheep | {head} |\n|---|---|---|\n| Bramble | 3 ml | 3 ml |\n", medicine="short drench"),
        )
        for head in ("2 Jun | 4 Jun", "Tue | Thu", "day 1 | day 3")
    ),
    (
        "days on lines of their own",
        treatment("", "Tuesday\nBramble 3 ml\nThursday\nBramble 3 ml\n", medicine="short drench"),
    ),
    ("days behind doses", treatment("", "- Bramble 3 ml Tue, 3 ml Thu\n", medicine="short drench")),
    ("a day with dots", treatment("", "- Bramble 3 ml 4.6.\n", medicine="short drench")),
    *(
        (words, treatment("sheep: Bramble\n", f"{words}\n", medicine="short drench"))
        for words in (
            "Daily until better.",
            "every other day",
            "x3 days",
            "and the 5th",
            "And 2 ml of the red bottle.",
            "Next day too.",
            "Course of 4.",
            "5 day course",
            "To repeat in 48 h.",
            "(1 of 3)",
            "First of three.",
            "Repeated.",
            "Same again two days later.",
            "Followed up 4/6.",
            "Tue, Wed, Thu.",
            "(actually the 5th)",
            "Got it on the 5th.",
            "Day 1.",
            "Dose 1 of 2, 48 h.",
            "Every 48 h, three times.",
            "48h later the rest.",
            "4 doses",
            "Three days.",
            "Did her once more at the weekend.",
            "Gave the other half on Friday.",
            "x2, a week apart",
        )
    ),
    *(
        (
            f"label: {words}",
            {
                SHORT: MEDICINE.replace("28", "14") + f"---\n{words}\n",
                **treatment("sheep: Bramble\n", medicine="short drench"),
            },
        )
        for words in ("Label changed: meat 28 days now.", "Sheep are 28 days, the 14 is cattle.")
    ),
    (
        "again, corrected without it",
        {
            **treatment("sheep: Bramble\n", "Again 5 Jun.\n", medicine="short drench"),
            "events/2026/2026-06-06 treatment.md": "---\nsheep: Bramble\nmedicine: short drench\ndose: 3 ml\n"
            "given: 2 Jun\ncorrects: 2026-06-02 treatment\n---\n",
        },
    ),
    ("repeat", treatment(name="2026-06-02 treatment Bramble repeat 5th", medicine="short drench")),
    ("day 1 of 3", treatment(name="2026-06-02 treatment Bramble day 1 of 3", medicine="short drench")),
    (
        "a longer label that is skipped",
        {
            "flock.yaml": "skip: old\n",
            "old/short drench.md": MEDICINE.replace("28", "60") + "---\n",
            **treatment("sheep: Bramble\n", medicine="short drench"),
        },
    ),
]


def state(folder: Path, files: Files, tag: str, on: str) -> str:
    """Whether the meat of one sheep may be sold, as the book says it."""
    for path, text in {**FLOCK, **files}.items():
        place = folder / path
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(text, "utf-8")
    seen = proof(folder, BOOK, moment(on))
    standing = seen.facts.medicine.guard.standing
    called = {word: one.id for one in seen.linked.animals.values() for word in (*one.tags, f"no {one.number}")}
    return standing[called[tag]].meat.state


@pytest.mark.parametrize(("files", "tag"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_whoever_was_dosed_is_not_clear(tmp_path: Path, files: Files, tag: str) -> None:
    """Eight days after the dose, however it was jotted down."""
    assert state(tmp_path, files, tag, "2026-06-10") != "clear"


@pytest.mark.parametrize("files", [case[1] for case in LATER], ids=[case[0] for case in LATER])
def test_what_may_have_been_more_is_not_over_early(tmp_path: Path, files: Files) -> None:
    """A day after the period of the one dose that is written down: there may have been more."""
    assert state(tmp_path, files, "C214", "2026-06-18") != "clear"


def test_without_any_dose_all_are_clear(tmp_path: Path) -> None:
    """The flock alone, so that the others prove something."""
    for tag in ("C214", "C230", "C107", "H001", "731", "732"):
        assert state(tmp_path, {}, tag, "2026-06-10") == "clear"
    assert state(tmp_path, HILL, "C107", "2026-06-10") == "clear"


@pytest.mark.parametrize(
    "words",
    [
        "Wormed the dogs.",
        "Diesel 20 ml spilt.",
        "Rain 12 ml in the gauge.",
        "Cow injected.",
        "Never dosed Bramble this year.",
        "Hoggs to be wormed 20 Jun.",
        "Nobody drenched this month.",
        "I took 2 tablets for my back.",
        "Dipped navels in the pen.",
        "Washed the jugs, 100 ml bleach.",
        "Vaccinated last year already.",
    ],
)
def test_what_is_no_dose_of_a_sheep_holds_nobody(tmp_path: Path, words: str) -> None:
    """Other animals, fuel and rain are measured and dosed on a farm too."""
    assert state(tmp_path, other("remark", words + "\n"), "C214", "2026-06-10") == "clear"


@pytest.mark.parametrize("mob", ["Pike's lot", "hoggs", "tups"])
def test_a_mob_of_the_demo_is_nobody_else(tmp_path: Path, mob: str) -> None:
    """A dose of one mob puts nobody of another in doubt: prose such as `up with the old ewes` moves no ewe."""
    folder = tmp_path / "notes"
    copytree(DEMO, folder, ignore=ignore_patterns("book"))
    before = proof(folder, BOOK, moment("2026-11-25"))
    text = f"---\nmob: {mob}\nmedicine: moxidectin oral 1 mg/mL\ndose: 2 ml\n---\n"
    (folder / f"events/2026/2026-11-24 treatment {mob}.md").write_text(text, "utf-8")
    after = proof(folder, BOOK, moment("2026-11-25"))
    was, now = before.facts.medicine.guard.standing, after.facts.medicine.guard.standing
    changed = {one for one in now if now[one].meat != was[one].meat}
    assert {before.linked.animals[one].mob_on(date(2026, 11, 24)) for one in changed} <= {mob}
    assert all(not hold.doubt for one in changed for hold in now[one].holds if mob in hold.because.note)


@pytest.mark.parametrize(
    "line",
    [
        "- Bramble 3 ml 18:00",
        "18:00 Bramble 3 ml",
        "- Bramble 3 ml Thursday",
        "- Bramble 3 ml, next day",
        "| sheep | time | dose |\n|---|---|---|\n| Bramble | 18:00 | 3 ml |",
    ],
)
def test_a_time_on_a_line_is_later_than_that_of_the_note(tmp_path: Path, line: str) -> None:
    """Dosed at six in the evening, in a note of six in the morning: twelve hours more."""
    files = {"events/2026/2026-06-02 0600 treatment.md": f"---\nmedicine: short drench\n---\n{line}\n"}
    assert state(tmp_path, files, "C214", "2026-06-16T07:00") != "clear"


@pytest.mark.parametrize("count", [2, 4])
def test_a_mob_is_counted_with_and_without_lambs_at_foot(tmp_path: Path, count: int) -> None:
    """Two ewes with two lambs: whoever counts two or four has named them all, and nobody else is withheld."""
    assert state(tmp_path, treatment(f"mob: hill\ncount: {count}\n"), "C107", "2026-06-10") == "clear"


@pytest.mark.parametrize(
    "files",
    [
        {"templates/treatment.md": ""},
        {"templates/treatment.md": "---\nsheep:\nmedicine:\ndose:\n---\n"},
        treatment("mob: hill (all)\n"),
        treatment("sheep: Bramble as well as Teasel\n"),
        treatment("sheep: Bramble\n", "Both feet trimmed.\n"),
        treatment("sheep: Bramble\n", "Salt gate left open.\n"),
    ],
    ids=["an empty form", "a form of fields", "all of it", "as well as", "both feet", "a gate"],
)
def test_nobody_more_is_withheld(tmp_path: Path, files: Files) -> None:
    """A form that nobody filled in holds nobody, and plain words hold only whom they mean."""
    assert state(tmp_path, files, "C107", "2026-06-10") == "clear"


@pytest.mark.parametrize(
    "words", ["Bramble lame, jabbed", "Bramble injected", "Redosed Bramble, she coughed the first out."]
)
def test_a_dose_by_mouth_answers_no_needle(tmp_path: Path, words: str) -> None:
    """Drenched on the 2nd, and of the 5th a remark of another dose: it is no word on the first."""
    files = {**BY_MOUTH, **treatment("sheep: Bramble\n"), **other("remark", f"{words}\n", "2026-06-05")}
    assert state(tmp_path, files, "C214", "2026-07-02") != "clear"


def test_not_dosed_all_answers_words_about_nobody(tmp_path: Path) -> None:
    """The printed cure frees the flock that a remark without a name withholds."""
    told = other("remark", "---\nnot dosed: all\n---\nDrenched, and 100 ml over.\n")
    assert state(tmp_path, other("remark", "Drenched, and 100 ml over.\n"), "C214", "2026-06-10") != "clear"
    assert state(tmp_path, told, "C214", "2026-06-10") == "clear"
