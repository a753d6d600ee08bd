"""A workshop's own file of law: the markets it sells in, and limits its safety assessor or another market sets.

    markets = ["EU"]
    by = "Name of the safety assessor"
    date = 2026-11-03
    limit = [{ inci = "Phenoxyethanol", percent = 0.8 }]

A limit has the form of a row in data/annex_v.toml; ``market`` in it names whose law it is.
"""

from __future__ import annotations

from datetime import date
from typing import Any

from benchapp.calculations.limits import MARKETS, Law, Limit, limit_from
from benchapp.foundation.language import tr
from benchapp.foundation.toml_reading import read_toml

_FIELDS = {"markets", "by", "date", "limit"}
_ROW = {
    "entry", "name", "inci", "substances", "acid", "forms", "counted_as", "counted_formula", "percent", "rinse_off",
    "leave_on", "area", "note", "market",
}  # fmt: skip


def read_law(text: str) -> Law:
    """What a workshop's formulas are held against. Raises ValueError with one sentence for anything that is no such file."""
    data = read_toml(text)
    unknown = sorted(set(data) - _FIELDS)
    if unknown:
        raise ValueError(
            tr(
                "There is no field {unknown}; write {names}",
                unknown=unknown[0],
                names=", ".join(sorted(_FIELDS)),
            )
        )
    markets = data.get("markets", list(MARKETS))
    if not isinstance(markets, list) or not markets or not all(isinstance(m, str) for m in markets):
        raise ValueError(tr('markets is a list of names, like ["EU", "UK"]'))
    rows = data.get("limit", [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise ValueError(tr('limit is a list of tables, like [{ inci = "Phenoxyethanol", percent = 0.8 }]'))
    if rows and not (isinstance(data.get("by"), str) and isinstance(data.get("date"), date)):
        raise ValueError(tr('Say whose limits these are: by = "name" and date = 2026-11-03'))
    own = tuple(_own(row, tr("own limit, {by}, {date}", by=data["by"], date=data["date"])) for row in rows)
    unheard = [m for m in markets if m not in MARKETS and not any(m in x.markets for x in own)]
    if unheard:
        raise ValueError(
            tr(
                'Nothing is known of the market {unheard}: give its limits with market = "{unheard}"',
                unheard=unheard[0],
            )
        )
    return Law(tuple(markets), own)


def _own(row: dict[str, Any], entry: str) -> Limit:
    unknown = sorted(set(row) - _ROW)
    if unknown:
        raise ValueError(
            tr(
                "A limit has no field {unknown}; write {names}",
                unknown=unknown[0],
                names=", ".join(sorted(_ROW)),
            )
        )
    figures = [row[k] for k in ("percent", "rinse_off", "leave_on") if k in row]
    if not figures or not all(
        isinstance(x, int | float) and not isinstance(x, bool) and 0 <= x <= 100 for x in figures
    ):
        raise ValueError(tr("A limit has percent, or rinse_off or leave_on, from 0 to 100"))
    named = row.get("entry", "")
    market = (row["market"],) if "market" in row else ()
    try:
        return limit_from({**row, "entry": f"{named}; {entry}" if named else entry}, market, "")
    except (KeyError, TypeError, AttributeError) as error:
        raise ValueError(
            tr('A limit names its substance, like inci = "Phenoxyethanol" ({error} is missing)', error=error)
        ) from error
