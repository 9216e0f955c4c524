"""Sheep told on lines of the body, in every shape that lines have, beside one in the head or without (V1)."""

from __future__ import annotations

from tests.truth.ways import Make, Patch, Scene, family, using, way

TWO = "{0} {ml}\n{1} {ml}"
SHAPES = {
    "undashed": "{0} {ml}\n{1} {ml}\n",
    "undashed_tags_only": "{0}\n{1}\n",
    "numbered": "1. {0} {ml}\n2. {1} {ml}\n",
    "numbered_bracket": "1) {0} {ml}\n2) {1} {ml}\n",
    "lettered": "a) {0} {ml}\nb) {1} {ml}\n",
    "tab_indented": "\t{0} {ml}\n\t{1} {ml}\n",
    "four_blanks": "    {0} {ml}\n    {1} {ml}\n",
    "tab_dash": "\t- {0} {ml}\n\t- {1} {ml}\n",
    "four_blanks_dash": "    - {0} {ml}\n    - {1} {ml}\n",
    "star": "* {0} {ml}\n* {1} {ml}\n",
    "plus": "+ {0} {ml}\n+ {1} {ml}\n",
    "round_bullet": "• {0} {ml}\n• {1} {ml}\n",
    "en_dash": "– {0} {ml}\n– {1} {ml}\n",
    "em_dash": "— {0} {ml}\n— {1} {ml}\n",
    "dash_no_blank": "-{0} {ml}\n-{1} {ml}\n",
    "arrow": "-> {0} {ml}\n-> {1} {ml}\n",
    "quoted": "> {0} {ml}\n> {1} {ml}\n",
    "quoted_dash": "> - {0} {ml}\n> - {1} {ml}\n",
    "fenced": "```\n{0} {ml}\n{1} {ml}\n```\n",
    "fenced_dash": "```\n- {0} {ml}\n- {1} {ml}\n```\n",
    "tilde_fence": "~~~\n{0} {ml}\n{1} {ml}\n~~~\n",
    "ticked": "- [x] {0} {ml}\n- [x] {1} {ml}\n",
    "bold": "**{0}** {ml}\n**{1}** {ml}\n",
    "bold_dash": "- **{0}** {ml}\n- **{1}** {ml}\n",
    "code_ticks": "- `{0}` {ml}\n- `{1}` {ml}\n",
    "headings": "# {0}\n{ml}\n# {1}\n{ml}\n",
    "nested": "- {0} {ml}\n  - {1} {ml}\n",
    "under_a_word": "Done:\n  {0} {ml}\n  {1} {ml}\n",
    "after_prose": "Wet day. Penned by ten.\n{0} {ml}\n{1} {ml}\nAll quiet after.\n",
    "after_colon": "Done today: {0}, {1}\n",
    "html_list": "<ul><li>{0} {ml}</li><li>{1} {ml}</li></ul>\n",
    "html_break": "{0} {ml}<br>{1} {ml}\n",
    "comment": "<!-- {0} {ml}\n{1} {ml} -->\n",
    "colon": "- {0}: {ml}\n- {1}: {ml}\n",
    "equals": "- {0} = {ml}\n- {1} = {ml}\n",
    "dash_behind": "- {0} - {ml}\n- {1} - {ml}\n",
    "cross": "- {0} x {ml}\n- {1} x {ml}\n",
    "dots": "- {0} ..... {ml}\n- {1} ..... {ml}\n",
    "comma_behind": "- {0}, {ml}\n- {1}, {ml}\n",
    "tab_between": "{0}\t{ml}\n{1}\t{ml}\n",
    "semicolon_cells": "{0};{ml}\n{1};{ml}\n",
    "comma_cells": "sheep,dose\n{0},{ml}\n{1},{ml}\n",
    "no_unit": "- {0} {n}\n- {1} {n}\n",
    "unit_glued": "- {0} {n}ml\n- {1} {n}ml\n",
    "mls": "- {0} {n} mls\n- {1} {n} mls\n",
    "cc": "- {0} {n} cc\n- {1} {n}cc\n",
    "in_words": "- {0} the usual\n- {1} the usual\n",
    "tick_behind": "- {0} ✓\n- {1} ✓\n",
    "amount_first": "- {ml} {0}\n- {ml} {1}\n",
    "amount_first_bare": "{ml} {0}\n{ml} {1}\n",
    "time_first": "- {clock} {0} {ml}\n- {clock} {1} {ml}\n",
    "time_first_bare": "{clock} {0} {ml}\n{clock} {1} {ml}\n",
    "date_first": "- {day} {0} {ml}\n- {day} {1} {ml}\n",
    "date_first_bare": "{day} {0} {ml}\n{day} {1} {ml}\n",
    "words_behind": "- {0} {ml}, spat half\n- {1} {ml}, left side, fought\n",
    "words_before": "- left side {0} {ml}\n- left side {1} {ml}\n",
    "gave": "- gave {0} {ml}\n- gave {1} {ml} too\n",
    "and_line": "- {0} {ml}\n- and {1}\n",
    "also_line": "- {0} {ml}\n- also {1} {ml}\n",
    "plus_line": "- {0} {ml}\n- plus {1}\n",
    "prose_line": "- {0} {ml}\n- then old {1} who would not stand, {ml}\n",
    "capitals": "- {0} {ml}\n\nNB {1} DONE AS WELL\n",
    "one_line_bar": "{0} {ml} | {1} {ml}\n",
    "one_line_semicolon": "- {0} {ml}; {1} {ml}\n",
    "backslash": "{0} {ml}\\\n{1} {ml}\n",
    "table": "| sheep | dose |\n|---|---|\n| {0} | {ml} |\n| {1} | {ml} |\n",
    "table_bare": "sheep | dose\n---|---\n{0} | {ml}\n{1} | {ml}\n",
    "table_no_rule": "| sheep | dose |\n| {0} | {ml} |\n| {1} | {ml} |\n",
    "table_no_heading": "| {0} | {ml} |\n| {1} | {ml} |\n",
    "table_ewe": "| ewe | ml |\n|---|---|\n| {0} | {n} |\n| {1} | {n} |\n",
    "table_tag": "| tag | dose |\n|---|---|\n| {0} | {ml} |\n| {1} | {ml} |\n",
    "table_sheep_second": "| dose | sheep |\n|---|---|\n| {ml} | {0} |\n| {ml} | {1} |\n",
    "table_two_in_cell": "| sheep | dose |\n|---|---|\n| {0}, {1} | {ml} |\n",
    "table_grid": "+------+------+\n| {0} | {ml} |\n| {1} | {ml} |\n+------+------+\n",
    "rule_between": "{0} {ml}\n\n***\n\n{1} {ml}\n",
    "rule_of_dashes": "- {0} {ml}\n\n---\n\n- {1} {ml}\n",
}
BESIDE = (
    "undashed",
    "undashed_tags_only",
    "numbered",
    "tab_indented",
    "star",
    "quoted",
    "fenced",
    "table",
    "after_prose",
    "amount_first_bare",
    "and_line",
    "table_ewe",
    "comma_cells",
)


