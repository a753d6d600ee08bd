"""Text from files and devices made fit to be shown: what cannot be seen is spelled out, nothing is dropped."""

from __future__ import annotations

import unicodedata
from datetime import datetime

from benchapp.foundation.language import spoken, tr
from benchapp.foundation.name_likeness import UNSEEN

#: So many digits behind the point a person is shown: what a scale in ounces shows, brought to grams, has no end.
READ_DECIMALS = 4


def visible(text: str, keep: str = "") -> str:
    """The text with every unseen character written as ‹U+XXXX›, except those in ``keep``."""
    if text.isprintable():
        return text
    return "".join(
        c if c in keep or unicodedata.category(c) not in UNSEEN else f"‹U+{ord(c):04X}›" for c in text
    )


def number(value: float | None, digits: int | None = None) -> str:
    """A number as it is read: no more digits than it has, and none that no device on a bench shows; a true minus sign, ""
    for none. The files for other programs have every digit."""
    if value is None:
        return ""
    text = (
        f"{value:.{digits}f}" if digits is not None else f"{value:.{READ_DECIMALS}f}".rstrip("0").rstrip(".")
    )
    return text.replace("-", "−").replace(".", spoken().decimal)


def padded(value: float | None, digits: int | None) -> str:
    """A number with at least so many digits behind the point, as its display shows it; never rounded to them."""
    plain = number(value)
    own = len(plain.partition(spoken().decimal)[2])
    return plain if not plain or digits is None or own > digits else number(value, digits)


def elapsed(seconds: float) -> str:
    """Time since the make began, h:mm:ss."""
    whole = int(seconds)
    return f"{whole // 3600}:{whole // 60 % 60:02d}:{whole % 60:02d}"


def span(seconds: float) -> str:
    """A duration in words: 45 s, 12 min, 1 h 5 min, 7 days."""
    if seconds < 90:
        return f"{seconds:.0f} s"
    minutes = round(seconds / 60)
    hours, rest = divmod(minutes, 60)
    if hours >= 48 and not rest and not hours % 24:
        return tr("{hours} days", hours=hours // 24)
    parts = (f"{hours} h" if hours else "", tr("{rest} min", rest=rest) if rest else "")
    return " ".join(p for p in parts if p)


def date_time(wall: str) -> str:
    """An ISO time as a reader wants it: 2026-03-01 09:00:00 +01:00. Anything else stays as it is."""
    try:
        when = datetime.fromisoformat(wall)
    except ValueError:
        return wall
    text = when.isoformat(" ", "seconds")
    return f"{text[:19]} {text[19:25]}".rstrip()


def minute(wall: str) -> str:
    """The same to the minute, without its zone: 2026-03-01 09:00."""
    return date_time(wall)[:16]


def clock(wall: str) -> str:
    """The time of day alone."""
    return date_time(wall)[11:19]


def ended(wall: str, begun: str, *, seconds: bool = True) -> str:
    """The time of day at which something ended that began at ``begun``; with its date on another day, and with its zone
    where the clock was another by then."""
    whole, then, until = date_time(wall), date_time(begun), 19 if seconds else 16
    if not wall or (whole[:10] == then[:10] and whole[19:] == then[19:]):
        return whole[11:until]
    return whole[:until] + (whole[19:] if whole[19:] != then[19:] else "")
