"""Rules about heat: what must not meet it, what must have it, and limits that fit together."""

from __future__ import annotations

from collections.abc import Iterator

from benchapp.foundation.language import tr

from ..bench import ROOM_C, BenchState
from ..building import ProcedureDraft
from ..steps import Add, Cool, Fill, Heat, Step, Weigh
from ..steps.base import Hazard
from ..walk import walk
from .meeting_heat import combine_heat, meant_to_meet
from .rule import METHOD, Finding, Rule, listed

#: What melts below this needs no heat: a warm room, in °C.
WARM_ROOM_C = 30.0


def heat_sensitive(sheet: ProcedureDraft) -> Iterator[Finding]:
    """No line is heated above its limit, or meets anything that may be hotter."""
    lines = sheet.procedure.formula.by_key
    for step, bench in walk(sheet.procedure):
        for key, reached in _meetings(step, bench):
            limit = lines[key].material.below_c
            if limit is not None and reached > limit:
                yield Finding(
                    sheet.path("step", step.key),
                    tr(
                        "{name} must stay below {limit:g} °C, and meets up to {reached:g} °C in this step",
                        name=lines[key].name,
                        limit=limit,
                        reached=reached,
                    ),
                    tr(
                        'Move it behind a cool step with below = "{limit} degC", or out of a heated phase',
                        limit=f"{limit:g}",
                    ),
                )


def _meetings(step: Step, bench: BenchState) -> Iterator[tuple[str, float]]:
    """Which lines meet which temperature for the first time in a step, °C."""
    said = step.declare(bench)
    if Hazard.HEAT_SOURCE in said.hazards and said.leaves_c is not None:
        yield from ((key, said.leaves_c.high) for vessel in said.touches for key in bench.held(vessel))
    if said.moves is not None:
        reached = bench.hottest_c.get(said.moves.into, 0.0)
        yield from ((key, reached) for key in said.moves.coming(bench))
        poured = max((bench.hottest_c.get(v, 0.0) for v in said.moves.origins(bench)), default=0.0)
        yield from ((key, poured) for key in bench.held(said.moves.into) if poured > reached)


def add_limit(sheet: ProcedureDraft) -> Iterator[Finding]:
    """An add step's own limits fit its ingredients, each other, and the cool step before it."""
    lines = sheet.procedure.formula.by_key
    for step, bench in walk(sheet.procedure):
        if not isinstance(step, Add):
            continue
        at = sheet.path("step", step.key, "below")
        coming = [lines[k] for k in (*step.lines, *bench.contents.get(step.source, ()))]
        limited = [(x.material.below_c, x.name) for x in coming if x.material.below_c is not None]
        strictest, name = min(limited, default=(None, ""))
        hottest = bench.hottest_c.get(step.vessel, 0.0)
        if step.below_c is not None and strictest is not None and step.below_c > strictest:
            yield Finding(
                at,
                tr(
                    "This step allows up to {below_c:g} °C, and {name} must stay below {strictest:g} °C",
                    below_c=step.below_c,
                    name=name,
                    strictest=strictest,
                ),
                tr('Write below = "{strictest} degC"', strictest=f"{strictest:g}"),
            )
        elif step.below_c is not None and hottest > step.below_c and (strictest or 0.0) != step.below_c:
            yield Finding(
                at,
                tr(
                    "The batch may still have {hottest:g} °C here, and has to be below {below_c:g} °C",
                    hottest=hottest,
                    below_c=step.below_c,
                ),
                tr('Put a cool step with below = "{below_c} degC" before it', below_c=f"{step.below_c:g}"),
            )
        yield from _crossed(sheet, step)


def _crossed(sheet: ProcedureDraft, step: Add | Fill) -> Iterator[Finding]:
    """Limits between which nothing lies."""
    if step.above_c is not None and step.below_c is not None and step.above_c >= step.below_c:
        yield Finding(
            sheet.path("step", step.key, "above"),
            tr(
                "Nothing is both above {above_c:g} °C and below {below_c:g} °C",
                above_c=step.above_c,
                below_c=step.below_c,
            ),
            tr("Make above smaller than below"),
        )


