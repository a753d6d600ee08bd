"""Days as ISO 8601 writes them."""

from __future__ import annotations

from datetime import date


def day_of(text: str) -> date | None:
    """The day of an ISO date such as 2025-05-14; None where a text is none."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return None
    return day if day.isoformat() == text else None
