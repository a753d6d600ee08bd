"""Whether one batch size suits the vessels, the blender and the scales that are there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from benchapp.calculations.minimum_weight import least_weight_g
from benchapp.calculations.portions import LOAD_SHARE
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact

from .bench import BenchState
from .checks.vessels import FULL, depth_mm, volume_ml, weighings
from .errors import Grade, Problem
from .formula import FormulaLine
from .model import Procedure
from .steps import Add, Blend, Step, TopUp, Weigh
from .walk import walk

Scale = tuple[float, float]  # capacity and readability, g


def check_batch(procedure: Procedure, batch_g: float, scales: Sequence[Scale]) -> tuple[Problem, ...]:
    """What stands against making this much with these scales; nothing if it can be made.

    ``batch_g`` is the planned mass in grams, ``scales`` are (capacity_g, readability_g). Errors: outside the
    procedure's own bounds, a vessel too full, a blender head not covered, a load no scale carries.
    Warnings: a weight too small for every scale that could carry its vessel.
    """
    place = _Placer(procedure)
    found: list[Problem] = []
    for step, bench in walk(procedure):
        found += _full(step, bench, procedure, batch_g, place)
        found += _depth(step, bench, procedure, batch_g, place)
        found += _load(step, bench, procedure, batch_g, scales, place)
    found += _small(procedure, batch_g, scales, place)
    bounds = procedure.batch_g
    if not bounds.holds(batch_g):
        what = tr(
            "{batch_g:g} g is outside what this procedure allows, {low:g} to {high:g} g",
            batch_g=batch_g,
            low=bounds.low,
            high=bounds.high,
        )
        found.insert(0, place(procedure.steps[0], what, tr("Choose a batch between the two"), "batch-size"))
    return tuple(found)


class _Placer:
    """Makes problems that stand at a step's line."""

    def __init__(self, procedure: Procedure) -> None:
        self._file = procedure.file or procedure.key

    def __call__(self, step: Step, what: str, instead: str, rule: str, grade: Grade = "error") -> Problem:
        return Problem(self._file, step.line, 1, what, instead, rule, grade)


def _filled(step: Step, bench: BenchState) -> tuple[str, tuple[str, ...]]:
    """The vessel a step fills further, and the lines in it afterwards; ("", ()) where it fills none."""
    moves = step.declare(bench).moves
    return (moves.into, step.after(bench).held(moves.into)) if moves else ("", ())


def _full(
    step: Step, bench: BenchState, procedure: Procedure, batch_g: float, place: _Placer
) -> Iterator[Problem]:
    key, lines = _filled(step, bench)
    if not key:
        return
    vessel = procedure.vessels[key]
    used = volume_ml(lines, procedure, batch_g)
    before = volume_ml(bench.contents.get(key, ()), procedure, batch_g)
    limit = vessel.capacity_ml * FULL
    if exact(used) > exact(limit) >= exact(before):
        what = tr(
            "The {name} would hold {used:.0f} ml, more than four fifths of {capacity_ml:g} ml",
            name=vessel.name,
            used=used,
            capacity_ml=vessel.capacity_ml,
        )
        instead = tr("Make a smaller batch, take a larger vessel, or split it over several kettles")
        yield place(step, what, instead, "headroom")


def _depth(
    step: Step, bench: BenchState, procedure: Procedure, batch_g: float, place: _Placer
) -> Iterator[Problem]:
    if not isinstance(step, Blend) or step.head_depth_mm is None:
        return
    depth = depth_mm(step, bench, procedure, batch_g)
    if depth is not None and depth < step.head_depth_mm:
        name = procedure.vessels[step.vessel].name
        what = tr(
            "The {name} would be {depth:.0f} mm deep, and the blender needs {head_depth_mm:g} mm",
            name=name,
            depth=depth,
            head_depth_mm=step.head_depth_mm,
        )
        yield place(step, what, tr("Make a larger batch, or take a narrower vessel"), "blender-depth")


def portion_g(
    step: Step, bench: BenchState, procedure: Procedure, batch_g: float, capacity_g: float
) -> float | None:
    """How much goes into the jug of a step at once, g, on a scale that carries ``capacity_g``: less than nothing where not
    even the empty jug is carried, None where the step names no jug or its own vessel is carried."""
    if not isinstance(step, Weigh | Add) or not step.jug or not step.declare(bench).weighs:
        return None
    gross = gross_g(step, bench, procedure, batch_g)
    if gross is None or gross <= LOAD_SHARE * capacity_g:
        return None
    jug = procedure.vessels[step.jug]
    lightest = min(x.material.density_g_ml or 1.0 for x in bench.lines(step.declare(bench).weighs))
    return min(LOAD_SHARE * capacity_g - (jug.empty_g or 0.0), FULL * jug.capacity_ml * min(lightest, 1.0))


