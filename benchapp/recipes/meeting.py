"""Two changes of one text, by hand and on the glass, put together where they don't touch the same lines."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass

from benchapp.foundation.language import tr
from benchapp.recipes.errors import ChangedMeanwhile

_LINE = re.compile(r"[^\n]*\n|[^\n]+")


@dataclass(frozen=True, slots=True, order=True)
class _Edit:
    """Lines ``begin`` to ``end`` of the common text become these."""

    begin: int
    end: int
    lines: tuple[str, ...]


def put_together(before: str, one: str, other: str) -> str:
    """Both changes of the text ``before``. Raises ChangedMeanwhile, naming the line, where both changed it differently."""
    lines = _LINE.findall(before)
    mine, theirs = _edits(lines, one), _edits(lines, other)
    for a in mine:
        for b in theirs:
            if a != b and a.begin <= b.end and b.begin <= a.end:
                line = max(a.begin, b.begin) + 1
                raise ChangedMeanwhile(
                    tr(
                        "The file was changed by hand meanwhile, near its line {line}, where the draft "
                        "changes it too. Nothing was written: save the draft under another name, or start "
                        "again from the file.",
                        line=line,
                    )
                )
    for edit in sorted({*mine, *theirs}, reverse=True):
        lines[edit.begin : edit.end] = edit.lines
    return "".join(lines)


def _edits(before: list[str], text: str) -> list[_Edit]:
    after = _LINE.findall(text)
    codes = difflib.SequenceMatcher(None, before, after, autojunk=False).get_opcodes()
    return [_Edit(i, j, tuple(after[k:m])) for what, i, j, k, m in codes if what != "equal"]
