"""Dates and times as people write them; the record keeps ISO 8601. No Kivy."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_n, tr_noop

if TYPE_CHECKING:
    from benchapp.record.batch_line import BatchLine

_ISO_DATE = re.compile(r"(?<![-\w])[0-9]{4}-[0-9]{2}-[0-9]{2}(?![-\w])")

#: A batch as the journal names it: its day, its procedure, and which of that day.
_BATCH = re.compile(
    r"(?<![-\w])([0-9]{4})([0-9]{2})([0-9]{2})-([a-z0-9-]*[a-z])-(?:[A-Z]+-)?([0-9]+)(?![-\w])"
)

#: A date in each month: whole, so that nobody who is called May is looked up.
DATES = (
    tr_noop("{day} January {year}"), tr_noop("{day} February {year}"), tr_noop("{day} March {year}"),
    tr_noop("{day} April {year}"), tr_noop("{day} May {year}"), tr_noop("{day} June {year}"),
    tr_noop("{day} July {year}"), tr_noop("{day} August {year}"), tr_noop("{day} September {year}"),
    tr_noop("{day} October {year}"), tr_noop("{day} November {year}"), tr_noop("{day} December {year}"),
)  # fmt: skip


#: A month and its year.
MONTHS = (
    tr_noop("January {year}"), tr_noop("February {year}"), tr_noop("March {year}"), tr_noop("April {year}"),
    tr_noop("May {year}"), tr_noop("June {year}"), tr_noop("July {year}"), tr_noop("August {year}"),
    tr_noop("September {year}"), tr_noop("October {year}"), tr_noop("November {year}"), tr_noop("December {year}"),
)  # fmt: skip
#: A month in three letters or so, with its year.
SHORT_MONTHS = (
    tr_noop("Jan {year}"), tr_noop("Feb {year}"), tr_noop("Mar {year}"), tr_noop("Apr {year}"), tr_noop("May {year}"), tr_noop("Jun {year}"),
    tr_noop("Jul {year}"), tr_noop("Aug {year}"), tr_noop("Sep {year}"), tr_noop("Oct {year}"), tr_noop("Nov {year}"), tr_noop("Dec {year}"),
)  # fmt: skip
#: A date so many days away is said in days, a later one by its month.
IN_DAYS = 60


def until(iso: str, days: int) -> str:
    """How long something keeps, as people say it; ``days`` from today to its ISO date."""
    found = date.fromisoformat(iso[:10])
    month = tr(MONTHS[found.month - 1], year=found.year)
    if days < -IN_DAYS:
        return tr("past its date since {month}: set it aside", month=month)
    if days < 0:
        return tr_n("{n} day past its date: set it aside", "{n} days past its date: set it aside", n=-days)
    if days > IN_DAYS:
        return tr("good until {month}", month=month)
    return tr_n("{n} day left", "{n} days left", n=days) if days else tr("today is its last day")


def leaf(iso: str) -> tuple[str, str]:
    """A day as it stands on the leaf of a calendar: its number, and its month; ("", "") where it is no date."""
    try:
        found = date.fromisoformat(iso[:10])
    except ValueError:
        return "", ""
    return str(found.day), tr(SHORT_MONTHS[found.month - 1], year=found.year)


def day(iso: str) -> str:
    """The day of an ISO date or time: 1 March 2026; what is no date stays as it is."""
    try:
        found = date.fromisoformat(iso[:10])
    except ValueError:
        return iso
    return tr(DATES[found.month - 1], day=found.day, year=found.year)


def short_day(iso: str) -> str:
    """The same in short for what lies near: 1 Mar; what is no date stays as it is."""
    number, month = leaf(iso)
    return f"{number}\u00a0{month.rpartition(' ')[0]}" if number else iso


def day_and_time(iso: str) -> str:
    """The same with its minute: 1 March 2026, 09:05."""
    try:
        found = datetime.fromisoformat(iso)
    except ValueError:
        return iso
    return f"{day(iso)}, {found:%H:%M}"


def in_words(sentence: str, said_day: Callable[[str], str] = day) -> str:
    """A sentence with every ISO date in it as people write them."""
    return _ISO_DATE.sub(lambda found: said_day(found[0]), sentence)


def batches_in_words(sentence: str, said_day: Callable[[str], str] = day) -> str:
    """A sentence with every ISO date in it as people write them, and every batch named by its product and day."""

    def said(found: re.Match[str]) -> str:
        made = f"{found[1]}-{found[2]}-{found[3]}"
        of_day = tr("{product} of {day}", product=product_named(found[4]), day=said_day(made))
        return of_day if found[5] == "1" else tr("{batch}, number {n} of that day", batch=of_day, n=found[5])

    return in_words(_BATCH.sub(said, sentence), said_day)


def product_named(key: str) -> str:
    """A procedure's key as a heading: Winter shore cream."""
    return key.replace("-", " ").capitalize()


def heading(line: BatchLine) -> str:
    """A batch as a person names it: the product and the day, which is never broken."""
    made = day(line.wall).replace(" ", "\u00a0")
    return f"{product_named(line.procedure)}{f', {made}' if made else ''}"
