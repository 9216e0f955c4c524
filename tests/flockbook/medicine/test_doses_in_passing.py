"""A dose told in passing in a note that is no treatment (V8), and farm talk that tells of none."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.flockbook.medicine.test_as_people_jot import other, state, treatment

TOLD = [
    ("Bramble had her worm dose today.", "C214"),
    ("Bramble: fluke drench 10ml", "C214"),
    ("Gave Bramble some of the white drench", "C214"),
    ("did Bramble's feet and gave her a shot", "C214"),
    ("Bramble - long acting", "C214"),
    ("Bramble LA", "C214"),
    ("Jab for Bramble.", "C214"),
    ("Vet injected Bramble.", "C214"),
    ("Vet saw to Bramble, two injections.", "C214"),
    ("Bramble on antibiotics.", "C214"),
    ("Bramble started on antibiotics today.", "C214"),
    ("Bramble on the third day of her jabs.", "C214"),
    ("Bramble finished her course.", "C214"),
    ("Pour-on for the hill mob.", "C214 C230"),
    ("Hill mob: pour on", "C214 C230"),
    ("Spot-on lambs today", "731 732"),
    ("Flystrike spray on 731", "731"),
    ("Sprayed 731 for strike", "731"),
    ("Sprayed the lambs against fly.", "731"),
    ("Dipped everything.", "C214 C107 H001"),
    ("Plunge dipped the hill.", "C214 C230"),
    ("Vaccinated ewes.", "C214 C230 C107"),
    ("Boosters to ewes", "C214 C230 C107"),
    ("Bolused the ewes.", "C214 C230 C107"),
    ("Boluses into all ewes", "C214 C107"),
    ("Bolus each, hill ewes", "C214 C230"),
    ("Trace element drench to the hill.", "C214 C230"),
    ("mineral drench, lambs", "731 732"),
    ("Worm drench, lambs", "731 732"),
    ("Lambs wormed.", "731 732"),
    ("Lambs done for worms", "731 732"),
    ("Lambs done for fluke and worms", "731 732"),
    ("Did lambs for worms", "731"),
    ("Wormers today: lambs", "731"),
    ("All dosed.", "C214 C107"),
    ("All done, 2 ml", "C214 C107"),
    ("Everyone got 2 ml", "C214 C107"),
    ("Second dose of fluke drench into ewes", "C214 C107"),
    ("Treated Bramble for foot rot", "C214"),
    ("Treated foot rot in Bramble with tetracycline", "C214"),
    ("oxytet to Bramble", "C214"),
    ("Oxytet 5 Bramble", "C214"),
    ("blue spray on Bramble's foot", "C214"),
    ("antibiotic spray Bramble", "C214"),
    ("Bramble eye ointment", "C214"),
    ("Eye drops in 731", "731"),
    ("puffer in 731's eye", "731"),
    ("Mastitis tube up Bramble", "C214"),
    ("Tubed Bramble's bag with antibiotic", "C214"),
    ("Intramammary in Bramble, left", "C214"),
    ("Bramble dried off with tubes", "C214"),
    ("Calcium under the skin, Bramble", "C214"),
    ("calcium Bramble 60 ml", "C214"),
    ("Bramble glucose and calcium", "C214"),
    ("Bramble painkiller", "C214"),
    ("Painkiller to Bramble", "C214"),
    ("anti-inflammatory to Bramble", "C214"),
    ("Bramble anti inflam", "C214"),
    ("steroid for Bramble to bring her on", "C214"),
    ("Vet induced Bramble.", "C214"),
    ("hormone injection Bramble", "C214"),
    ("sponges in hill ewes", "C214 C230"),
    ("sponged ewes", "C214 C230 C107"),
    ("PMSG to ewes", "C214 C107"),
    ("Sedated Harrow", "H001"),
    ("local anaesthetic for Bramble", "C214"),
    ("epidural to Bramble", "C214"),
    ("wormed & fluked the tups", "H001"),
    ("tups drenched", "H001"),
    ("drench: tups", "H001"),
    ("ring + jab lambs", "731 732"),
    ("Lambs ringed and jabbed", "731 732"),
    ("tetanus jab lambs", "731"),
    ("Lambs had their first jab", "731"),
    ("Lambs' second jab", "731"),
    ("orf vaccine, lambs", "731"),
    ("scratched the lambs for orf", "731"),
    ("Coccidiosis drench to lambs", "731"),
    ("cocci dose lambs 3ml", "731"),
    ("watery mouth: oral antibiotic to both twins of Bramble", "731 732"),
    ("one pump to each of Bramble's", "731 732"),
    ("two pumps each to 731 and 732", "731 732"),
    ("a squirt for 731", "731"),
    ("half a tube to 731", "731"),
    ("capful to 731", "731"),
    ("a spoon of drench to 731", "731"),
    ("1/2 tablet Bramble", "C214"),
    ("5 cc Bramble", "C214"),
    ("5mls Bramble", "C214"),
    ("Bramble, five mils penicillin", "C214"),
    ("Penicillin Bramble", "C214"),
    ("pen strep bramble", "C214"),
    ("pen & strep to bramble 5ml im", "C214"),
]
WRITTEN = [
    ("This morning I drenched Bramble and her two lambs.", "C214 731 732"),
    ("I caught Bramble, and while I was at it Teasel as well.", "C214 C230"),
    ("Everything in the hill field was done.", "C214 C230"),
    ("All sheep on the hill, lambs included.", "C214 C230 731"),
    ("Did the lot of them.", "C214 C230 C107 H001"),
    ("The two ewes in the pen by the gate.", "C214 C230 C107"),
    ("Bramble. Teasel. Both 3 ml.", "C214 C230"),
    ("Bramble (3 ml)\nTeasel (3 ml)", "C214 C230"),
    ("Bramble got hers, Teasel got hers.", "C214 C230"),
    ("The ones that were scouring: Teasel, 731.", "C230 731"),
    ("scouring ones", "C214 C230 731"),
    ("Whole mob bar Teasel.", "C214 C107"),
    ("Dosed the ewes but not the lambs.", "C214 C230 C107"),
    ("Ewes only.", "C214 C230 C107"),
    ("Just the lambs this time.", "731 732"),
    ("Only lambs with dirty tails.", "731 732"),
    ("Every other lamb.", "731 732"),
    ("Half the hill mob.", "C214 C230"),
    ("First five through the race.", "C214 C230 C107 H001"),
    ("The lame ones.", "C214 C230 C107"),
    ("Thin ewes only", "C214 C230 C107"),
    ("Bramble 3\nTeasel 3\nSalt 4", "C214 C230 C107"),
    ("214 3\n230 3", "C214 C230"),
    ("214 230 107", "C214 C230 C107"),
    ("214/230/107 all 3ml", "C214 C230 C107"),
    ("C214 C230 C107 - 3ml each", "C214 C230 C107"),
    ("3ml each: C214 C230 C107", "C214 C230 C107"),
    ("* C214\n* C230", "C214 C230"),
    ("[x] C214\n[x] C230\n[ ] C107", "C214 C230"),
    ("- [x] Bramble\n- [x] Teasel", "C214 C230"),
    ("1) C214\n2) C230", "C214 C230"),
    ("a. C214\nb. C230", "C214 C230"),
    ("C214 ✓\nC230 ✓", "C214 C230"),
    ("✓ C214\n✓ C230", "C214 C230"),
    ("C214 yes\nC230 yes\nC107 no", "C214 C230"),
    ("C214; C230; 3ml", "C214 C230"),
    ("ewe 214 & ewe 230 done", "C214 C230"),
    ("Ewes: 214, 230", "C214 C230"),
    ("Ewes 214 230", "C214 C230"),
    ("Ewe nos 214,230", "C214 C230"),
    ("tags 731 732", "731 732"),
    ("tag no. 731 & 2", "731 732"),
    ("lambs 731/2", "731 732"),
    ("lambs nos. 731 - 732", "731 732"),
    ("Bramble x2 lambs", "731 732"),
    ("Bramble + lambs", "C214 731 732"),
    ("Bramble w/ lambs", "C214 731 732"),
    ("Bramble w. twins", "C214 731 732"),
    ("Bramble & co", "C214 731"),
    ("Bramble and family", "C214 731 732"),
    ("Bramble's pair", "731 732"),
    ("pair off Bramble", "731 732"),
    ("Bramble twins", "731 732"),
    ("twins of 214", "731 732"),
    ("214's lambs", "731 732"),
    ("214s twins", "731 732"),
    ("lambs ex 214", "731 732"),
    ("lambs (Bramble)", "731 732"),
    ("lambs - Bramble", "731 732"),
    ("Bramble three mil", "C214"),
    ("Bramble and teasle three mils", "C214 C230"),
    ("Bramble had three mil and so did teasel", "C214 C230"),
    ("bramble 3 mill tea soul 3 mill", "C214 C230"),
    ("C two one four 3 ml", "C214"),
    ("see 214 three ml and see 230 three ml", "C214 C230"),
    ("bramble comma teasel 3 ml", "C214 C230"),
    ("seven three one 1 ml", "731"),
]
FARM_TALK = """
Needs her booster next week.
Buy penicillin.
The puffer is empty.
Ordered boosters for the ewes.
Bramble had a calf-like cough.
No wormer this month, counts are low.
Ask the vet about a vaccine for orf.
Egg counts low, no drench needed.
Bramble is due her jab.
Read about long acting wormers in the paper.
Salt's foot is better.
Bramble's lump where the jab was.
Counted the ewes, all there.
Shut the sponges in the cupboard.
Wormy grass, move them soon.
The vet's epidural lesson was useful.
Blue spray can is empty.
Marked the twins with blue spray.
Sprayed the docks.
Sprayed lamb numbers on.
Blue mark on Bramble.
Needles sharp, 18 gauge.
Bought a new drench gun.
Bramble was sponged down after the ditch.
Milk replacer two tubes left.
Weather treated us well.
Treated the posts.
Bramble's lambs got the first of the grass.
Gate hung, two goes.
Dog had a shot of rabies vaccine.
Took a tablet for my head.
Will worm lambs on Saturday.
Plan: drench lambs at weaning.
Bramble must get her booster.
Should dose the tups soon.
Think about fluke for the low ewes.
Fluke forecast high this autumn.
Tick season, keep an eye on 731.
Lice on Salt? Look again.
""".strip().split("\n")


@pytest.mark.parametrize(("words", "tags"), TOLD)
@pytest.mark.parametrize("kind", ["remark", "check", "count"])
def test_a_dose_in_passing_holds_those_it_names(tmp_path: Path, kind: str, words: str, tags: str) -> None:
    """Whoever the words say was dosed is not clear, in a remark, below a check and below a count of another mob."""
    above = {"remark": "", "check": "- Salt bcs 3\n", "count": "---\nmob: low\ncount: 1\n---\n"}[kind]
    files = other(kind, f"{above}{words}\n")
    for number, tag in enumerate(tags.split()):
        assert state(tmp_path / str(number), files, tag, "2026-06-10") != "clear"


@pytest.mark.parametrize(("words", "tags"), WRITTEN)
def test_a_treatment_of_a_few_words_holds_those_it_means(tmp_path: Path, words: str, tags: str) -> None:
    """Lists, ticks, numbers, sentences and dictation below the head of a treatment, and behind `sheep:` as well."""
    places = [treatment("", f"{words}\n")] + ([] if "\n" in words else [treatment(f"sheep: {words.rstrip('.')}\n")])
    for number, tag in enumerate(tags.split()):
        for place, files in enumerate(places):
            assert state(tmp_path / f"{number} {place}", files, tag, "2026-06-10") != "clear"


@pytest.mark.parametrize("words", FARM_TALK)
def test_farm_talk_holds_nobody(tmp_path: Path, words: str) -> None:
    """Remedies bought, planned, empty or read about, and what else is sprayed, shot or spooned on a farm."""
    for number, tag in enumerate(("C214", "C107", "731")):
        assert state(tmp_path / str(number), other("remark", words + "\n"), tag, "2026-06-10") == "clear"
