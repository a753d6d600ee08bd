"""Two ends as people write them: "70 degC to 75 degC", "5,0 bis 5,8", or "3-10" in a sheet."""

from __future__ import annotations

import re

from benchapp.foundation.language import tr
from benchapp.foundation.numbers import decimal
from benchapp.recipes.errors import ChangeRefused

#: What stands between them in English, German and French; a minus belongs to its number.
_BETWEEN = re.compile(r"\s+(?:to|bis|à)\s+|(?<=\d)\s*(?:to|bis|à|[-–])\s*(?=\d)")


def ends_of(text: str) -> tuple[str, str] | None:
    """The lower and the upper end as they are written; None where a text has no two."""
    low, *high = _BETWEEN.split(text.strip())
    return (low, high[0]) if len(high) == 1 else None


def ph_limits(answer: str) -> tuple[float, float]:
    """Two pH values out of "5.0 to 5.8" or "5,0 bis 5,8". Raises ChangeRefused."""
    try:
        low, high = (float(decimal(end)) for end in ends_of(answer) or ())
    except ValueError as error:
        raise ChangeRefused(
            tr('"{answer}" is no pair of pH values. Write them like "5.0 to 5.8".', answer=answer[:40])
        ) from error
    if not 0 <= low < high <= 14:
        raise ChangeRefused(
            tr(
                "pH {low:g} to {high:g}: the lower one comes first, and both lie between 0 and 14.",
                low=low,
                high=high,
            )
        )
    return low, high
