"""What can go wrong when somebody asks the simulated bench for something.

SimulationError
├── UnknownName      no vessel, probe, scale or device of that name
└── ImpossibleAct    the world does not allow it now (two vessels on one pan, a lid on nothing)
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TypeVar

Thing = TypeVar("Thing")


class SimulationError(Exception):
    """Base of every error of the simulated bench."""


class UnknownName(SimulationError):
    """A name that nothing on this bench answers to."""

    def __init__(self, what: str, name: str, known: Iterable[str]) -> None:
        super().__init__(
            f"there is no {what} {name!r} on this bench; there are: {', '.join(known) or 'none'}"
        )


def named(what: str, name: str, known: Mapping[str, Thing]) -> Thing:
    """What answers to a name. Raises UnknownName."""
    if name not in known:
        raise UnknownName(what, name, known)
    return known[name]


class ImpossibleAct(SimulationError):
    """Something a pair of hands could not do now."""
