"""Days and hours written badly: late, ahead, in another month or year, in words, or not at all (V9, W1 to W5, W10)."""

from __future__ import annotations

from datetime import datetime, timedelta

from tests.truth.ways import Make, Patch, Scene, family, using, way

UNKNOWN = "unknown until the day is sure; whoever the day could then mean"
LATE = "whoever stood there on the days between"


def days(at: datetime) -> dict[str, str]:
    """A moment in every spelling."""
    return {
        "iso": f"{at:%Y-%m-%d}",
        "clock": f"{at:%H:%M}",
        "d": str(at.day),
        "mon": f"{at:%b}",
        "month": f"{at:%B}",
        "y": f"{at:%Y}",
        "yy": f"{at:%y}",
        "m": str(at.month),
        "dd": f"{at:%d}",
        "mm": f"{at:%m}",
        "h": str(at.hour),
        "hm": f"{at:%H%M}",
        "dot": f"{at:%H.%M}",
        "weekday": f"{at:%A}",
        "min": f"{at:%M}",
    }


def given(text: str) -> Make:
    """`given:` in other words."""
    return lambda scene: scene.instead(scene.note.but(given=text.format(**days(scene.dose.at))))


one = family("W1", of="one", price=UNKNOWN)
for word, text in {
    "words": "{d} {mon} {clock}",
    "long": "{d} {month} {y} {clock}",
    "month_first": "{mon} {d} {clock}",
    "slashes": "{d}/{m}/{y} {clock}",
    "short_slashes": "{d}/{m} {clock}",
    "dots": "{d}.{m}.{y} {clock}",
    "short_year": "{d}/{m}/{yy}",
    "ordinal": "{d}th {mon}",
    "weekday": "{weekday} {d} {mon}",
    "weekday_only": "{weekday}",
    "no_blank": "{iso}T{clock}",
    "zone": "{iso} {clock}Z",
    "offset": "{iso}T{clock}+01:00",
    "at": "{iso} at {clock}",
    "dot_time": "{iso} {dot}",
    "glued_time": "{iso} {hm}",
    "am": "{iso} {h}:{min} am",
    "h": "{iso} {h}h{min}",
    "morning": "{iso} morning",
    "clock_only": "{clock}",
    "clock_first": "{clock} {iso}",
    "today": "today",
    "same": "same day",
    "about": "about {iso}",
    "question": "{iso}?",
    "blank": "",
    "dash": "-",
    "yes": "yes",
    "iso_short": "{y}-{m}-{d}",
    "year_last": "{dd}-{mm}-{y}",
    "glued": "{y}{mm}{dd}",
    "quoted": '"{iso} {clock}"',
    "square": "[{iso}]",
    "comma": "{iso},",
    "midnight": "{iso} 24:00",
    "hour_25": "{iso} 25:10",
    "seconds": "{iso} {clock}:30",
    "no_year": "{mm}-{dd}",
    "two_words": "{d} of {month}",
    "letter_o": "2O26-{mm}-{dd}",
    "twelve_hour": "{iso} {h}:{min}am",
    "noon": "{iso} noon",
    "slash_iso": "{y}/{mm}/{dd}",
}.items():
    one(f"given_{word}", f"`given: {text}`", given(text))

