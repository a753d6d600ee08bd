"""How a wait is said, wherever it is said: on the glass, in the terminal, aloud."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from benchapp.foundation.language import number, tr, tr_n, tr_noop, translated

if TYPE_CHECKING:
    from benchapp.calculations.until_done import UntilDone
    from benchapp.make.view_model import Forecast, Meanwhile, ViewModel

#: How a weighing that is about to be taken is objected to.
OBJECT = tr_noop("Wrong? Press Not yet.")
#: Less waiting than this is not worth saying, in seconds.
WORTH_SAYING_S = 300.0
#: And of the whole make less than this, in seconds.
LAST_S = 60.0


def wait(seconds: float) -> str:
    """A wait as a person says it: 40 s, 12 min, 1 h 20 min."""
    whole = round(max(seconds, 0.0))
    return f"{whole} s" if whole < 90 else hours(whole)


def hours(seconds: float) -> str:
    """A time in hours and minutes: 1 h 05 min, 40 min."""
    minutes = round(seconds / 60)
    return (
        tr("{minutes} min", minutes=minutes)
        if minutes < 60
        else tr("{minutes} h {minutes_2:02d} min", minutes=minutes // 60, minutes_2=minutes % 60)
    )


#: From so many days on a delay is said in months.
IN_MONTHS = 45


def late(days: int) -> str:
    """By how many days something is late, in days or in months of 30."""
    if days < IN_MONTHS:
        return tr_n("{n} day late", "{n} days late", n=days)
    return tr_n("{n} month late", "{n} months late", n=round(days / 30))


#: From so many times as long on, and so many seconds more, the later end of an interval is said with the earlier one; from so many
#: times on it is said alone, since nobody can plan by the earlier one.
_WIDE, _WIDE_S, _FAR = 1.2, 60.0, 3.0


def _misleads(given: Forecast | UntilDone) -> bool:
    """Whether the middle alone would."""
    early, late = given.early_s, given.late_s
    return not math.isinf(late) and late >= _WIDE * early and late - early >= _WIDE_S


def is_wide(given: Forecast | UntilDone) -> bool:
    """Whether the middle alone would mislead: then it is said from when to when, in minutes, under an hour."""
    return _misleads(given) and round(given.late_s / 60) < 60


def is_far(given: Forecast | UntilDone) -> bool:
    """Whether its ends lie so far apart that the later one alone is said."""
    return is_wide(given) and given.late_s > _FAR * given.early_s


def about(given: Forecast | UntilDone) -> str:
    """How long still, in a few words: in the middle, or from when to when."""
    if not is_wide(given):
        return wait(given.middle_s)
    high = round(given.late_s / 60)
    if is_far(given):
        return tr("up to {high} min", high=high)
    return tr("{low}–{high} min", low=round(given.early_s / 60), high=high)


def still(given: UntilDone) -> str:
    """How long a make still takes: the same, and beyond an hour from when to when too; there in steps of five minutes, of which none
    is said too early."""
    if is_wide(given) or round(given.late_s / 60) < 60:
        return about(given)
    if not _misleads(given):
        return hours(300 * math.ceil(given.middle_s / 300))
    low, high = (5 * math.ceil(seconds / 300) for seconds in (given.early_s, given.late_s))
    late = tr("{hours} h {minutes:02d}", hours=high // 60, minutes=high % 60)
    if low < 60:
        return tr("{low} min–{late}", low=low, late=late)
    return tr(
        "{early}–{late}", early=tr("{hours} h {minutes:02d}", hours=low // 60, minutes=low % 60), late=late
    )


def by_makes(given: UntilDone) -> str:
    """The same as a sentence, and how it is known."""
    return tr_n(
        "About {wait} more, by the one make like this.",
        "About {wait} more, by the last {n} makes like this.",
        n=given.makes,
        wait=still(given),
    )


def forecast(given: Forecast) -> str:
    """The end of a wait, with its interval where it has one."""
    if given.early_s == given.late_s:
        return tr("{what} in {wait}", what=given.what, wait=wait(given.middle_s))
    if math.isinf(given.late_s):
        return tr(
            "{what} in about {wait}, at the earliest {wait_2}; perhaps never",
            what=given.what,
            wait=wait(given.middle_s),
            wait_2=wait(given.early_s),
        )
    return tr(
        "{what} in about {wait} ({wait_2} to {wait_3})",
        what=given.what,
        wait=wait(given.middle_s),
        wait_2=wait(given.early_s),
        wait_3=wait(given.late_s),
    )


def beside(given: Meanwhile) -> str:
    """The wait that goes on beside a weighing, in one line: why it calls, or what it reads and how long still."""
    if given.calls:
        return tr("{calls} Then finish this weighing.", calls=given.calls)
    reads = ", ".join(
        f"{x.name} –" if x.value is None else f"{x.name} {number(x.value, f'.{x.decimals}f')} {x.unit}"
        for x in given.live
        if x.unit != "s"
    )
    return "; ".join(part for part in (reads, forecast(given.forecast) if given.forecast else "") if part)


def still_to_come(m: ViewModel) -> str:
    """How long the make takes yet by finished makes like it; where there are none at the least, since then nobody knows how long
    hands and what has no set time will take. "" where nothing is to be said, and beside a wait: one wait has one time."""
    if m.over or m.act_view.forecast is not None:
        return ""
    until = m.until_done
    if until is not None:
        if until.late_s < LAST_S:
            return ""
        if until.makes == 1:
            return tr("last time: {wait} more", wait=still(until))
        wide = _misleads(until)  # two ends say by themselves that it is not certain
        return tr("{wait} more", wait=still(until)) if wide else tr("about {wait} more", wait=still(until))
    known = m.left_s >= WORTH_SAYING_S
    return tr("at least {wait} more", wait=wait(m.left_s)) if known else waits_to_come(m, False)


def waits_to_come(m: ViewModel, foretold: bool) -> str:
    """What of it is waited for, "" where nothing is. ``foretold``: the open end of this step is in it."""
    later = (x for x in m.spans if x.state == "next" or (x.state == "now" and not foretold))
    ends = [translated(end) for end in dict.fromkeys(x.open_end for x in later) if end]
    known = m.left_s >= WORTH_SAYING_S
    return " + ".join([*([tr("{wait} of waits", wait=wait(m.left_s))] if known else []), *ends])
