"""A dose told elsewhere: in the words, fields and left-over words of notes of every other kind (V8)."""

from __future__ import annotations

from tests.truth.plain import Note, note_text
from tests.truth.ways import Make, Patch, Scene, family, using, way
from tests.truth.world import Weighed

ASK = "an ask that holds the sheep, mobs and classes in the sentence, else whom the note is about (V8)"


def note(kind: str, head: str, body: str, word: str = "") -> Make:
    """The dose told in a note of another kind; its words may speak of sheep, medicine, amount and day."""

    def make(scene: Scene) -> Patch:
        words = spoken(scene)
        lines = tuple((row.split(": ", 1)[0], row.split(": ", 1)[1].format(**words)) for row in head.splitlines())
        stamp = f"{scene.dose.at:%Y-%m-%d}"
        path = f"events/{scene.dose.at:%Y}/{stamp} {kind}{' ' + word.format(**words) if word else ''}.md"
        return scene.instead(Note(path, (("note", kind), *lines), body.format(**words) + "\n"))

    return make


def spoken(scene: Scene) -> dict[str, str]:
    """What a note can speak of."""
    dose = scene.dose
    short = dose.medicine.split()[-1 if "penicillin" in dose.medicine else 0]
    return {
        "who": scene.names[0],
        "tag": scene.tags[0],
        "med": dose.medicine,
        "short": short,
        "ml": dose.ml,
        "n": dose.ml.split()[0],
        "day": f"{dose.at.day} {dose.at:%b}",
        "all": ", ".join(scene.names),
        "two": scene.names[-1],
    }


one = family("V8", of="one_named", price=ASK)
beyond = family("beyond V8", of="one_named", price=ASK)  # the rules are silent on these
SENTENCES = {
    "gave": "Gave {who} {ml} of {med}.",
    "dosed": "Dosed {who} this morning.",
    "drenched": "{who} drenched.",
    "wormed": "Wormed {who} at last.",
    "injected": "Injected {who} in the neck.",
    "jabbed": "{who} jabbed.",
    "treated": "Treated {who} for foot.",
    "vaccinated": "{who} vaccinated.",
    "product": "{who} had the {med}.",
    "short_product": "{who} had {short}.",
    "amount": "{who} {ml}.",
    "cc": "{who} {n} cc under the skin.",
    "tablets": "{who} two tablets by mouth.",
    "glued": "{who} {n}ml.",
    "small": "gave {who} {ml} of {med}, she fought.",
    "passive": "{ml} {med} given to {who}.",
    "dashed": "- {who} {ml} {med}",
    "list": "1. {who} {ml}\n2. swept the pens",
    "after": "Fed them. Then {who} her jab, {ml}. Then the gate.",
    "long": "Rain from five. Mended the trough and, since she was in the pen anyway, dosed {who}. Home by eight.",
    "tag": "{tag} dosed with {short}.",
    "capitals": "{who} DOSED",
    "heading": "# {who} dosed\n\nQuiet after.",
    "table": "| who | what |\n|---|---|\n| {who} | {ml} {med} |",
    "quoted": "> {who} {ml} {med}",
    "brackets": "{who} (dosed) is better.",
    "negative_then": "Not sold. {who} dosed instead.",
    "noun": "{who}: one dose of {short}.",
}
for word, sentence in SENTENCES.items():
    one(f"remark_{word}", f"a remark: {sentence!r}", note("remark", "place: Long Park", sentence))
for word in ("gave", "dosed", "product", "amount", "wormed", "tag"):
    one(
        f"remark_headless_{word}",
        f"a remark without a head: {SENTENCES[word]!r}",
        using(
            SENTENCES[word],
            lambda s, t: s.raw(f"events/2026/{s.dose.at:%Y-%m-%d} remark.md", t.format(**spoken(s)) + "\n"),
        ),
    )

HERS = {
    "dosed": "Dosed.",
    "amount": "{ml} {med}.",
    "gave": "Gave her {ml}.",
    "product": "Had {short}.",
    "wormed": "Wormed and let out.",
    "jab": "Jabbed her.",
    "cc": "{n} cc in the neck.",
    "treated": "Treated.",
    "penicillin": "Antibiotic, {ml}.",
    "pour": "Poured on {ml}.",
}
for word, sentence in HERS.items():
    one(f"remark_of_her_{word}", f"a remark about her: {sentence!r}", note("remark", "sheep: {who}", sentence))
    one(
        f"illness_{word}",
        f"an illness note about her: {sentence!r}",
        note("illness", "sheep: {who}\nproblem: lameness", sentence),
    )
    one(
        f"remark_in_name_{word}",
        f"a remark whose file name has her name: {sentence!r}",
        note("remark", "place: shed", sentence, "{who}"),
    )

