"""Mobs, classes and ranges, and who stood where on the day (V3 to V5)."""

from __future__ import annotations

from datetime import timedelta

from tests.truth.plain import Note, note_text
from tests.truth.ways import Make, Patch, Scene, family, way
from tests.truth.world import Born, Bought, Drafted, Fostered, Unfit

AT_FOOT = "lambs at foot of the mob (V4)"
THAT_DAY = "lambs at foot, and who came or went that day (V4)"
NOBODY = "a word that names nobody: the whole flock of those days (V3)"


def head(**changes: str) -> Make:
    """The dose with these lines in place of `sheep:`."""
    return lambda scene: scene.instead(scene.bare.but(**changes))


def say(body: str, **changes: str) -> Make:
    """The dose with these lines in place of `sheep:`, and a body."""
    return lambda scene: scene.instead(scene.bare.but(**changes).saying(body.format(ml=scene.dose.ml)))


# -- the hill, in many words

hill = family("V4", of="mob", price=AT_FOOT)
hill("mob_field", "`mob: hill`", head(mob="hill"))
hill("mob_capital", "`mob: Hill`", head(mob="Hill"))
hill("mob_capitals", "`mob: HILL`", head(mob="HILL"))
hill("mob_full_stop", "`mob: hill.`", head(mob="hill."))
hill("mob_quoted", '`mob: "hill"`', head(mob='"hill"'))
hill("mob_curly_quoted", "`mob: “hill”`", head(mob="“hill”"))
hill("mob_the", "`mob: the hill`", head(mob="the hill"))
hill("mob_all_the", "`mob: all the hill`", head(mob="all the hill"))
hill("mob_whole", "`mob: whole hill`", head(mob="whole hill"))
hill("mob_mob", "`mob: hill mob`", head(mob="hill mob"))
hill("mob_ewes", "`mob: hill ewes`", head(mob="hill ewes"))
hill("mob_lot", "`mob: hill lot`", head(mob="hill lot"))
hill("mob_sheep", "`mob: hill sheep`", head(mob="hill sheep"))
hill("mob_two_words_around", "`mob: ones on hill`", head(mob="ones on hill"))
hill("mob_in_sheep_field", "`sheep: hill`, with a ewe called Jill", head(sheep="hill"))
hill("mob_in_sheep_field_capital", "`sheep: Hill`", head(sheep="Hill"))
hill("mob_in_sheep_field_all", "`sheep: all hill`", head(sheep="all hill"))
hill("mob_in_sheep_field_mob", "`sheep: hill mob`", head(sheep="hill mob"))
hill("mob_on_dash", "`- hill 3 ml`", say("- hill {ml}"))
hill("mob_on_dash_all", "`- all hill 3 ml`", say("- all hill {ml}"))
hill("mob_on_dash_each", "`- hill 3 ml each`", say("- hill {ml} each"))
hill("mob_on_bare", "a bare line `hill 3 ml`", say("hill {ml}\n"))
hill("mob_amount_first", "a bare line `3 ml hill`", say("{ml} hill\n"))
hill("mob_place_only", "`place: hill` and no sheep", head(place="hill"))
hill("mob_field_mobs", "`mobs: hill`", head(mobs="hill"))
hill("mob_field_group", "`group: hill`", head(group="hill"))
hill("mob_list_of_one", "`mob: [hill]`", head(mob="[hill]"))
hill("mob_trailing_comma", "`mob: hill,`", head(mob="hill,"))
hill(
    "mob_and_count",
    "`mob: hill` and a count of heads that is one short",
    lambda s: s.instead(s.bare.but(mob="hill", count=str(len(s.keys) - 1))),
)
hill(
    "mob_and_member",
    "`sheep:` one of it, and `mob: hill`",
    lambda s: s.instead(s.bare.but(sheep=s.tags[0], mob="hill")),
)
hill(
    "mob_and_dash_member",
    "`mob: hill` and a dash line for one",
    lambda s: s.instead(s.bare.but(mob="hill").saying(f"- {s.tags[0]} {s.dose.ml}")),
)
hill(
    "member_and_dash_mob",
    "`sheep:` one of it, and `- hill 3 ml`",
    lambda s: s.instead(s.bare.but(sheep=s.tags[0]).saying(f"- hill {s.dose.ml}")),
)
hill(
    "member_and_bare_rest",
    "`sheep:` one of it, and a bare line `rest of hill 3 ml`",
    lambda s: s.instead(s.bare.but(sheep=s.tags[0]).saying(f"rest of hill {s.dose.ml}\n")),
)

