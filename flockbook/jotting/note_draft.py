"""A note about to be written, as text in its plain form: a head with what was typed, data lines, words."""

from __future__ import annotations

import re

from compiler.shape import Value

# What a value may not begin with, or hold, where it stands in a head without quotes (YAML 1.1, plain scalars).
NOT_PLAIN = re.compile(r"""^[\s\-?:,\[\]{}#&*!|>'"%@`]|:(?:\s|$)|\s#|\s$|^$|^---""")
ONLY_A_HYPHEN = re.compile(r"-(?=\S)[^:#]*")
DASH_LINE = re.compile(r"\s*[-*+•]\s+")


class NoteDraft(Value):
    """A note as it is to be typed: its kind, fields and their texts in order, data lines, and a remark."""

    kind: str
    fields: tuple[tuple[str, str], ...] = ()
    lines: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    bare: bool = False

    @property
    def text(self) -> str:
        """The whole note."""
        head = ["---", f"note: {self.kind}", *(f"{name}: {in_a_head(text)}" for name, text in self.fields), "---"]
        lines = [line if self.bare else f"- {DASH_LINE.sub('', line, count=1)}" for line in self.lines]
        remark = ([""] if lines and self.words else []) + list(self.words)
        return "\n".join([*head, *lines, *remark, ""])

    def typed(self, name: str) -> str:
        """What stands in a field; "" where nothing does."""
        return dict(self.fields).get(name, "")


def in_a_head(text: str) -> str:
    """A value as it stands in a head: as typed, in quotes where it would else be read as something else."""
    plain = NOT_PLAIN.search(text) is None or ONLY_A_HYPHEN.fullmatch(text)
    return text if plain else "'" + text.replace("'", "''") + "'"