OTHERS = {
    "check_line": ("check", "for: pre-joining", "- {who} bcs 2.5, dosed {ml}"),
    "check_line_jabbed": ("check", "for: worms", "- {who} eyelid 4, jabbed"),
    "check_prose": ("check", "for: worms", "- {who} eyelid 4\n\nDrenched her with {med}."),
    "weighing_line": ("weighing", "stage: 8 weeks", "{tag} 62 dosed {ml}"),
    "weighing_line_product": ("weighing", "stage: 8 weeks", "{tag} 62 {short}"),
    "weighing_line_dose_column": (
        "weighing",
        "stage: 8 weeks",
        "| sheep | kg | dose |\n|---|---|---|\n| {tag} | 62 | {ml} |",
    ),
    "weighing_prose": ("weighing", "stage: 8 weeks", "{tag} 62\n\nDosed as they came off the scale with {med}."),
    "job_did": ("job", "did: dosed with {med}\nsheep: {who}", ""),
    "job_did_short": ("job", "did: drenched\nsheep: {who}", ""),
    "job_did_line": ("job", "did: feet", "- {who} near hind, {ml} {med}"),
    "job_prose": ("job", "did: feet\nsheep: {who}", "And {ml} of {med}."),
    "move_prose": ("move", "mob: low\nto: Long Park", "Dosed {who} on the way."),
    "move_of_her": ("move", "sheep: {who}\nto: shed", "{ml} {med} when she was in."),
    "task_done": ("task", "what: dose {who}\ndone: yes", ""),
    "task_done_body": ("task", "what: {who}\nsheep: {who}", "Done, {ml} {med}."),
    "task_what": ("task", "what: {who} dosed with {med}", ""),
    "feeding": ("feeding", "lambs: {who}\namount: 150 ml\nwhat: milk replacer", "And {ml} of {med}."),
    "count_prose": ("count", "mob: hill\ncount: 4", "{who} dosed, {ml} {med}."),
    "cull_prose": ("cull", "sheep: {who}\nwhy: feet", "Gave her {ml} {med} to get her sound for the sale."),
    "draft_prose": ("draft", "sheep: {who}\ninto: low", "Drenched her first, {ml}."),
    "money_prose": ("money", "amount: 24.50\nfor: medicine", "The rest of the bottle, {ml}, went into {who}."),
    "stock_used": ("stock", "medicine: {med}\nused: {ml}", "{who}."),
    "stock_used_words": ("stock", "medicine: {med}\nused: {ml}", "Used on {who}, dosed her at noon."),
    "egg_count_prose": ("egg count", "factor: 50", "- {tag} 12 eggs\n\nDosed her with {ml} {med} at once."),
    "illness_outcome": ("illness", "sheep: {who}\nproblem: lameness\noutcome: jabbed with {med}", ""),
    "illness_signs": ("illness", "sheep: {who}\nproblem: lameness\nsigns: lame, gave {ml} {med}", ""),
    "illness_problem": ("illness", "sheep: {who}\nproblem: foot, {ml} {med}", ""),
    "illness_medicine_field": ("illness", "sheep: {who}\nproblem: lameness\nmedicine: {med}\ndose: {ml}", ""),
    "illness_treated_field": ("illness", "sheep: {who}\nproblem: lameness\ntreated: {med} {ml}", ""),
    "joining_prose": ("joining", "rams: Harrow\newes: {who}", "Wormed her before she went in, {ml}."),
    "scan_line": ("scan", "by: Fergus", "- {tag} twins, {ml} {med}"),
    "tagging_prose": ("tagging", "by: Fergus", "- {tag} eid 826070999900777\n\nDosed as well, {ml} {med}."),
    "labour_prose": ("labour", "ewe: {who}\nseen: 10:00", "Calcium and {ml} of {med}."),
    "remark_site": ("remark", "sheep: {who}\nplace: shed, jabbed {ml} {med}", "Quiet."),
    "remark_by": ("remark", "sheep: {who}\nby: Una, who dosed her", "Quiet."),
    "page": ("page", "title: June", "{day}: dosed {who} with {med}."),
    "plan": ("plan", "what: worm {who}\nevery year: 2 Jun\nfor: ewes", "Done {day}, {ml} {med}."),
}
for word, (kind, head, body) in OTHERS.items():
    (beyond if word == "stock_used" else one)(
        f"in_{word}", f"told in a {kind} note: {(head + ' / ' + body)!r}", note(kind, head, body)
    )