one(
    "given_yesterday",
    "`given: yesterday`, in a file of the next day",
    lambda s: s.instead(s.note.but(given="yesterday").filed(f"{s.dose.at + timedelta(days=1):%Y-%m-%d} treatment.md")),
)
one("given_us", "`given:` with the month first, where the other reading is no day or far off", lambda s: us(s))
one("given_missing", "no `given:`; the file name has the day", lambda s: s.instead(s.note.but(given=None)))
one(
    "given_missing_day_only",
    "no `given:`; the file name has the day without the time",
    lambda s: s.instead(s.note.but(given=None).filed(f"{s.dose.at:%Y-%m-%d} treatment.md")),
)
one("given_for_on", "`on:` for `given:`", lambda s: s.instead(s.note.keyed("given", "on")))
one("given_for_when", "`when:` for `given:`", lambda s: s.instead(s.note.keyed("given", "when")))
one("given_slip", "`givne:`", lambda s: s.instead(s.note.keyed("given", "givne")))
one(
    "given_in_body",
    "the day told in the remark only, the file dated days later",
    lambda s: s.instead(
        s.note.but(given=None)
        .filed(f"{later(s, 3):%Y-%m-%d} treatment.md")
        .saying(f"Given on {s.dose.at.day} {s.dose.at:%b}.")
    ),
)
one(
    "given_twice",
    "two `given:` lines",
    lambda s: s.raw(s.note.path, s.note.text.replace("given: ", "given: 2026-01-02\ngiven: ")),
)
one(
    "given_time_in_name_differs",
    "another time in the file name than in `given:`",
    lambda s: s.instead(s.note.filed(f"{s.dose.at:%Y-%m-%d} 2200 treatment.md")),
)
one("given_start_for_given", "`started:` for `given:`", lambda s: s.instead(s.note.keyed("given", "started")))


def us(scene: Scene) -> Patch:
    """Month first; as it should be where the other reading would be a good day near by, which nobody could find out."""
    at = scene.dose.at
    near = at.day <= 12 and abs(at.replace(month=at.day, day=at.month) - at) <= timedelta(days=60)
    return scene.instead(scene.note if near else scene.note.but(given=f"{at.month}/{at.day}/{at.year}"))


def later(scene: Scene, count: int) -> datetime:
    """So many days after the dose, but not after the moment asked about."""
    return min(scene.dose.at + timedelta(days=count), scene.world.on)


def shifted(count: int, **changes: str | None) -> Make:
    """The note dated by another day, with other lines."""

    def make(scene: Scene) -> Patch:
        day = scene.dose.at + timedelta(days=count)
        return scene.instead(scene.note.but(**changes).filed(f"{day:%Y-%m-%d} treatment.md"))

    return make


