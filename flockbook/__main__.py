"""`python -m flockbook` is the command `flockbook`."""

from flockbook.cli.main import main

main()
