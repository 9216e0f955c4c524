"""Notes that the program writes for somebody: from a command, from jotted lines, or over in their plain form."""