odd = family("V3", of="mob", price=NOBODY)
odd("mob_slip", "`mob: hil`", head(mob="hil"))
odd("mob_slip_in_sheep_field", "`sheep: hil`, one slip from hill", head(sheep="hil"))
odd("mob_slip_long", "`mob: hilll`", head(mob="hilll"))
odd("mob_other_word", "`mob: heft`, her word for the hill", head(mob="heft"))
odd("mob_up_top", "`mob: up top`", head(mob="up top"))
odd("mob_top_lot", "`sheep: top lot`", head(sheep="top lot"))
odd("mob_them_all", "`sheep: them all up there`", head(sheep="them all up there"))
odd("mob_question_mark", "`mob: hill?`", head(mob="hill?"))
odd(
    "mob_slip_beside_sheep",
    "`sheep:` one of it, and `mob: hil`",
    lambda s: s.instead(s.bare.but(sheep=s.tags[0], mob="hil")),
)
odd("mob_nothing", "`mob:` left empty, nobody named", head(mob=""))
odd("mob_dash", "`mob: -`", head(mob="-"))
family("V3", of="mob_but_one", price=NOBODY)(
    "mob_most", "`mob: most of the hill`, and she remembers which", head(mob="most of the hill")
)

both = family("V4", of="two_mobs", price="")
both("mobs_comma", "`mob: hill, low`", head(mob="hill, low"))
both("mobs_and", "`mob: hill and low`", head(mob="hill and low"))
both("mobs_ampersand", "`mob: hill & low`", head(mob="hill & low"))
both("mobs_plus", "`mob: hill + low`", head(mob="hill + low"))
both("mobs_slash", "`mob: hill/low`", head(mob="hill/low"))
both("mobs_semicolon", "`mob: hill; low`", head(mob="hill; low"))
both("mobs_blank", "`mob: hill low`", head(mob="hill low"))
both("mobs_in_sheep_field", "`sheep: hill and low`", head(sheep="hill and low"))
both("mobs_square", "`mob: [hill, low]`", head(mob="[hill, low]"))
both("mobs_field_and_line", "`mob: hill` and `- low 3 ml`", say("- low {ml}", mob="hill"))
both("mobs_field_and_bare", "`mob: hill` and a bare line `low 3 ml`", say("low {ml}\n", mob="hill"))
both(
    "mobs_field_and_prose",
    "`mob: hill` and in the remark `Low lot done as well.`",
    say("Low lot done as well.", mob="hill"),
)
both("mobs_field_and_sheep_field", "`mob: hill` and `sheep: low`", head(mob="hill", sheep="low"))
both("mobs_one_dash_line", "`- hill, low 3 ml`", say("- hill, low {ml}"))
both(
    "mobs_one_in_name",
    "low in the file name, `mob: hill` in the head",
    lambda s: s.instead(s.bare.but(mob="hill").filed(f"{s.dose.at:%Y-%m-%d} treatment low.md")),
)
both("mobs_second_slips", "`mob: hill, lwo`", head(mob="hill, lwo"))