slack = family("V9", of="one_long", price=UNKNOWN)
beyond_slack = family("beyond V9", of="one_long", price=UNKNOWN)  # words that the rule does not list
beyond = family("beyond V9", of="course", price=UNKNOWN)
LISTED = {"again", "repeat", "same", "again_both", "ticks", "dates", "lines", "amounts"}
slack("late_week", "written up a week late, `given:` is right", shifted(7))
slack("late_relative", "a week late, `given: last Tuesday`", shifted(7, given="last Tuesday"))
slack("late_days_ago", "a week late, `given: 7 days ago`", shifted(7, given="7 days ago"))
slack(
    "late_no_year",
    "a week late, the year left out of `given:`",
    lambda s: s.instead(
        s.note.but(given=f"{s.dose.at.day} {s.dose.at:%b}").filed(
            f"{s.dose.at + timedelta(days=7):%Y-%m-%d} treatment.md"
        )
    ),
)
slack("early_note", "the note dated a week before `given:`", shifted(-7))
slack("note_ahead", "the note dated two months ahead by a slip, `given:` is right", shifted(61))
slack("note_year_ahead", "the note dated a year ahead by a slip, `given:` is right", shifted(365))
slack("note_year_back", "the note dated a year back by a slip, `given:` is right", shifted(-365))
slack(
    "note_hundred_back",
    "the note dated 1926 by a slip, `given:` is right",
    lambda s: s.instead(s.note.filed(f"1926-{s.dose.at:%m-%d} treatment.md")),
)
slack(
    "given_month_back",
    "`given:` in the wrong month, three months before the note",
    lambda s: s.instead(s.note.but(given=f"{s.dose.at - timedelta(days=92):%Y-%m-%d}")),
)
slack(
    "given_year_back",
    "`given:` in last year by a slip",
    lambda s: s.instead(s.note.but(given=f"{s.dose.at - timedelta(days=365):%Y-%m-%d}")),
)
slack(
    "given_month_ahead",
    "`given:` in a month that is yet to come",
    lambda s: s.instead(s.note.but(given=f"{s.dose.at + timedelta(days=122):%Y-%m-%d}")),
)
slack(
    "given_year_ahead",
    "`given:` in next year by a slip",
    lambda s: s.instead(s.note.but(given=f"{s.dose.at + timedelta(days=365):%Y-%m-%d}")),
)
slack("given_impossible", "`given:` on the 31st of June", lambda s: s.instead(s.note.but(given="2026-06-31")))
slack(
    "given_and_date_differ",
    "a `date:` a week later than `given:`",
    lambda s: s.instead(s.note.but(date=f"{s.dose.at + timedelta(days=7):%Y-%m-%d}")),
)
slack(
    "date_field_only",
    "`date:` in the head says the day, the file name another",
    lambda s: s.instead(
        s.note.but(given=None, date=f"{s.dose.at:%Y-%m-%d}").filed(
            f"{s.dose.at - timedelta(days=30):%Y-%m-%d} treatment.md"
        )
    ),
)
slack(
    "folder_year_differs",
    "the file lies in the folder of 2024",
    lambda s: s.raw(s.note.path.replace("events/2026", "events/2024"), s.note.text),
)
slack(
    "no_year_in_old_folder",
    "`given: 2 Jun`, no day in the file name, in the folder of 2024",
    lambda s: s.raw("events/2024/treatment.md", s.note.but(given=f"{s.dose.at.day} {s.dose.at:%b}").text),
)
for word, sentence in {
    "again": "Again yesterday.",
    "repeat": "Repeat in a week: done.",
    "same": "Same on the {d} as well.",
    "second": "Second dose {d} {mon}.",
    "twice": "Had it twice, the last on {d} {mon}.",
    "dose_two": "2nd dose given {d}/{m}.",
    "top_up": "Topped her up on {iso}.",
    "another": "Another 3 ml on {d} {mon}.",
}.items():
    (slack if word in LISTED else beyond_slack)(
        f"prose_{word}_day",
        f"the day in `given:` is long past; the last dose stands in the remark: {sentence!r}",
        using(
            sentence,
            lambda s, t: s.instead(
                s.note.but(given=f"{s.dose.at - timedelta(days=9):%Y-%m-%d}").saying(t.format(**days(s.dose.at)))
            ),
        ),
    )

course = family("W5", of="course", price=UNKNOWN)


def told(text: str, **changes: str | None) -> Make:
    """A course in other words: first, second and last day, in every spelling."""

    def make(scene: Scene) -> Patch:
        return scene.instead(scene.note.but(given=spelt(scene, text), **changes))

    return make


def spelt(scene: Scene, text: str) -> str:
    """A text with the days of a course in it."""
    marks = {f"{key}{turn}": value for turn, at in enumerate(scene.dose.moments) for key, value in days(at).items()}
    return text.format(**marks)


for word, text in {
    "range": "{iso0} - {iso2}",
    "range_to": "{iso0} to {iso2}",
    "range_dots": "{iso0}..{iso2}",
    "range_slash": "{iso0}/{iso2}",
    "range_short": "{d0}-{d2} {mon2}",
    "and": "{iso0}, {iso1} and {iso2}",
    "ampersand": "{iso0} & {iso1} & {iso2}",
    "semicolon": "{iso0}; {iso1}; {iso2}",
    "blank": "{iso0} {iso1} {iso2}",
    "slash": "{iso0} / {iso1} / {iso2}",
    "plus": "{iso0} + {iso1} + {iso2}",
    "short_days": "{d0}, {d1}, {d2} {mon2}",
    "short_days_and": "{d0}, {d1} & {d2} {mon2}",
    "month_once": "{d0} {mon0}, {d1}, {d2}",
    "back": "{iso2}, {iso1}, {iso0}",
    "first_then_days": "{iso0}, next day, day after",
    "x3": "{iso0} x 3",
    "days_from": "3 days from {iso0}",
    "daily": "{iso0} daily till {iso2}",
    "list": "\n  - {iso0}\n  - {iso1}\n  - {iso2}",
    "square": "[{iso0}, {iso1}, {iso2}]",
    "lines": "{iso0},\n  {iso1},\n  {iso2}",
    "plus_two": "{iso0} +2",
    "last_slip": "{iso0}, {iso1}, {y2}-{mm2}-3{d2}",
    "last_cut": "{iso0}, {iso1}, {y2}-{mm2}",
    "trailing": "{iso0}, {iso1}, {iso2},",
    "first_only_and_words": "{iso0} and the two days after",
}.items():
    course(f"course_{word}", f"`given: {text}`", told(text))

