"""What was given and how much, written badly, in the treatment or in the medicine's own note (V11, V12, W3 to W9)."""

from __future__ import annotations

from tests.truth.plain import Note, note_text
from tests.truth.ways import Make, Patch, Scene, family, using

UNKNOWN = "what was given is unknown: those treated only, until it is mended"
one = family("V11", of="one")


def medicine(shape: str) -> Make:
    """`medicine:` in other words."""

    def make(scene: Scene) -> Patch:
        name = scene.dose.medicine
        first, last = name.split()[0], name.split()[-1]
        text = shape.format(
            name=name,
            first=first,
            last=last,
            upper=name.upper(),
            slip=name[:3] + name[4:],
            swap=name[:1] + name[2] + name[1] + name[3:],
        )
        return scene.instead(scene.note.but(medicine=text))

    return make


for word, shape in {
    "capitals": "{upper}",
    "slip": "{slip}",
    "swap": "{swap}",
    "first_word": "{first}",
    "last_word": "{last}",
    "and_more": "{name} 5 ml",
    "brackets": "{name} (white bottle)",
    "and_penicillin": "{name} and procaine penicillin",
    "plus": "{name} + procaine penicillin",
    "comma": "{name}, procaine penicillin",
    "slash": "{name}/procaine penicillin",
    "other_then": "procaine penicillin, {name}",
    "nickname": "the white stuff",
    "drench": "drench",
    "same": "same",
    "as_before": "as last time",
    "question": "{name}?",
    "none": "none",
    "blank": "",
    "dash": "-",
    "number": "1",
    "quoted": '"{name}"',
    "curly": "“{name}”",
    "hyphens": "{first}-{last}",
    "link": "[{name}](../../medicines/x.md)",
    "two_blanks": "{first}  {last}",
    "or": "{name} or procaine penicillin",
    "new_bottle": "{name} new bottle",
    "strength": "{name} 10 mg/ml",
    "batch": "{name} batch 12",
    "full_stop": "{name}.",
    "star": "*{name}*",
    "list": "[{name}, procaine penicillin]",
    "then": "{name} then procaine penicillin",
}.items():
    one(f"medicine_{word}", f"`medicine: {shape}`", medicine(shape))
one("medicine_missing", "no `medicine:` line", lambda s: s.instead(s.note.but(medicine=None)))
one("medicine_key_slip", "`medcine:`", lambda s: s.instead(s.note.keyed("medicine", "medcine")))
one("medicine_key_drug", "`drug:`", lambda s: s.instead(s.note.keyed("medicine", "drug")))
one("medicine_key_with", "`with:`", lambda s: s.instead(s.note.keyed("medicine", "with")))
one("medicine_key_product", "`product:`, which is allowed", lambda s: s.instead(s.note.keyed("medicine", "product")))
one(
    "medicine_twice",
    "two `medicine:` lines",
    lambda s: s.raw(s.note.path, s.note.text.replace("medicine: ", "medicine: procaine penicillin\nmedicine: ")),
)
one(
    "medicine_in_body",
    "the medicine told in the body only",
    lambda s: s.instead(s.note.but(medicine=None).saying(f"{s.dose.medicine}.")),
)
one(
    "medicine_on_line",
    "the medicine on the dash line",
    lambda s: s.instead(s.bare.but(medicine=None).saying(f"- {s.tags[0]} {s.dose.ml} {s.dose.medicine}")),
)
one(
    "medicine_for_field",
    "`for: worms, moxidectin`, no `medicine:`",
    lambda s: s.instead(s.note.but(medicine=None, **{"for": f"worms, {s.dose.medicine}"})),
)
one(
    "medicine_in_dose",
    "`dose: 3 ml moxidectin oral`, no `medicine:`",
    lambda s: s.instead(s.note.but(medicine=None, dose=f"{s.dose.ml} {s.dose.medicine}")),
)

second = family("V11", of="one_long")
SECOND = {
    "and": "And {name}, 5 ml.",
    "also": "Also {name}.",
    "then": "Then {name} at noon.",
    "plus": "Plus {name}.",
    "with": "{name} with it.",
    "small": "and 5ml of {name} for the cough",
}
for word, sentence in SECOND.items():
    second(
        f"second_product_{word}",
        f"the head says penicillin; the longer one stands in the remark: {sentence!r}",
        using(
            sentence,
            lambda s, t: s.instead(s.note.but(medicine="procaine penicillin").saying(t.format(name=s.dose.medicine))),
        ),
    )
