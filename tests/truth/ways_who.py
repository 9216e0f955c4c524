"""One sheep named otherwise: by other tags, names, numbers, with slips, and the notes that say who she is (V3, V6)."""

from __future__ import annotations

from collections.abc import Callable

from tests.truth.plain import note_text
from tests.truth.ways import Make, Patch, Scene, family, using, way
from tests.truth.world import Born, Bought, Left, Tagged, Unfit

NOBODY = "a word that names nobody: the whole flock of those days (V3)"
BOTH = "two records that could be one animal share their holds (V6)"


def called(word: str) -> Make:
    """`sheep:` this word, which may speak of her tag, her name and her numbers."""

    def make(scene: Scene) -> Patch:
        animal = scene.world.animals[scene.keys[0]]
        words = {"tag": scene.tags[0], "name": animal.name, "eid": animal.eid, "official": animal.official}
        return scene.instead(scene.bare.but(sheep=word.format(**words)))

    return make


def on_line(word: str) -> Make:
    """The same on a dash line."""
    return lambda scene: scene.instead(scene.bare.saying(f"- {word} {scene.dose.ml}"))


named = family("V6", of="one_named")
named("name_alone", "`sheep: Bramble`", called("{name}"))
named("name_small", "the name in small letters", lambda s: s.instead(s.bare.but(sheep=s.names[0].lower())))
named("name_capitals", "the name in capitals", lambda s: s.instead(s.bare.but(sheep=s.names[0].upper())))
named("name_quoted", "the name in quotes", called('"{name}"'))
named("name_curly_quoted", "the name in curly quotes", called("“{name}”"))
named("name_single_quoted", "the name in single curly quotes", called("‘{name}’"))
named("name_full_stop", "the name with a full stop", called("{name}."))
named("name_old", "`sheep: old Bramble`", called("old {name}"))
named("name_the_ewe", "`sheep: the ewe Bramble`", called("the ewe {name}"))
named("name_ewe", "`sheep: ewe Bramble`", called("ewe {name}"))
named("name_question", "`sheep: Bramble?`", called("{name}?"))
named("name_star", "`sheep: Bramble*`", called("{name}*"))
named("name_and_tag", "`sheep: Bramble C214`", called("{name} {tag}"))
named("name_comma_tag", "`sheep: Bramble, C214`, one ewe", called("{name}, {tag}"))
named("name_slash_tag", "`sheep: Bramble/C214`", called("{name}/{tag}"))
named("name_equals_tag", "`sheep: Bramble = C214`", called("{name} = {tag}"))
named("name_dash_tag", "`sheep: C214 - Bramble`", called("{tag} - {name}"))
named("name_bold", "`sheep: **Bramble**`", called("**{name}**"))
named("name_hash", "`sheep: #C214`, which loses it", called("#{tag}"))
named("name_at", "`sheep: @Bramble`", called("@{name}"))
named("name_link", "`sheep: [[Bramble]]`", called("[[{name}]]"))
named("name_with_reason", "`sheep: Bramble (foot)`", called("{name} (foot)"))
named("name_with_words", "`sheep: Bramble, near hind again`", called("{name}, near hind again"))
named("name_plural", "`sheep: Brambles`", called("{name}s"))
named(
    "name_line_after_words",
    "`- gave 3 ml to Bramble`",
    lambda s: s.instead(s.bare.saying(f"- gave {s.dose.ml} to {s.names[0]}")),
)
named(
    "name_in_prose_only",
    "nobody in the head, `Bramble had a dose.`",
    lambda s: s.instead(s.bare.saying(f"{s.names[0]} had a dose.")),
)
named("name_eid", "her electronic number", called("{eid}"))
named(
    "name_eid_spaced",
    "her electronic number in groups",
    lambda s: s.instead(s.bare.but(sheep=f"826 0709 99{s.world.animals[s.keys[0]].eid[9:]}")),
)
named(
    "name_eid_end",
    "the last five figures of her electronic number",
    lambda s: s.instead(s.bare.but(sheep=s.world.animals[s.keys[0]].eid[-5:])),
)
named("name_official", "her official number", called("{official}"))
named(
    "name_official_glued",
    "her official number without blanks",
    lambda s: s.instead(s.bare.but(sheep=s.world.animals[s.keys[0]].official.replace(" ", ""))),
)
named(
    "name_official_end",
    "the end of her official number",
    lambda s: s.instead(s.bare.but(sheep=s.world.animals[s.keys[0]].official.split()[-1])),
)

