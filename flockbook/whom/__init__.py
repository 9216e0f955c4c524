"""Whom a note concerns: the one place that answers it (rules V1 to V14), used by everything that shows or refuses.

`lexicon` knows every word that can mean a sheep, a mob or a class; `pieces` takes a text apart by it; `whereabouts`
knows who stood in which mob on which days; `judging` and the readers find what a note names; `concerned` gives the
three answers.
"""
