"""From vessel to vessel: what was weighed in a boat goes in, and the emptied boat tells what stayed behind."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts.base import Act
from benchapp.make.acts.emptied import Emptied
from benchapp.make.acts.gate import Gate
from benchapp.make.acts.timed import stirring
from benchapp.make.plan import Plan
from benchapp.make.steps.paced import PartGate, SlowGate
from benchapp.make.view_model import Want
from benchapp.make.vocabulary import Verb
from procedures.formula import Vessel
from procedures.steps import Step
from procedures.steps.pace import Pace
from procedures.walk import bench_at


@dataclass(frozen=True, slots=True)
class PourLimits:
    """While what is right one vessel is poured into another, and how. ``both``: the limits hold for the poured one too."""

    low_c: float | None = None
    high_c: float | None = None
    within_k: float | None = None
    both: bool = False
    grade: ev.Grade = ev.Grade.MAJOR
    pace: Pace = field(default=Pace())


def boats_into(
    step: Step, into: str, lines: tuple[str, ...], plan: Plan, limits: PourLimits
) -> tuple[Act, ...]:
    """Acts that empty every vessel holding one of these lines into another, behind a temperature gate: where it lies by
    now, which may be another than the one it was weighed into."""
    bench = bench_at(step, plan.procedure)
    held = {line: bench.holding(line) for line in lines}
    boats = dict.fromkeys(v for v in held.values() if v and v != into)
    out: list[Act] = []
    for boat in boats:
        names = [plan.weighings[x].line.name for x in lines if held[x] == boat]
        out += pour_over(step, boat, into, tr(" and ").join(names), plan, limits)
    return tuple(out)


def pour_over(step: Step, origin: str, into: str, what: str, plan: Plan, limits: PourLimits) -> list[Act]:
    """Pour one vessel into another while the gate is open, then weigh what stayed in it."""
    source, target = plan.vessel(origin).name, plan.vessel(into).name
    gated = limits.high_c is not None or limits.low_c is not None or limits.within_k is not None
    gate = Gate(
        f"pour {origin}", step, text=tr("Pour the {source} into the {target}.", source=source, target=target), yes=tr("It is all in"), note=_how(what, limits),
        vessels=(into, origin) if limits.both else (into,), low_c=limits.low_c, high_c=limits.high_c, within_k=limits.within_k,
        thermometers=tuple(dict.fromkeys(d for d, _ in plan.probes)) if gated else (), grade=limits.grade,
        kind=tr_noop("combined out of band") if limits.both else tr_noop("added out of band"),
        want=Want(Verb.TRANSFER, thing=origin, vessel=into), emptied=origin if limits.both else "",
    )  # fmt: skip
    scale = plan.scale_for(origin)
    back = Emptied(f"emptied {origin}", step, vessel=origin, into=into, device=scale.name if scale else "")
    return [*_paced(gate, source, plan.vessel(into), limits.pace), back]


def _how(what: str, limits: PourLimits) -> str:
    """What is in it, and how it is poured: both are hot where both have to be warm."""
    how = tr("Hot handles: hold them with a dry cloth.") if limits.both else tr("Scrape it out.")
    return f"{what}. {how}" if what else how


def _paced(gate: Gate, source: str, into: Vessel, pace: Pace) -> list[Act]:
    """The pour as it is to go in: at once, slowly, or part by part behind the same gate each time."""
    given = {name: getattr(gate, name) for name in gate.__dataclass_fields__}
    if pace.during_s:
        return [SlowGate(**given, during_s=pace.during_s)]
    if pace.portions == 1:
        return [gate]
    out: list[Act] = []
    for n in range(1, pace.portions):
        text = tr(
            "Pour part {n} of {portions} of the {source} into the {target}.",
            n=n,
            portions=pace.portions,
            source=source,
            target=into.name,
        )
        part = replace(gate, key=f"{gate.key} {n}", text=text, yes="That part is in", note="", emptied="")
        out.append(
            PartGate(
                **(given | {k: getattr(part, k) for k in ("key", "text", "yes", "note", "emptied")}),
                of=pace.portions,
            )
        )
        if pace.between_s:
            out.append(stirring(f"rest {gate.key} {n}", gate.step, into, pace.between_s))
    return [
        *out,
        replace(
            gate, text=tr("Pour the rest of the {source} into the {target}.", source=source, target=into.name)
        ),
    ]
