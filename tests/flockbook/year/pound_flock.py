"""A flock in pounds and Fahrenheit, its year in some forty notes: all invented, as a shepherd could type them."""

from __future__ import annotations

EWES = {"W1": "Sage", "W2": "Juniper", "W3": "Aspen", "W4": "Willow", "W5": "Laurel", "W6": "Hazel"}
DRY_FORK = {
    "flock.yaml": "flock: Dry Fork\nunits: us\nwords: uk\ncurrency: USD\ncountry: US\ntimezone: America/Denver\n",
    "mobs/main.md": "---\nnote: mob\nname: main\n---\n",
    "sheep/R1 Boone.md": "---\nnote: ram\nborn: 2022\n---\n",
    **{f"sheep/{tag} {name}.md": "---\nnote: ewe\nborn: 2021\nmob: main\n---\n" for tag, name in EWES.items()},
    "sheep/H1.md": "---\nnote: ewe\nborn: 2025-03-20\n---\n",
    "medicines/jab.md": "---\nnote: medicine\nname: clostridial\nkind: vaccine\nmeat withdrawal: 21 days\n---\n",
    "medicines/pen.md": "---\nnote: medicine\nname: penicillin\nkind: antibiotic\nmeat withdrawal: 10 days\n---\n",
    "plans/booster.md": "---\nnote: plan\nwhat: ewes' booster\nbefore first due: 28 days\nfor: ewes\n"
    "done by: vaccine\n---\n",
    "plans/teeth.md": "---\nnote: plan\nwhat: look at every mouth\nevery year: 1 Sep\nfor: ewes\ndone by: check\n---\n",
    "events/2025-09-02 check.md": "".join(f"- {tag} bcs 3\n" for tag in EWES if tag != "W5"),
    "events/2025-10-15 joining Boone.md": f"---\newes: {', '.join(EWES.values())}\n---\n",
    "events/2026-02-10 treatment H1.md": "---\nsheep: H1\nmedicine: clostridial\ndose: 2 ml\nfor: first dose\n---\n",
    "events/2026-02-14 treatment ewes.md": "---\nmob: main\nexcept: Hazel\nmedicine: clostridial\ndose: 2 ml\n---\n",
    "events/2026-02-20 1500 abortion Aspen.md": "---\nlambs: 2\nsample: one lamb and the afterbirth\n---\n",
    "events/2026-02-24 0700 abortion Willow.md": "---\nisolated until: 2026-03-31\n---\n",
    "events/2026-03-12 0210 labour Sage.md": "---\nwaters: 02:10\n---\n",
    "events/2026-03-12 0330 lambing Sage.md": "---\nafterbirth: 05:00\n---\n- ewe 8.5 lb, tag 901\n"
    "- ram 7 lb, tag 902\n\n"
    "Both up and sucked. Navels dipped.\n",
    "events/2026-03-12 0430 feeding 902.md": "---\nlambs: 902\nwhat: ewe colostrum\n"
    "amount: 150 ml\ntemp: 100.4 F\n---\n",
    "events/2026-03-13 1000 lambing Juniper.md": "---\nhelp: hard\nafterbirth: 11:00\n---\n"
    "- ewe 9 lb, tag 903\n\nNavel dipped.\n",
    "events/2026-03-13 1005 treatment Juniper.md": "---\nsheep: Juniper\nmedicine: penicillin\ndose: 3 ml\n"
    "days: 3\n---\n",
    "events/2026-03-16 lambing Hazel.md": "---\nafterbirth: 09:00\n---\n- ewe 9 lb, tag 904\n",
    "events/2026-05-01 1700 count main.md": "---\nmob: main\nseen: W1, W2, W3, W4, W5, 901, 902, 903, 904\n---\n",
    "events/2026-05-10 0800 illness Hazel.md": "---\nproblem: lameness\nside: left hind\n---\n",
    "events/2026-05-15 purchase.md": "---\nfrom: a neighbor\napart until: 2026-06-05\n---\n- ewe tag B1, born 2023\n",
}
