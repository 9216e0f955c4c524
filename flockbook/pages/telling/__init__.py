"""Notes told in words: lives, the notes themselves, finding, problems, how it is worked out."""
