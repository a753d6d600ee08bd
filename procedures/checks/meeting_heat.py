"""Rules about vessels that meet warm: how hot each has to be, and which step sees to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from benchapp.foundation.band import Band
from benchapp.foundation.language import tr

from ..bench import ROOM_C, BenchState
from ..building import ProcedureDraft
from ..steps import Combine, Heat, Step
from ..walk import walk
from .rule import Finding


def _meetings(sheet: ProcedureDraft) -> Iterator[tuple[Combine, Band, BenchState, Mapping[str, Heat]]]:
    """Each step that pours together in a band, the bench then, and which step heated each vessel last."""
    last: dict[str, Heat] = {}
    for step, bench in walk(sheet.procedure):
        if isinstance(step, Heat):
            last |= dict.fromkeys(step.declare(bench).touches, step)
        elif isinstance(step, Combine) and step.band_c is not None:
            yield step, step.band_c, bench, last


def meant_to_meet(sheet: ProcedureDraft, heat: Heat, melts: float = ROOM_C) -> str:
    """What mends a heating that stops below what a later step needs to pour together: that step's band, where it can be
    heated to; else ""."""
    for step, band, _, last in _meetings(sheet):
        if (
            heat in (last.get(step.source), last.get(step.into))
            and heat.band_c.high < band.low
            and melts < band.low
            and band.high < heat.over_c
        ):
            return tr(
                "Heat to {low}–{high} degC in step {number}",
                low=f"{band.low:g}",
                high=f"{band.high:g}",
                number=_number(sheet, heat),
            )
    return ""


def _number(sheet: ProcedureDraft, step: Step) -> int:
    """Where a step stands in the method, from 1."""
    return int(sheet.path("step", step.key)[1]) + 1


def combine_heat(sheet: ProcedureDraft) -> Iterator[Finding]:
    """Vessels that have to be in a band when they meet have both been heated, into a band that reaches it."""
    for step, band, bench, last in _meetings(sheet):
        cold: dict[Heat | float | None, list[tuple[str, str]]] = {}
        for field, vessel in (("pour", step.source), ("into", step.into)):
            hottest = bench.hottest_c.get(vessel)
            if bench.contents.get(vessel) and (hottest is None or hottest < band.low):
                heat = last.get(vessel)
                stops = heat if heat is not None and hottest == heat.band_c.high else None
                cold.setdefault(stops or hottest, []).append((field, vessel))
        for had, found in cold.items():
            yield _too_cold(sheet, (step, found[0][0]), [vessel for _, vessel in found], had)


def _too_cold(
    sheet: ProcedureDraft, at: tuple[Combine, str], vessels: Sequence[str], had: Heat | float | None
) -> Finding:
    """``had``: the step that heats them last, or the most they may have by then in °C; None where nothing heats them."""
    step, field = at
    names = [sheet.procedure.vessels[vessel].name for vessel in vessels]
    number, low = _number(sheet, step), step.band_c.low if step.band_c else 0.0
    needs = (
        tr("Step {number} needs the {name} at {low:g} °C or more", number=number, name=names[0], low=low)
        if len(names) == 1
        else tr(
            "Step {number} needs the {name} and the {other} at {low:g} °C or more",
            number=number,
            name=names[0],
            other=names[1],
            low=low,
        )
    )
    mend = ""
    if isinstance(had, Heat):
        mend = meant_to_meet(sheet, had)
        why = tr("Step {number} stops at {high:g} °C", number=_number(sheet, had), high=had.band_c.high)
    else:
        why = tr("No step heats it") if had is None else tr("It has {high:g} °C at most by then", high=had)
    return Finding(
        sheet.path("step", step.key, field),
        f"{needs}. {why}",
        mend or tr("Heat its phase in a step before this one, or give this step no limits of temperature"),
    )
