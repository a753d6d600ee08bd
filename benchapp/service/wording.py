"""How amounts are written, and what several faces say in the same words."""

from __future__ import annotations

from benchapp.foundation.language import number, tr_n, tr_noop

#: What is said where nobody approved the text that would be made.
NOT_APPROVED = tr_noop("A trial, never for sale: nobody approved this version.")


def amount(value: float, unit: str) -> str:
    """12.5 g, 40 pieces."""
    if unit == "g":
        return f"{number(value, '_.1f').replace('_', ' ')} g"
    return tr_n("{n} piece", "{n} pieces", n=int(value)) if unit == "pieces" else f"{number(value)} {unit}"
