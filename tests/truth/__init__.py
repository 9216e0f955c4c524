"""Truth-known writing: a flock whose truth is known, written down as tired people write, read back and judged.

`world` decides what happened and reckons its own days; `plain` writes it down as it should be; the `ways_*` write one
thing differently each; `product` (the only module here that knows the program) asks the program; `trial` lays out,
asks and judges; `shrink` makes a failure small; `python -m tests.truth N` runs as many as wanted.
"""
