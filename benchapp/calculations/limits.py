"""Legal ceilings of substances in the finished product. Check your own market's current law."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any, Literal

from benchapp.calculations.composition import CompositionLine, in_finished_mass, shares_as_added
from benchapp.foundation.numbers import exact

Use = Literal["leave-on", "rinse-off"]
CHECK_YOUR_LAW = "Check your own market's current law."


@dataclass(frozen=True, slots=True)
class Limit:
    """One ceiling: a sum of substances, each as its acid or itself by ``factors``, by use; None where it says nothing."""

    entry: str
    name: str
    counted_as: str
    factors: Mapping[str, float]
    each: bool
    area: str
    rinse_off_percent: float | None
    leave_on_percent: float | None

    def ceiling_percent(self, use: Use) -> float | None:
        """The ceiling for a use, None without one."""
        return self.rinse_off_percent if use == "rinse-off" else self.leave_on_percent


@dataclass(frozen=True, slots=True)
class LimitCheck:
    """A ceiling and the most the product may hold of it, worst case, in percent of the finished mass."""

    limit: Limit
    percent: float
    ceiling_percent: float

    @property
    def passed(self) -> bool:
        """Whether it holds (limits included)."""
        return exact(self.percent) <= self.ceiling_percent

    @property
    def sentence(self) -> str:
        """What was found, for a maker."""
        as_what = f" as {self.limit.counted_as}" if self.limit.counted_as else ""
        word = "within" if self.passed else "ABOVE"
        return (
            f"{self.limit.name}: up to {self.percent:.3f} %{as_what}, {word} {self.ceiling_percent:g} % "
            f"({self.limit.entry}). {CHECK_YOUR_LAW}"
        )


def table(name: str) -> dict[str, Any]:
    """A table of law from the data folder, by its file's stem."""
    return tomllib.loads((resources.files("benchapp.calculations.data") / f"{name}.toml").read_text("utf-8"))


@lru_cache(maxsize=1)
def known_limits() -> tuple[Limit, ...]:
    """All ceilings of the table."""
    return tuple(_limit(row) for row in table("limits")["limit"])


def _limit(row: dict[str, Any]) -> Limit:
    acid = row.get("g_mol")
    factors = {s["inci"].casefold(): acid / s["g_mol"] if acid else 1.0 for s in row["substances"]}
    return Limit(
        row["entry"], row["name"], row.get("counted_as", ""), factors, row.get("each", False), row.get("area", ""),
        row.get("rinse_off"), row.get("leave_on"),
    )  # fmt: skip


def check_limits(
    lines: Sequence[CompositionLine], use: Use, lost_percent: float = 0.0, area: str = ""
) -> tuple[LimitCheck, ...]:
    """Every ceiling that touches the formula, with the worst case of all ranges, in the finished mass.

    ``lost_percent`` of all that was added has evaporated. ``area`` is "hair", "face" or "": then every
    area's ceiling of that use is checked, so the strictest decides.
    """
    shares = shares_as_added(lines)
    found = []
    for limit in known_limits():
        ceiling = limit.ceiling_percent(use)
        if ceiling is None or (area and limit.area and area != limit.area):
            continue
        amounts = [
            in_finished_mass(shares[inci].high_percent, lost_percent) * factor
            for inci, factor in limit.factors.items()
            if inci in shares and shares[inci].high_percent > 0.0
        ]
        if amounts:
            found.append(LimitCheck(limit, max(amounts) if limit.each else sum(amounts), ceiling))
    return tuple(found)


def preservative_window_complaint(
    name: str, window_ph: tuple[float, float], low_ph: float, high_ph: float
) -> str:
    """A sentence where a product of pH ``low_ph`` to ``high_ph`` leaves the window its preservative works in, else ""."""
    low, high = window_ph
    if low <= low_ph and high_ph <= high:
        return ""
    return f"{name} works from pH {low:g} to {high:g}; this product is at pH {low_ph:g} to {high_ph:g}, where it may not protect"
