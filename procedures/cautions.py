"""Which safety notice belongs to which step: at the moment the thing is picked up, heated or poured.

What each of them says stands in notices.py.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from benchapp.foundation.language import tr

from . import ghs, notices
from .bench import HOT_C, BenchState
from .formula import FormulaLine
from .model import Procedure
from .notices import SCALDING_C, Caution, hot
from .steps import Blend, Heat, Prepare, Step, Weigh
from .steps.base import Declaration, Hazard
from .walk import bench_at

#: The key of the caution about what burns.
FIRE = "fire"


def cautions_for(step: Step, procedure: Procedure) -> tuple[Caution, ...]:
    """The notices a step has to show, serious ones first, each key once.

    Raises KeyError for a step of another procedure.
    """
    bench = bench_at(step, procedure)
    found: dict[str, Caution] = {}
    said = step.declare(bench)
    for caution in (*_physical(step, said, procedure, bench), *_chemical(said, bench)):
        found.setdefault(caution.key, caution)
    return tuple(sorted(found.values(), key=lambda c: not c.serious))


def _physical(step: Step, said: Declaration, procedure: Procedure, bench: BenchState) -> Iterator[Caution]:
    yield from _hot_contents(said, procedure, bench)
    for hazard in said.hazards:
        yield from _of_hazard(hazard, step, said, procedure)
    if Hazard.BLADES in said.hazards and any(bench.is_hot(v) for v in said.touches):
        yield notices.SPLASH
    if any(_is_dusty(line, bench) for line in bench.lines(said.handles)):
        yield notices.POWDER


def _of_hazard(hazard: Hazard, step: Step, said: Declaration, procedure: Procedure) -> Iterator[Caution]:
    """What can hurt whatever is in the vessels."""
    match hazard:
        case Hazard.HEAT_SOURCE:
            yield from _heat_source(step, said, procedure)
        case Hazard.BLADES:
            yield notices.BLENDER
        case Hazard.MELTING:
            yield from _melting(step, procedure)
        case Hazard.FLAMMABLE_VAPOUR:
            yield _fire(procedure)
            yield notices.VAPOUR
        case Hazard.WASHING_UP:
            if any(isinstance(x, Blend | Heat) for x in procedure.steps):
                yield notices.UNPLUG
            if any(set(ghs.hazards(m.statements)) & ghs.WATERS for m in procedure.materials.values()):
                yield notices.WASTE
        case _:
            assert_never(hazard)


def _is_dusty(line: FormulaLine, bench: BenchState) -> bool:
    """Whether a line is handled as a dry powder: not once it is wetted by what shares its vessel."""
    powders = {x.key for x in bench.formula.lines if x.material.powder}
    return line.key in powders and set(bench.held(bench.holding(line.key))) <= powders


def _heat_source(step: Step, said: Declaration, procedure: Procedure) -> Iterator[Caution]:
    if said.leaves_c is not None:
        yield hot(said.leaves_c.high, serious=False)
    yield notices.STEAM
    if isinstance(step, Heat) and step.bath:
        yield notices.DRY_BATH
        if any(procedure.vessels[v].glass for v in said.touches):
            yield notices.GLASS
    if flammables(procedure):
        yield _fire(procedure)


def flammables(procedure: Procedure) -> list[str]:
    """What of it burns, by name: ingredients, and what the bench is wetted with."""
    names = [line.material.name for line in procedure.formula.lines if line.material.flammable]
    names += [
        x.sanitiser or tr("the sanitiser")
        for x in procedure.steps
        if isinstance(x, Prepare) and x.flammable_sanitiser
    ]
    return list(dict.fromkeys(names))


def _fire(procedure: Procedure) -> Caution:
    names = tuple(flammables(procedure))
    text = tr(
        "Flammable: {names}. No hot plate or flame until it has dried off or is put away.",
        names=", ".join(names),
    )
    return Caution(
        FIRE, "WARNING", "physical", "W021", text, notices.FIRE_AID, serious=True, also=("P003",), of=names
    )


def _melting(step: Step, procedure: Procedure) -> Iterator[Caution]:
    """What is melted beside the scale is hot, and so is what it is melted on. Where nobody says how warm it gets, it is
    taken to scald."""
    most = step.melt_at_most_c if isinstance(step, Weigh) else None
    warm = SCALDING_C if most is None else most
    if warm > HOT_C:
        yield hot(warm, serious=warm >= SCALDING_C)
    if flammables(procedure):
        yield _fire(procedure)


def _hot_contents(said: Declaration, procedure: Procedure, bench: BenchState) -> Iterator[Caution]:
    """What is in the vessels it has to do with is announced where it may be hot; pouring what scalds, acknowledged."""
    if Hazard.HEAT_SOURCE in said.hazards:
        return  # announced for where it is going
    hottest = max((bench.hottest_c.get(v, 0.0) for v in said.touches), default=0.0)
    if hottest > HOT_C:
        yield hot(hottest, serious=said.pours and hottest >= SCALDING_C)
        if any(line.material.flammable for line in bench.lines(said.handles)):
            yield _fire(procedure)


def _chemical(said: Declaration, bench: BenchState) -> Iterator[Caution]:
    for line in bench.lines(said.handles):
        picked_up = said.picks_up or not bench.holding(line.key)
        codes = set(ghs.hazards(line.material.statements))
        # On the way from boat to batch only what damages eyes or skin for good is announced again.
        if picked_up or codes & {"H314", "H318"}:
            yield from notices.of_material(line.material)