def filled(scene: Scene, shape: str) -> str:
    """A shape with two sheep, the amount and the day in it."""
    ml, day = scene.dose.ml, f"{scene.dose.at.day} {scene.dose.at:%b}"
    return shape.format(*scene.tags, ml=ml, n=ml.removesuffix(" ml"), day=day, clock=f"{scene.dose.at:%H:%M}")


def alone(shape: str) -> Make:
    """Both on lines, nobody in the head."""
    return lambda scene: scene.instead(scene.bare.saying(filled(scene, shape)))


def beside(shape: str) -> Make:
    """The first in the head, both on lines."""
    return lambda scene: scene.instead(scene.bare.but(sheep=scene.tags[0]).saying(filled(scene, shape)))


lines = family("V1", of="pair")
for word, pattern in SHAPES.items():
    lines(f"lines_{word}", f"both on lines: {pattern!r}", alone(pattern))
for word in BESIDE:
    lines(f"beside_{word}", f"one in `sheep:`, both on lines: {SHAPES[word]!r}", beside(SHAPES[word]))


@way("V1", of="several", told="one in the head, the others on dash lines of their own")
def head_and_dashes(scene: Scene) -> Patch:
    lines_ = "".join(f"- {tag} {scene.dose.ml}\n" for tag in scene.tags[1:])
    return scene.instead(scene.bare.but(sheep=scene.tags[0]).saying(lines_))