def fill_limit(sheet: ProcedureDraft) -> Iterator[Finding]:
    """What is filled while it is warm has been warm enough before, and was cooled far enough."""
    for step, bench in walk(sheet.procedure):
        if not isinstance(step, Fill) or not bench.held(step.vessel):
            continue
        hottest = bench.hottest_c.get(step.vessel, ROOM_C)
        if step.above_c is not None and hottest <= step.above_c:
            yield Finding(
                sheet.path("step", step.key, "above"),
                tr(
                    "The batch has {hottest:g} °C at most here, and is to be filled above {above_c:g} °C",
                    hottest=hottest,
                    above_c=step.above_c,
                ),
                tr("Fill it before it is cooled so far, or leave above out"),
            )
        if step.below_c is not None and hottest > step.below_c:
            yield Finding(
                sheet.path("step", step.key, "below"),
                tr(
                    "The batch may still have {hottest:g} °C here, and is to be filled below {below_c:g} °C",
                    hottest=hottest,
                    below_c=step.below_c,
                ),
                tr('Put a cool step with below = "{below_c} degC" before it', below_c=f"{step.below_c:g}"),
            )
        yield from _crossed(sheet, step)


def cool_threshold(sheet: ProcedureDraft) -> Iterator[Finding]:
    """A cool step asks for less than the heat band before it, and less than the cool step before it."""
    for step, bench in walk(sheet.procedure):
        if not isinstance(step, Cool):
            continue
        hottest = bench.hottest_c.get(step.vessel)
        start = None if hottest is None else min(hottest, bench.heated_from_c.get(step.vessel, hottest))
        if start is None:
            yield Finding(
                sheet.path("step", step.key),
                tr("Nothing in this vessel was heated, so there is nothing to cool"),
                tr("Leave the step out, or put a heat step before it"),
            )
        elif step.below_c >= start:
            yield Finding(
                sheet.path("step", step.key, "below"),
                tr(
                    "The batch comes from {start:g} °C, so {below_c:g} °C is no cooling",
                    start=start,
                    below_c=step.below_c,
                ),
                tr("Write a limit below {start} degC", start=f"{start:g}"),
            )
        if step.not_below_c is not None and step.not_below_c >= step.below_c:
            yield Finding(
                sheet.path("step", step.key, "not_below"),
                tr(
                    "Nothing is below {below_c:g} °C and still not below {not_below_c:g} °C",
                    below_c=step.below_c,
                    not_below_c=step.not_below_c,
                ),
                tr("Make not_below smaller than below"),
            )


def melting(sheet: ProcedureDraft) -> Iterator[Finding]:
    """The band of a heat step lies above the melting point of everything in it."""
    lines = sheet.procedure.formula.by_key
    for step, bench in walk(sheet.procedure):
        if not isinstance(step, Heat):
            continue
        for vessel in step.declare(bench).touches:
            for line in (lines[key] for key in bench.contents[vessel]):
                melts = line.material.melts_c
                if melts is not None and melts >= step.band_c.low:
                    yield Finding(
                        sheet.path("step", step.key, "band"),
                        tr(
                            "{name} melts at {melts:g} °C, and the limits here begin at {low:g} °C",
                            name=line.name,
                            melts=melts,
                            low=step.band_c.low,
                        ),
                        meant_to_meet(sheet, step, melts) or _above(step, melts),
                    )


def _above(step: Heat, melts: float) -> str:
    """What mends a band that begins no higher than something melts: its low end, or both."""
    if step.band_c.high > melts:
        return tr("Let them begin above {melts} degC", melts=f"{melts:g}")
    return tr(
        "Let both lie above {melts} degC and below {over} degC", melts=f"{melts:g}", over=f"{step.over_c:g}"
    )


