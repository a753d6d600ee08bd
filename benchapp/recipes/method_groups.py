"""Which lines of a formula are weighed together, into what, and which of them meet the heat."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from benchapp.foundation.language import tr
from benchapp.recipes.errors import ChangeRefused
from procedures.checks.heat import WARM_ROOM_C
from procedures.formula import Formula, FormulaLine

#: Phases are heated to at least this where anything has to melt, °C; and never beyond the last, where water boils away
#: too fast. Common practice, no source.
USUAL_HEAT_C, MOST_HEAT_C = 70.0, 90.0
#: An emulsion is stirred until it is below this where nothing asks for less, °C. Common practice, no source.
USUAL_COOL_C = 40.0


@dataclass(frozen=True, slots=True)
class WeighingGroup:
    """Lines of one phase that are weighed into one vessel. ``whole_phase``: they are all of it; ``own_vessel``: it is
    the vessel that is meant for the phase."""

    phase: str
    lines: tuple[FormulaLine, ...]
    vessel: str
    title: str
    whole_phase: bool
    own_vessel: bool = True


@dataclass(frozen=True, slots=True)
class MethodOutline:
    """``main`` is where the batch ends up; ``gums`` are stirred into it at once; ``base`` groups meet it hot (or at
    once, where nothing is heated); ``late`` ones when it is cool. ``heat_c``: lower end of the band, None for a cold
    process; ``cool_below_c``: None where nothing has to cool."""

    main: WeighingGroup
    gums: tuple[WeighingGroup, ...]
    base: tuple[WeighingGroup, ...]
    late: tuple[WeighingGroup, ...]
    heat_c: float | None
    cool_below_c: float | None

    @property
    def groups(self) -> tuple[WeighingGroup, ...]:
        """All of them, in the order in which they are weighed."""
        return (self.main, *self.gums, *self.base, *self.late)

    @property
    def formula_lines(self) -> tuple[FormulaLine, ...]:
        """Every line that is weighed."""
        return tuple(line for group in self.groups for line in group.lines)


def outline_of(formula: Formula) -> MethodOutline:
    """How a formula is weighed. Raises ChangeRefused where nothing can be, or something must melt hotter than can be
    heated here."""
    planned = [x for x in formula.lines if x.cap_percent is None]
    if not planned:
        raise ChangeRefused(
            tr("No ingredient has a share yet, so there is nothing to weigh. Add them first.")
        )
    heat_c = _heat_c(planned)
    late = {x.key for x in planned if heat_c is not None and _late(x, heat_c)}
    main_phase = _main_phase(planned, late)
    for phase in {x.phase for x in planned} - {
        main_phase
    }:  # what stands with it goes with it, if nothing has to melt
        lines = formula.in_phase(phase)
        if any(x.key in late for x in lines) and not any(_melts(x) and x.key not in late for x in lines):
            late |= {x.key for x in lines}
    for x in planned:
        if x.key in late and _melts(x) and not in_what_burns(x, formula):
            raise ChangeRefused(
                tr(
                    "{name} melts at {melts_c:g} °C and must not become that hot. It needs a way of its "
                    "own: dissolve it first, and bring that as a material.",
                    name=x.name,
                    melts_c=x.material.melts_c,
                )
            )
    groups = _groups(formula, main_phase, late, "beaker" if heat_c is None else "pot")
    cool = _cool_below_c(groups[3], heat_c, any(x.material.role == "water" for x in planned))
    return MethodOutline(groups[0], groups[1], groups[2], groups[3], heat_c, cool)


def _melts(line: FormulaLine) -> bool:
    return line.material.melts_c is not None and line.material.melts_c > WARM_ROOM_C


def in_what_burns(line: FormulaLine, formula: Formula) -> bool:
    """Whether it would have to melt, and stands in a phase that must not be heated since something in it burns."""
    return _melts(line) and any(x.material.burns for x in formula.in_phase(line.phase))


def _heat_c(lines: Sequence[FormulaLine]) -> float | None:
    """The lower end of the band: above everything that melts, in steps of 5 °C; None where nothing has to. What burns is
    never heated, so what melts in its phase is dissolved in it; where something else is heated, it is in the pots, too."""
    wet = {x.phase for x in lines if x.material.burns}
    if not any(_melts(x) and x.phase not in wet for x in lines):
        return None
    highest = max(x.material.melts_c or 0.0 for x in lines if _melts(x))
    low = max(USUAL_HEAT_C, (math.floor(highest / 5) + 1) * 5.0)
    if low > MOST_HEAT_C:
        hottest = next(x.name for x in lines if x.material.melts_c == highest)
        raise ChangeRefused(
            tr(
                "{hottest} melts at {highest:g} °C, hotter than a water bath gets a batch. No method "
                "is proposed: write its steps yourself.",
                hottest=hottest,
                highest=highest,
            )
        )
    return low


def _late(line: FormulaLine, heat_c: float) -> bool:
    limit = line.material.below_c
    return line.material.burns or (limit is not None and limit < heat_c + 5)


def _main_phase(lines: Sequence[FormulaLine], late: set[str]) -> str:
    """The phase of most of the water; of the largest share where there is none."""
    candidates = [x for x in lines if x.key not in late] or list(lines)
    water = [x for x in candidates if x.material.role == "water"] or candidates
    return max(water, key=lambda x: x.percent).phase


def _groups(
    formula: Formula, main_phase: str, late: set[str], other_vessel: str
) -> tuple[WeighingGroup, tuple[WeighingGroup, ...], tuple[WeighingGroup, ...], tuple[WeighingGroup, ...]]:
    main: list[WeighingGroup] = []
    gums: list[WeighingGroup] = []
    base: list[WeighingGroup] = []
    after: list[WeighingGroup] = []
    names = _Names()
    for phase in sorted(formula.phases, key=lambda p: p != main_phase):
        lines = formula.in_phase(phase)
        cool = tuple(x for x in lines if x.key in late)
        rest = tuple(x for x in lines if x.key not in late)
        gum = tuple(x for x in rest if x.material.role == "gum")
        if gum and phase != main_phase:
            gum, rest = rest, ()  # what stands in its phase wets it: it goes in together
        elif phase == main_phase:
            rest = tuple(x for x in rest if x not in gum)
        vessel_of_rest = "pot" if phase == main_phase else other_vessel
        parts = [p for p in ((rest, vessel_of_rest), (gum, tr("gum beaker")), (cool, "boat")) if p[0]]
        for n, (part, vessel) in enumerate(parts):
            whole = len(parts) == 1
            called = phase if "phase" in phase.casefold() else tr("the {phase} phase", phase=phase)
            title = called if whole or part is rest else f"{', '.join(x.name for x in part)}"
            title = tr("what stays cool of {called}", called=called) if part is cool and not whole else title
            own = n == 0
            group = WeighingGroup(phase, part, names.new(f"{phase} {vessel}"), title, whole, own)
            into = after if part is cool else gums if part is gum else main if phase == main_phase else base
            into.append(group)
    if not main:  # everything in the main phase is a gum or must stay cool
        main.append((gums or base or after).pop(0))
    return main[0], tuple(gums), tuple(base), tuple(after)


def _cool_below_c(late: Sequence[WeighingGroup], heat_c: float | None, water: bool) -> float | None:
    if heat_c is None or not (late or water):
        return None
    limits = [x.material.below_c for g in late for x in g.lines if x.material.below_c is not None]
    return min([USUAL_COOL_C, *limits])


class _Names:
    """Names of vessels, each once, none longer than the glass shows."""

    def __init__(self) -> None:
        self._used: set[str] = set()

    def new(self, name: str) -> str:
        name, n = name[-60:], 1
        while name.casefold() in self._used:
            n += 1
            name = f"{name[:56].rstrip('0123456789 ')} {n}"
        self._used.add(name.casefold())
        return name