second(
    "second_product_line",
    "the head says penicillin; `- TAG 3 ml closantel oral` on a line",
    lambda s: s.instead(
        s.note.but(medicine="procaine penicillin").saying(f"- {s.tags[0]} {s.dose.ml} {s.dose.medicine}")
    ),
)
second(
    "second_product_dose",
    "the head says penicillin; `dose: 2 ml, closantel oral 5 ml`",
    lambda s: s.instead(s.note.but(medicine="procaine penicillin", dose=f"2 ml, {s.dose.medicine} 5 ml")),
)
second(
    "second_product_for",
    "the head says penicillin; `for: foot, and closantel oral for fluke`",
    lambda s: s.instead(
        s.note.but(medicine="procaine penicillin", **{"for": f"foot, and {s.dose.medicine} for fluke"})
    ),
)
second(
    "second_product_field",
    "the head says penicillin; `also: closantel oral`",
    lambda s: s.instead(s.note.but(medicine="procaine penicillin", also=s.dose.medicine)),
)
second(
    "second_product_batch",
    "the head says penicillin; `batch: PP1, closantel oral KS18`",
    lambda s: s.instead(s.note.but(medicine="procaine penicillin", batch=f"PP1, {s.dose.medicine} KS18")),
)

# -- how much

DOSES = {
    "no_unit": "3",
    "decimal_comma": "2,5 ml",
    "point_first": ".25 ml",
    "glued": "{n}ml",
    "capital": "{n} ML",
    "cc": "{n} cc",
    "mls": "{n} mls",
    "each": "{ml} each",
    "words": "three ml",
    "about": "about {ml}",
    "range": "2-3 ml",
    "two": "{ml}/5 ml",
    "list": "{ml}, 5 ml",
    "question": "{ml}?",
    "full": "a full syringe",
    "blank": "",
    "x": "{ml} x 2",
    "rate_in_dose": "1 ml per 5 kg",
    "units": "2 units",
    "mg": "200 mg",
    "teaspoon": "1 tsp",
    "half": "½ ml",
    "tilde": "~{ml}",
    "plus": "{ml} + {ml}",
    "litres": "0.003 l",
    "drops": "10 drops",
    "missing_word": "ml",
    "zero": "0 ml",
    "huge": "300 ml",
    "tablet": "1 tablet",
    "see_body": "see below",
    "under": "{ml} s/c",
}
for word, shape in DOSES.items():
    one(
        f"dose_{word}",
        f"`dose: {shape}`",
        using(shape, lambda s, t: s.instead(s.note.but(dose=t.format(ml=s.dose.ml, n=s.dose.ml.split()[0])))),
    )
one("dose_missing", "no `dose:` line", lambda s: s.instead(s.note.but(dose=None)))
one("dose_key_slip", "`doze:`", lambda s: s.instead(s.note.keyed("dose", "doze")))
one("dose_key_amount", "`amount:`", lambda s: s.instead(s.note.keyed("dose", "amount")))
one(
    "dose_twice", "two `dose:` lines", lambda s: s.raw(s.note.path, s.note.text.replace("dose: ", "dose: 1 ml\ndose: "))
)

# -- the head, badly punctuated

HEADS = {
    "no_colon_sheep": ("sheep: ", "sheep "),
    "no_colon_dose": ("dose: ", "dose "),
    "no_colon_medicine": ("medicine: ", "medicine "),
    "no_colon_given": ("given: ", "given "),
    "no_blank": (": ", ":"),
    "blank_before": (": ", " : "),
    "dash_sheep": ("sheep: ", "sheep - "),
    "semicolon_sheep": ("sheep: ", "sheep; "),
    "equals_sheep": ("sheep: ", "sheep = "),
    "capital_keys": ("sheep: ", "SHEEP: "),
    "key_slip": ("sheep: ", "sheeep: "),
    "key_shep": ("sheep: ", "shep: "),
    "bracket_sheep": ("sheep: ", "sheep: ["),
    "bracket_close": ("\ncount", "]\ncount"),
    "quote_open": ("sheep: ", 'sheep: "'),
    "quote_close": ("\ncount", '"\ncount'),
    "star_sheep": ("sheep: ", "sheep: *"),
    "percent": ("sheep: ", "sheep: %"),
    "backtick": ("sheep: ", "sheep: `"),
    "pipe": ("sheep: ", "sheep: | "),
    "greater": ("sheep: ", "sheep: > "),
    "tab_before_key": ("sheep: ", "\tsheep: "),
    "blank_before_key": ("sheep: ", " sheep: "),
    "colon_twice": ("sheep: ", "sheep:: "),
    "colon_in_value": ("sheep: ", "sheep: the ewe: "),
    "hash_behind": ("\ncount", " # lame one\ncount"),
    "count_big": ("count: 1", "count: 4"),
    "count_words": ("count: 1", "count: one"),
    "curly_keys": ("sheep: ", "“sheep”: "),
    "key_plural_sheeps": ("sheep: ", "sheeps: "),
    "key_ewe": ("sheep: ", "ewe: "),
    "key_ram": ("sheep: ", "ram: "),
    "key_tag": ("sheep: ", "tag: "),
    "key_who": ("sheep: ", "who: "),
    "key_for": ("sheep: ", "for: "),
    "key_animal": ("sheep: ", "animal: "),
    "key_lamb": ("sheep: ", "lamb: "),
    "key_name": ("sheep: ", "name: "),
    "key_onto": ("sheep: ", "onto: "),
}


