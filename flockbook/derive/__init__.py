"""What follows from the notes: pure functions, one family of facts a file."""
