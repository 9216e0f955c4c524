"""What is to be done, in order of its day."""