one_more = family("V2", of="mob_and_one")
one_more("mob_and_name_comma", "`sheep: tups, Teasel`", head(sheep="tups, Teasel"))
one_more("mob_and_name_and", "`sheep: tups and Teasel`", head(sheep="tups and Teasel"))
one_more("mob_and_name_mob", "`mob: tups, Teasel`", head(mob="tups, Teasel"))
one_more("mob_and_name_mob_and", "`mob: tups and Teasel`", head(mob="tups and Teasel"))
one_more("mob_and_name_two_fields", "`mob: tups` and `sheep: Teasel`", head(mob="tups", sheep="Teasel"))
one_more("mob_and_name_line", "`mob: tups` and `- Teasel 3 ml`", say("- Teasel {ml}", mob="tups"))
one_more("mob_and_name_bare", "`mob: tups` and a bare line `Teasel 3 ml`", say("Teasel {ml}\n", mob="tups"))
one_more("mob_and_name_also", "`mob: tups` and `also: Teasel`", head(mob="tups", also="Teasel"))
one_more(
    "mob_and_name_except",
    "`mob: tups`, `except: Teasel`, and `- Teasel 2 ml` since she had less",
    say("- Teasel 2 ml", mob="tups", **{"except": "Teasel"}),
)
one_more(
    "mob_and_name_in_name",
    "Teasel in the file name, `mob: tups` in the head",
    lambda s: s.instead(s.bare.but(mob="tups").filed(f"{s.dose.at:%Y-%m-%d} treatment Teasel.md")),
)
one_more("mob_and_name_prose", "`mob: tups`, and `Teasel had it too.`", say("Teasel had it too.", mob="tups"))


@way("V1", of="mob_but_one", told="`mob: hill` and `except:` the one", price=AT_FOOT)
def mob_except(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(mob="hill", **{"except": spared(scene)}))


@way("V1", of="mob_but_one", told="`except:` her, misspelt", price="whoever the word could mean; " + AT_FOOT)
def mob_except_slip(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(mob="hill", **{"except": spared(scene) + "x"}))


@way("V1", of="mob_but_one", told="`mob: hill except C230`", price=NOBODY)
def mob_except_in_words(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(mob=f"hill except {spared(scene)}"))


@way("V1", of="mob_but_one", told="`mob: hill but not C230`", price=NOBODY)
def mob_but_not(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(mob=f"hill but not {spared(scene)}"))


@way("V1", of="mob_but_one", told="`sheep: all hill but C230`", price=NOBODY)
def all_but(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(sheep=f"all hill but {spared(scene)}"))


@way("V1", of="mob_but_one", told="`mob: hill`, and in the remark that one was not there", price="her too; " + AT_FOOT)
def mob_but_one_in_prose(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(mob="hill").saying(f"{spared(scene)} jumped out and was left."))


@way("V1", of="mob_but_one", told="`except:` names one who was then done alone, as `- TAG` says", price=AT_FOOT)
def except_then_line(scene: Scene) -> Patch:
    both_ = f"{spared(scene)}, {scene.tags[0]}"
    note = scene.bare.but(mob="hill", **{"except": both_})
    return scene.instead(note.saying(f"- {scene.tags[0]} {scene.dose.ml}"))


@way("V1", of="mob_but_one", told="`except:` one who is also named in `sheep:`", price=AT_FOOT)
def except_and_sheep(scene: Scene) -> Patch:
    both_ = f"{spared(scene)}, {scene.tags[0]}"
    return scene.instead(scene.bare.but(mob="hill", sheep=scene.tags[0], **{"except": both_}))


@way("V1", of="mob", told="`except:` with the whole of another mob, which is none of it", price=AT_FOOT)
def except_other_mob(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(mob="hill", **{"except": "low"}))


def spared(scene: Scene) -> str:
    """The one of the hill that was not done, by tag."""
    left = scene.world.pen("hill", scene.dose.at) - scene.dose.who
    return next(scene.world.tag(key, scene.dose.at) for key in scene.world.animals if key in left and "lamb" not in key)


# -- names of mobs

