"""More doses than a treatment writes as given, as people tell of them in passing; and words that only sound like it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.flockbook.medicine.test_as_people_jot import state, treatment

TOLD = """
Gave the second one on the 4th.
Second jab Thursday.
Also on Thursday.
And Thursday.
Thursday as well.
Same dose Thursday.
Topped up on Thursday.
Needs another in 2 days
Another due Thursday, done.
Finished Friday.
Last jab Friday.
Final one 5 Jun.
Until Friday.
till the 6th
through to Friday
for 3 days
3 days running
three mornings running
3 in a row
every morning
each morning this week
twice a day
b.i.d.
bid x 3
2x daily
1x daily 3d
3/7
5/7
q48h
SID 3 days
alternate days
on alternate days, 3 times
Mon Wed Fri
Mon/Wed/Fri
M W F
days 1,3,5
d1 d3 d5
D0, D2
again after milking
again this evening
again tonight
pm too
am & pm
a.m. and p.m.
morning and night
night and morning
evening as well
still going
carry on till better
ongoing
continuing
course to finish
whole course
full course
3-day course
course of three
3 shots
3 jabs in all
3 injections
had three
split over two days
half today half tomorrow
half now, half in two days
rest of it on Thursday
the rest tomorrow
repeat 48 hrs
rpt 48h
rpt Thurs
rep. 4/6
rep in 2d
R 2d
redose 4/6
redo Thursday
re-do on 4th
x 2
x3
(x3)
2nd 4/6
2nd dose 4 Jun
2nd: 4 Jun
3rd done 6th
2 more to go
1 of 3 done
one down two to go
next on Thursday
next one due 4 Jun, given
follow up given
follow-up Thursday
booster 4 Jun
had to do her again
did it again Thursday
went back on the 4th
came back to it on the 4th
missed the 3rd, did the 4th
skipped a day then finished
vet came Thursday and gave the second
vet repeated it
Una did the second
Una gave her another
Una did it again
she had it again
not better, gave more
no better so gave again
no better 4th, same again
no change, repeated
worse on 4th, jabbed again
still lame 5th so another
better after the second
better after two
better after 3 doses
cleared up after the third
3rd jab did it
stopped after 3 days
stopped on the 6th
gave until 6th
Given 2nd, 3rd and 4th.
2,3,4 June
2-4 June
2 to 4 June
June 2-4
2/6, 4/6
2.6. und 4.6.
2 & 4 June
from 2 June to 5 June
started 2 June
begun 2 June, 4 days
day one of four
Tag 1 von 3
1/3
dose 1/3
jab 1 of 3
#1 of 3
first jab
first go
first half
started her on it
put her on it
on it for the week
for the week
all week
most of the week
a week of it
10 days of it
two weeks
fortnight
weekly
monthly
every 12 hours
12 hourly
12h apart
8 hourly for 2 days
1 ml every day
1 ml a day
1 ml daily
1 ml/day
3 ml then 2 ml next day
3 ml Tue 2 ml Wed
3 ml, later 3 ml
6 ml in two goes
two goes
two lots
2 lots of 3 ml
twice
thrice
3 times
a couple of times
several days
a few days
few more days
some days
couple of days
until scour stopped
as needed
when needed
p.r.n.
on and off
""".strip().split("\n")
HARMLESS = """
Lame since Monday.
Noticed her on Sunday, limping.
Off her feed a few days.
Near hind again.
Same foot as last year.
Second time this year she is lame.
She is three days old.
Lambed two days ago.
Check her Thursday.
Vet coming Thursday.
Kept in until dry.
Weigh again in two weeks.
If no better ring the vet.
No second dose needed.
One dose only.
Single dose.
Once only.
Took the needle well.
Bit the syringe.
On a hot day, slow work.
All day job.
Left the gate open.
Bottle half empty.
Two doses left in the bottle.
Bought a new bottle on Friday.
Vet's advice by phone.
Temperature 40.2.
Foot smelt bad, trimmed both.
Blue mark on the rump.
Half asleep when I did this.
Better by evening.
Well again in the morning.
Back with the others at night.
Put her back on the hill.
Kept her in overnight.
She will be right in a week.
Of course she kicked.
The course by the river is wet.
Turned out the next morning.
Running nose.
Eyes running.
Lambs were running about.
Milk drying up.
Had two lambs in April.
Two lambs at foot.
Last jab was in March.
Last treated last autumn.
Same as last year.
Third ewe this week with feet.
First case this year.
Weighed on Monday at 62.
Feet bathed yesterday.
Drenched before turnout.
Fifth day of rain.
Days are short.
Took half an hour.
Every one of them kicked.
Hot and swollen, near fore.
""".strip().split("\n")
AFTER_ONE = "2026-06-18"  # a day on which a single dose of 2 June would be over


@pytest.mark.parametrize("words", TOLD)
@pytest.mark.parametrize("where", ["body", "for", "line"])
def test_a_course_in_words_is_not_over_with_its_first_dose(tmp_path: Path, where: str, words: str) -> None:
    """Whoever had more doses than one is not clear when one would be over, wherever the words stand."""
    files = {
        "body": treatment("sheep: Bramble\n", f"{words}\n", medicine="short drench"),
        "for": treatment(f"sheep: Bramble\nfor: scour, {words}\n", medicine="short drench"),
        "line": treatment("", f"- Bramble 3 ml {words}\n", medicine="short drench"),
    }[where]
    assert state(tmp_path, files, "C214", AFTER_ONE) != "clear"


@pytest.mark.parametrize("words", HARMLESS)
def test_words_of_her_state_are_no_course(tmp_path: Path, words: str) -> None:
    """How long she was lame, what she did in the pen and what the vet said count no doses."""
    files = treatment("sheep: Bramble\n", f"{words}\n", medicine="short drench")
    assert state(tmp_path, files, "C214", AFTER_ONE) == "clear"
