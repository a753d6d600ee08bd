"""Rules about where things are: weighed once, poured from where they lie, and nothing left behind."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from benchapp.foundation.language import tr

from ..building import ProcedureDraft
from ..steps import Add, Disperse, Fill, Heat, TopUp, Weigh
from ..walk import walk
from .rule import METHOD, Finding, Rule, listed


def weighed_once(sheet: ProcedureDraft) -> Iterator[Finding]:
    """Every planned line is weighed in one step, and in one only."""
    times: Counter[str] = Counter()
    last: dict[str, str] = {}
    for step, bench in walk(sheet.procedure):
        for key in step.declare(bench).weighs:
            times[key] += 1
            last[key] = step.key
    for line in sheet.procedure.formula.lines:
        if line.cap_percent is not None:
            continue
        if times[line.key] == 0:
            yield Finding(
                sheet.path("line", line.key),
                tr("No step weighs {name}", name=line.name),
                tr('Add a weigh step for the phase "{phase}", or name it in an add step', phase=line.phase),
            )
        elif times[line.key] > 1:
            yield Finding(
                sheet.path("step", last[line.key]),
                tr("{name} is weighed a second time here", name=line.name),
                tr('Leave it out here, or split it into parts = [{ label = "…" }, …]'),
            )


def weigh_phase(sheet: ProcedureDraft) -> Iterator[Finding]:
    """A weigh step takes lines of its own phase, none of them "as needed"."""
    lines = sheet.procedure.formula.by_key
    for step in sheet.procedure.steps:
        keys = step.lines if isinstance(step, Weigh | Add) else ()
        for line in (lines[key] for key in keys):
            at = sheet.path("step", step.key, "ingredients")
            if line.cap_percent is not None:
                what = tr('{name} is an "as needed" ingredient and has no weight to aim for', name=line.name)
                yield Finding(at, what, tr("Leave it to a pH step"))
            elif isinstance(step, Weigh) and line.phase != step.phase:
                yield Finding(
                    at,
                    tr(
                        '{name} belongs to the phase "{phase}", and this step weighs "{phase_2}"',
                        name=line.name,
                        phase=line.phase,
                        phase_2=step.phase,
                    ),
                    tr("Weigh it in a step of its own phase, or change its phase"),
                )


def empty_vessel(sheet: ProcedureDraft) -> Iterator[Finding]:
    """A step that works on a vessel finds something in it."""
    for step, bench in walk(sheet.procedure):
        for field, vessel in step.declare(bench).needs:
            if not bench.held(vessel):
                name = sheet.procedure.vessels[vessel].name
                yield Finding(
                    sheet.path("step", step.key, field),
                    tr("The {name} is empty when this step begins", name=name),
                    tr("Name the vessel that holds the batch, or move the step"),
                )
        if isinstance(step, Heat):
            for i, phase in enumerate(step.phases):
                if not bench.vessels_of((phase,)):
                    yield Finding(
                        (*sheet.path("step", step.key, "phases"), i),
                        tr(
                            'Nothing of the phase "{phase}" is in a vessel when this step begins', phase=phase
                        ),
                        tr("Weigh it first, or leave it out here"),
                    )


def same_vessel(sheet: ProcedureDraft) -> Iterator[Finding]:
    """Nothing is poured into the vessel it comes from."""
    for step, bench in walk(sheet.procedure):
        moves = step.declare(bench).moves
        if moves is not None and moves.source == moves.into:
            yield Finding(
                sheet.path("step", step.key, "pour"),
                tr("This step pours a vessel into itself"),
                tr("Name two different vessels"),
            )


def not_weighed(sheet: ProcedureDraft) -> Iterator[Finding]:
    """What a disperse step puts in has been weighed before."""
    lines = sheet.procedure.formula.by_key
    for step, bench in walk(sheet.procedure):
        for i, key in enumerate(step.lines if isinstance(step, Disperse) else ()):
            if not bench.holding(key):
                yield Finding(
                    (*sheet.path("step", step.key, "ingredients"), i),
                    tr("{name} is not weighed when this step begins", name=lines[key].name),
                    tr("Put a weigh step for it before this one"),
                )


def whole_boat(sheet: ProcedureDraft) -> Iterator[Finding]:
    """Ingredients that share a boat are transferred together: one alone cannot be poured out of a mixture."""
    lines = sheet.procedure.formula.by_key
    for step, bench in walk(sheet.procedure):
        if not isinstance(step, Add | Disperse):
            continue
        for vessel, held in bench.contents.items():
            moved, left = set(held) & set(step.lines), set(held) - set(step.lines)
            if vessel != step.vessel and moved and left:
                names = listed(sorted(lines[key].name for key in left))
                yield Finding(
                    sheet.path("step", step.key, "ingredients"),
                    tr(
                        "The {name} also holds {names}, which would stay in it",
                        name=sheet.procedure.vessels[vessel].name,
                        names=names,
                    ),
                    tr("Name them here too, or weigh them into another vessel"),
                )


def jug_free(sheet: ProcedureDraft) -> Iterator[Finding]:
    """A jug for portions is a vessel of its own, with nothing in it."""
    for step, bench in walk(sheet.procedure):
        if not isinstance(step, Weigh | Add | TopUp) or not step.jug:
            continue
        if step.jug == step.vessel or bench.held(step.jug):
            name = sheet.procedure.vessels[step.jug].name
            why = tr("is what is filled") if step.jug == step.vessel else tr("still holds something")
            yield Finding(
                sheet.path("step", step.key, "jug"),
                tr("The {name} {why}, so no portions can be weighed in it", name=name, why=why),
                tr("Name a vessel that stays empty, like a measuring jug"),
            )


def kettles(sheet: ProcedureDraft) -> Iterator[Finding]:
    """What is poured into one of several kettles comes out of that kettle's own vessel: one pot cannot be shared out by
    eye."""
    vessels = sheet.procedure.vessels
    for step, bench in walk(sheet.procedure):
        moves = step.declare(bench).moves
        if moves is None or not vessels[moves.into].kettle:
            continue
        for vessel in moves.origins(bench):
            if not vessels[vessel].kettle:
                yield Finding(
                    sheet.path("step", step.key),
                    tr(
                        "There is one {name}, and what is in it goes into several kettles",
                        name=vessels[vessel].name,
                    ),
                    tr("Have as many of it as there are kettles, or bring the kettles together before"),
                )


def left_behind(sheet: ProcedureDraft) -> Iterator[Finding]:
    """When the batch is filled, nothing weighed is left in another vessel."""
    fills = [(s, b) for s, b in walk(sheet.procedure) if isinstance(s, Fill)]
    for step, bench in fills[:1]:
        filled = {s.vessel for s, _ in fills}
        for vessel, held in bench.contents.items():
            if held and vessel not in filled and bench.contents.get(step.vessel):
                yield Finding(
                    sheet.path("step", step.key, "vessel"),
                    tr(
                        "The {name} still holds something when filling begins",
                        name=sheet.procedure.vessels[vessel].name,
                    ),
                    tr("Pour it into the batch in an add or combine step before"),
                )


def top_up(sheet: ProcedureDraft) -> Iterator[Finding]:
    """What is topped up is water, in a vessel that was heated and still holds its own phase only."""
    for step, bench in walk(sheet.procedure):
        if not isinstance(step, TopUp) or not bench.contents.get(step.vessel):
            continue
        water = sheet.procedure.materials[step.material]
        if water.role != "water":
            yield Finding(
                sheet.path("step", step.key, "water"),
                tr("{name} is no water, and only water steams off", name=water.name),
                tr('Name an ingredient with role = "water"'),
            )
        of_it = [x for x in bench.lines(bench.held(step.vessel)) if x.phase == step.phase]
        if water.role == "water" and not any(x.material.key == water.key for x in of_it):
            yield Finding(
                sheet.path("step", step.key, "water"),
                tr(
                    'No {name} of the phase "{phase}" is in this vessel, so none is lost from it',
                    name=water.name,
                    phase=step.phase,
                ),
                tr("Name the vessel and the phase the water was weighed into"),
            )
        if step.vessel not in bench.hottest_c:
            yield Finding(
                sheet.path("step", step.key),
                tr("This vessel was not heated, so it lost no water"),
                tr("Leave the step out, or put it behind a heat step"),
            )


RULES = (
    Rule("weighed-once", weighed_once, METHOD),
    Rule("weigh-phase", weigh_phase, METHOD),
    Rule("empty-vessel", empty_vessel, METHOD),
    Rule("same-vessel", same_vessel, METHOD),
    Rule("not-weighed", not_weighed, METHOD),
    Rule("whole-boat", whole_boat, METHOD),
    Rule("jug-free", jug_free, METHOD),
    Rule("kettles", kettles, METHOD),
    Rule("left-behind", left_behind, METHOD),
    Rule("top-up", top_up, METHOD),
)