for word, sentence in {
    "worms": "Wormed {day} with {med}.",
    "amount": "{day} {ml} {med}.",
    "dated": "{day}: dosed.",
    "jab": "Jabbed on {day} for her foot.",
}.items():
    one(
        f"own_note_{word}",
        f"told in her own sheep note: {sentence!r}",
        using(
            sentence,
            lambda s, t: {
                **dict.fromkeys(s.paths),
                s.plain.notes[f"sheep {s.keys[0]}"].path: s.plain.notes[f"sheep {s.keys[0]}"]
                .saying(t.format(**spoken(s)))
                .text,
            },
        ),
    )
    one(
        f"medicine_note_{word}",
        f"told in the medicine's own note: '{sentence} {{who}}'",
        using(
            sentence,
            lambda s, t: {
                **dict.fromkeys(s.paths),
                s.plain.notes[f"medicine {s.dose.medicine}"].path: s.plain.notes[f"medicine {s.dose.medicine}"]
                .saying(f"{s.names[0]}. {t.format(**spoken(s))}")
                .text,
            },
        ),
    )
one(
    "own_note_marks",
    "told in `marks:` of her own note",
    lambda s: {
        **dict.fromkeys(s.paths),
        **s.changed(
            f"sheep {s.keys[0]}",
            s.plain.notes[f"sheep {s.keys[0]}"].but(
                marks=f"torn ear, dosed {s.dose.at.day} {s.dose.at:%b} {s.dose.ml} {s.dose.medicine}"
            ),
        ),
    },
)
one(
    "mob_note",
    "told in the mob's own note",
    lambda s: {
        **dict.fromkeys(s.paths),
        s.plain.notes["mob hill"].path: s.plain.notes["mob hill"]
        .saying(f"{s.names[0]} dosed {s.dose.at.day} {s.dose.at:%b}, {s.dose.ml}.")
        .text,
    },
)
beyond(
    "settings_remark",
    "told in a remark in flock.yaml",
    lambda s: {
        **dict.fromkeys(s.paths),
        "flock.yaml": f"{s.settings}# {s.names[0]} dosed {s.dose.ml} {s.dose.medicine}\n",
    },
)
one(
    "readme",
    "told in a README",
    lambda s: {
        **dict.fromkeys(s.paths),
        "README.md": f"{s.dose.at:%d %b %Y}: dosed {s.names[0]}, {s.dose.ml} {s.dose.medicine}.\n",
    },
)

pair = family("V8", of="pair_named", price=ASK)
for word, sentence in {
    "and": "Dosed Bramble and Teasel, {ml} of {med}.",
    "comma": "Bramble, Teasel: {ml} {med}.",
    "then": "Dosed Bramble. Then Teasel, the same.",
    "both": "Both Bramble and Teasel wormed.",
    "two_sentences": "Bramble {ml}. Teasel {ml}.",
    "ampersand": "Jabbed Bramble & Teasel.",
    "lines": "Bramble {ml}\nTeasel {ml}",
}.items():
    pair(f"remark_two_{word}", f"a remark: {sentence!r}", note("remark", "place: shed", sentence))
