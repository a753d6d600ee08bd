"""Words that sentences about a procedure have in common."""

from __future__ import annotations

from benchapp.foundation.band import Band
from benchapp.foundation.language import tr


def duration(seconds: float) -> str:
    """A time as a person says it: "45 s", "1 min 30 s", "2 h", "7 days"."""
    whole = round(seconds)
    if whole >= 2 * 86400 and whole % 86400 == 0:
        return tr("{whole} days", whole=whole // 86400)
    hours, rest = divmod(whole, 3600)
    minutes, left = divmod(rest, 60)
    parts = [f"{n} {unit}" for n, unit in ((hours, "h"), (minutes, "min"), (left, "s")) if n]
    return " ".join(parts) or "0 s"


def plural(thing: str) -> str:
    """More than one of a container: bottles, boxes, dishes."""
    return f"{thing}es" if thing.endswith(("s", "x", "z", "ch", "sh")) else f"{thing}s"


def amount_range(band: Band, unit: str) -> str:
    """ "70 to 75 °C"."""
    return tr("{low:g} to {high:g} {unit}", low=band.low, high=band.high, unit=unit)


def stirred(seconds: float) -> str:
    """ ", then stir for 30 s", "" for no time."""
    return tr(", then stir for {duration}", duration=duration(seconds)) if seconds else ""
