"""How amounts are written, and what several faces say in the same words."""

from __future__ import annotations

from benchapp.foundation.language import number, tr_noop, translated

#: What is said where nobody approved the text that would be made.
NOT_APPROVED = tr_noop("A trial, never for sale: nobody approved this version.")


def amount(value: float, unit: str) -> str:
    """12.5 g, 40 pieces."""
    return (
        f"{number(value, '_.1f').replace('_', ' ')} g"
        if unit == "g"
        else f"{number(value)} {translated(unit)}"
    )