slips = family("V3", of="one_named", price="whoever is within a slip, or " + NOBODY)
SLIPS: dict[str, Callable[[str], str]] = {
    "swap": lambda name: name[:2] + name[3] + name[2] + name[4:],
    "drop": lambda name: name[:3] + name[4:],
    "double": lambda name: name[:3] + name[2:],
    "wrong": lambda name: name[:-2] + "a" + name[-1],
    "cut": lambda name: name[:4],
    "first_letter": lambda name: name[0] + ".",
    "two_slips": lambda name: "P" + name[1:-1],
    "accent": lambda name: name.replace("a", "à"),
    "digit": lambda name: name.replace("e", "3"),
    "blank_inside": lambda name: name[:3] + " " + name[3:],
    "nickname": lambda name: name[:3] + "ie",
    "foreign_letters": lambda name: name.replace("e", "е"),
    "soft_hyphen": lambda name: name[:3] + "\u00ad" + name[3:],
    "zero_width": lambda name: name[:3] + "\u200b" + name[3:],
}
for word, slip in SLIPS.items():
    slips(
        f"name_slip_{word}",
        f"her name with a slip ({word})",
        using(slip, lambda s, f: s.instead(s.bare.but(sheep=f(s.names[0])))),
    )
    slips(
        f"line_slip_{word}",
        f"the same slip ({word}) on a dash line",
        using(slip, lambda s, f: s.instead(s.bare.saying(f"- {f(s.names[0])} {s.dose.ml}"))),
    )

tags = family("V3", of="one_unnamed", price=NOBODY)
TAGS = {
    "small": "{tag_small}",
    "blank": "C {figures}",
    "hyphen": "C-{figures}",
    "figures": "{figures}",
    "full_stop": "C.{figures}",
    "letter_o": "C23O",
    "zero_more": "C0{figures}",
    "one_more": "{tag}0",
    "no": "no {tag}",
    "number": "number {figures}",
    "colon": "tag: {tag}",
    "ewe_figures": "ewe {figures}",
    "the": "the {figures} ewe",
    "swapped": "2C3{last}",
    "cyrillic": "С{figures}",
    "underscore": "C_{figures}",
    "slash": "C/{figures}",
    "hash_glued": "C#{figures}",
    "x": "{tag}x",
    "question": "{tag}?",
    "unsure": "{tag} or thereabouts",
    "two": "C230 or C231",
    "quotes": "'{tag}'",
    "brackets": "({tag})",
    "square": "[{tag}]",
    "wide": "Ｃ{figures}",
    "year": "{tag}/2026",
    "country": "UK {tag}",
}


def tag_words(scene: Scene) -> dict[str, str]:
    """Her tag and its parts."""
    tag = scene.tags[0]
    return {"tag": tag, "tag_small": tag.lower(), "figures": tag[1:], "last": tag[-1]}


for word, shape in TAGS.items():
    tags(
        f"tag_{word}",
        f"her tag as `{shape}`",
        using(shape, lambda s, w: s.instead(s.bare.but(sheep=w.format(**tag_words(s))))),
    )
for word in ("small", "blank", "hyphen", "figures", "letter_o", "no"):
    shape = TAGS[word]
    tags(
        f"line_tag_{word}",
        f"`- {shape} 3 ml`",
        using(shape, lambda s, w: s.instead(s.bare.saying(f"- {w.format(**tag_words(s))} {s.dose.ml}"))),
    )
    tags(
        f"file_tag_{word}",
        f"`{shape}` in the file name only",
        using(
            shape,
            lambda s, w: s.instead(
                s.bare.filed(f"{s.dose.at:%Y-%m-%d} treatment {w.format(**tag_words(s)).replace('/', '-')}.md")
            ),
        ),
    )

