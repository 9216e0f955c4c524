"""Pages of the lambing shed: the watch, cards, births, patterns."""
