"""A procedure in plain sentences, for reading it through before making it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from benchapp.foundation.band import Band

from . import model as m
from .cautions import cautions_for
from .walk import bench_at


def describe(procedure: m.Procedure, batch_g: float | None = None) -> list[str]:
    """The whole procedure as lines of text: formula, method with its cautions, and release.

    Weights are for ``batch_g`` grams, the usual batch if it is not given.
    """
    batch = procedure.default_batch_g if batch_g is None else batch_g
    lines = [*_head(procedure, batch), "", "Formula"]
    for phase in procedure.formula.phases:
        lines.append(f"  {phase}")
        lines += [f"    {_share(x, batch)}" for x in procedure.formula.lines if x.phase == phase]
    lines += ["", "Method"]
    for number, step in enumerate(procedure.steps, 1):
        lines.append(f"  {number}. {step.title}: {sentence(step, procedure)}")
        lines += [f"     {_caution_word(c.word)}{c.text}" for c in cautions_for(step, procedure)]
    if procedure.release:
        lines += ["", "Before release"]
        lines += [f"  after {duration(x.due_s)}: {x.name}: {x.expect}" for x in procedure.release]
    if procedure.cautions_ok:
        lines += ["", "Rules overruled"]
        lines += [f"  {rule}: {reason}" for rule, reason in procedure.cautions_ok.items()]
    return lines


def sentence(step: m.Step, procedure: m.Procedure) -> str:
    """What one step does, in one sentence."""
    return _SENTENCES[type(step)](step, procedure)


def duration(seconds: float) -> str:
    """A time as a person says it: "45 s", "1 min 30 s", "2 h", "7 days"."""
    whole = round(seconds)
    if whole >= 2 * 86400 and whole % 86400 == 0:
        return f"{whole // 86400} days"
    hours, rest = divmod(whole, 3600)
    minutes, left = divmod(rest, 60)
    parts = [f"{n} {unit}" for n, unit in ((hours, "h"), (minutes, "min"), (left, "s")) if n]
    return " ".join(parts) or "0 s"


def _head(procedure: m.Procedure, batch_g: float) -> Iterator[str]:
    formula = procedure.formula
    yield formula.name
    if formula.description:
        yield formula.description
    ph = f", pH {formula.ph.low:g} to {formula.ph.high:g}" if formula.ph else ""
    bounds = _range(procedure.batch_g, "g")
    yield f"{formula.use.capitalize()}{ph}. Batch of {batch_g:g} g; possible are {bounds}."


def _share(line: m.FormulaLine, batch_g: float) -> str:
    if line.cap_percent is not None:
        most_g = line.cap_percent / 100 * batch_g
        return f"{line.name}: as needed, at most {line.cap_percent:g} % ({most_g:.4g} g)"
    return f"{line.name}: {line.percent:g} % ({line.percent / 100 * batch_g:.5g} g)"


def _caution_word(word: str) -> str:
    return f"{word}: " if word else ""


def _range(band: Band, unit: str) -> str:
    return f"{band.low:g} to {band.high:g} {unit}"


def _names(keys: tuple[str, ...], procedure: m.Procedure) -> str:
    names = {line.key: line.name for line in procedure.formula.lines}
    return ", ".join(names[key] for key in keys)


def _vessel(key: str, procedure: m.Procedure) -> str:
    return f"the {procedure.vessels[key].name}"


def _stirred(seconds: float) -> str:
    return f", then stir for {duration(seconds)}" if seconds else ""


def _prepare(s: m.Prepare, p: m.Procedure) -> str:
    wear = f" Wear: {', '.join(s.wear)}." if s.wear else ""
    wet = f" {s.sanitiser} has to stay wet for {duration(s.contact_s)}." if s.sanitiser else ""
    return f"{' '.join(s.tasks)}{wear}{wet}"


def _weigh(s: m.Weigh, p: m.Procedure) -> str:
    where = " on the finer scale" if s.scale == "fine" else ""
    return f"weigh {_names(s.lines, p)} into {_vessel(s.vessel, p)}{where}."


def _disperse(s: m.Disperse, p: m.Procedure) -> str:
    what = (
        f"put {_names(s.lines, p)} into {_vessel(s.vessel, p)}"
        if s.lines
        else f"work on {_vessel(s.vessel, p)}"
    )
    rest = f" and let it stand for {duration(s.rest_s)}" if s.rest_s else ""
    return f"{what}{_stirred(s.stir_s)}{rest}."


def _premix(s: m.Premix, p: m.Procedure) -> str:
    return f"stir {_vessel(s.vessel, p)} for {duration(s.stir_s)}."


def _heat(s: m.Heat, p: m.Procedure) -> str:
    bath = " in a water bath" if s.bath else ""
    hold = f" and keep it there for {duration(s.hold_s)}" if s.hold_s else ""
    return (
        f"bring {' and '.join(s.phases)} to {_range(s.band_c, '°C')}{bath}{hold}; alarm at {s.over_c:g} °C."
    )


def _top_up(s: m.TopUp, p: m.Procedure) -> str:
    return f"weigh {_vessel(s.vessel, p)} again and replace what it lost with {p.materials[s.material].name}."


def _combine(s: m.Combine, p: m.Procedure) -> str:
    band = f", both at {_range(s.band_c, '°C')}" if s.band_c else ""
    near = f" and no more than {s.within_k:g} K apart" if s.within_k else ""
    return f"pour {_vessel(s.source, p)} into {_vessel(s.into, p)}{band}{near}."


def _blend(s: m.Blend, p: m.Procedure) -> str:
    rest = f" with {duration(s.rest_s)} of rest between" if s.rest_s else ""
    head = f", the head {s.head_depth_mm:g} mm deep" if s.head_depth_mm else ""
    return f"blend {_vessel(s.vessel, p)} {s.bursts} times for {duration(s.burst_s)}{rest}{head}."


def _cool(s: m.Cool, p: m.Procedure) -> str:
    least = f", but not below {s.not_below_c:g} °C" if s.not_below_c is not None else ""
    return f"{s.stir[0].lower()}{s.stir[1:]} until {_vessel(s.vessel, p)} is below {s.below_c:g} °C{least}."


def _add(s: m.Add, p: m.Procedure) -> str:
    bench = bench_at(s, p)
    if s.source:
        what = f"pour {_vessel(s.source, p)} into {_vessel(s.vessel, p)}"
    else:
        before = all(bench.holding(key) for key in s.lines)
        verb = "transfer" if before else "weigh"
        what = f"{verb} {_names(s.lines, p)} into {_vessel(s.vessel, p)}"
    below = f" while it is below {s.below_c:g} °C" if s.below_c is not None else ""
    above = f" and above {s.above_c:g} °C" if s.above_c is not None else ""
    return f"{what}{below}{above}{_stirred(s.stir_s)}."


def _measure_ph(s: m.MeasurePh, p: m.Procedure) -> str:
    water = f" in {s.water_parts:g} parts of water" if s.water_parts else ""
    change = [f"raise it with {_names(s.raise_with, p)}"] if s.raise_with else []
    change += [f"lower it with {_names(s.lower_with, p)}"] if s.lower_with else []
    adjust = f"; {' or '.join(change)}" if change else ""
    at = _range(s.sample_temp_c, "°C")
    return f"measure {s.sample_g:g} g{water} at {at}; pH {s.band.low:g} to {s.band.high:g}{adjust}."


def _look(s: m.LookOver, p: m.Procedure) -> str:
    return " ".join(f"{x.name}: {x.expect}." for x in s.looks)


def _density(s: m.Density, p: m.Procedure) -> str:
    expect = f"; expect {_range(s.expect_g_ml, 'g/ml')}" if s.expect_g_ml else ""
    return f"weigh {s.volume_ml:g} ml{expect}."


def _fill(s: m.Fill, p: m.Procedure) -> str:
    content = f"{s.nominal_ml:g} ml" if s.nominal_ml is not None else f"{s.nominal_g:g} g"
    count = f"{s.count} times" if s.count is not None else "as often as the batch gives"
    return f"fill {content} from {_vessel(s.vessel, p)} into a {s.container}, {count}, each one weighed."


def _clean_up(s: m.CleanUp, p: m.Procedure) -> str:
    return " ".join(s.tasks)


def _finish(s: m.Finish, p: m.Procedure) -> str:
    usual = f" Usual is {_range(s.yield_percent, '%')}." if s.yield_percent else ""
    return f"work out the yield and sign.{usual}"


_SENTENCES: Mapping[type[m.Step], Callable[[Any, m.Procedure], str]] = {
    m.Prepare: _prepare,
    m.Weigh: _weigh,
    m.Disperse: _disperse,
    m.Premix: _premix,
    m.Heat: _heat,
    m.TopUp: _top_up,
    m.Combine: _combine,
    m.Blend: _blend,
    m.Cool: _cool,
    m.Add: _add,
    m.MeasurePh: _measure_ph,
    m.LookOver: _look,
    m.Density: _density,
    m.Fill: _fill,
    m.CleanUp: _clean_up,
    m.Finish: _finish,
}