@way("V1", of="several", told="one in the head, the others bare lines under a blank line")
def head_and_bare(scene: Scene) -> Patch:
    lines_ = "".join(f"{tag} {scene.dose.ml}\n" for tag in scene.tags[1:])
    return scene.instead(scene.bare.but(sheep=scene.tags[0]).saying(f"\n{lines_}"))


@way(
    "V1", of="several", told="one in the file name, the others in `sheep:`", price="names that differ: error, all held"
)
def name_and_head(scene: Scene) -> Patch:
    note = scene.bare.but(sheep=", ".join(scene.tags[1:]))
    return scene.instead(note.filed(f"{scene.dose.at:%Y-%m-%d} treatment {scene.names[0]}.md"))


@way("V1", of="several", told="one in the file name, the others on dash lines")
def name_and_dashes(scene: Scene) -> Patch:
    note = scene.bare.saying("".join(f"- {tag} {scene.dose.ml}\n" for tag in scene.tags[1:]))
    return scene.instead(note.filed(f"{scene.dose.at:%Y-%m-%d} treatment {scene.names[0]}.md"))


@way("V1", of="several", told="one in the file name, the others on bare lines")
def name_and_bare(scene: Scene) -> Patch:
    note = scene.bare.saying("".join(f"{tag} {scene.dose.ml}\n" for tag in scene.tags[1:]))
    return scene.instead(note.filed(f"{scene.dose.at:%Y-%m-%d} treatment {scene.names[0]}.md"))


@way("V1", of="several", told="all of them in the file name only, blanks between")
def names_in_name(scene: Scene) -> Patch:
    return scene.instead(scene.bare.filed(f"{scene.dose.at:%Y-%m-%d} treatment {' '.join(scene.names)}.md"))


@way("V1", of="several", told="all of them in the file name only, `and` between")
def names_and_in_name(scene: Scene) -> Patch:
    return scene.instead(scene.bare.filed(f"{scene.dose.at:%Y-%m-%d} treatment {' and '.join(scene.names)}.md"))


@way("V1", of="several", told="all of them in the file name only, commas between")
def names_comma_in_name(scene: Scene) -> Patch:
    return scene.instead(scene.bare.filed(f"{scene.dose.at:%Y-%m-%d} treatment {', '.join(scene.names)}.md"))


@way("V1", of="several", told="all in the file name with underscores")
def names_underscore_in_name(scene: Scene) -> Patch:
    joined = "_".join(scene.names).replace(" ", "_")
    return scene.instead(scene.bare.filed(f"{scene.dose.at:%Y-%m-%d}_treatment_{joined}.md"))


@way("V1", of="one_named", told="her name and what for in the file name")
def name_and_reason_in_name(scene: Scene) -> Patch:
    return scene.instead(scene.bare.filed(f"{scene.dose.at:%Y-%m-%d} treatment {scene.names[0]} foot.md"))


@way("V1", of="one_named", told="what for and then her name in the file name")
def reason_and_name_in_name(scene: Scene) -> Patch:
    return scene.instead(scene.bare.filed(f"{scene.dose.at:%Y-%m-%d} treatment foot {scene.names[0]}.md"))


@way("V1", of="mob", told="the mob in the file name, one of it in `sheep:`", price="lambs at foot of the mob (V4)")
def mob_in_name_one_in_head(scene: Scene) -> Patch:
    note = scene.bare.but(sheep=scene.tags[0])
    return scene.instead(note.filed(f"{scene.dose.at:%Y-%m-%d} treatment hill.md"))


@way("V1", of="mob", told="the mob in the file name only", price="lambs at foot of the mob (V4)")
def mob_in_name(scene: Scene) -> Patch:
    return scene.instead(scene.bare.filed(f"{scene.dose.at:%Y-%m-%d} treatment hill.md"))