lot = family("V4", of="odd_mob", price=AT_FOOT)
lot("mob_curly_apostrophe", "a curly apostrophe in a mob's name", head(mob="Pike’s lot - far"))
lot("mob_no_apostrophe", "the apostrophe left out", head(mob="Pikes lot - far"))
lot("mob_long_dash", "a long dash in a mob's name", head(mob="Pike's lot – far"))
lot("mob_doubled_blank", "doubled blanks in a mob's name", head(mob="Pike's  lot -  far"))
lot("mob_small", "a mob's name in small letters", head(mob="pike's lot - far"))
lot("mob_grave", "a grave accent for the apostrophe", head(mob="Pike`s lot - far"))
lot("mob_half_name", "only the first half of a mob's name", head(mob="Pike's lot"))
lot("mob_no_break_space", "a no-break space in a mob's name", head(mob="Pike's\u00a0lot - far"))


# -- classes

CLASSES = {
    "ewes": ("ewes", ("ewes", "all ewes", "Ewes", "the ewes", "all the ewes", "every ewe", "females")),
    "rams": ("rams", ("rams", "tups", "the tups", "the boys", "all rams")),
    "wethers": ("wethers", ("wethers", "wedders", "the wethers")),
    "all_lambs": ("lambs", ("lambs", "all lambs", "the lambs", "this year's lambs", "lambs 2026", "young ones")),
    "everybody": (
        "all",
        ("all", "everyone", "everybody", "whole flock", "the lot", "all sheep", "flock", "all of them"),
    ),
}
for kind, (_, words) in CLASSES.items():
    classes = family("V4", of=kind, price="of doubtful sex or age; " + NOBODY)
    for word in words:
        slug = word.replace(" ", "_").replace("'", "").lower() + ("_cap" if word[0].isupper() else "")
        classes(f"class_mob_{slug}", f"`mob: {word}`", head(mob=word))
        classes(f"class_sheep_{slug}", f"`sheep: {word}`", head(sheep=word))
    first = words[0]
    classes(f"class_line_{first}", f"`- {first} 3 ml`", say(f"- {first} {{ml}}"))
    classes(f"class_bare_{first}", f"a bare line `{first} 3 ml`", say(f"{first} {{ml}}\n"))
    classes(f"class_prose_{first}", f"nobody in the head, `Did {words[1]} today.`", say(f"Did {words[1]} today."))


@way("V4", of="all_lambs", told="`mob: lambs`, while a lamb's mother stands in another mob", price="none but lambs")
def lambs_one_by_one_and_class(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(mob="lambs", sheep=scene.tags[0]))


@way(
    "V4",
    of="all_lambs",
    told="`mob: lambs`, and one lamb has a sheep note without a birthday",
    price="who is of doubtful age",
)
def lambs_without_birthday(scene: Scene) -> Patch:
    tag = next((tag for tag in scene.tags if "/" not in tag), "")
    kept = {f"sheep/{tag}.md": f"---\nnote: lamb\ntag: {tag}\nsex: ewe\nmob: low\n---\n"} if tag else {}
    return {**scene.instead(scene.bare.but(mob="lambs")), **kept}


# -- ranges

RANGES = {
    "hyphen": "738-740",
    "en_dash": "738–740",
    "em_dash": "738—740",
    "to": "738 to 740",
    "dots": "738..740",
    "ellipsis": "738…740",
    "slash": "738/740",
    "short": "738-40",
    "shorter": "738-0",
    "spaced": "738 - 740",
    "through": "738 through 740",
    "till": "738 till 740",
    "from": "from 738 to 740",
    "plus_two": "738 + 2",
    "tags": "tags 738-740",
    "last_figures": "38-40",
    "row_of_figures": "738739740",
    "short_list": "738, 39, 40",
    "slash_list": "738/9/40",
    "and_next_two": "738 and next two",
    "arrow": "738 -> 740",
    "underscore": "738_740",
    "backwards": "740-738",
}
ranges = family("V3", of="row", price=NOBODY)
for word, text in RANGES.items():
    ranges(f"range_{word}", f"`sheep: {text}` without a count", head(sheep=text))
