"""What lies in which vessel, and how hot it may be, at one moment of a method."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from benchapp.foundation.band import Band
from benchapp.foundation.language import tr

from .formula import Formula, FormulaLine, Material, Vessel

#: A vessel that was never heated is as warm as the room, in °C (common practice, no source).
ROOM_C = 20.0
#: A liquid hotter than this is announced as hot, °C. Common practice, no source.
HOT_C = 45.0


@dataclass(frozen=True, slots=True)
class BenchState:
    """The vessels at the moment a step begins, and what the procedure calls everything.

    ``contents`` are keys of formula lines by vessel key. ``hottest_c`` is the most a vessel can have by plan;
    a vessel that was never heated is not in it. ``heated_from_c`` is the lower limit of the band of the last
    heating.
    """

    formula: Formula
    materials: Mapping[str, Material]
    vessels: Mapping[str, Vessel]
    contents: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    hottest_c: Mapping[str, float] = field(default_factory=dict)
    heated_from_c: Mapping[str, float] = field(default_factory=dict)

    def holding(self, line: str) -> str:
        """The vessel that holds a line; "" while none does."""
        return next((vessel for vessel, lines in self.contents.items() if line in lines), "")

    def held(self, vessel: str) -> tuple[str, ...]:
        """The lines in a vessel."""
        return self.contents.get(vessel, ())

    def is_hot(self, vessel: str) -> bool:
        """Whether the vessel may be hotter than is safe to touch for long."""
        return self.hottest_c.get(vessel, ROOM_C) > HOT_C

    def vessels_of(self, phases: tuple[str, ...]) -> tuple[str, ...]:
        """The vessels in which lines of these phases are now."""
        found: dict[str, None] = {}
        for phase in phases:
            keys = {x.key for x in self.formula.lines if x.phase == phase}
            found |= dict.fromkeys(vessel for vessel, lines in self.contents.items() if keys & set(lines))
        return tuple(found)

    def lines(self, keys: tuple[str, ...]) -> tuple[FormulaLine, ...]:
        """The formula's lines of these keys, in the formula's order."""
        return tuple(line for line in self.formula.lines if line.key in keys)

    # --- in words ------------------------------------------------------------------------------------

    def the(self, vessel: str) -> str:
        """ "the water pot"."""
        return tr("the {name}", name=self.vessels[vessel].name)

    def names(self, keys: tuple[str, ...]) -> str:
        """What the maker calls these lines, with commas between."""
        names = {line.key: line.name for line in self.formula.lines}
        return ", ".join(names[key] for key in keys)

    # --- what a step changes -------------------------------------------------------------------------

    def with_lines(self, lines: tuple[str, ...], into: str) -> BenchState:
        """Lines come into a vessel; those that were in another leave it."""
        left = {v: tuple(x for x in held if x not in lines) for v, held in self.contents.items()}
        return replace(self, contents={**left, into: (*left.get(into, ()), *lines)})

    def poured(self, source: str, into: str) -> BenchState:
        """One vessel emptied into another, which may then be as hot as the hotter of the two."""
        if source == into:
            return self
        moved = self.with_lines(self.held(source), into)
        contents = {v: held for v, held in moved.contents.items() if v != source}
        return replace(
            moved,
            contents=contents,
            hottest_c=_hotter(self.hottest_c, source, into),
            heated_from_c=_hotter(self.heated_from_c, source, into),
        )

    def at_temperature(self, vessels: tuple[str, ...], band: Band) -> BenchState:
        """Vessels heated to a band, or cooled to its upper limit; an open lower end leaves the last heating's."""
        hottest = {**self.hottest_c, **dict.fromkeys(vessels, band.high)}
        heated = dict.fromkeys(vessels, band.low) if band.low > float("-inf") else {}
        return replace(self, hottest_c=hottest, heated_from_c={**self.heated_from_c, **heated})


def _hotter(known: Mapping[str, float], source: str, into: str) -> dict[str, float]:
    left = {v: c for v, c in known.items() if v != source}
    if source not in known:
        return left
    return {**left, into: max(known[source], known.get(into, known[source]))}
