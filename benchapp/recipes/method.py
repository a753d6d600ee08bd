"""A method proposed from a formula: vessels, steps and release checks, as tables of a procedure.

Nothing here knows a formula's chemistry. Temperatures come from the materials' own limits; times, bursts and the order
are common practice without a source, and said so where they stand. Every step can be changed afterwards.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from benchapp.calculations.minimum_weight import least_weight_g
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact
from benchapp.recipes.errors import ChangeRefused
from benchapp.recipes.material_shelf import hazards_of
from benchapp.recipes.method_groups import MethodOutline, WeighingGroup, in_what_burns, outline_of
from benchapp.recipes.method_words import (
    LOOKS,
    NO_SHEET,
    PREPARE_TASKS,
    RELEASE_LOOK,
    RELEASE_PH,
    clean_up_tasks,
)  # fmt: skip
from benchapp.recipes.questions import NOT_FILLED, open_questions
from procedures.checks.vessels import FULL, ORDINARY_READABILITY_G
from procedures.formula import Formula, FormulaLine

#: A boat on the finer scale holds at most this much, in g (common practice, no source).
_BOAT_G = 100.0
Tables = list[dict[str, Any]]


@dataclass(frozen=True, slots=True)
class BatchGrams:
    """Grams: the usual batch and the largest."""

    usual_g: float
    largest_g: float


@dataclass(frozen=True, slots=True)
class ProposedMethod:
    """The tables of a procedure that make the method. ``accept``: rules it cannot keep, with the reason."""

    vessels: Tables
    steps: Tables
    release: Tables
    accept: dict[str, str]


def propose(formula: Formula, sizes: BatchGrams, answers: Mapping[str, str]) -> ProposedMethod:
    """The method for a formula whose questions are all answered. Raises ChangeRefused where one is still open, where
    nothing can be weighed, or where what has to be heated must not be."""
    missing = open_questions(formula, answers)
    if missing:
        raise ChangeRefused(tr("Before a method can be proposed: {words}", words=missing[0].words))
    plan = outline_of(formula)
    steps = _Steps(formula, sizes, plan, answers["content"])
    built = steps.all()
    accept = {}
    if answers["content"] == NOT_FILLED:
        accept["fill-missing"] = tr("It is not filled at this bench; it goes on as a whole batch.")
    dissolved = [x.name for x in plan.formula_lines if in_what_burns(x, formula)]
    if dissolved:
        accept["never-melted"] = tr(
            "It dissolves in its phase without heat: {names}.", names=", ".join(dissolved)
        )
    return ProposedMethod(_vessels(plan, sizes), built, _release(formula), accept)


def _vessels(plan: MethodOutline, sizes: BatchGrams) -> Tables:
    """One for each group, as large as the rule of headroom wants it at the largest batch, in steps of 50 ml."""

    def volume(lines: Sequence[FormulaLine]) -> float:
        return sum(x.percent / 100 * sizes.largest_g / (x.material.density_g_ml or 1.0) for x in lines)

    found = []
    named: set[str] = set()
    for group in plan.groups:
        held = plan.formula_lines if group is plan.main else group.lines
        capacity = max(math.ceil(exact(volume(held) / FULL) / 50) * 50, 50)
        fields: dict[str, Any] = {"name": group.vessel}
        if group.phase not in named:
            fields["phase"] = group.phase
            named.add(group.phase)
        found.append({**fields, "capacity": f"{capacity} ml"})
    return found


def _release(formula: Formula) -> Tables:
    """What is looked at a day later (common practice, no source)."""
    found: Tables = []
    if formula.ph is not None:
        found.append({"name": tr("pH after a day"), "expect": RELEASE_PH, "due": "24 h", "band": [formula.ph.low, formula.ph.high]})  # fmt: skip
    return [*found, {"name": tr("Appearance after a day"), "expect": RELEASE_LOOK, "due": "24 h"}]


class _Steps:
    """The steps of one method, in their order."""

    def __init__(self, formula: Formula, sizes: BatchGrams, plan: MethodOutline, content: str) -> None:
        self._formula, self._sizes, self._plan, self._content = formula, sizes, plan, content

    def all(self) -> Tables:
        """From the clean bench to the closed batch."""
        hot = self._plan.heat_c is not None
        found = [self._prepare(), *self._weigh_main()]
        for group in self._plan.base:
            found.append(self._weigh(group))
        found += self._heat_and_join() if hot else self._join_cold()
        found += self._late()
        found += self._judge()
        return found

    def _prepare(self) -> dict[str, Any]:
        wear = [tr("Safety glasses"), tr("Nitrile gloves"), "Apron", tr("Hair cover")]
        if any(line.material.powder for line in self._formula.lines):
            wear.insert(2, tr("Dust mask for the powders"))
        return {
            "kind": "prepare",
            "title": tr("Make the bench ready"),
            "tasks": list(PREPARE_TASKS),
            "wear": wear,
        }

    def _weigh_main(self) -> Tables:
        plan = self._plan
        found = [self._weigh(plan.main)]
        for group in plan.gums:
            found.append(self._weigh(group))
            found.append({
                "kind": "disperse", "title": tr("Stir {listed} in", listed=_listed(group.lines))[:60], "vessel": plan.main.vessel,
                "ingredients": [x.name for x in group.lines], "stir": "3 min", "rest": "5 min",
            })  # fmt: skip  # how long: common practice, no source
        return found

    def _weigh(self, group: WeighingGroup) -> dict[str, Any]:
        fields: dict[str, Any] = {
            "kind": "weigh",
            "title": tr("Weigh {title}", title=group.title)[:60],
            "phase": group.phase,
        }
        if not group.whole_phase:
            fields |= {"vessel": group.vessel, "ingredients": [x.name for x in group.lines]}
        elif not group.own_vessel:
            fields["vessel"] = group.vessel
        if self._goes_on_the_finer_scale(group) and any(self._too_small(line) for line in group.lines):
            fields["scale"] = "fine"
        unknown = [x.material.name for x in group.lines if not hazards_of(x.material)]
        if unknown:
            fields["note"] = NO_SHEET.format(", ".join(unknown))
        return fields

    def _goes_on_the_finer_scale(self, group: WeighingGroup) -> bool:
        """What is weighed apart and light: a pot with a whole phase is too heavy for it (common practice, no source)."""
        light = sum(x.percent for x in group.lines) / 100 * self._sizes.largest_g <= _BOAT_G
        apart = (*self._plan.gums, *self._plan.late, *(self._plan.base if self._plan.heat_c is None else ()))
        return light and group in apart

    def _too_small(self, line: FormulaLine) -> bool:
        grams = line.percent / 100 * self._sizes.usual_g
        return exact(grams) < exact(least_weight_g(ORDINARY_READABILITY_G, line.within_percent))

    def _heat_and_join(self) -> Tables:
        plan, low = self._plan, self._plan.heat_c
        assert low is not None
        high = low + 5
        heated = dict.fromkeys(
            [plan.main.phase, *(g.phase for g in plan.gums), *(g.phase for g in plan.base)]
        )
        found: Tables = [{
            "kind": "heat", "title": tr("Heat until all is melted"), "phases": list(heated), "hold": "10 min",
            "band": [f"{low:g} degC", f"{high:g} degC"], "over": f"{high + 10:g} degC",
        }]  # fmt: skip  # how long it is held: common practice, no source
        water = next((x for x in plan.main.lines if x.material.role == "water"), None)
        if water is not None:
            found.append({
                "kind": "top up", "title": tr("Replace the water that steamed off"), "phase": plan.main.phase,
                "vessel": plan.main.vessel, "water": water.material.name,
            })  # fmt: skip
        for group in plan.base:
            found.append({
                "kind": "combine", "title": tr("Pour {title} in", title=group.title)[:60], "pour": group.vessel, "into": plan.main.vessel,
                "band": [f"{low - 2:g} degC", f"{high:g} degC"], "within": "5 K",
            })  # fmt: skip
        if water is not None and plan.base:
            found.append(self._blend())
        if plan.cool_below_c is not None:
            found.append({
                "kind": "cool", "title": tr("Stir it cool"), "vessel": plan.main.vessel, "below": f"{plan.cool_below_c:g} degC",
            })  # fmt: skip
        return found

    def _blend(self) -> dict[str, Any]:
        # Bursts, their length and the rests: common practice, no source.
        return {
            "kind": "blend", "title": tr("Blend in bursts"), "vessel": self._plan.main.vessel, "bursts": 4, "burst": "30 s",
            "rest": "30 s",
        }  # fmt: skip

    def _join_cold(self) -> Tables:
        plan = self._plan
        found: Tables = [
            {"kind": "add", "title": tr("Pour {title} in", title=g.title)[:60], "vessel": plan.main.vessel, "pour": g.vessel, "stir": "2 min"}
            for g in plan.base
        ]  # fmt: skip
        emulsified = any(x.material.role == "emulsifier" for x in plan.formula_lines)
        return [*found, self._blend()] if emulsified and found else found

    def _late(self) -> Tables:
        """Each group that must not meet the heat: weighed apart, stirred together, poured in."""
        found: Tables = []
        for group in self._plan.late:
            found.append(self._weigh(group))
            if len(group.lines) > 1:
                premix = {
                    "kind": "premix",
                    "title": tr("Stir {title} together", title=group.title)[:60],
                    "phase": group.phase,
                }
                found.append({**premix, "vessel": group.vessel})
            found.append({
                "kind": "add", "title": tr("Pour {title} in", title=group.title)[:60], "vessel": self._plan.main.vessel, "pour": group.vessel,
                "stir": "2 min",
            })  # fmt: skip
        return found

    def _judge(self) -> Tables:
        pot, found = self._plan.main.vessel, []
        if self._formula.ph is not None:
            found.append(self._ph(pot))
        looks = [{"name": name, "expect": expect} for name, expect in LOOKS]
        found.append({"kind": "look", "title": tr("Look at it, smell it, touch it"), "looks": looks})
        if self._content != NOT_FILLED:
            if self._content.endswith("l"):
                found.append({"kind": "density", "title": tr("Find the density"), "volume": "50 ml"})
            found.append({"kind": "fill", "title": tr("Fill it"), "vessel": pot, "content": self._content})
        found.append({"kind": "clean up", "title": tr("Leave the bench clean"), "tasks": clean_up_tasks(self._plan.heat_c is not None)})  # fmt: skip
        return [*found, {"kind": "finish", "title": tr("Close the batch")}]

    def _ph(self, pot: str) -> dict[str, Any]:
        fields: dict[str, Any] = {
            "kind": "measure ph",
            "title": tr("Measure the pH"),
            "vessel": pot,
            "water_parts": 9,
        }
        for side, role in (("raise_with", "base"), ("lower_with", "acid")):
            names = [
                x.name for x in self._formula.lines if x.cap_percent is not None and x.material.role == role
            ]
            if names:
                fields[side] = names
                fields["title"] = tr("Measure and set the pH")
        return fields


def _listed(lines: Sequence[FormulaLine]) -> str:
    return ", ".join(x.material.name for x in lines)