# -- words for a sheep that only a person knows

words_only = family("V3", of="one", price=NOBODY)
for word, text in {
    "her": "her",
    "the_lame_one": "the lame one",
    "yesterdays": "same as yesterday",
    "old_girl": "the old girl",
    "that_one": "that one again",
    "blank": "",
    "dash": "-",
    "question": "?",
    "several": "various",
    "see_below": "see below",
    "see_book": "see red book",
    "as_before": "as before",
    "none": "none",
    "na": "n/a",
    "one": "1",
    "two_of": "2 of them",
    "tilde": "~",
    "null": "null",
    "x": "x",
}.items():
    words_only(f"who_{word}", f"`sheep: {text}`", using(text, lambda s, w: s.instead(s.bare.but(sheep=w))))
words_only("who_missing", "no `sheep:` at all", lambda s: s.instead(s.bare))
words_only("who_on_prose_line", "`- her again 3 ml`", lambda s: s.instead(s.bare.saying(f"- her again {s.dose.ml}")))

# -- lambs

wee = family("V6", of="one_untagged_lamb", price="lambs of the same mother that the words fit")


def by_dam(shape: str) -> Make:
    """A lamb by its mother."""

    def make(scene: Scene) -> Patch:
        lamb = scene.world.animals[scene.keys[0]]
        words = {
            "dam": scene.call(lamb.dam),
            "damtag": scene.world.tag(lamb.dam),
            "sex": lamb.sex,
            "year": lamb.born.year,
        }
        return scene.instead(scene.bare.but(sheep=shape.format(no=lamb.paint, **words)))

    return make


for word, text in {
    "full": "{dam}'s {sex} lamb {year}",
    "no_year": "{dam}'s {sex} lamb",
    "no_sex": "{dam}'s lamb",
    "possessive": "{dam}'s",
    "curly": "{dam}’s {sex} lamb",
    "no_apostrophe": "{dam}s {sex} lamb",
    "dam_tag": "{damtag}'s {sex} lamb",
    "dam_tag_lamb": "{damtag} lamb",
    "lamb_of": "lamb of {dam}",
    "out_of": "{sex} lamb out of {dam}",
    "id": "{damtag} {sex} lamb {year}",
    "paint": "no {no}",
    "paint_year": "no {no}/{year}",
    "paint_hash": "#{no}",
    "paint_word": "paint {no}",
    "number": "number {no}",
    "lamb_number": "lamb {no}",
    "figure": "{no}",
    "blue": "blue {no}",
    "twins": "{dam}'s twins",
    "lambs": "{dam}'s lambs",
    "small": "the wee {sex} lamb of {dam}",
    "dam_slash": "{dam}/{sex} lamb",
    "ewe_lamb": "{sex} lamb",
    "the_lamb": "the lamb",
    "tup_lamb": "{dam}'s tup lamb or ewe lamb",
    "stroke": "{dam} lamb",
}.items():
    wee(f"lamb_{word}", f"`sheep: {text}`", by_dam(text))
    if word in ("full", "no_year", "no_sex", "possessive", "paint", "figure", "dam_tag_lamb"):
        wee(
            f"lamb_line_{word}",
            f"`- {text} 3 ml`",
            using(text, lambda s, t: s.instead(s.bare.saying(f"- {lamb_words(s, t)} {s.dose.ml}"))),
        )
wee(
    "lamb_in_name",
    "`treatment Bramble's lamb.md`",
    lambda s: s.instead(s.bare.filed(f"{s.dose.at:%Y-%m-%d} treatment {lamb_words(s, '{dam}')}'s lamb.md")),
)
wee(
    "lamb_foot_of",
    "`sheep:` nobody, `place: at foot of Bramble`",
    lambda s: s.instead(s.bare.but(place=f"at foot of {lamb_words(s, '{dam}')}")),
)


def lamb_words(scene: Scene, shape: str) -> str:
    """A lamb by its mother, in words."""
    lamb = scene.world.animals[scene.keys[0]]
    return shape.format(
        dam=scene.call(lamb.dam), damtag=scene.world.tag(lamb.dam), sex=lamb.sex, year=lamb.born.year, no=lamb.paint
    )


