"""The cautions of the book in its own words, which many pages show."""

from __future__ import annotations

from flockbook.pages.views import Caution

# Cautions in our own words. Needles: Dalton and Orr (woolshed1); tilmicosin: 21 CFR 522.2471(d). Off-label: 21 CFR
# 530.20.
MEDICINE_CAUTION = Caution(
    "Label, vet and law come first",
    (
        "Everything here was counted from what you typed. If the label or your vet's written instruction says "
        "otherwise, they are right. "
        "Unknown means held.",
        "Prescription medicines, and any use off the label, only on a vet's order; keep it with the record. Do not "
        "mix products.",
        "A filled syringe is a danger to you: after a stick see a doctor at once, with the box. Needles go into a "
        "rigid box.",
    ),
)
SICK = Caution(
    "When to ring the vet",
    (
        "At once for a sheep that is down, does not eat, has a swollen jaw and is weak; for a cold lamb, a hard hot "
        "udder, a lamb lost before its time.",
        "A sheep that suffers and cannot get well should be killed humanely, soon, by somebody trained to do it.",
        "What stands here is what was written. It is no diagnosis and no advice.",
    ),
    grave=True,
)
WORM_TESTS = Caution(
    "Worm tests",
    (
        "A count is an estimate, and so is a test: whether to treat, and with what, is for you and your vet. Do not "
        "mix products.",
        "Weigh, and dose to the heaviest of a group that is much alike. The label comes before anything here.",
    ),
)
PREGNANT = Caution(
    "People who are or may be pregnant",
    (
        "Keep away from ewes at lambing, from newborn and lost lambs, afterbirth and bedding, and from clothes and "
        "boots that have been near them; "
        "a fever after contact: see a doctor at once.",
        "Everybody: gloves, wash hands, neither eat nor drink in the pens.",
    ),
)