ranges("range_counted", "`sheep: 738-740`, counted three", head(sheep="738-740", count="3"))
ranges("range_miscounted", "`sheep: 738-740`, counted four", head(sheep="738-740", count="4"))
ranges("range_on_dash", "`- 738-740 3 ml`", say("- 738-740 {ml}"))
ranges("range_on_bare", "a bare line `738-740 3 ml`", say("738-740 {ml}\n"))
ranges("range_in_mob", "`mob: 738-740`", head(mob="738-740"))
ranges("range_beside_one", "`sheep: 738` and `- 739-740 3 ml`", say("- 739-740 {ml}", sheep="738"))
ranges("range_two_ends_and_words", "`sheep: 738, 740 and the one between`", head(sheep="738, 740 and the one between"))
ranges(
    "range_in_name",
    "`738-740` in the file name only",
    lambda s: s.instead(s.bare.filed(f"{s.dose.at:%Y-%m-%d} treatment 738-740.md")),
)

near = family("V3", of="near_tags", price=NOBODY)
near("range_over_other_tags", "`sheep: 12-115`, meaning the two", head(sheep="12-115"))
near("near_slash", "`sheep: 12/115`", head(sheep="12/115"))
near("near_blank", "`sheep: 12 115`", head(sheep="12 115"))
near("near_line", "`- 12 115 3 ml`", say("- 12 115 {ml}"))
near("near_line_amount", "`- 12, 115, 3 ml`", say("- 12, 115, {ml}"))
near("near_glued", "`sheep: 12,115`", head(sheep="12,115"))
near("near_no", "`sheep: no 12, no 115`", head(sheep="no 12, no 115"))
near("near_bare_numbers", "bare lines `12 3` and `115 3`, without a unit", say("12 3\n115 3\n"))


# -- who stood where

came_or_went = {
    "drafted_after": "one of them sorted out that afternoon",
    "drafted_before": "some sorted in that morning",
    "born_that_day": "a lamb born that morning",
    "bought_that_day": "a ewe bought that morning",
    "foster_dam": "a lamb at the foot of her foster mother",
    "drafted_dam": "a lamb whose mother was sorted in",
    "mob_and_lambs": "lambs done too",
}
for event, words_ in came_or_went.items():
    stood = family("V4", of=event, price=THAT_DAY)
    stood(f"mob_{event}", f"`mob: hill`, {words_}", head(mob="hill"))
    stood(f"mob_sheep_{event}", f"`sheep: hill`, {words_}", head(sheep="hill"))
    stood(f"mob_line_{event}", f"`- hill 3 ml`, {words_}", say("- hill {ml}"))


@way("V4", of="drafted_later", told="`mob: hill`, written up days later, when one had been sorted out", price=THAT_DAY)
def mob_written_late(scene: Scene) -> Patch:
    day = scene.last(Drafted).at + timedelta(days=1)
    return scene.instead(scene.bare.but(mob="hill").filed(f"{day:%Y-%m-%d} treatment late.md"))


@way(
    "V4",
    of="drafted_within",
    told="`mob: hill` for a course of three days, some sorted in on the second",
    price=THAT_DAY,
)
def mob_course(scene: Scene) -> Patch:
    return scene.instead(scene.bare.but(mob="hill"))


@way("V4", of="drafted_within", told="the same, the note dated by its last day", price=THAT_DAY)
def mob_course_last_day(scene: Scene) -> Patch:
    day = scene.dose.moments[-1]
    return scene.instead(scene.bare.but(mob="hill").filed(f"{day:%Y-%m-%d} treatment.md"))


@way("V4", of="drafted_within", told="the same, told as `days: 3` and `finished`", price=THAT_DAY)
def mob_course_finished(scene: Scene) -> Patch:
    end = scene.dose.moments[-1].strftime("%Y-%m-%d")
    return scene.instead(scene.bare.but(mob="hill", given=None, days="3", finished=end))


# -- the notes that say who stood where, written badly; the dose is told as `mob: hill`

BOTH_PLACES = "whoever the damaged note could move is in both places (V5)"
moved = family("V5", of="told_as_mob", place="around", price=BOTH_PLACES)
beyond = family("beyond V5", of="told_as_mob", place="around", price=BOTH_PLACES)  # the rules are silent on remarks
beyond_foster = family("beyond V5", of="foster_dam", price=BOTH_PLACES)
beyond_birth = family("beyond V6", of="born_that_day", price=THAT_DAY)