set_on = family("V6", of="fostered_lamb", price="her own lambs, for the words fit both")
for word, text in {
    "lamb": "{onto}'s lamb",
    "sexed": "{onto}'s {sex} lamb",
    "foster": "{onto}'s foster",
    "possessive": "{onto}'s",
}.items():
    set_on(
        f"fostered_by_{word}",
        f"a fostered lamb as its foster mother's: `{text}`",
        using(
            text,
            lambda s, t: s.instead(
                s.bare.but(
                    sheep=t.format(
                        onto=s.call(s.world.dam_at_foot(s.keys[0], s.dose.at)), sex=s.world.animals[s.keys[0]].sex
                    )
                )
            ),
        ),
    )

tagged_lamb = family("V6", of="one_tagged_lamb", price="lambs of the same mother that the words fit")
tagged_lamb(
    "tagged_lamb_by_dam",
    "a tagged lamb as `Bramble's lamb`",
    lambda s: s.instead(s.bare.but(sheep=lamb_words(s, "{dam}'s lamb"))),
)
tagged_lamb(
    "tagged_lamb_by_dam_sexed",
    "a tagged lamb as `Bramble's ram lamb`",
    lambda s: s.instead(s.bare.but(sheep=lamb_words(s, "{dam}'s {sex} lamb"))),
)
tagged_lamb("tagged_lamb_figures_year", "`751/2026`", lambda s: s.instead(s.bare.but(sheep=f"{s.tags[0]}/2026")))
tagged_lamb(
    "tagged_lamb_short", "the last two figures of its tag", lambda s: s.instead(s.bare.but(sheep=s.tags[0][-2:]))
)
tagged_lamb(
    "tagged_lamb_own_note",
    "it has a sheep note of its own too, without a dam",
    lambda s: {
        **s.instead(s.bare.but(sheep=s.tags[0])),
        f"sheep/{s.tags[0]} Speck.md": note_text(
            {"note": s.world.animals[s.keys[0]].sex, "tag": s.tags[0], "name": "Speck", "born": "2026"}
        ),
    },
)
tagged_lamb(
    "tagged_lamb_new_name",
    "by a name that only its later sheep note gives",
    lambda s: {
        **s.instead(s.bare.but(sheep="Speck")),
        f"sheep/{s.tags[0]} Speck.md": note_text(
            {"note": s.world.animals[s.keys[0]].sex, "tag": s.tags[0], "name": "Speck"}
        ),
    },
)
tagged_lamb(
    "lamb_birth_line_slip",
    "the lamb's tag has a slip in its lambing note",
    lambda s: relitter(s, f"tag {s.tags[0]}", f"tag {s.tags[0]}x"),
)
tagged_lamb(
    "lamb_birth_line_lost", "the lambing note says nothing of the tag", lambda s: relitter(s, f", tag {s.tags[0]}", "")
)
tagged_lamb(
    "lamb_birth_bad_head", "a stray bracket in the lambing note's head", lambda s: relitter(s, "ewe: ", "ewe: [")
)


def relitter(scene: Scene, old: str, new: str) -> Patch:
    """The dose by tag, and another wording of its lambing note."""
    lamb = scene.keys[0]
    ident = next(item.ident for item in scene.world.happenings if isinstance(item, Born) and lamb in item.lambs)
    note = scene.plain.notes[ident]
    return {**scene.instead(scene.bare.but(sheep=scene.tags[0])), note.path: note.text.replace(old, new)}


# -- tags that change

newer = family("V6", of="retagged", price=BOTH)
newer("retag_new_before", "the dose, written up late, names her new tag", lambda s: s.instead(s.bare.but(sheep="0977")))
newer("retag_new_on_line", "the new tag on a dash line", on_line("0977"))
newer("retag_both", "`sheep: C230 now 0977`", lambda s: s.instead(s.bare.but(sheep=f"{s.tags[0]} now 0977")))
newer("retag_brackets", "`sheep: 0977 (was C230)`", lambda s: s.instead(s.bare.but(sheep=f"0977 (was {s.tags[0]})")))
newer("retag_short", "`sheep: 977`, the zero left off", lambda s: s.instead(s.bare.but(sheep="977")))


