"""Fragrance allergens: which have to be named, and of which materials nothing is known.

Regulation (EC) No 1223/2009 Annex III, extended by Regulation (EU) 2023/1545. Check your own market's current law.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from benchapp.calculations.botanical_names import PlantGroup, groups, is_scented
from benchapp.calculations.composition import CompositionLine, in_finished_mass, shares_as_added
from benchapp.calculations.limits import Use, table
from benchapp.calculations.substances import same_name
from benchapp.foundation.language import tr


@dataclass(frozen=True, slots=True)
class Allergen:
    """A fragrance substance that has to be named. ``due`` is "" or the date from which new products in the EU need it."""

    inci: str
    percent: float
    due: str = ""


@lru_cache(maxsize=1)
def _labels() -> tuple[dict[str, str], dict[str, PlantGroup], dict[str, str]]:
    """What a label calls each name, the plant groups by their label, and the date each label is due."""
    data = table("allergens")
    rows = data["allergen"]
    names = {same_name(n): row["label"] for row in rows for n in (row["label"], *row.get("names", ()))}
    extended = data["extended_new_products"].isoformat()
    return names, groups(rows), {r["label"]: extended if r.get("extended") else "" for r in rows}


@lru_cache(maxsize=1)
def _scented_plants() -> tuple[str, ...]:
    """Plants that are known for their scent: those of the table further down, and every genus of which an oil is listed."""
    genera = {plant.split()[0] for group in _labels()[1].values() for plant in group.plants}
    return (*sorted(genera), *table("allergens")["scented"])


def labelled_as(inci: str) -> str:
    """What the list of ingredients calls an allergen of this name, "" where the name is none."""
    names, plants, _ = _labels()
    known = names.get(same_name(inci), "")
    if known:
        return known
    label = max(plants, key=lambda label: plants[label].fit(inci))
    return label if plants[label].fit(inci) else ""


def allergens(lines: Sequence[CompositionLine], use: Use, lost_percent: float = 0.0) -> tuple[Allergen, ...]:
    """Fragrance allergens above 0.001 % (leave-on) or 0.01 % (rinse-off) of the finished mass, worst case.

    Oils and isomers of one entry are added up under its label. Only what the compositions name can be found:
    what a fragrance or an essential oil consists of is on its supplier's sheet.
    """
    above = float(table("allergens")["above_percent"][use])
    due = _labels()[2]
    sums: dict[str, float] = {}
    for share in shares_as_added(lines).values():
        label = labelled_as(share.inci)
        if label:
            sums[label] = sums.get(label, 0.0) + in_finished_mass(share.high_percent, lost_percent)
    found = [Allergen(label, percent, due[label]) for label, percent in sums.items() if percent > above]
    return tuple(sorted(found, key=lambda a: -a.percent))


def undeclared_fragrance(lines: Sequence[CompositionLine]) -> tuple[str, ...]:
    """Materials that hold Parfum, Aroma or an essential oil without naming any substance it consists of."""
    plants = _labels()[1]
    return tuple(
        line.material
        for line in lines
        if any(_is_mixture(p.inci) for p in line.parts)
        and not any(labelled_as(p.inci) and labelled_as(p.inci) not in plants for p in line.parts)
    )


def allergens_to_ask(lines: Sequence[CompositionLine]) -> list[str]:
    """A sentence for each of these, for whom to ask."""
    return [
        tr("{m} is stated without what it consists of: ask its supplier for the allergens.", m=m)
        for m in undeclared_fragrance(lines)
    ]


def _is_mixture(inci: str) -> bool:
    """Whether a name stands for many fragrance substances at once."""
    plants = _labels()[1]
    return (
        same_name(inci) in ("parfum", "aroma", "fragrance")
        or is_scented(inci, _scented_plants())
        or labelled_as(inci) in plants
    )
