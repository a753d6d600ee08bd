"""What can be wrong with a procedure, each with its place in the file.

ProcedureError
├── QuantityError        a text that is not one number and one known unit
├── ProcedureNotFound    no such file, or no shipped procedure of that name
├── ProcedureUnreadable  the file is there but cannot be read as text
└── ProcedureInvalid     the file was read; every problem in it, all at once
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from benchapp.foundation.language import tr

#: So many problems of one file are shown; whoever mends them sees the others next.
MOST_SHOWN = 20

Grade = Literal["error", "warning"]


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing wrong at one place: what it is, and what to write instead. Lines and columns count from 1. ``lacks``:
    the kind of table that the file as a whole has none of, "" where it is about something that stands there."""

    file: str
    line: int
    column: int
    what: str
    instead: str
    rule: str
    grade: Grade = "error"
    lacks: str = ""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}: {self.what}. {self.instead}"


class ProcedureError(Exception):
    """Anything that keeps a procedure from being used. Its text is one sentence for the maker."""


class QuantityError(ProcedureError):
    """A text that is not one number and one known unit."""

    def __init__(self, what: str, instead: str) -> None:
        super().__init__(f"{what}. {instead}")
        self.what = what
        self.instead = instead


class ProcedureNotFound(ProcedureError):
    """There is no such file, or no procedure of that name on the shelf."""


class ProcedureUnreadable(ProcedureError):
    """The file is there, but it cannot be opened or is no text file."""


class ProcedureInvalid(ProcedureError):
    """The file was read and cannot be used. ``problems`` holds every error and warning in file order."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(problems))
        super().__init__("\n".join(self.sentences()))

    def sentences(self, graded: bool = False) -> tuple[str, ...]:
        """One for each of the first problems, with its grade where that is wanted, and how many more there are."""
        first = self.problems[:MOST_SHOWN]
        more = len(self.problems) - len(first)
        said = (f"{p.grade}: {p}" if graded else str(p) for p in first)
        return (*said, *((tr("and {more} more.", more=more),) if more else ()))
