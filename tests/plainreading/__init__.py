"""A second reading of the rules of the clear-to-sell guard: slow, plain, and without a line of the program.

It reads folders of the sort that `generator` makes: sheep notes, mobs, drafts, births, fosters, tags, sales, purchases,
weanings, medicines, treatments and their corrections, and a few slips of the hand. What it does not speak of: notes
that are damaged in their head, doses told in other notes' prose (V8), copies and strange files (V7), and the dose
against the label by weight (V12).
"""