def draft(scene: Scene) -> tuple[str, Note]:
    """The draft on to the hill."""
    ident = next(item.ident for item in scene.world.happenings if isinstance(item, Drafted) and item.into == "hill")
    return ident, scene.plain.notes[ident]


def redraft(**changes: str | None) -> Make:
    """The draft with other lines."""

    def make(scene: Scene) -> Patch:
        ident, note = draft(scene)
        return scene.changed(ident, note.but(**changes))

    return make


def refile(shape: str) -> Make:
    """The draft under another file name."""

    def make(scene: Scene) -> Patch:
        ident, note = draft(scene)
        return scene.changed(ident, note.filed(shape.format(day=note.file[:10])))

    return make


def garble(old: str, new: str) -> Make:
    """The draft with other characters."""

    def make(scene: Scene) -> Patch:
        _, note = draft(scene)
        return {note.path: note.text.replace(old, new)}

    return make


moved("draft_slip_in_tag", "the tag in the draft note has a slip", garble("C230", "C23O"))
moved("draft_slip_in_mob", "the mob in the draft note has a slip", redraft(into="hil"))
moved("draft_other_word_for_mob", "the draft goes to a word that is no mob's", redraft(into="top"))
moved("draft_nobody", "the draft names nobody", redraft(sheep=None, count=None))
moved("draft_some", "the draft says `sheep: some`", redraft(sheep="some", count=None))
moved("draft_count_only", "the draft says `count: 3` only", redraft(sheep=None))
moved(
    "draft_to_for_into",
    "`to: hill` in place of `into: hill`",
    lambda s: s.changed(draft(s)[0], draft(s)[1].keyed("into", "to")),
)
moved(
    "draft_as_move",
    "a move note to the hill in place of a draft",
    lambda s: s.changed(
        draft(s)[0], draft(s)[1].but(note="move").keyed("into", "to").filed(f"{draft(s)[1].file[:10]} move.md")
    ),
)
moved("draft_misspelt_kind", "`note: darft`", redraft(note="darft"))
moved("draft_no_fence", "the draft's head has no end", garble("---\n", ""))
moved("draft_bracket", "one stray bracket in the draft's head", garble("into: hill", "into: [hill"))
moved("draft_colon_missing", "`into hill`, the colon forgotten", garble("into: hill", "into hill"))
moved("draft_rtf", "the draft saved as .rtf", refile("{day} draft.rtf"))
moved("draft_no_ending", "the draft saved without an ending", refile("{day} draft"))
moved("draft_orig", "only an .orig of the draft is left", refile("{day} draft.md.orig"))
beyond(
    "draft_prose",
    "the draft told in a remark",
    lambda s: {
        draft(s)[1].path: None,
        f"events/2026/{draft(s)[1].file[:10]} remark.md": f"Put {draft(s)[1].value('sheep')} up on the hill.\n",
    },
)
moved(
    "draft_year_ahead",
    "the draft dated a year ahead",
    lambda s: s.changed(draft(s)[0], draft(s)[1].filed("2027" + draft(s)[1].file[4:])),
)
moved("draft_impossible_day", "the draft dated the 31st of June", refile("2026-06-31 draft.md"))
moved("draft_no_day", "the draft note without a day", refile("draft to hill.md"))
moved(
    "draft_names_on_lines",
    "those drafted stand on dash lines",
    lambda s: s.changed(
        draft(s)[0],
        draft(s)[1]
        .but(sheep=None, count=None)
        .saying("".join(f"- {tag}\n" for tag in draft(s)[1].value("sheep").split(", "))),
    ),
)
moved(
    "draft_and",
    "`and` between those drafted",
    lambda s: s.changed(
        draft(s)[0], draft(s)[1].but(sheep=draft(s)[1].value("sheep").replace(", ", " and "), count=None)
    ),
)
moved(
    "draft_copy",
    "the draft lies there twice, `(1)` too",
    lambda s: {draft(s)[1].path.replace(".md", " (1).md"): draft(s)[1].text},
)
moved("draft_ewes", "the draft says `sheep: C230 and the wethers`", redraft(sheep="C230 and the wethers", count=None))
moved(
    "draft_latin",
    "the draft with a byte that is not UTF-8",
    lambda s: {
        draft(s)[1].path: draft(s)[1].text.replace("note: draft", "note: draft\nby: Zo\u00eb").encode("latin-1")
    },
)
moved("member_note_mob_slip", "a ewe's own note says `mob: hil`", lambda s: renote(s, "hil"))
moved("member_note_two_mobs", "a ewe's own note says `mob: hill, low`", lambda s: renote(s, "hill, low"))
moved("member_note_bad_head", "a ewe's own note has a stray bracket at its mob", lambda s: renote(s, "[hill"))
moved(
    "member_note_rtf",
    "a ewe's own note is saved as .rtf",
    lambda s: {member(s)[1].path: None, member(s)[1].path.replace(".md", ".rtf"): member(s)[1].text},
)
moved(
    "member_note_no_kind",
    "a ewe's own note lost its `note:`",
    lambda s: s.changed(member(s)[0], member(s)[1].but(note=None)),
)
moved(
    "lamb_note_other_mob",
    "a lamb done at foot gets a sheep note later, with another mob",
    lambda s: lamb_note(s, "low"),
)
moved(
    "lamb_note_odd_mob",
    "a lamb done at foot gets a sheep note later, with a mob nobody knows",
    lambda s: lamb_note(s, "shed"),
)
moved("mob_note_missing", "the mob's own note is gone", lambda s: {s.plain.notes["mob hill"].path: None})
moved(
    "mob_note_slip",
    "the mob's own note names it `Hil`",
    lambda s: s.changed("mob hill", s.plain.notes["mob hill"].but(name="Hil")),
)


