"""The command line, one command a file; nothing here is imported before its command is called."""
