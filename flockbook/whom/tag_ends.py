"""The end of a tag behind a whole one, which stands for another whole tag: `C214, 15`, `731/2`."""

from __future__ import annotations

from flockbook.whom.lexicon import Lexicon, tokens


def completes(tag: str, figures: str, lexicon: Lexicon) -> bool:
    """Whether figures are the end of another sheep's tag that begins like this one: `215` behind C214."""
    return bool(completed(tag, figures, lexicon))


def completed(tag: str, figures: str, lexicon: Lexicon) -> tuple[str, ...]:
    """The other tags of which figures behind a tag are the end: `C215` for `C214, 15`, `T10` for `T9/10`."""
    if not figures.isdigit() or not tag[-1:].isdigit():
        return ()
    wholes = [tag[: len(tag) - len(figures)] + figures] if len(figures) < len(tag) else []
    wholes.append(tag.rstrip("0123456789") + figures)
    known = (whole for whole in wholes if whole not in (tag, figures) and lexicon.means(tokens(whole), whole))
    return tuple(dict.fromkeys(known))


def shortened(tag: str, figures: str, joint: str) -> bool:
    """Whether figures behind a tag are the end of another, as in `731/2` or `731, 2`: fewer than the tag has, and no
    weight of a sheep, or joined as names are.
    """
    figured = tag[-1:].isdigit() and len(figures) < len(tag)
    return figured and (joint.lower() in ("/", "&", "+", "and") or (joint == "," and len(figures) == 1))
