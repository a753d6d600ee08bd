"""A weighing that is about to be taken by itself: it is said, and there are two seconds to object."""

from __future__ import annotations

from benchapp.make.acts.base import Sight, pressed
from benchapp.make.inputs import Input
from benchapp.make.moment import Choice

#: Seconds at rest before a weighing is taken: time to object by pouring on, lifting, or saying so.
DWELL_S = 2.0
WAIT, TAKE = "wait", "take"
#: Said while it is about to be taken, and once somebody has objected.
TAKING = "Taking it."
OBJECTED = "Not taken: pour on, or take it as it is."


def taking(sight: Sight, device: str) -> float | None:
    """How much of the time to object has gone, 0 to 1; None where the scale moves or somebody has objected."""
    seen = sight.watch.scales.get(device)
    if seen is None or sight.still_g(device) is None or objected(sight, device):
        return None
    return min(max((seen.latest_at_s - seen.still_since_s) / DWELL_S, 0.0), 1.0)


def objected(sight: Sight, device: str) -> bool:
    """Whether somebody has objected since the scale came to rest. Pouring on or lifting ends it."""
    return device in sight.watch.objected


def objecting(sight: Sight, device: str, given: Input) -> bool:
    """Take an objection down. Nothing is recorded: nothing has happened yet."""
    if not pressed(given, WAIT) or sight.still_g(device) is None:
        return False
    sight.watch.objected.add(device)
    return True


def insisted(sight: Sight, device: str, given: Input) -> bool:
    """Whether somebody who had objected says to take it all the same."""
    return pressed(given, TAKE) and objected(sight, device)


def choices(sight: Sight, device: str) -> tuple[Choice, ...]:
    """What may be said to a weighing that rests where it may be taken."""
    if sight.still_g(device) is None:
        return ()
    return (Choice(TAKE, "Take it"),) if objected(sight, device) else (Choice(WAIT, "Not yet"),)


def word(sight: Sight, device: str) -> str:
    """How it stands, in a sentence; "" while the scale moves."""
    if sight.still_g(device) is None:
        return ""
    return OBJECTED if objected(sight, device) else TAKING
