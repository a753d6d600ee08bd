"""Dates and times as people write them; the record keeps ISO 8601. No Kivy."""

from __future__ import annotations

import re
from datetime import date, datetime

from benchapp.foundation.language import tr, tr_noop

_ISO_DATE = re.compile(r"(?<![-\w])[0-9]{4}-[0-9]{2}-[0-9]{2}(?![-\w])")

#: A date in each month: whole, so that nobody who is called May is looked up.
DATES = (
    tr_noop("{day} January {year}"), tr_noop("{day} February {year}"), tr_noop("{day} March {year}"),
    tr_noop("{day} April {year}"), tr_noop("{day} May {year}"), tr_noop("{day} June {year}"),
    tr_noop("{day} July {year}"), tr_noop("{day} August {year}"), tr_noop("{day} September {year}"),
    tr_noop("{day} October {year}"), tr_noop("{day} November {year}"), tr_noop("{day} December {year}"),
)  # fmt: skip


def day(iso: str) -> str:
    """The day of an ISO date or time: 1 March 2026; what is no date stays as it is."""
    try:
        found = date.fromisoformat(iso[:10])
    except ValueError:
        return iso
    return tr(DATES[found.month - 1], day=found.day, year=found.year)


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
