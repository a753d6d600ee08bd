"""A weighing that is about to be taken by itself: it is said, and there are two seconds to object."""

from __future__ import annotations

from benchapp.make.acts.base import Sight, pressed
from benchapp.make.inputs import Input
from benchapp.make.moment import Choice

#: Seconds at rest before a weighing is taken: time to object by pouring on, lifting, or saying so.
DWELL_S = 2.0
WAIT, TAKE = "wait", "take"
#: While too much is being taken out, less all at once is no surprise.
TAKING_OUT = ("remove",)
#: Said while it is about to be taken, and once somebody has objected.
TAKING = "Taking it."
OBJECTED = "Not taken: pour on, or take it as it is."
AT_ONCE = "{by_g:.1f} g {way} all at once. If something lies there, take it off; else take it."


def taking(sight: Sight, device: str) -> float | None:
    """How much of the time to object has gone, 0 to 1; None where the scale moves or it is not to be taken so."""
    seen = sight.watch.scales.get(device)
    if seen is None or sight.still_g(device) is None or held_back(sight, device):
        return None
    return min(max((seen.latest_at_s - seen.still_since_s) / DWELL_S, 0.0), 1.0)


def objected(sight: Sight, device: str) -> bool:
    """Whether somebody has objected since the scale came to rest. Pouring on or lifting ends it."""
    return device in sight.watch.objected


def at_once_g(sight: Sight, device: str) -> float:
    """What came or went all at once, as if something had been laid down, in grams; 0 where it may well be a pour."""
    by_g = sight.watch.came_at_once_g(device)
    return 0.0 if by_g < 0 and sight.progress.stage in TAKING_OUT else by_g


def held_back(sight: Sight, device: str) -> bool:
    """Whether the weight as it rests is only taken when somebody says so."""
    return objected(sight, device) or at_once_g(sight, device) != 0.0


def objecting(sight: Sight, device: str, given: Input) -> bool:
    """Take an objection down. Nothing is recorded: nothing has happened yet."""
    if not pressed(given, WAIT) or sight.still_g(device) is None:
        return False
    sight.watch.objected.add(device)
    return True


def insisted(sight: Sight, device: str, given: Input) -> bool:
    """Whether somebody who had objected says to take it all the same."""
    return pressed(given, TAKE) and held_back(sight, device)


def choices(sight: Sight, device: str) -> tuple[Choice, ...]:
    """What may be said to a weighing that rests where it may be taken."""
    if sight.still_g(device) is None:
        return ()
    return (Choice(TAKE, "Take it"),) if held_back(sight, device) else (Choice(WAIT, "Not yet"),)


def word(sight: Sight, device: str) -> str:
    """How it stands, in a sentence; "" while the scale moves."""
    if sight.still_g(device) is None:
        return ""
    by_g = at_once_g(sight, device)
    if by_g and not objected(sight, device):
        return AT_ONCE.format(by_g=abs(by_g), way="came" if by_g > 0 else "went")
    return OBJECTED if objected(sight, device) else TAKING
