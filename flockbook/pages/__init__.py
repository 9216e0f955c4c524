"""What the book shows: typed views of facts, in the shepherd's words. `PAGES` and `NAVIGATION` are in `contents.py`."""
