"""From vessel to vessel: what was weighed in a boat goes in, and the emptied boat tells what stayed behind."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.make.acts.base import Act
from benchapp.make.acts.emptied import Emptied
from benchapp.make.acts.gate import Gate
from benchapp.make.plan import Plan
from benchapp.make.view_model import Want
from benchapp.make.vocabulary import Verb
from procedures.steps import Step


def boats_into(
    step: Step,
    into: str,
    lines: tuple[str, ...],
    plan: Plan,
    *,
    high_c: float | None = None,
    low_c: float | None = None,
) -> tuple[Act, ...]:
    """Acts that empty every vessel holding one of these lines into another, behind a temperature gate."""
    boats = dict.fromkeys(v for line in lines if (v := plan.weighings[line].vessel) and v != into)
    out: list[Act] = []
    for boat in boats:
        names = [plan.weighings[x].line.name for x in lines if plan.weighings[x].vessel == boat]
        out += pour_over(step, boat, into, " and ".join(names), plan, high_c=high_c, low_c=low_c)
    return tuple(out)


def pour_over(
    step: Step,
    origin: str,
    into: str,
    what: str,
    plan: Plan,
    *,
    high_c: float | None = None,
    low_c: float | None = None,
    within_k: float | None = None,
    both: bool = False,
    grade: ev.Grade = ev.Grade.MAJOR,
) -> list[Act]:
    """Pour one vessel into another while the gate is open, then weigh what stayed in it."""
    source, target = plan.vessel(origin).name, plan.vessel(into).name
    gated = high_c is not None or low_c is not None or within_k is not None
    gate = Gate(
        f"pour {origin}", step, text=f"Pour the {source} into the {target}.", yes="It is all in", note=f"{what}. Scrape it out.".removeprefix(". "),
        vessels=(into, origin) if both else (into,), low_c=low_c, high_c=high_c, within_k=within_k,
        thermometers=tuple(dict.fromkeys(d for d, _ in plan.probes)) if gated else (), grade=grade,
        kind="combined out of band" if both else "added out of band",
        want=Want(Verb.TRANSFER, thing=origin, vessel=into), emptied=origin if both else "",
    )  # fmt: skip
    scale = plan.scale_for(origin)
    back = Emptied(f"emptied {origin}", step, vessel=origin, into=into, device=scale.name if scale else "")
    return [gate, back]