def remarked(scene: Scene, marks: tuple[str, str]) -> Patch:
    """The note with other marks: all colons, or the first of anything else."""
    old_, new_ = marks
    return scene.raw(scene.note.path, scene.note.text.replace(old_, new_, -1 if old_ == ": " else 1))


punctuated = family("V13", of="one", price="a head that cannot be read: whom its whole lines name (V13)")
for word, (old, new) in HEADS.items():
    punctuated(
        f"head_mark_{word}",
        f"{old!r} written {new!r}",
        using((old, new), remarked),
    )

# -- the label, badly typed

PERIODS = {
    "no_unit": "{n}",
    "glued": "{n}d",
    "short": "{n} d",
    "day": "{n} day",
    "weeks": "{weeks} weeks",
    "range": "{n}-40 days",
    "two": "{n} days meat 7 days milk",
    "slash": "{n}/7",
    "plus": "{n} + 7 days",
    "about": "about {n} days",
    "question": "{n} days?",
    "blank": "",
    "dash": "-",
    "see_label": "see label",
    "nil_words": "nil?",
    "capital": "{n} DAYS",
    "decimal": "{n}.0 days",
    "comma": "{n},0 days",
    "months": "2 months",
    "unit_slip": "{n} dyas",
    "hash": "#{n} days",
    "after": "{n} days after last dose",
    "at_least": "at least {n} days",
    "unknown": "unknown",
    "tbc": "tbc",
    "yes": "yes",
    "not_for_meat": "not for meat",
    "brackets": "({n} days)",
    "hours_word": "{hours} hours",
    "colon": "{n}: days",
}
labels = family("W6", of="one_long", place="around", price="whoever had that medicine")
for word, shape in PERIODS.items():
    labels(
        f"label_meat_{word}",
        f"`meat withdrawal: {shape}`",
        using(shape, lambda s, t: relabel(s, meat_withdrawal=period(s, t))),
    )