def member(scene: Scene) -> tuple[str, Note]:
    """The note of a ewe that always stood on the hill."""
    for key in scene.keys:
        note = scene.plain.notes.get(f"sheep {key}")
        if note and scene.world.animals[key].mob == "hill":
            return f"sheep {key}", note
    raise Unfit("nobody began on the hill")


def renote(scene: Scene, mob: str | None) -> Patch:
    """Her note with another mob."""
    ident, note = member(scene)
    return scene.changed(ident, note.but(mob=mob))


def lamb_note(scene: Scene, mob: str) -> Patch:
    """A sheep note for a tagged lamb that was done."""
    for key in scene.keys:
        animal = scene.world.animals[key]
        if animal.dam and animal.tag:
            head_ = f"note: {animal.sex}\ntag: {animal.tag}\nborn: {animal.born}\nmob: {mob}\n"
            return {f"sheep/{animal.tag}.md": f"---\n{head_}---\n"}
    raise Unfit("no lamb with a tag was done")


fostered = family("V5", of="foster_dam", price=BOTH_PLACES)


def with_foster(change: Make) -> Make:
    """The dose as `mob: hill`, and the foster note changed."""
    return lambda scene: {**scene.instead(scene.bare.but(mob="hill")), **change(scene)}


def foster(scene: Scene) -> Note:
    """The foster note."""
    return scene.plain.notes[scene.last(Fostered).ident]


def refoster(**changes: str | None) -> Make:
    """The foster note with other lines."""

    def make(scene: Scene) -> Patch:
        ident = scene.last(Fostered).ident
        return scene.changed(ident, scene.plain.notes[ident].but(**changes))

    return make


