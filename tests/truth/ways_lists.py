"""Several sheep in one field or on one line, with everything that people put between them (V2)."""

from __future__ import annotations

from tests.truth.ways import Make, Patch, Scene, family, way

JOINTS = {
    "comma": ",",
    "and": " and ",
    "ampersand": " & ",
    "plus": " + ",
    "semicolon": "; ",
    "slash": "/",
    "blank": " ",
    "blanks": "   ",
    "full_stop": ". ",
    "dash": " - ",
    "comma_and": ", and ",
    "tab": "\t",
    "spaced_slash": " / ",
    "n": " n ",
    "with": " with ",
    "also": ", also ",
    "bar": " | ",
}


def in_head(joint: str) -> Make:
    """All in `sheep:`, with a joint between."""
    return lambda scene: scene.instead(scene.note.but(sheep=joint.join(scene.tags), count=None))


def on_line(joint: str, amount: str = " {ml}") -> Make:
    """All on one dash line, with a joint between and an amount behind."""

    def make(scene: Scene) -> Patch:
        line = joint.join(scene.tags) + amount.format(ml=scene.dose.ml)
        return scene.instead(scene.bare.saying(f"- {line}"))

    return make


head = family("V2", of="pair")
line = family("V2", of="pair")
for word, sign in JOINTS.items():
    head(f"head_{word}", f"`sheep:` with {sign!r} between two tags", in_head(sign))
    line(f"line_{word}", f"one dash line with {sign!r} between two tags", on_line(sign))

line("line_each", "`- C230 and C231 3 ml each`", on_line(" and ", " {ml} each"))
line("line_bare_list", "`- C230, C231` with no amount", on_line(", ", ""))
line("line_both", "`- both C230 and C231`", lambda s: s.instead(s.bare.saying(f"- both {s.tags[0]} and {s.tags[1]}")))
line(
    "line_amount_first", "`- 3 ml C230, C231`", lambda s: s.instead(s.bare.saying(f"- {s.dose.ml} {', '.join(s.tags)}"))
)
line(
    "line_to",
    "`- 3 ml to C230 and C231`",
    lambda s: s.instead(s.bare.saying(f"- {s.dose.ml} to {' and '.join(s.tags)}")),
)
line(
    "line_ditto",
    "the second line `C231 ditto`",
    lambda s: s.instead(s.bare.saying(f"- {s.tags[0]} {s.dose.ml}\n- {s.tags[1]} ditto")),
)
line(
    "line_as_well",
    "`- C230 3 ml, C231 as well`",
    lambda s: s.instead(s.bare.saying(f"- {s.tags[0]} {s.dose.ml}, {s.tags[1]} as well")),
)
line(
    "line_two_amounts",
    "`- C230 3 ml, C231 3 ml`",
    lambda s: s.instead(s.bare.saying(f"- {s.tags[0]} {s.dose.ml}, {s.tags[1]} {s.dose.ml}")),
)
line(
    "line_brackets_second",
    "`- C230 (and C231) 3 ml`",
    lambda s: s.instead(s.bare.saying(f"- {s.tags[0]} (and {s.tags[1]}) {s.dose.ml}")),
)


@way("V2", of="several", told="`sheep:` as a list of dashes under the key")
def head_yaml_list(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep="\n  - " + "\n  - ".join(scene.tags), count=None))


@way("V2", of="several", told="`sheep: [C230, C231]`")
def head_square_brackets(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep=f"[{', '.join(scene.tags)}]", count=None))


@way("V2", of="several", told="the list runs on, indented, in the next line")
def head_next_line(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep=",\n  ".join(scene.tags), count=None))


@way("V2", of="several", told="one to a line, indented, with nothing between")
def head_line_ends(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep="\n  " + "\n  ".join(scene.tags), count=None))


@way("V2", of="several", told="`sheep: |` and one to a line")
def head_block(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep="|\n  " + "\n  ".join(scene.tags), count=None))


@way("V2", of="several", told="one to a line, not indented", price="an unreadable head, names in it (V13)")
def head_line_ends_flush(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep="\n".join(scene.tags), count=None))


@way("V2", of="several", told="a comma left over at the end")
def head_trailing_comma(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep=", ".join(scene.tags) + ",", count=None))


@way("V2", of="several", told="two commas")
def head_double_comma(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep=",, ".join(scene.tags), count=None))


