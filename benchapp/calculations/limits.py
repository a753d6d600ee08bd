"""Ceilings of the law and of the workshop itself in the finished product, and what no ceiling is known for.

Check your own market's current law. The rows and their sources stand in data/annex_*.toml.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any, Literal

from benchapp.calculations.composition import CompositionLine, in_finished_mass, shares_as_added
from benchapp.calculations.substances import ListedAcid, is_water, molar_mass, same_name
from benchapp.foundation.language import number, tr, tr_noop, translated
from benchapp.foundation.numbers import exact

Use = Literal["leave-on", "rinse-off"]
CHECK_YOUR_LAW = tr_noop("Check your own market's current law.")
ANNEXES = ("annex_ii", "annex_iii", "annex_v")
#: The markets a formula is checked for where nothing else is said.
MARKETS = ("EU", "UK")
#: What marks a figure that was not read in a text.
FROM_MEMORY = tr_noop("from memory, not to be relied on")


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """One ceiling: a sum of substances, each as what is counted by ``factors``, by use; None where it says nothing,
    0 where the use is prohibited. ``markets`` whose law it is; ``source``: the text the figure was read in."""

    entry: str
    name: str
    factors: Mapping[str, float]
    rinse_off_percent: float | None
    leave_on_percent: float | None
    counted_as: str = ""
    area: str = ""
    markets: tuple[str, ...] = ()
    source: str = ""
    note: str = ""

    def ceiling_percent(self, use: Use) -> float | None:
        """The ceiling for a use, None without one."""
        return self.rinse_off_percent if use == "rinse-off" else self.leave_on_percent


@dataclass(frozen=True, slots=True)
class Law:
    """What a formula is held against: the law of these markets, and the workshop's own limits."""

    markets: tuple[str, ...] = MARKETS
    own: tuple[Limit, ...] = ()

    def limits(self) -> tuple[Limit, ...]:
        """All of them."""
        return (*(x for x in known_limits() if set(x.markets) & set(self.markets)), *self.own)


#: What a formula is held against where nothing else is said.
DEFAULT_LAW = Law()


@dataclass(frozen=True, slots=True)
class LimitCheck:
    """A ceiling and the most the product may hold of it, worst case, in percent of the finished mass."""

    limit: Limit
    percent: float
    ceiling_percent: float
    markets: tuple[str, ...] = ()

    @property
    def passed(self) -> bool:
        """Whether it holds (limits included)."""
        return exact(self.percent) <= self.ceiling_percent

    @property
    def sentence(self) -> str:
        """What was found, for a maker, and that the market's law decides."""
        return f"{self.finding} {translated(CHECK_YOUR_LAW)}"

    @property
    def finding(self) -> str:
        """What was found alone, where the rest is said once for several."""
        limit = self.limit
        as_what = tr(" as {counted_as}", counted_as=limit.counted_as) if limit.counted_as else ""
        if not self.ceiling_percent:
            held = tr("not allowed in this use")
        elif self.passed:
            held = tr("within {ceiling:g} %", ceiling=self.ceiling_percent)
        else:
            held = tr("ABOVE {ceiling:g} %", ceiling=self.ceiling_percent)
        where = tr(" in {area} products", area=limit.area) if limit.area else ""
        entry = "; ".join(filter(None, (limit.entry, ", ".join(self.markets))))
        doubt = (
            tr(" This figure is {source}.", source=limit.source)
            if limit.source and "read in" not in limit.source
            else ""
        )
        note = tr(" Note: {note}.", note=limit.note) if limit.note else ""
        return tr(
            "{name}: up to {percent} %{as_what}, {held}{where} ({entry}).{note}{doubt}",
            name=limit.name,
            percent=_percent(self.percent),
            as_what=as_what,
            held=held,
            where=where,
            entry=entry,
            note=note,
            doubt=doubt,
        )


def _percent(value: float) -> str:
    return number(value, ".3f" if value >= 0.01 else ".2g")


def table(name: str) -> dict[str, Any]:
    """A table of law from the data folder, by its file's stem."""
    return tomllib.loads((resources.files("benchapp.calculations.data") / f"{name}.toml").read_text("utf-8"))


@lru_cache(maxsize=1)
def known_acids() -> Mapping[str, ListedAcid]:
    """What ceilings are counted as, by name."""
    lists = ("names", "other_esters")
    rows = (row | {x: tuple(row.get(x, ())) for x in lists} for row in table("acids")["acid"])
    return {row["name"]: ListedAcid(**row) for row in rows}


@lru_cache(maxsize=1)
def known_limits() -> tuple[Limit, ...]:
    """All ceilings of the tables."""
    return tuple(limit for name in ANNEXES for limit in _limits(table(name)))


def _limits(data: Mapping[str, Any]) -> Iterator[Limit]:
    for row in data["limit"]:
        yield limit_from(
            row,
            tuple(row.get("markets", data["default_markets"])),
            data["sources"][row.get("source", data["default_source"])],
        )


def limit_from(row: Mapping[str, Any], markets: tuple[str, ...], source: str) -> Limit:
    """A ceiling from its row. Raises KeyError and ValueError for a row that is none."""
    if "percent" in row and ("rinse_off" in row or "leave_on" in row):
        raise ValueError(tr("percent stands for both uses; leave rinse_off and leave_on out"))
    both = row.get("percent")
    return Limit(
        entry=row.get("entry", ""), name=row.get("name") or row.get("acid") or row["inci"], factors=_factors(row),
        rinse_off_percent=row.get("rinse_off", both), leave_on_percent=row.get("leave_on", both),
        counted_as=row.get("counted_as", row.get("acid", "")), area=row.get("area", ""),
        markets=markets, source=source, note=row.get("note", ""),
    )  # fmt: skip