@way("V1", of="mob", told="the mob and what for in the file name", price="lambs at foot of the mob (V4)")
def mob_and_reason_in_name(scene: Scene) -> Patch:
    return scene.instead(scene.bare.filed(f"{scene.dose.at:%Y-%m-%d} treatment hill worms.md"))


@way("V1", of="ewes", told="a class word in the file name only")
def class_in_name(scene: Scene) -> Patch:
    return scene.instead(scene.bare.filed(f"{scene.dose.at:%Y-%m-%d} treatment ewes worms.md"))


@way("V1", of="pair", told="both in a CSV file of the note's name, beside a head without sheep")
def csv_beside(scene: Scene) -> Patch:
    rows = "sheep,dose\n" + "".join(f"{tag},{scene.dose.ml}\n" for tag in scene.tags)
    return {**scene.instead(scene.bare), scene.note.path.replace(".md", ".csv"): rows}


@way("V1", of="pair", told="one in `sheep:`, both in a CSV file of the note's name")
def csv_and_head(scene: Scene) -> Patch:
    rows = "sheep,dose\n" + "".join(f"{tag},{scene.dose.ml}\n" for tag in scene.tags)
    return {**scene.instead(scene.bare.but(sheep=scene.tags[0])), scene.note.path.replace(".md", ".csv"): rows}


@way("V1", of="pair", told="a CSV file with semicolons, as a German spreadsheet saves it")
def csv_semicolons(scene: Scene) -> Patch:
    rows = "sheep;dose\r\n" + "".join(f"{tag};{scene.dose.ml}\r\n" for tag in scene.tags)
    return {**scene.instead(scene.bare), scene.note.path.replace(".md", ".csv"): rows}


@way(
    "V7", of="pair", told="nothing but a CSV file with sheep, medicine and dose", price="an unread file: whom it names"
)
def csv_alone(scene: Scene) -> Patch:
    rows = "sheep,medicine,dose\n" + "".join(f"{tag},{scene.dose.medicine},{scene.dose.ml}\n" for tag in scene.tags)
    return scene.raw(scene.note.path.replace(".md", ".csv"), rows)


@way("V1", of="pair", told="a head and CSV files under two almost equal names", price="an unread file: whom it names")
def csv_other_name(scene: Scene) -> Patch:
    rows = "sheep,dose\n" + "".join(f"{tag},{scene.dose.ml}\n" for tag in scene.tags)
    return {**scene.instead(scene.bare.but(sheep=scene.tags[0])), scene.note.path.replace(".md", " list.csv"): rows}


for field in (
    "also",
    "who",
    "ewe",
    "ewes",
    "animals",
    "animal",
    "and",
    "plus",
    "tags",
    "sheeps",
    "too",
    "name",
    "extra",
):
    lines(
        f"field_{field}",
        f"one in `sheep:`, the other in `{field}:`",
        using(field, lambda s, f: s.instead(s.bare.but(sheep=s.tags[0], **{f: s.tags[1]}))),
    )
for field in ("who", "ewe", "ewes", "tags", "treated", "animals"):
    lines(
        f"only_field_{field}",
        f"both in `{field}:`, no `sheep:`",
        using(field, lambda s, f: s.instead(s.bare.but(**{f: ", ".join(s.tags)}))),
    )


@way("V1", of="ewe_and_lamb", told="the ewe in `sheep:`, the lamb in `lambs:`")
def field_lambs(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(sheep=scene.tags[0], lambs=scene.tags[1]))


@way("V1", of="pair_named", told="`dose: 3 ml Bramble, 4 ml Teasel` and no `sheep:`")
def names_in_dose(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(dose=f"{scene.dose.ml} Bramble, {scene.dose.ml} Teasel"))


@way("V1", of="pair_named", told="`sheep: Bramble` and `dose: 3 ml, Teasel 4 ml`")
def second_name_in_dose(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(sheep="Bramble", dose=f"{scene.dose.ml}, Teasel 4 ml"))


