"""A compiler from plain text notes to a browsable offline book; it knows nothing of what the notes are about."""