def never_melted(sheet: ProcedureDraft) -> Iterator[Finding]:
    """What is solid at room temperature is heated at some point."""
    heated: set[str] = set()
    for step, bench in walk(sheet.procedure):
        if isinstance(step, Heat):
            for vessel in step.declare(bench).touches:
                heated.update(bench.contents[vessel])
        elif isinstance(step, Weigh):
            heated.update(step.melt)
    for line in sheet.procedure.formula.lines:
        melts = line.material.melts_c
        if melts is not None and melts > WARM_ROOM_C and line.key not in heated:
            yield Finding(
                sheet.path("line", line.key, "phase"),
                tr("{name} melts at {melts:g} °C, and no step heats it", name=line.name, melts=melts),
                tr("Move it into a phase that is heated"),
            )


def melt_first(sheet: ProcedureDraft) -> Iterator[Finding]:
    """What is melted before it is weighed is made warm enough to melt, and no warmer than it bears."""
    lines = sheet.procedure.formula.by_key
    for step in sheet.procedure.steps:
        if not isinstance(step, Weigh) or step.melt_at_most_c is None:
            continue
        most, at = step.melt_at_most_c, sheet.path("step", step.key, "melt_at_most")
        for line in (lines[key] for key in step.melt):
            melts, bears = line.material.melts_c, line.material.below_c
            if melts is not None and most <= melts:
                yield Finding(
                    at,
                    tr(
                        "{name} melts at {melts:g} °C, and is warmed to {most:g} °C at most",
                        name=line.name,
                        melts=melts,
                        most=most,
                    ),
                    tr("Let it get warmer than {melts} degC", melts=f"{melts:g}"),
                )
            if bears is not None and most > bears:
                yield Finding(
                    at,
                    tr(
                        "{name} must stay below {bears:g} °C, and may get {most:g} °C when it is melted",
                        name=line.name,
                        bears=bears,
                        most=most,
                    ),
                    tr('Write melt_at_most = "{bears} degC"', bears=f"{bears:g}"),
                )


def over_limit(sheet: ProcedureDraft) -> Iterator[Finding]:
    """The alarm of a heat step lies above its band."""
    for step in sheet.procedure.steps:
        if isinstance(step, Heat) and step.over_c <= step.band_c.high:
            yield Finding(
                sheet.path("step", step.key, "over"),
                tr(
                    "The alarm at {over_c:g} °C lies in the band, which ends at {high:g} °C",
                    over_c=step.over_c,
                    high=step.band_c.high,
                ),
                tr("Write a limit above {high} degC, like 10 K more", high=f"{step.band_c.high:g}"),
            )


def flammable_heated(sheet: ProcedureDraft) -> Iterator[Finding]:
    """Nothing flammable is in a vessel that is heated: its vapour catches fire at the plate."""
    lines = sheet.procedure.formula.by_key
    for step, bench in walk(sheet.procedure):
        said = step.declare(bench)
        held = list(step.melt) if isinstance(step, Weigh) else []
        if Hazard.HEAT_SOURCE in said.hazards:
            held += [key for vessel in said.touches for key in bench.held(vessel)]
        burning = [x.name for x in map(lines.__getitem__, held) if x.material.burns]
        if burning:
            yield Finding(
                sheet.path("step", step.key),
                tr("{listed} can catch fire, and is heated in this step", listed=listed(burning)),
                tr("Move it into a phase that is added once the batch is cool"),
            )


RULES = (
    Rule("flammable-heated", flammable_heated, METHOD),
    Rule("heat-sensitive", heat_sensitive, METHOD),
    Rule("add-limit", add_limit, METHOD),
    Rule("fill-limit", fill_limit, METHOD),
    Rule("cool-threshold", cool_threshold, METHOD),
    Rule("melting", melting, METHOD),
    Rule("never-melted", never_melted, METHOD, by_choice=True),
    Rule("melt-first", melt_first, METHOD),
    Rule("over-limit", over_limit, METHOD),
    Rule("combine-heat", combine_heat, METHOD),
)