def period(scene: Scene, shape: str) -> str:
    """A meat period in other words, never a shorter one."""
    count = int(scene.world.medicines[scene.dose.medicine].meat.text.split()[0])
    return shape.format(n=count, weeks=count // 7, hours=count * 24)


def label(scene: Scene) -> tuple[str, Note]:
    """The medicine's own note."""
    ident = f"medicine {scene.dose.medicine}"
    return ident, scene.plain.notes[ident]


def relabel(scene: Scene, **changes: str | None) -> Patch:
    """The label with other lines."""
    ident, note = label(scene)
    return scene.changed(ident, note.but(**changes))


def rewrite(old: str, new: str) -> Make:
    """The label with other characters."""
    return lambda scene: {label(scene)[1].path: label(scene)[1].text.replace(old, new)}


def another(file: str, **changes: str | None) -> Make:
    """A second note of the same medicine, with other lines."""

    def make(scene: Scene) -> Patch:
        note = label(scene)[1].but(**changes)
        return {f"medicines/{file.format(name=scene.dose.medicine)}.md": note.text}

    return make


labels("label_missing", "the medicine has no note", lambda s: {label(s)[1].path: None})
labels(
    "label_no_periods", "both periods are left out", lambda s: relabel(s, meat_withdrawal=None, milk_withdrawal=None)
)
labels(
    "label_key_slip",
    "`meat withdrawl:`",
    lambda s: s.changed(label(s)[0], label(s)[1].keyed("meat withdrawal", "meat withdrawl")),
)
labels("label_key_short", "`meat:`", lambda s: s.changed(label(s)[0], label(s)[1].keyed("meat withdrawal", "meat")))
labels(
    "label_key_only_withdrawal",
    "`withdrawal:`",
    lambda s: s.changed(label(s)[0], label(s)[1].keyed("meat withdrawal", "withdrawal")),
)
labels(
    "label_in_body",
    "the periods stand in the body",
    lambda s: s.changed(
        label(s)[0],
        label(s)[1].but(meat_withdrawal=None, milk_withdrawal=None).saying(f"Meat {period(s, '{n} days')}."),
    ),
)
labels("label_bracket", "a stray bracket", rewrite("meat withdrawal: ", "meat withdrawal: ["))
labels("label_no_colon", "no colon at the period", rewrite("meat withdrawal: ", "meat withdrawal "))
labels("label_fence", "its head has no end", lambda s: {label(s)[1].path: label(s)[1].text.removesuffix("---\n")})
labels("label_kind_slip", "`note: medecine`", lambda s: relabel(s, note="medecine"))
labels("label_kind_gone", "no `note:`", lambda s: relabel(s, note=None))
labels(
    "label_name_slip", "its name has a slip, the file name has not", lambda s: relabel(s, name=s.dose.medicine + "x")
)
labels("label_name_gone", "no `name:`; the file name has it", lambda s: relabel(s, name=None))
labels(
    "label_rtf",
    "saved as .rtf",
    lambda s: {label(s)[1].path: None, label(s)[1].path.replace(".md", ".rtf"): label(s)[1].text},
)
labels(
    "label_latin",
    "a byte that is not UTF-8",
    lambda s: {label(s)[1].path: label(s)[1].text.replace("source: label", "source: étiquette").encode("latin-1")},
)
labels(
    "label_twice_line",
    "two meat periods in one note, the shorter last",
    lambda s: {
        label(s)[1].path: label(s)[1].text.replace("milk withdrawal", "meat withdrawal: 3 days\nmilk withdrawal")
    },
)
labels(
    "label_second_shorter",
    "a second note of it with a shorter period",
    another("{name} new", meat_withdrawal="3 days", milk_withdrawal="1 days"),
)
labels(
    "label_second_none",
    "a second note of it with `none`",
    another("{name} new", meat_withdrawal="none", milk_withdrawal="none"),
)
labels(
    "label_second_blank",
    "a second note of it without periods",
    another("{name} new", meat_withdrawal=None, milk_withdrawal=None),
)
labels(
    "label_second_capital",
    "a second note under its name in capitals, shorter",
    lambda s: another("{name} 2", name=s.dose.medicine.upper(), meat_withdrawal="3 days", milk_withdrawal="1 days")(s),
)
labels(
    "label_second_blanks",
    "a second note under its name with doubled blanks, shorter",
    lambda s: another(
        "{name} 3", name=s.dose.medicine.replace(" ", "  "), meat_withdrawal="3 days", milk_withdrawal="1 days"
    )(s),
)
labels(
    "label_copy_shorter",
    "a `(1)` copy of its note, with a shorter period",
    another("{name} (1)", meat_withdrawal="3 days", milk_withdrawal="1 days"),
)
labels(
    "label_conflict_shorter",
    "a phone's conflict copy, with a shorter period",
    another("{name} (conflicted copy)", meat_withdrawal="3 days"),
)
labels(
    "label_other_folder",
    "a second note in another folder, shorter",
    lambda s: {
        f"cupboard/{s.dose.medicine}.md": label(s)[1].but(meat_withdrawal="3 days", milk_withdrawal="1 days").text
    },
)
labels(
    "label_second_broken",
    "a second note of it that cannot be read",
    lambda s: {
        f"medicines/{s.dose.medicine} new.md": label(s)[1].text.replace("meat withdrawal: ", "meat withdrawal: [")
    },
)
labels(
    "label_swapped",
    "a second note of it with the two periods swapped",
    lambda s: another("{name} new", meat_withdrawal="7 days", milk_withdrawal=label(s)[1].value("meat withdrawal"))(s),
)

own = family("W9", of="one_long")
beyond = family("beyond W9", of="one_long")  # the rule does not say that a period needs its vet
beyond(
    "own_period_no_vet",
    "`meat withdrawal: 3 days` typed into the treatment, no vet",
    lambda s: s.instead(s.note.but(meat_withdrawal="3 days", milk_withdrawal="1 days")),
)
beyond(
    "own_period_vet_dash",
    "the same, `vet: -`",
    lambda s: s.instead(s.note.but(meat_withdrawal="3 days", milk_withdrawal="1 days", vet="-")),
)
beyond(
    "own_period_none",
    "`meat withdrawal: none` typed into the treatment, no vet",
    lambda s: s.instead(s.note.but(meat_withdrawal="none", milk_withdrawal="none")),
)
own(
    "off_label_no_period",
    "`off label: yes`, a vet, no period of his",
    lambda s: s.instead(s.note.but(off_label="yes", vet="Marram Vets")),
)
own("off_label_words", "`off label: a bit`", lambda s: s.instead(s.note.but(off_label="a bit")))
own(
    "own_period_unreadable",
    "a vet and `meat withdrawal: short`",
    lambda s: s.instead(s.note.but(vet="Marram Vets", meat_withdrawal="short")),
)

weights = family("V12", of="heavy_and_light")
weights("overdose_head", "15 ml each to a lamb of 12 kg and a ewe of 80, told as a list", lambda s: s.instead(s.note))
weights(
    "overdose_lines",
    "the same, told on lines",
    lambda s: s.instead(s.bare.saying("".join(f"- {tag} {s.dose.ml}\n" for tag in s.tags))),
)
weights(
    "overdose_weights",
    "the same, with the weights on the lines",
    lambda s: s.instead(s.bare.saying(f"- {s.tags[0]} 80 kg\n- {s.tags[1]} 12 kg\n")),
)
weights(
    "overdose_weights_and_doses",
    "the same, with weights and doses on the lines",
    lambda s: s.instead(s.bare.but(dose=None).saying(f"- {s.tags[0]} 80 kg 15 ml\n- {s.tags[1]} 12 kg 15 ml\n")),
)
weights("overdose_sure", "the same, with `sure: yes`", lambda s: s.instead(s.note.but(sure="yes")))
weights(
    "overdose_table",
    "the same, in a table",
    lambda s: s.instead(
        s.bare.saying(
            f"| sheep | kg | dose |\n|---|---|---|\n| {s.tags[0]} | 80 | 15 ml |\n| {s.tags[1]} | 12 | 15 ml |"
        )
    ),
)
rated = family("V12", of="overdosed")
rated(
    "rate_over_label",
    "`rate:` of twice and more the label's, with weights on lines",
    lambda s: s.instead(
        s.bare.but(dose=None, rate="3 ml per 5 kg").saying("".join(f"- {tag} 60 kg\n" for tag in s.tags))
    ),
)
rated(
    "dose_over_label",
    "a dose of twice and more the label's, with weights on lines",
    lambda s: s.instead(s.bare.but(dose="36 ml").saying("".join(f"- {tag} 60 kg\n" for tag in s.tags))),
)
rated(
    "dose_over_on_line",
    "the dose on the line alone is over the label's",
    lambda s: s.instead(s.bare.but(dose="12 ml").saying("".join(f"- {tag} 60 kg 36 ml\n" for tag in s.tags))),
)


def unchanged(_scene: Scene) -> Patch:
    """The plain writing, which the rules ask to be read."""
    return {}


sellers = family("V11", of="seller")
sellers("seller_field", "`treated: MEDICINE, DAY` in the purchase", unchanged)
sellers(
    "seller_prose",
    "`Dosed with … on …` in the purchase's remark",
    lambda s: seller(s, "Seller dosed her with {med} on {day}."),
)
sellers(
    "seller_prose_no_day",
    "`Dosed by the seller with …` without a day",
    lambda s: seller(s, "Dosed by the seller with {med}."),
)
sellers("seller_line_words", "on her line: `…, dosed {med} {day}`", lambda s: seller(s, "", ", dosed {med} {day}"))
sellers(
    "seller_treatment_note",
    "a treatment note dated before she came",
    lambda s: {
        **seller(s, ""),
        f"events/2026/{s.dose.at:%Y-%m-%d} treatment N501.md": note_text(
            {"note": "treatment", "sheep": "N501", "medicine": s.dose.medicine, "dose": "10 ml"}
        ),
    },
)


def seller(scene: Scene, sentence: str, on_line: str = "") -> Patch:
    """The purchase, with the seller's dose told elsewhere."""
    ident = next(item.ident for item in scene.world.happenings if item.ident.startswith("purchase"))
    note = scene.plain.notes[ident]
    words = {"med": scene.dose.medicine, "day": f"{scene.dose.at.day} {scene.dose.at:%b}"}
    body = note.body.rstrip("\n") + on_line.format(**words) + "\n"
    told = f"\n{sentence.format(**words)}\n" if sentence else ""
    return {note.path: note.but(treated=None).saying(body + told).text}