def retag(line: str, sheep: str = "") -> Make:
    """The dose by tag, and another wording of the tagging note."""

    def make(scene: Scene) -> Patch:
        note = scene.plain.notes[scene.last(Tagged).ident]
        old = next(tag for tag in scene.world.tags(scene.last(Tagged).who) if tag != "0977")
        dose = scene.instead(scene.bare.but(sheep=sheep or scene.tags[0]))
        return {**dose, note.path: note.saying(line.format(old=old)).text}

    return make


TAGGING = {
    "is_now": "- {old} is now 0977",
    "arrow": "- {old} -> 0977",
    "equals": "- {old} = 0977",
    "replaced": "- {old} replaced by 0977",
    "reversed": "- 0977 was {old}",
    "undashed": "{old} now 0977",
    "colon": "- {old}: 0977",
    "lost_then": "- {old} lost, 0977 in",
    "two_lines": "- {old} lost\n- 0977 in",
    "prose": "{old} lost her tag, gave her 0977.",
    "table": "| sheep | tag |\n|---|---|\n| {old} | 0977 |",
    "comma": "- {old}, 0977",
    "new": "- {old} new tag 0977",
    "retagged": "- {old} retagged 0977",
    "slip": "- {old}x now 0977",
    "numbered": "1. {old} now 0977",
    "capital": "- {old} NOW 0977",
    "words_behind": "- {old} now 0977 in the other ear",
    "empty": "",
}
for word, text in TAGGING.items():
    newer(f"retag_note_{word}", f"the tagging note says {text!r}; the dose names the old tag", retag(text))
    newer(f"retag_note_{word}_new", f"the tagging note says {text!r}; the dose names the new tag", retag(text, "0977"))
newer(
    "retag_sheep_note_renamed",
    "her sheep note is given the new tag, and no tagging note is written",
    lambda s: sheep_retagged(s, keep=False),
)
newer(
    "retag_sheep_note_second",
    "a second sheep note under the new tag, with her name and birthday",
    lambda s: sheep_retagged(s, keep=True),
)


def sheep_retagged(scene: Scene, *, keep: bool) -> Patch:
    """The dose by the old tag; a sheep note under the new one. With her old note kept, only her birthday tells that
    the two are one, which it does not where two more were born on it (V6).
    """
    one = scene.world.animals[scene.keys[0]]
    twins = [animal for animal in scene.world.animals.values() if (animal.sex, animal.born) == (one.sex, one.born)]
    if keep and not one.name and len(twins) > 1:
        raise Unfit("a batch of one birthday")
    ident = f"sheep {scene.keys[0]}"
    note = scene.plain.notes[ident]
    tagging = scene.plain.notes[scene.last(Tagged).ident]
    new = note.but(tag="0977", eid=None, official=None)
    new = new.filed(f"0977 {one.name}".strip() + ".md")
    return {**({} if keep else {note.path: None}), new.path: new.text, tagging.path: None}


older = family("V6", of="retagged_before", price=BOTH)
older(
    "old_tag_after",
    "the dose names the tag that she no longer wears",
    lambda s: s.instead(s.bare.but(sheep=s.world.tags(s.keys[0])[0])),
)
older(
    "old_tag_after_line",
    "the same on a dash line",
    lambda s: s.instead(s.bare.saying(f"- {s.world.tags(s.keys[0])[0]} {s.dose.ml}")),
)
older(
    "both_tags",
    "old and new tag, with `or`",
    lambda s: s.instead(s.bare.but(sheep=f"{s.world.tags(s.keys[0])[0]} or 0977")),
)
older(
    "tagging_ahead",
    "the tagging note is dated a year ahead",
    lambda s: s.changed(
        s.last(Tagged).ident,
        s.plain.notes[s.last(Tagged).ident].filed("2027" + s.plain.notes[s.last(Tagged).ident].file[4:]),
    ),
)
older(
    "tagging_kind_slip",
    "`note: taging`",
    lambda s: s.changed(s.last(Tagged).ident, s.plain.notes[s.last(Tagged).ident].but(note="taging")),
)
older(
    "tagging_rtf",
    "the tagging note saved as .rtf",
    lambda s: s.changed(
        s.last(Tagged).ident,
        s.plain.notes[s.last(Tagged).ident].filed(s.plain.notes[s.last(Tagged).ident].file.replace(".md", ".rtf")),
    ),
)
older(
    "retag_in_remark",
    "the new tag is told in a remark only",
    lambda s: {
        s.plain.notes[s.last(Tagged).ident].path: None,
        f"events/2026/{s.last(Tagged).at:%Y-%m-%d} remark.md": f"{s.world.tags(s.keys[0])[0]} has 0977 in now.\n",
    },
)

