"""How amounts are written, and what several faces say in the same words."""

from __future__ import annotations

from benchapp.foundation.language import tr, tr_noop

#: What is said where nobody approved the text that would be made.
NOT_APPROVED = tr_noop("A trial, never for sale: nobody approved this version.")


def amount(value: float, unit: str) -> str:
    """12.5 g, 40 pieces."""
    return f"{value:,.1f} {unit}".replace(",", " ") if unit == "g" else f"{value:g} {unit}"


def hours(seconds: float) -> str:
    """1 h 05 min, 40 min."""
    minutes = round(seconds / 60)
    return (
        tr("{minutes} h {minutes_2:02d} min", minutes=minutes // 60, minutes_2=minutes % 60)
        if minutes >= 60
        else tr("{minutes} min", minutes=minutes)
    )
