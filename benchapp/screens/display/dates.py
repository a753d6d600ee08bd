"""Dates and times as people write them; the record keeps ISO 8601. No Kivy."""

from __future__ import annotations

import re
from datetime import date, datetime

from benchapp.foundation.language import tr

_ISO_DATE = re.compile(r"(?<![-\w])[0-9]{4}-[0-9]{2}-[0-9]{2}(?![-\w])")

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
          "November", "December")  # fmt: skip


def day(iso: str) -> str:
    """The day of an ISO date or time: 1 March 2026; what is no date stays as it is."""
    try:
        found = date.fromisoformat(iso[:10])
    except ValueError:
        return iso
    return tr("{day} {month} {year}", day=found.day, month=MONTHS[found.month - 1], year=found.year)


def day_and_time(iso: str) -> str:
    """The same with its minute: 1 March 2026, 09:05."""
    try:
        found = datetime.fromisoformat(iso)
    except ValueError:
        return iso
    return f"{day(iso)}, {found:%H:%M}"


def in_words(sentence: str) -> str:
    """A sentence with every ISO date in it as people write them."""
    return _ISO_DATE.sub(lambda found: day(found[0]), sentence)


def product_named(key: str) -> str:
    """A procedure's key as a heading: Winter shore cream."""
    return key.replace("-", " ").capitalize()
