"""What the training pages show, as plain data: what can be practised, and who may do what."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Practice:
    """A scenario that can be practised: its key, title, goal, and the kinds of step it teaches; once it runs, the number
    (from 1) and title of the step in which it begins, 0 before that."""

    key: str
    title: str
    goal: str
    teaches: tuple[str, ...]
    begins_at: int = 0
    begins_with: str = ""


@dataclass(frozen=True, slots=True)
class Practices:
    """Everything that can be practised, the workshop's own first, and a sentence for each file that cannot be used."""

    found: tuple[Practice, ...]
    broken: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Held:
    """A level somebody holds in a kind of step: "rehearsed", "supervised" or "independent", since when, and by what."""

    kind: str
    level: str
    since: str
    why: str


@dataclass(frozen=True, slots=True)
class Competent:
    """One person, what they hold, and the kinds of step in which they need a second person just now."""

    who: str
    roles: tuple[str, ...]
    held: tuple[Held, ...]
    witnessed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Grant:
    """A level to be granted to somebody for a kind of step, with the reason where one is given."""

    who: str
    kind: str
    level: str
    reason: str = ""
