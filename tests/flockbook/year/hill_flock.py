"""A hill flock in kilograms, its year in some thirty notes: all invented, as a shepherd could type them."""

from __future__ import annotations

HERS = {"A1 Moss": "2020", "A2 Fern": "2021", "A3 Ling": "2021", "A4 Sloe": "2022", "A5 Haw": "2023", "A7 Dock": "2024"}
WHIN_BANK = {
    "flock.yaml": "flock: Whin Bank\ncountry: GB\ntimezone: Europe/London\nintake: 2 kg\n",
    **{f"sheep/{who}.md": f"---\nnote: ewe\nborn: {year}\nmob: hill\n---\n" for who, year in HERS.items()},
    "sheep/T1 Garth.md": "---\nnote: ram\nborn: 2022\nmob: rams\n---\n",
    "medicines/jab.md": "---\nnote: medicine\nname: clostridial\nkind: vaccine\nmeat withdrawal: 0 days\n---\n",
    "medicines/drench.md": "---\nnote: medicine\nname: ivermectin\nmeat withdrawal: 10 days\n---\n",
    "plans/booster.md": "---\nnote: plan\nwhat: ewes' booster\nbefore first due: 28 days\nfor: ewes\n"
    "done by: vaccine\n---\n",
    "plans/mouths.md": "---\nnote: plan\nwhat: look at every mouth\nevery year: 1 May\nfor: ewes\n"
    "done by: check\n---\n",
    "supplies/hay.md": "---\nnote: supply\nname: hay\n---\n",
    "events/2025-10-20 check.md": "- Moss bcs 2\n- Ling bcs 3, lame off hind\n",
    "events/2025-11-01 joining Garth.md": "---\newes: Moss, Fern, Ling, Sloe, Haw, Dock\n---\n- 4 Nov Moss\n"
    "- 6 Nov Fern, Ling\n- 9 Nov Sloe\n- 10 Nov Haw\n",
    "events/2025-11-05 stock hay.md": "---\nsupply: hay\nbought: 60 bales of 20 kg\n---\n",
    "events/2025-12-15 draft.md": "---\nsheep: Garth\ninto: rams\n---\n",
    "events/2026-01-28 scan.md": "- Moss twins\n- Fern triplets\n- Ling single\n- Sloe twins\n- Haw empty\n",
    "events/2026-02-26 treatment.md": "---\nsheep: Moss, Fern, Ling\nmedicine: clostridial\ndose: 2 ml\n---\n",
    "events/2026-03-10 0900 illness Sloe.md": "---\nproblem: off her feed\n---\nDull, stands apart.\n",
    "events/2026-03-27 2300 lambing Moss.md": "---\nhelp: hard\n---\n- ewe 4.4 kg, tag 801\n\nAfterbirth away.\n",
    "events/2026-03-31 0210 labour Fern.md": "---\nwaters: 01:40\nhelped: 02:35\n---\n",
    "events/2026-03-31 0330 lambing Fern.md": "---\nhelped: 02:35\nafterbirth: 05:00\n---\n- ewe 3.1 kg, tag 803\n"
    "- ewe 2.6 kg, tag 804, cold mouth\n\nNavels dipped twice.\n",
    "events/2026-03-31 0445 check.md": "- 804 36.2 C\n",
    "events/2026-05-20 egg count.md": "---\ntest: May\nmedicine: ivermectin\nfactor: 50\n---\n- Moss 14 eggs\n"
    "- Fern 31 eggs\n",
    "events/2026-05-20 treatment.md": "---\nsheep: Moss, Fern\nmedicine: ivermectin\ndose: 12 ml\n---\n",
    "events/2026-08-26 sale.md": "---\nsheep: Haw, Dock\ncount: 2\nto: Fell mart\nuse: slaughter\nsure: yes\n---\n",
}
