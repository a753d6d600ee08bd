"""What can be wrong with a rehearsal.

RehearsalError
├── ScenarioNotFound    there is no scenario of that name, or no such file
└── ScenarioInvalid     the file was read; every problem in it, each with its place
"""

from __future__ import annotations

from collections.abc import Iterable

from procedures.errors import Problem


class RehearsalError(Exception):
    """Anything that keeps a rehearsal from going on. Its text is for the maker."""


class ScenarioNotFound(RehearsalError):
    """There is no scenario of that name, or no such file."""


class ScenarioInvalid(RehearsalError):
    """A scenario file that cannot be used. ``problems`` holds all of them in file order."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(problems))
        super().__init__("\n".join(str(p) for p in self.problems))