def topped_by_jug(
    step: Step, bench: BenchState, procedure: Procedure, batch_g: float, capacity_g: float
) -> bool:
    """Whether what a step tops up goes in by its jug, because a scale for ``capacity_g`` does not carry the vessel."""
    if not isinstance(step, TopUp) or not step.jug:
        return False
    return (gross_g(step, bench, procedure, batch_g) or 0.0) > LOAD_SHARE * capacity_g


def _weighed_itself(procedure: Procedure) -> set[str]:
    """The vessels that stand on a scale full: into the others a jug, or vessels that were weighed, bring what they hold."""
    found = {s.vessel for s in procedure.steps if isinstance(s, TopUp) and not s.jug}
    for step, bench in walk(procedure):
        said = step.declare(bench)
        if said.moves is not None and said.weighs and not (isinstance(step, Weigh | Add) and step.jug):
            found.add(said.moves.into)
    return found


def gross_g(step: Step, bench: BenchState, procedure: Procedure, batch_g: float) -> float | None:
    """The most that stands on the scale during a step, g; None for a step that weighs no vessel.

    Empty masses that the file does not give count as nothing.
    """
    shares = {line.key: line.percent for line in procedure.formula.lines}
    if isinstance(step, TopUp):
        key, lines = step.vessel, bench.held(step.vessel)
    else:
        key, lines = _filled(step, bench)
    if not key:
        return None
    return (procedure.vessels[key].empty_g or 0.0) + sum(shares[x] for x in lines) / 100.0 * batch_g


def _load(
    step: Step,
    bench: BenchState,
    procedure: Procedure,
    batch_g: float,
    scales: Sequence[Scale],
    place: _Placer,
) -> Iterator[Problem]:
    gross = gross_g(step, bench, procedure, batch_g)
    if gross is None or not scales:
        return
    largest = max(c for c, _ in scales)
    portion = portion_g(step, bench, procedure, batch_g, largest)
    if portion is not None and portion <= 0.0 and isinstance(step, Weigh | Add):
        what = tr(
            "Not even the {name} is carried by a scale for {largest:g} g",
            name=procedure.vessels[step.jug].name,
            largest=largest,
        )
        yield place(step, what, tr("Take a lighter jug"), "scale-capacity")
    said, on_scale = step.declare(bench), _weighed_itself(procedure)
    brought = said.moves is not None and not said.weighs and said.moves.into not in on_scale
    if portion is not None or brought or topped_by_jug(step, bench, procedure, batch_g, largest):
        return
    fine = isinstance(step, Weigh) and step.scale == "fine"
    capacity = min(scales, key=lambda s: s[1])[0] if fine else max(c for c, _ in scales)
    if gross > capacity:
        which = tr("finest scale") if fine else tr("largest scale")
        what = tr(
            "The vessel and its contents would weigh {gross:.0f} g, and the {which} carries {capacity:g} g",
            gross=gross,
            which=which,
            capacity=capacity,
        )
        instead = tr("Make a smaller batch, take a lighter vessel, or name a jug to weigh it in portions")
        yield place(step, what, instead, "scale-capacity")


def _small(
    procedure: Procedure, batch_g: float, scales: Sequence[Scale], place: _Placer
) -> Iterator[Problem]:
    largest = max((c for c, _ in scales), default=0.0)
    by_jug = {s.key for s, b in walk(procedure) if portion_g(s, b, procedure, batch_g, largest) is not None}
    loads = {
        step.key: 0.0 if step.key in by_jug else gross_g(step, bench, procedure, batch_g) or 0.0
        for step, bench in walk(procedure)
    }
    for step, line in weighings(procedure):
        able = [s for s in scales if s[0] >= loads[step.key]]
        if not able:
            continue
        readability = min(r for _, r in able) if _takes_finest(step) else max(able)[1]
        yield from _too_small(step, line, batch_g, readability, place)


def _takes_finest(step: Step) -> bool:
    return isinstance(step, Weigh) and step.scale == "fine"


def _too_small(
    step: Step, line: FormulaLine, batch_g: float, readability_g: float, place: _Placer
) -> Iterator[Problem]:
    target, least = line.percent / 100.0 * batch_g, least_weight_g(readability_g, line.within_percent)
    if exact(target) < exact(least):
        what = tr(
            "{target:.3g} g of {name} is less than the {least:.3g} g that a {readability_g:g} g "
            "scale weighs within {within_percent:g} %",
            target=target,
            name=line.name,
            least=least,
            readability_g=readability_g,
            within_percent=line.within_percent,
        )
        instead = tr("Make a larger batch, or weigh it on a finer scale")
        yield place(step, what, instead, "small-weight", "warning")
