"""How long until a make is done: by what the steps that are still to come took in finished makes like it.

A sum for each of those makes, and from the shortest to the longest of them. Of makes that differ by chance alone the next lies
between the shortest and the longest of n with a chance of (n - 1) / (n + 1): two of three for five (a property of ranks,
whatever the spread). Nothing is said by a make that left out, or did not know, a step that is still to come.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from math import inf
from statistics import median

#: A step that went on for so long beyond its set waits was left standing, in seconds (common practice, no source): that make says nothing.
STOOD_S = 4 * 3600.0
#: Seconds by the steps that went on at once: one, or two while something was weighed beside a wait.
Seconds = Mapping[frozenset[str], float]


@dataclass(frozen=True, slots=True)
class PastMake:
    """A finished make: its time, without that in which it was held or nobody watched, and the steps that were left out."""

    seconds: Seconds
    left_out: frozenset[str] = frozenset()

    def knows(self, steps: Set[str]) -> bool:
        """Whether all of these were done in it."""
        return not steps & self.left_out and steps <= frozenset().union(*self.seconds)


@dataclass(frozen=True, slots=True)
class MakeSoFar:
    """Where a make stands: the ``active`` steps, those ``ahead`` with the waiting that each surely takes, its time so far. What is active
    takes ``least_s`` yet at the least, and no more than ``most_s`` where the wait of the step ``waiting`` is foretold."""

    active: frozenset[str]
    ahead: Mapping[str, float]
    seconds: Seconds
    least_s: float = 0.0
    most_s: float = inf
    waiting: str = ""


@dataclass(frozen=True, slots=True)
class UntilDone:
    """Seconds until a make is done: the shortest, the middle and the longest, by so many ``makes``."""

    early_s: float
    middle_s: float
    late_s: float
    makes: int


def until_done(past: Sequence[PastMake], now: MakeSoFar) -> UntilDone | None:
    """By every one of these makes that knows what is still to come; None where none does."""
    to_come = now.active | now.ahead.keys()
    known = [left_s(make, now) for make in past if make.knows(to_come) and not left_standing(make, now)]
    if not known or not to_come:
        return None
    early, middle, late = zip(*known, strict=True)
    return UntilDone(min(early), median(middle), max(late), len(known))


def left_standing(past: PastMake, now: MakeSoFar) -> bool:
    """Whether somebody went home in the midst of what is still to come, and nobody told the program."""
    sure = {**now.ahead, **{step: went_on(now.seconds, {step}) + now.least_s for step in now.active}}
    return any(went_on(past.seconds, {step}) - sure_s > STOOD_S for step, sure_s in sure.items())


def left_s(past: PastMake, now: MakeSoFar) -> tuple[float, float, float]:
    """By one make, at the least, in the middle and at the most: what is active takes as long as it did there without the time
    already spent, and within what is foretold of it; what is ahead takes as long as there, and no step less than its sure waiting."""

    def more_s(steps: Set[str], but: Set[str] = frozenset()) -> float:
        return max(went_on(past.seconds, steps, but) - went_on(now.seconds, steps, but), 0.0)

    waits = ((step, sure_s) for step, sure_s in now.ahead.items() if sure_s > 0.0)
    lacking_s = sum(max(sure_s - went_on(past.seconds, {step}), 0.0) for step, sure_s in waits)
    after_s = more_s(now.ahead.keys(), now.active) + lacking_s
    here_s = max(more_s(now.active), now.least_s)
    ends_s = (now.least_s, min(here_s, now.most_s), now.most_s) if now.waiting else (here_s, here_s, here_s)
    beside_s = more_s(now.active - {now.waiting})  # what is weighed beside a wait may take longer than that
    early_s, middle_s, late_s = (max(end_s, beside_s) + after_s for end_s in ends_s)
    return early_s, middle_s, late_s


def went_on(seconds: Seconds, steps: Set[str], but: Set[str] = frozenset()) -> float:
    """So long any of these steps went on while none of the others did, in seconds."""
    return sum(s for at, s in seconds.items() if not at.isdisjoint(steps) and at.isdisjoint(but))