pair(
    "remark_of_one_about_two",
    "a remark about Bramble: `Dosed her and Teasel.`",
    note("remark", "sheep: Bramble", "Dosed her and Teasel, {ml} {med}."),
)
pair(
    "illness_of_two",
    "an illness note of both: `Jabbed, {ml}.`",
    note("illness", "sheep: Bramble, Teasel\nproblem: lameness", "Jabbed, {ml} {med}."),
)
pair(
    "treatment_of_one_remark_of_other",
    "a treatment of Bramble, and a remark of Teasel: `Same for her.`",
    lambda s: {
        **s.instead(s.bare.but(sheep="Bramble")),
        f"events/2026/{s.dose.at:%Y-%m-%d} remark Teasel.md": note_text(
            {"note": "remark", "sheep": "Teasel"}, f"Dosed her as well, {s.dose.ml}.\n"
        ),
    },
)
pair(
    "treatment_of_one_illness_of_other",
    "a treatment of Bramble, and an illness of Teasel that tells of {ml}",
    lambda s: {
        **s.instead(s.bare.but(sheep="Bramble")),
        f"events/2026/{s.dose.at:%Y-%m-%d} illness Teasel.md": note_text(
            {"note": "illness", "sheep": "Teasel", "problem": "lameness"}, f"{s.dose.ml} of {s.dose.medicine}.\n"
        ),
    },
)

mobs = family("V8", of="mob", price=ASK)
for word, sentence in {
    "hill": "Dosed the hill.",
    "hill_product": "Hill lot had {med}.",
    "hill_amount": "hill {ml} each",
    "gathered": "Gathered the hill and drenched the lot, {ml} each.",
    "all": "All of hill wormed today.",
    "ewes_on": "Ewes on the hill done with {short}.",
}.items():
    mobs(f"remark_mob_{word}", f"a remark: {sentence!r}", note("remark", "by: Una", sentence))
mobs(
    "move_of_mob",
    "a move of the hill: `Drenched on the way through, {ml}`",
    note("move", "mob: hill\nto: Long Park", "Drenched on the way through, {ml}."),
)
mobs("job_of_mob", "a job on the hill: `did: dosing`", note("job", "mob: hill\ndid: dosing with {med}", ""))
mobs(
    "count_of_mob",
    "a count of the hill: `Dosed as they went through`",
    note("count", "mob: hill\ncount: 5", "Dosed as they went through the race."),
)
mobs(
    "weighing_of_mob",
    "a weighing that names nobody else: `all had {med}`",
    note("weighing", "mob: hill", "{tag} 60\n\nAll of the hill had {med}."),
)

classes = family("V8", of="ewes", price=ASK)
for word, sentence in {
    "ewes": "Dosed the ewes.",
    "all_ewes": "All ewes had {med}, {ml}.",
    "class_only": "ewes {ml}",
    "vaccinated": "Ewes vaccinated.",
}.items():
    classes(f"remark_class_{word}", f"a remark: {sentence!r}", note("remark", "by: Una", sentence))
lambs = family("V8", of="all_lambs", price=ASK)
for word, sentence in {
    "lambs": "Lambs dosed.",
    "had": "The lambs had {med}.",
    "amount": "{ml} to every lamb.",
    "wean": "Weaned, and drenched the lambs.",
}.items():
    lambs(f"remark_lambs_{word}", f"a remark: {sentence!r}", note("remark", "by: Una", sentence))
lambs(
    "weaning_prose",
    "a weaning of the lambs: `Drenched as they came off.`",
    note("weaning", "mob: lambs", "Drenched as they came off, {ml} each."),
)
foot = family("V8", of="ewe_and_lamb", price=ASK)
foot(
    "lamb_told_in_prose",
    "a treatment of the ewe; `her lamb dosed too, 1 ml` in a remark",
    lambda s: {
        **s.instead(s.bare.but(sheep=s.tags[0])),
        f"events/2026/{s.dose.at:%Y-%m-%d} remark.md": note_text(
            {"note": "remark", "sheep": s.tags[0]}, "Her lamb dosed too, 1 ml.\n"
        ),
    },
)
foot(
    "both_told_in_prose", "a remark: `Ewe and lamb dosed.`", note("remark", "sheep: {tag}", "Ewe and lamb dosed, {ml}.")
)


@way("V8", of="heavy_and_light", told="the dose told on the lines of a weighing", price=ASK)
def weighing_lines(scene: Scene) -> Patch:
    ident = scene.last(Weighed).ident
    note_ = scene.plain.notes[ident]
    body = "".join(f"{row} {scene.dose.ml} {scene.dose.medicine}\n" for row in note_.body.splitlines())
    filed = note_.saying(body).filed(f"{scene.dose.at:%Y-%m-%d} weighing.md")
    return {**dict.fromkeys(scene.paths), note_.path: None, filed.path: filed.text}