fostered("foster_slip", "the foster note misspells the ewe", with_foster(refoster(onto="Brmable")))
fostered("foster_nobody", "the foster note names no ewe", with_foster(refoster(onto=None)))
fostered("foster_lamb_in_words", "the foster note says `lamb: the wee one`", with_foster(refoster(lamb="the wee one")))
fostered("foster_kind_slip", "`note: fostr`", with_foster(refoster(note="fostr")))
fostered(
    "foster_to",
    "`to:` in place of `onto:`",
    with_foster(lambda s: s.changed(s.last(Fostered).ident, s.plain.notes[s.last(Fostered).ident].keyed("onto", "to"))),
)
beyond_foster(
    "foster_prose",
    "the fostering told in a remark",
    with_foster(
        lambda s: {
            foster(s).path: None,
            f"events/2026/{s.last(Fostered).at:%Y-%m-%d} remark.md": (
                f"Set {foster(s).value('lamb')} on to {foster(s).value('onto')}.\n"
            ),
        }
    ),
)
fostered(
    "foster_odt",
    "the foster note saved as .odt text",
    with_foster(
        lambda s: {
            s.plain.notes[s.last(Fostered).ident].path: None,
            s.plain.notes[s.last(Fostered).ident].path.replace(".md", ".rtf"): s.plain.notes[
                s.last(Fostered).ident
            ].text,
        }
    ),
)

bought = family("V5", of="bought_that_day", price=BOTH_PLACES)
beyond_purchase = family("beyond V5", of="bought_that_day", price=BOTH_PLACES)


def with_purchase(change: Make) -> Make:
    """The dose as `mob: hill`, and the purchase changed."""
    return lambda scene: {**scene.instead(scene.bare.but(mob="hill")), **change(scene)}


def rebuy(**changes: str | None) -> Make:
    """The purchase with other lines."""

    def make(scene: Scene) -> Patch:
        ident = scene.last(Bought).ident
        return scene.changed(ident, scene.plain.notes[ident].but(**changes))

    return make


bought("purchase_mob_slip", "the purchase goes into `hil`", with_purchase(rebuy(into="hil")))
beyond_purchase("purchase_no_mob", "the purchase says of no mob", with_purchase(rebuy(into=None)))
bought("purchase_mob_for_into", "`mob: hill` in the purchase", with_purchase(rebuy(into=None, mob="hill")))
bought(
    "purchase_undashed",
    "the bought ewe stands on an undashed line",
    with_purchase(
        lambda s: s.changed(
            s.last(Bought).ident,
            s.plain.notes[s.last(Bought).ident].saying(s.plain.notes[s.last(Bought).ident].body.removeprefix("- ")),
        )
    ),
)
bought(
    "purchase_in_head",
    "the bought ewe stands in `sheep:`",
    with_purchase(
        lambda s: s.changed(
            s.last(Bought).ident, s.plain.notes[s.last(Bought).ident].but(sheep="N501 Plover").saying("")
        )
    ),
)
bought(
    "purchase_and_sheep_note",
    "the ewe has a sheep note too, with another mob",
    with_purchase(
        lambda s: {
            "sheep/N501 Plover.md": note_text(
                {
                    "note": "ewe",
                    "tag": "N501",
                    "name": "Plover",
                    "bought": f"{s.last(Bought).at:%Y-%m-%d}",
                    "mob": "low",
                }
            )
        }
    ),
)

born = family("V6", of="born_that_day", price=THAT_DAY)


def with_birth(change: Make) -> Make:
    """The dose as `mob: hill`, and the lambing changed."""
    return lambda scene: {**scene.instead(scene.bare.but(mob="hill")), **change(scene)}


def birth_note(scene: Scene) -> tuple[str, Note]:
    """The note of the lambing of that day."""
    ident = scene.last(Born).ident
    return ident, scene.plain.notes[ident]


born(
    "birth_undashed",
    "the lamb stands on an undashed line",
    with_birth(
        lambda s: s.changed(birth_note(s)[0], birth_note(s)[1].saying(birth_note(s)[1].body.removeprefix("- ")))
    ),
)
beyond_birth(
    "birth_in_prose",
    "the lambing tells of the lamb in prose only",
    with_birth(lambda s: s.changed(birth_note(s)[0], birth_note(s)[1].saying("A single, up and sucking by six."))),
)