FIRST = "{iso0} {clock0}"
course("course_days", "`given:` the first, `days: 3`", told(FIRST, days="3"))
course("course_days_only", "`days: 3` and no `given:`", lambda s: s.instead(s.note.but(given=None, days="3")))
course(
    "course_finished",
    "`days: 3`, `finished:` the last day",
    lambda s: s.instead(s.note.but(given=None, days="3", finished=spelt(s, "{iso2}"))),
)
course(
    "course_finished_early",
    "`finished:` before the first dose, by a slip",
    lambda s: s.instead(
        s.note.but(given=spelt(s, FIRST), days="3", finished=f"{s.dose.at - timedelta(days=20):%Y-%m-%d}")
    ),
)
course(
    "course_finished_same_day",
    "`days: 3`, `finished:` the first day, by a slip",
    lambda s: s.instead(s.note.but(given=None, days="3", finished=spelt(s, "{iso0}"))),
)
course(
    "course_finished_yes",
    "`days: 3`, `finished: yes`",
    lambda s: s.instead(s.note.but(given=spelt(s, FIRST), days="3", finished="yes")),
)
course("course_three_days_words", "`days: three`", told(FIRST, days="three"))
course("course_days_unit", "`days: 3 days`", told(FIRST, days="3 days"))
beyond("course_for", "`for: 3 days`", told(FIRST, **{"for": "3 days"}))
course(
    "course_dose_says_days",
    "`dose: 3 ml x 3 days`",
    lambda s: s.instead(s.note.but(given=spelt(s, FIRST), dose=f"{s.dose.ml} x 3 days")),
)
course(
    "course_dose_daily",
    "`dose: 3 ml daily`",
    lambda s: s.instead(s.note.but(given=spelt(s, FIRST), dose=f"{s.dose.ml} daily")),
)
for word, sentence in {
    "again_both": "Again {d1} and {d2}.",
    "then": "Then the next two nights.",
    "till": "Daily till {d2} {mon2}.",
    "three_days": "Three days running.",
    "last": "Last one {d2} {mon2}.",
    "ticks": "- {d1} {mon1} done\n- {d2} {mon2} done",
    "dates": "{iso1}\n{iso2}",
    "lines": "- {iso1} {clock1}\n- {iso2} {clock2}",
    "repeat": "Repeated twice.",
    "same": "Same next two days.",
    "amounts": "- {d1} {mon1} 3 ml\n- {d2} {mon2} 3 ml",
    "day_numbers": "day 2 ok\nday 3 ok",
    "finished": "Finished {d2} {mon2}.",
}.items():
    (course if word in LISTED else beyond)(
        f"course_prose_{word}",
        f"`given:` the first; the others in the body: {sentence!r}",
        using(sentence, lambda s, t: s.instead(s.note.but(given=spelt(s, FIRST)).saying(spelt(s, t)))),
    )
