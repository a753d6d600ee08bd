"""What has to stand on the label: ingredients in order, durability. Check your own market's current law.

Regulation (EC) No 1223/2009, Article 19(1).
"""

from __future__ import annotations

import calendar
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from benchapp.calculations.composition import CompositionLine, Share, shares_as_added
from benchapp.foundation.language import tr

#: Below this share the order is free (Art. 19(1)(g), from memory).
FREE_BELOW_PERCENT = 1.0
#: Up to so many months a date is printed, above it a period after opening (Art. 19(1)(c)).
DATED_UP_TO_MONTHS = 30


@dataclass(frozen=True, slots=True)
class IngredientList:
    """Names in order; from ``free_from`` on (an index) any order is allowed. ``doubts`` say where ranges overlap."""

    names: tuple[str, ...]
    free_from: int
    doubts: tuple[str, ...] = ()

    @property
    def text(self) -> str:
        """As printed."""
        return "Ingredients: " + ", ".join(self.names) + "."


def ingredient_list(lines: Sequence[CompositionLine]) -> IngredientList:
    """INCI names in descending order of mass as added; under 1 % may follow in any order, colourants last.

    Ordered by likely share; a substance counts as under 1 % only if its highest share is. Where ranges
    overlap so that the order could be the other way round, a sentence says so. The same name is never twice.
    """
    shares = [s for s in shares_as_added(lines).values() if s.high_percent > 0.0]
    colours = [s for s in shares if s.inci.upper().startswith("CI ")]
    plain = [s for s in shares if s not in colours]
    big = sorted((s for s in plain if s.high_percent >= FREE_BELOW_PERCENT), key=_by_share)
    small = sorted((s for s in plain if s.high_percent < FREE_BELOW_PERCENT), key=_by_share)
    doubts = tuple(
        tr(
            "{inci} and {inci_2} could stand the other way round: {range}, {range_2}; ask the supplier",
            inci=a.inci,
            inci_2=b.inci,
            range=_range(a),
            range_2=_range(b),
        )
        for i, a in enumerate(big)
        for b in big[i + 1 :]
        if b.high_percent > a.low_percent
        and (a.low_percent, a.high_percent) != (b.low_percent, b.high_percent)
    )
    names = [s.inci for s in (*big, *small, *sorted(colours, key=_by_share))]
    return IngredientList(tuple(names), len(big), doubts)


def _by_share(share: Share) -> tuple[float, str]:
    return -share.likely_percent, share.inci


def _range(share: Share) -> str:
    return tr(
        "{low_percent:.3g} to {high_percent:.3g} %",
        low_percent=share.low_percent,
        high_percent=share.high_percent,
    )


@dataclass(frozen=True, slots=True)
class Durability:
    """What is printed: a date (the end of its month) or months after opening."""

    text: str
    until: date | None
    after_opening_months: int | None


def durability(made: date, months: int, after_opening_months: int | None = None) -> Durability:
    """Art. 19(1)(c): up to 30 months "best used before the end of"; longer, a period after opening.

    Raises ValueError when months are not positive, or a long-lived product has no period after opening.
    """
    if months <= 0:
        raise ValueError(
            tr(
                "a durability of {months} months makes no sense; state how long it keeps unopened",
                months=months,
            )
        )
    if months > DATED_UP_TO_MONTHS:
        if not after_opening_months or after_opening_months <= 0:
            raise ValueError(
                tr("at {months} months a period after opening is printed; state it in months", months=months)
            )
        return Durability(
            tr("{after_opening_months}M (open jar symbol)", after_opening_months=after_opening_months),
            None,
            after_opening_months,
        )
    # The month the durability ends in is not promised whole: the last whole month before it is.
    index = made.year * 12 + made.month - 1 + months - 1
    year, month = divmod(index, 12)
    until = date(year, month + 1, calendar.monthrange(year, month + 1)[1])
    return Durability(
        tr("Best used before the end of {month:02d}/{year}", month=month + 1, year=year), until, None
    )
