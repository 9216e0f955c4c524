"""Old records from spreadsheets, scales and readers, made into notes; nothing is guessed, and no row vanishes."""