coming = family("V6", of="to_come", price=BOTH)
coming(
    "to_come_head",
    "the dose, written up late, names a tag that the lamb got days later",
    lambda s: s.instead(s.bare.but(sheep="801")),
)
coming("to_come_line", "the same on a dash line", on_line("801"))
coming("to_come_dam_then", "the lamb by its mother, tagged days later", by_dam("{dam}'s {sex} lamb"))
coming(
    "to_come_tag_in_birth",
    "its tag is written into its lambing note afterwards, and the tagging note is dropped",
    lambda s: tag_in_birth(s, "801"),
)
for word, text in {
    "undashed": "{lamb} = 801",
    "arrow": "- {lamb} -> 801",
    "reversed": "- 801 = {lamb}",
    "colon": "- {lamb}: 801",
    "tag": "- {lamb} tag 801",
    "dam": "- {dam}'s lamb = 801",
    "dam_only": "- {dam} = 801",
    "bare": "- 801",
    "prose": "Put 801 in {dam}'s lamb.",
}.items():
    coming(
        f"tagging_{word}",
        f"the tagging note says {text!r}; the dose names the paint number",
        using(text, lambda s, t: tagging_of(s, t, "")),
    )
    coming(
        f"tagging_{word}_new",
        f"the tagging note says {text!r}; the dose names the tag",
        using(text, lambda s, t: tagging_of(s, t, "801")),
    )


def tagging_of(scene: Scene, shape: str, sheep: str) -> Patch:
    """The tagging note in other words."""
    lamb = scene.world.animals[scene.keys[0]]
    body = shape.format(lamb=f"no {lamb.paint}/{lamb.born.year}", dam=scene.call(lamb.dam))
    note = scene.plain.notes[scene.last(Tagged).ident].saying(body)
    return {**scene.instead(scene.bare.but(sheep=sheep or scene.tags[0])), note.path: note.text}


def tag_in_birth(scene: Scene, tag: str) -> Patch:
    """The lambing note with the tag in it."""
    lamb = scene.world.animals[scene.keys[0]]
    ident = next(item.ident for item in scene.world.happenings if isinstance(item, Born) and lamb.key in item.lambs)
    birth, tagging = scene.plain.notes[ident], scene.plain.notes[scene.last(Tagged).ident]
    return {birth.path: birth.text.replace(f"no {lamb.paint}\n", f"no {lamb.paint}, tag {tag}\n"), tagging.path: None}


names = family("V6", of="renamed", price=BOTH)
names(
    "former_name",
    "the dose tells her former name; her note has the newer one",
    lambda s: s.instead(s.bare.but(sheep="Teasel")),
)
names("former_name_line", "the same on a dash line", on_line("Teasel"))
names("newer_name", "the dose tells the newer name", lambda s: s.instead(s.bare.but(sheep="Duchess")))
names("both_names", "`sheep: Duchess (Teasel)`", lambda s: s.instead(s.bare.but(sheep="Duchess (Teasel)")))
names(
    "former_name_file",
    "her former name in the file name only",
    lambda s: s.instead(s.bare.filed(f"{s.dose.at:%Y-%m-%d} treatment Teasel.md")),
)

