"""How amounts are written, on every face."""

from __future__ import annotations


def amount(value: float, unit: str) -> str:
    """12.5 g, 40 pieces."""
    return f"{value:,.1f} {unit}".replace(",", " ") if unit == "g" else f"{value:g} {unit}"