beyond(
    "course_remark_after",
    "`given:` the first; a remark on the last day: `Third jab done.`",
    lambda s: {
        **s.instead(s.note.but(given=spelt(s, FIRST))),
        f"events/2026/{s.dose.moments[-1]:%Y-%m-%d} remark {s.tags[0]}.md": "Third jab done.\n",
    },
)
course(
    "course_remark_no_verb",
    "`given:` the first; remarks on the other days: `3 ml again.`",
    lambda s: {
        **s.instead(s.note.but(given=spelt(s, FIRST))),
        f"events/2026/{s.dose.moments[-1]:%Y-%m-%d} remark {s.tags[0]}.md": f"{s.dose.ml} again.\n",
    },
)
course(
    "course_three_notes",
    "three notes, one a day",
    lambda s: s.instead(*(s.note.but(given=None).filed(f"{at:%Y-%m-%d %H%M} treatment.md") for at in s.dose.moments)),
)
course(
    "course_second_note_again",
    "a second note that says `medicine: same`",
    lambda s: s.instead(
        s.note.but(given=spelt(s, FIRST)),
        s.note.but(given=None, medicine="same").filed(f"{s.dose.moments[-1]:%Y-%m-%d} treatment again.md"),
    ),
)
course(
    "course_second_note_bare",
    "a second note that says only who and `again`",
    lambda s: s.instead(
        s.note.but(given=spelt(s, FIRST)),
        s.bare.but(note="treatment", sheep=s.tags[0], given=None, medicine=None, dose=None)
        .saying("Again.")
        .filed(f"{s.dose.moments[-1]:%Y-%m-%d} treatment again.md"),
    ),
)
course(
    "course_note_dated_last",
    "the note dated by its last day, `given:` the first",
    lambda s: s.instead(
        s.note.but(given=spelt(s, FIRST), days="3").filed(f"{s.dose.moments[-1]:%Y-%m-%d} treatment.md")
    ),
)
course(
    "course_planned_ahead",
    "written on the first day, `given:` with all three days, as planned",
    lambda s: s.instead(s.note.filed(f"{s.dose.at:%Y-%m-%d} treatment.md")),
)

year = family("V9", of="new_year", price=UNKNOWN)
year(
    "new_year_plain",
    "two days before new year, told by day and month only",
    lambda s: s.instead(s.note.but(given=f"{s.dose.at.day} Dec")),
)
year(
    "new_year_late",
    "written on the 2nd of January, `given: 30 Dec` without a year",
    lambda s: s.raw("events/2026/2026-01-02 treatment.md", s.note.but(given=f"{s.dose.at.day} Dec").text),
)
year(
    "new_year_late_full",
    "written on the 2nd of January, with the year",
    lambda s: s.raw("events/2026/2026-01-02 treatment.md", s.note.text),
)
year(
    "new_year_wrong_year",
    "written on the 2nd of January as of 2026, by habit of the new year",
    lambda s: s.raw("events/2026/2026-01-02 treatment.md", s.note.but(given=f"{s.dose.at:2026-%m-%d}").text),
)
year(
    "new_year_prose",
    "in a remark of the 2nd of January: `Dosed C230 and Bramble on the 30th.`",
    lambda s: s.raw(
        "events/2026/2026-01-02 remark.md", f"Dosed {s.names[0]} and {s.names[1]} on the 30th, {s.dose.medicine}.\n"
    ),
)

clocks = family("W10", of="clocks", price=UNKNOWN)
clocks("clocks_plain", "the evening before the clocks go forward, 96 h to wait", lambda s: s.instead(s.note))
clocks(
    "clocks_day_only",
    "the same, without the time",
    lambda s: s.instead(s.note.but(given=f"{s.dose.at:%Y-%m-%d}").filed(f"{s.dose.at:%Y-%m-%d} treatment.md")),
)
clocks(
    "clocks_lost_hour",
    "given at half past one in the night, an hour that does not exist",
    lambda s: s.instead(s.note.but(given="2026-03-29 01:30")),
)


@way("V9", of="one_long", told="two notes of the same dose, a month apart by a slip in one", price=UNKNOWN)
def told_twice_month_apart(scene: Scene) -> Patch:
    back = scene.dose.at - timedelta(days=30)
    other = scene.note.but(given=f"{back:%Y-%m-%d}").filed(f"{back:%Y-%m-%d} treatment.md")
    return scene.instead(scene.note, other)


@way("W2", of="one", told="`given:` in the future by an hour: the clock of the phone is fast")
def clock_fast(scene: Scene) -> Patch:
    soon = scene.world.on + timedelta(hours=1)
    return scene.instead(scene.note.but(given=f"{soon:%Y-%m-%d %H:%M}").filed(f"{scene.dose.at:%Y-%m-%d} treatment.md"))