twice = family("V6", of="tag_twice", price="an older animal of that tag")
twice("tag_twice_bare", "`sheep: 731`, which a dead ewe wore too", lambda s: s.instead(s.bare.but(sheep="731")))
twice("tag_twice_line", "`- 731 3 ml`", on_line("731"))
twice("tag_twice_dead_name", "`sheep: Wren`, the dead ewe's name", lambda s: s.instead(s.bare.but(sheep="731 Wren")))
twice(
    "tag_twice_wrong_year",
    "`sheep: 731/2018`, a year that is neither's",
    lambda s: s.instead(s.bare.but(sheep="731/2017")),
)
twice(
    "tag_twice_death_lost",
    "the dead ewe's death was never read: `.rtf`",
    lambda s: {
        **s.instead(s.bare.but(sheep="731")),
        s.plain.notes[s.last(Left).ident].path: None,
        s.plain.notes[s.last(Left).ident].path.replace(".md", ".rtf"): s.plain.notes[s.last(Left).ident].text,
    },
)

back = family("V6", of="bought_back", price=BOTH)
back("back_tag", "a ewe sold and bought back, by her tag", lambda s: s.instead(s.bare.but(sheep="C230")))
back("back_line", "the same on a dash line", on_line("C230"))
back(
    "back_sheep_field",
    "her return told as `sheep: C230` in the purchase",
    lambda s: {
        **s.instead(s.bare.but(sheep="C230")),
        s.plain.notes[s.last(Bought).ident].path: s.plain.notes[s.last(Bought).ident].but(sheep="C230").saying("").text,
    },
)
back(
    "back_in_prose",
    "her return told in a remark",
    lambda s: {
        **s.instead(s.bare.but(sheep="C230")),
        s.plain.notes[s.last(Bought).ident].path: None,
        f"events/2026/{s.last(Bought).at:%Y-%m-%d} remark C230.md": "Back from Hawick, bought her again.\n",
    },
)
back(
    "back_hill",
    "she is done with the hill, told as `mob: hill`, and she alone was",
    lambda s: s.instead(s.bare.but(sheep="C230 (hill)")),
)
later = family("V6", of="back_after_dose", price=BOTH)
later(
    "back_after_plain",
    "dosed, sold as a store and bought back while still held",
    lambda s: s.instead(s.bare.but(sheep=", ".join(s.tags))),
)
later(
    "back_after_and",
    "the same, with `and` between the two",
    lambda s: s.instead(s.bare.but(sheep=" and ".join(s.tags))),
)
later(
    "back_after_lines",
    "the same on dash lines",
    lambda s: s.instead(s.bare.saying("".join(f"- {tag} {s.dose.ml}\n" for tag in s.tags))),
)
later(
    "back_after_new_note",
    "the same, and she has a second sheep note with `bought:`",
    lambda s: {
        **s.instead(s.bare.but(sheep=", ".join(s.tags))),
        "sheep/C230 back.md": f"---\nnote: ewe\ntag: C230\nbought: {s.last(Bought).at:%Y-%m-%d}\nmob: hill\n---\n",
    },
)

new = family("V6", of="bought_alone", price=BOTH)
new("newcomer_name", "a ewe bought that day, by her name", lambda s: s.instead(s.bare.but(sheep="Plover")))
new("newcomer_before_purchase", "the purchase is written under the next day", lambda s: later_purchase(s))
new(
    "newcomer_undashed",
    "the purchase has her on an undashed line",
    lambda s: {
        **s.instead(s.bare.but(sheep="N501")),
        s.plain.notes[s.last(Bought).ident].path: s.plain.notes[s.last(Bought).ident].text.replace(
            "\n- N501", "\nN501"
        ),
    },
)
new(
    "newcomer_sheep_note_only",
    "a sheep note with `bought:` and no purchase",
    lambda s: {
        **s.instead(s.bare.but(sheep="N501")),
        s.plain.notes[s.last(Bought).ident].path: None,
        "sheep/N501 Plover.md": note_text(
            {
                "note": "ewe",
                "tag": "N501",
                "name": "Plover",
                "born": "2023",
                "bought": f"{s.dose.at:%Y-%m-%d}",
                "mob": s.last(Bought).into,
            }
        ),
    },
)
new(
    "newcomer_in_purchase_prose",
    "the dose told in the purchase: `Dosed on arrival, closantel 10 ml`",
    lambda s: {
        **dict.fromkeys(s.paths),
        s.plain.notes[s.last(Bought).ident].path: s.plain.notes[s.last(Bought).ident].text
        + f"\nDosed on arrival with {s.dose.medicine}, 10 ml.\n",
    },
)


