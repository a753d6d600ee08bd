"""What is in the product, substance by substance: as added, and in the finished mass. Two denominators, kept apart."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from benchapp.calculations.substances import substance_key
from benchapp.foundation.language import tr


@dataclass(frozen=True, slots=True)
class Part:
    """One INCI name in a material, as the supplier's range in percent of the material."""

    inci: str
    low_percent: float
    high_percent: float


@dataclass(frozen=True, slots=True)
class CompositionLine:
    """One material as it went in: percent of everything that was added, what it consists of, and the most that its
    supplier says there may be of it in the product, None where nothing is said."""

    material: str
    percent: float
    parts: tuple[Part, ...]
    limit_percent: float | None = None


@dataclass(frozen=True, slots=True)
class Share:
    """One substance over all materials, lowest, likely and highest percent."""

    inci: str
    low_percent: float
    likely_percent: float
    high_percent: float


def together(lines: Iterable[CompositionLine]) -> tuple[CompositionLine, ...]:
    """The same with those of one name as one: a material that went into several kettles is one in the product."""
    found: dict[str, CompositionLine] = {}
    for line in lines:
        had = found.get(line.material)
        found[line.material] = line if had is None else replace(had, percent=had.percent + line.percent)
    return tuple(found.values())


def shares_as_added(lines: Sequence[CompositionLine]) -> dict[str, Share]:
    """Every substance by its ``substance_key``, in percent of the mass as added: what a label is ordered by.

    Likely values: the middle of each range, each material brought to 100 %; what a supplier leaves open is
    not guessed at. Plain proportion.
    """
    found: dict[str, Share] = {}
    for line in lines:
        middle = sum(p.low_percent + p.high_percent for p in line.parts) / 2
        scale = 100.0 / middle if middle > 0 else 1.0
        for part in line.parts:
            key = substance_key(part.inci)
            had = found.get(key, Share(part.inci, 0.0, 0.0, 0.0))
            likely = (part.low_percent + part.high_percent) / 2 * scale
            likely = min(max(likely, part.low_percent), part.high_percent)
            found[key] = Share(
                had.inci,
                had.low_percent + line.percent * part.low_percent / 100,
                had.likely_percent + line.percent * likely / 100,
                had.high_percent + line.percent * min(part.high_percent, 100.0) / 100,
            )
    return found


def in_finished_mass(percent_as_added: float, lost_percent: float) -> float:
    """Percent in the finished mass after ``lost_percent`` of everything added has evaporated: p·100/(100 - lost).

    What ceilings are about (Regulation (EC) No 1223/2009, "ready for use preparation"). Raises ValueError
    outside 0 to under 100 % lost.
    """
    if not 0.0 <= lost_percent < 100.0:
        raise ValueError(
            tr("{lost_percent:g} % lost makes no sense; weigh the batch again", lost_percent=lost_percent)
        )
    return percent_as_added * 100.0 / (100.0 - lost_percent)