def _factors(row: Mapping[str, Any]) -> dict[str, float]:
    """How much of what is counted each name holds."""
    if "acid" in row:
        return known_acids()[row["acid"]].factors(row["forms"])
    found = {}
    counted = molar_mass(row["counted_formula"]) if "counted_formula" in row else 0.0
    for substance in row.get("substances", ({"inci": row.get("inci")},)):
        share = substance.get("counted", 1) * counted / molar_mass(substance["formula"]) if counted else 1.0
        found[same_name(substance["inci"])] = share
    return found


def check_limits(
    lines: Sequence[CompositionLine],
    use: Use,
    lost_percent: float = 0.0,
    area: str = "",
    law: Law = DEFAULT_LAW,
) -> tuple[LimitCheck, ...]:
    """Every ceiling that touches the formula, the law's and the suppliers', with the worst case of all ranges, in the
    finished mass.

    ``lost_percent`` of all that was added has evaporated. ``area`` is "hair", "face", "body" or "": then every
    area's ceiling of that use is checked, so the strictest decides.
    """
    held: dict[str, float] = {}
    for share in shares_as_added(lines).values():
        name = same_name(share.inci)
        held[name] = held.get(name, 0.0) + in_finished_mass(share.high_percent, lost_percent)
    found = []
    for limit in law.limits():
        ceiling = limit.ceiling_percent(use)
        if ceiling is None or (area and limit.area and area != limit.area):
            continue
        amounts = [held[n] * factor for n, factor in limit.factors.items() if held.get(n, 0.0) > 0.0]
        if amounts:
            markets = tuple(m for m in law.markets if m in limit.markets)
            found.append(LimitCheck(limit, sum(amounts), ceiling, markets))
    return (*found, *_supplier_limits(lines, lost_percent))


def _supplier_limits(lines: Sequence[CompositionLine], lost_percent: float) -> Iterator[LimitCheck]:
    """What the supplier of each material says of it."""
    for x in lines:
        if x.limit_percent is not None and x.percent > 0.0:
            limit = Limit(
                entry=tr("the material's own limit"), name=x.material, factors={}, rinse_off_percent=x.limit_percent,
                leave_on_percent=x.limit_percent,
            )  # fmt: skip
            yield LimitCheck(limit, in_finished_mass(x.percent, lost_percent), x.limit_percent)


def conditions(lines: Sequence[CompositionLine]) -> tuple[str, ...]:
    """What the law asks of a substance beside a percentage, and what has to be said of one that releases formaldehyde."""
    rows = table("annex_iii")["condition"]
    asked = {
        same_name(n): f"{translated(row['text'])} ({row['entry']})" for row in rows for n in row["names"]
    }
    releasers = table("annex_ii")["releasers"]
    asked |= {
        same_name(n): tr("{text} (preamble of Annex V)", text=translated(releasers["text"]))
        for n in releasers["names"]
    }
    shares = shares_as_added(lines).values()
    return tuple(f"{s.inci}: {asked[same_name(s.inci)]}." for s in shares if same_name(s.inci) in asked)


def unlimited(lines: Sequence[CompositionLine], use: Use, law: Law = DEFAULT_LAW) -> tuple[str, ...]:
    """INCI names no ceiling is known for in this use, in the formula's order. Water is not among them."""
    known = {n for limit in law.limits() if limit.ceiling_percent(use) is not None for n in limit.factors}
    names = dict.fromkeys(s.inci for s in shares_as_added(lines).values() if s.high_percent > 0)
    return tuple(n for n in names if same_name(n) not in known and not is_water(n))


def not_known(lines: Sequence[CompositionLine], use: Use, law: Law = DEFAULT_LAW) -> str:
    """One line that says what the tables are silent about, and that the market's current law decides."""
    names = unlimited(lines, use, law)
    silent = tr("No ceiling known for: {names}. ", names=", ".join(names)) if names else ""
    bases = table("markets")
    basis = "; ".join(
        f"{m}: {translated(bases[m]['basis']) if m in bases else tr('own file only')}" for m in law.markets
    )
    return tr(
        "{silent}The market's current law decides ({basis}). {check_your_law}",
        silent=silent,
        basis=basis,
        check_your_law=CHECK_YOUR_LAW,
    )


def not_known_in_short(
    lines: Sequence[CompositionLine], use: Use, law: Law = DEFAULT_LAW, within: bool = False
) -> str:
    """The same for a page with little room: of how many names. ``within``: no limit that is known is passed."""
    if within:
        return tr("Nothing in it is over a limit known here. Your own market's law decides.")
    silent = tr(
        "No limit is known here for {count} of its substances.", count=len(unlimited(lines, use, law))
    )
    return f"{silent} {translated(CHECK_YOUR_LAW)}"


def preservative_window_complaint(
    name: str, window_ph: tuple[float, float], low_ph: float, high_ph: float
) -> str:
    """A sentence where a product of pH ``low_ph`` to ``high_ph`` leaves the window its preservative works in, else ""."""
    low, high = window_ph
    if low <= low_ph and high_ph <= high:
        return ""
    return tr(
        "{name} works from pH {low:g} to {high:g}; this product is at pH {low_ph:g} to "
        "{high_ph:g}, where it may not protect",
        name=name,
        low=low,
        high=high,
        low_ph=low_ph,
        high_ph=high_ph,
    )