def later_purchase(scene: Scene) -> Patch:
    """The dose by tag; the purchase dated a day late."""
    note = scene.plain.notes[scene.last(Bought).ident]
    day = scene.dose.at.toordinal() + 1
    late = note.filed(f"{scene.dose.at.fromordinal(day):%Y-%m-%d} purchase.md")
    return {**scene.instead(scene.bare.but(sheep="N501")), note.path: None, late.path: late.text}


# -- her own note, written badly; the dose is plain

own = family("V6", of="one", place="around", price=BOTH)


def renote(**changes: str | None) -> Make:
    """Her sheep note with other lines."""

    def make(scene: Scene) -> Patch:
        ident = f"sheep {scene.keys[0]}"
        return scene.changed(ident, scene.plain.notes[ident].but(**changes))

    return make


own("sheep_note_slip_in_tag", "her own note's tag has a slip", lambda s: renote(tag=s.tags[0] + "x")(s))
own("sheep_note_tag_small", "her own note's tag is in small letters", lambda s: renote(tag=s.tags[0].lower())(s))
own("sheep_note_no_kind", "her own note lost its kind", renote(note=None))
own("sheep_note_kind_slip", "`note: ewee`", renote(note="ewee"))
own(
    "sheep_note_key_slip",
    "`tga:` for `tag:`",
    lambda s: s.changed(f"sheep {s.keys[0]}", s.plain.notes[f"sheep {s.keys[0]}"].keyed("tag", "tga")),
)
own("sheep_note_born_slip", "`born: 2023-13-01`", renote(born="2023-13-01"))
own("sheep_note_born_ahead", "born next year by a slip", renote(born="2027-04-02"))
own("sheep_note_unknown_field", "an unknown field in her note", renote(colour="white"))
own(
    "sheep_note_second",
    "a second note for her under a slip of her tag",
    lambda s: {f"sheep/{s.tags[0]} copy.md": s.plain.notes[f"sheep {s.keys[0]}"].but(tag=s.tags[0] + "x").text},
)
own("sheep_note_missing", "she has no note of her own", lambda s: {s.plain.notes[f"sheep {s.keys[0]}"].path: None})
own(
    "sheep_note_rtf",
    "her own note saved as .rtf",
    lambda s: {
        s.plain.notes[f"sheep {s.keys[0]}"].path: None,
        s.plain.notes[f"sheep {s.keys[0]}"].path.replace(".md", ".rtf"): s.plain.notes[f"sheep {s.keys[0]}"].text,
    },
)
own(
    "sheep_note_two_in_file",
    "her note and another sheep's in one file",
    lambda s: {
        s.plain.notes[f"sheep {s.keys[0]}"].path: s.plain.notes[f"sheep {s.keys[0]}"].text
        + "---\nnote: ewe\ntag: Z999\nmob: hill\n---\n"
    },
)
own(
    "sheep_note_same_tag",
    "another sheep's new note claims her tag",
    lambda s: {
        "sheep/other.md": note_text(
            {"note": s.world.animals[s.keys[0]].sex, "tag": s.tags[0], "born": "2025-04", "mob": "low"}
        )
    },
)


@way("V6", of="one", told="a death note with a slip makes her dead; it is struck later", place="around")
def death_and_correction(scene: Scene) -> Patch:
    day = scene.dose.at
    death = f"{day:%Y-%m-%d} 2300 death.md"
    tag = scene.tags[0]
    return {
        f"events/2026/{death}": f"---\nnote: death\nsheep: {tag}\ncause: unknown\n---\n",
        f"events/2026/{day:%Y-%m-%d} 2330 remark.md": note_text(
            {"note": "remark", "corrects": death}, f"{tag} is alive, it was another.\n"
        ),
    }