@way("V1", of="pair_named", told="`given: 2026-06-02 10:00 Bramble, Teasel`")
def names_in_given(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(given=scene.note.value("given") + " Bramble, Teasel"))


@way("V1", of="pair_named", told="`medicine: moxidectin oral, Bramble and Teasel`", price="an unknown medicine")
def names_in_medicine(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(medicine=f"{scene.dose.medicine}, Bramble and Teasel"))


@way("V1", of="pair_named", told="`for: foot, Teasel too`", price="an ask that holds")
def name_in_reason(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(sheep="Bramble", **{"for": "foot, Teasel too"}))


@way("V1", of="pair_named", told="`site: left neck, Teasel right`", price="an ask that holds")
def name_in_site(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(sheep="Bramble", site="left neck, Teasel right"))


@way("V1", of="pair_named", told="`by: Una, Teasel as well`", price="an ask that holds")
def name_in_by(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(sheep="Bramble", by="Una, Teasel as well"))


@way("V1", of="pair_named", told="`batch: MX11 Bramble, MX12 Teasel`")
def names_in_batch(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(batch="MX11 Bramble, MX12 Teasel"))


@way("V1", of="pair_named", told="a second `sheep:` line", price="data twice in a head")
def sheep_twice(scene: Scene) -> Patch:
    text = scene.bare.but(sheep="Bramble").text.replace("sheep: Bramble\n", "sheep: Bramble\nsheep: Teasel\n")
    return scene.raw(scene.note.path, text)


PROSE = {
    "also": "Also Teasel.",
    "too": "Teasel too, same side.",
    "did": "Did Teasel while I was at it.",
    "same": "Same for Teasel.",
    "had": "Teasel had hers an hour later.",
    "well": "And Teasel as well.",
    "ditto": "Teasel ditto.",
    "gave": "Gave Teasel the same.",
    "while": "While I had the bottle out, Teasel, same dose.",
    "forgot": "Forgot to say, Teasel got it too.",
    "initial": "teasel also done, same amount of moxidectin, 3 ml.",
    "tag": "C902 too.",
    "lower_tag": "c902 too.",
    "end": "x\n\nPS Teasel.",
}
prose = family("V1", of="pair_named", price="an ask that holds whom the words name")
for word, sentence in PROSE.items():
    prose(
        f"prose_{word}",
        f"`sheep: Bramble`, and in the remark {sentence!r}",
        using(sentence, lambda s, w: s.instead(s.bare.but(sheep="Bramble").saying(w))),
    )


@way("V1", of="mob", told="`sheep:` one, and `and the rest of the hill` in the remark", price="lambs at foot (V4)")
def prose_rest_of_mob(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(sheep=scene.tags[0]).saying("And the rest of the hill after her."))


@way("V1", of="ewes", told="`sheep:` one, and `all the ewes had it` in the remark")
def prose_all_ewes(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(sheep=scene.tags[0]).saying("All the ewes had it in the end."))


@way("beyond V1", of="ewe_and_lamb", told="`sheep:` the ewe, and `her lamb too` in the remark", price="her lambs")
def prose_her_lamb(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(sheep=scene.tags[0]).saying("Her lamb too."))


@way("V1", of="ewe_and_lamb", told="`sheep:` the ewe, and `Bramble's had the same`", price="her lambs")
def prose_possessive(scene: Scene) -> Patch:
    dam = scene.call(scene.keys[0])
    return scene.instead(scene.bare.but(sheep=scene.tags[0]).saying(f"{dam}'s had the same."))


@way("V1", of="ewe_and_lamb", told="`sheep: C230 and lamb`", price="her lambs")
def head_and_lamb(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(sheep=f"{scene.tags[0]} and lamb"))


@way("V1", of="ewe_and_lamb", told="`sheep: C230 + 1`, she and the one at foot", price="her lambs")
def head_plus_one(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(sheep=f"{scene.tags[0]} + 1"))


@way("V1", of="ewe_and_lamb", told="`sheep: Bramble and her lambs`", price="her lambs")
def head_and_her_lambs(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(sheep=f"{scene.names[0]} and her lambs"))