@way("V2", of="several", told="names and tags mixed, the last with `and`")
def head_names_and(scene: Scene) -> Patch:
    *first, last = scene.names
    return scene.instead(scene.note.but(sheep=f"{', '.join(first)} and {last}", count=None))


@way("V2", of="pair_named", told="`sheep: Bramble and Teasel`")
def head_two_names_and(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep="Bramble and Teasel", count=None))


@way("V2", of="pair_named", told="`- Bramble and Teasel 3 ml`")
def line_two_names_and(scene: Scene) -> Patch:
    return scene.instead(scene.bare.saying(f"- Bramble and Teasel {scene.dose.ml}"))


@way("V2", of="pair_named", told="`sheep: Bramble (C214), Teasel (C902)`")
def head_tag_in_brackets(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep="Bramble (C214), Teasel (C902)", count=None))


@way("V2", of="pair_named", told="`sheep: C214 Bramble, C902 Teasel`")
def head_tag_then_name(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep="C214 Bramble, C902 Teasel", count=None))


@way("V2", of="pair_named", told="`sheep: Bramble C214 and Teasel C902`")
def head_name_then_tag(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep="Bramble C214 and Teasel C902", count=None))


@way("V2", of="pair_named", told="lines `- Bramble (C214) 3 ml`")
def line_tag_in_brackets(scene: Scene) -> Patch:
    ml = scene.dose.ml
    return scene.instead(scene.bare.saying(f"- Bramble (C214) {ml}\n- Teasel (C902) {ml}"))


@way("V2", of="pair_named", told="lines `- C214 Bramble 3 ml`")
def line_tag_then_name(scene: Scene) -> Patch:
    ml = scene.dose.ml
    return scene.instead(scene.bare.saying(f"- C214 Bramble {ml}\n- C902 Teasel {ml}"))


@way("V2", of="pair", told="`sheep: tag C230, tag C231`")
def head_word_tag(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep="tag C230, tag C231", count=None))


@way("V2", of="pair", told="`sheep: tags C230 and C231`")
def head_word_tags(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep="tags C230 and C231", count=None))


@way("V2", of="pair", told='`sheep: "#C230, #C231"`')
def head_hash_quoted(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep='"#C230, #C231"', count=None))


@way("V2", of="pair", told="`sheep: C230 #C231`, which loses the second", price="words lost in a head")
def head_hash_bare(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep="C230 #C231", count=None))


@way("V2", of="pair", told="lines `- #C230 3 ml`")
def line_hash(scene: Scene) -> Patch:
    ml = scene.dose.ml
    return scene.instead(scene.bare.saying(f"- #C230 {ml}\n- #C231 {ml}"))


@way("V2", of="pair_named", told="`sheep: ewe Teasel and ewe Bramble`")
def head_ewe_before_name(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep="ewe Teasel and ewe Bramble", count=None))


@way("V2", of="pair_named", told="`sheep: the ewes Teasel and Bramble`")
def head_the_ewes(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep="the ewes Teasel and Bramble", count=None))


@way("V2", of="salt", told="`sheep: Salt and Pepper and Teasel`", price="Pepper, where there is one: both readings")
def head_salt(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep="Salt and Pepper and Teasel", count=None))


@way("V2", of="salt", told="`sheep: Salt & Pepper, Teasel`", price="Pepper, where there is one: both readings")
def head_salt_ampersand(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep="Salt & Pepper, Teasel", count=None))


@way("V2", of="salt", told="`- Salt and Pepper, Teasel 3 ml`", price="Pepper, where there is one: both readings")
def line_salt(scene: Scene) -> Patch:
    return scene.instead(scene.bare.saying(f"- Salt and Pepper, Teasel {scene.dose.ml}"))


@way("V2", of="odd_name", told="a ewe called No, May or Rose by her name alone, with another sheep's tag form")
def head_odd_name(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep=scene.names[0], count=None))


@way("V2", of="odd_name", told="`- No 3 ml`, `- May 3 ml`")
def line_odd_name(scene: Scene) -> Patch:
    return scene.instead(scene.bare.saying(f"- {scene.names[0]} {scene.dose.ml}"))


@way("V2", of="several", told="all names in small letters, `and` between")
def head_small_letters(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep=" and ".join(name.lower() for name in scene.names), count=None))


@way("V2", of="pair", told="`sheep: C230 C231`, counted two", price="")
def head_blank_counted(scene: Scene) -> Patch:
    return scene.instead(scene.note.but(sheep="C230 C231", count="2"))
