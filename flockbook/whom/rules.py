"""The rules V1 to V14 in words: whom a dose concerns. Until when it holds stands in the rules W1 to W13,
`flockbook/derive/medicine/guard_rules.py`.
"""

from __future__ import annotations

ANSWERS = (
    "For each note, file and field that has to do with a medicine, each sheep is one of three: surely dosed, "
    "doubtful (the words could mean her), or not concerned. Clear is only who is not concerned by any open doubt "
    "and past the time of every dose. A doubt only about whom ends when that dose itself would end; a doubt about "
    "what was given, or when, has no end until the note is mended. While there is a doubt it stands on top of "
    "the first page, with the line and what to type."
)
RULE_TEXTS = {
    "V1": "Everything in a treatment that names sheep counts, and nothing replaces anything else: `sheep`, `mob`, "
    "lines of the note, tables, the name of the file, fields that the book does not know. `except` only takes away "
    "from mobs and classes, by exact names. A file name and a head that name different sheep hold all of them. "
    "Another sheep in the words of the note (“Also Teasel.”) is asked about and held meanwhile. A line of few words "
    "with an amount is one of doses, also without a dash and when nobody is called so.",
    "V2": "Lists part at commas, “and”, “&”, “+”, “/” and line ends where every part is a known sheep, mob or "
    "class. If a whole name has such a joint in it and both readings exist, both are meant.",
    "V3": "A word that fits several means all of them. A word that names nobody is narrowed to one sheep only if "
    "it is a name of four letters or more, exactly one bearer lies one slip away, and no other note uses the word. A "
    "tag with figures is never narrowed. Everything else could be the whole flock of those days. “And tup”, “and ewe "
    "lamb” without a name is any of that kind, or a lamb of the ewe before.",
    "V4": "A mob or a class: its members from the first dose to the last, with who came or went on those days, "
    "and the unweaned lambs at the foot of a mob's members, up to 120 days old. `except: lambs` takes lambs at foot "
    "off. “Hill ewes” are the ewes of the mob hill. "
    "Where sex or age leaves open whether a sheep belongs to a class, it is doubtful.",
    "V5": "Where a sheep stood: a mob on its own note without a date is where it began. Where two notes say two "
    "places for one day, or a note that moves sheep cannot be read whole, whoever it could move was in both. A move "
    "told in passing (“Salt to hill.”, “Put hill and low together.”) counts too, and so do an earlier day or an end "
    "that the words of a draft tell, a mob under which a sheep was weighed or counted, and a birth or purchase "
    "written up late: who is weighed, moved or lambs before the day on which it is written as come was there. A lamb "
    "whose dam is not known may be at any foot until it is weaned. A lamb may be wherever its dam or foster dam stood "
    "while it sucked, until a note moves it; whoever may be in a mob goes along when all of it is moved. A line of the "
    "inbox moves its sheep before it is filed, and a correction that strikes nothing leaves those of its note where "
    "they were as well. A bought sheep that no note places may stand in any mob, and "
    "where more are counted in a mob than belong there anybody may stand in it, from that day until a count agrees.",
    "V6": "Who she is: tag, former tags, name, former names, official and electronic number, paint number and "
    "“Bramble's ewe lamb” lead to one sheep, also before the note that gives the tag. “Gimmer C214” and “731's dam” "
    "ask about the lamb and the dam too. Two records that could be one "
    "sheep share their holds.",
    "V7": "Files that are not read: each file under the notes folder is accounted for. One that speaks of a "
    "treatment or a product of the cupboard, and has a date or a sheep, holds whom it could mean; so do a note in a "
    "hidden folder, a link to a file elsewhere, and a remark in the settings that names a sheep. `skip` hides nothing "
    "of the kind.",
    "V8": "A dose told in a note of another kind (a remark, a lambing, a column of a weighing) is asked about and "
    "holds the sheep in it, and whom the note is about unless somebody else stands straight at the words of the dose "
    "(“Drenched Teasel.”, not “Jabbed, put in with Teasel.”); words that name nobody, or say who was left out, hold "
    "everybody whom the note can mean. A treatment of the same product within seven days answers that names them and "
    "reaches to the day of the words, or `not dosed` does. A wait that is told without its dose is a dose told.",
    "V9": "When: a dose more than 60 days before its note, a course finished before it is full, a note dated "
    "ahead or in the folder of another year; “again”, “daily”, “three jabs”, “for a week”, another day or weekday in "
    "its words: unknown until every dose stands under `given` or `dates sure: yes` is written. Where "
    "the words of a mob's treatment tell of another day, whoever stood in it on that day is asked about.",
    "V10": "A correction must lead to exactly one note, else nothing is struck. A sheep, or a later day, that the "
    "correction lacks stays held until `not dosed` names it.",
    "V11": "Several notes of one medicine: the longest of each period. One of them in doubt, a second product in the "
    "words of a treatment, or a longer wait there (“Vet says 56 days.”): unknown.",
    "V12": "The dose is judged for each sheep by itself, in groups too: over twice her own dose by the label, or "
    "a rate over the label's, is against the label for her (W9), also where only the words tell "
    "of it; so is a tenth over it where she was dosed alone, and in a group all weighed a tenth over what its heaviest "
    "should have. A lamb that is named weighs at the most what it was "
    "born with and may have gained since.",
    "V13": "Not more than needed: a note that cannot be read as a whole still names whom its undamaged lines "
    "name; who was born, bought or came back after the last day that it could speak of is not concerned.",
    "V14": "A lamb at the foot of a ewe held for meat or for milk is a question on every list, never plainly "
    "clear; a lamb whose dam is not known as long as any ewe is held. It is not held by it.",
}
UNNOTICED = (
    "A name or tag typed wrongly that is another sheep's right one: the note reads well, the wrong sheep is held, "
    "and the treated one is clear.",
    "A dose that nobody wrote down, anywhere.",
    "A day, an amount or a period typed wrongly that is a likely one all the same.",
    "A mob that is not as its notes say, because a gate stood open or a move was not written.",
    "What was given since the book was made.",
)
