"""How a wait is said, wherever it is said: on the glass, in the terminal, aloud."""

from __future__ import annotations

import math

from benchapp.make.view_model import Forecast, Meanwhile

#: How a weighing that is about to be taken is objected to.
OBJECT = "To object: pour on, lift it, or press the foot."


def wait(seconds: float) -> str:
    """A wait as a person says it: 40 s, 12 min, 1 h 20 min."""
    whole = round(max(seconds, 0.0))
    if whole < 90:
        return f"{whole} s"
    minutes = round(whole / 60)
    return f"{minutes} min" if minutes < 60 else f"{minutes // 60} h {minutes % 60:02d} min"


def forecast(given: Forecast) -> str:
    """The end of a wait, with its interval where it has one."""
    if given.early_s == given.late_s:
        return f"{given.what} in {wait(given.middle_s)}"
    if math.isinf(given.late_s):
        return f"{given.what} in about {wait(given.middle_s)}, at the earliest {wait(given.early_s)}; perhaps never"
    return f"{given.what} in about {wait(given.middle_s)} ({wait(given.early_s)} to {wait(given.late_s)})"


def beside(given: Meanwhile) -> str:
    """The wait that goes on beside a weighing, in one line: why it calls, or what it reads and how long still."""
    if given.calls:
        return f"{given.calls} Finish this weighing, then go back."
    reads = ", ".join(
        f"{x.name} –" if x.value is None else f"{x.name} {x.value:.{x.decimals}f} {x.unit}"
        for x in given.live
        if x.unit != "s"
    )
    return "; ".join(part for part in (reads, forecast(given.forecast) if given.forecast else "") if part)
