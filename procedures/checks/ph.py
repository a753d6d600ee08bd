"""Rules about keeping: where there is water there is a preservative that works at the product's pH."""

from __future__ import annotations

from collections.abc import Iterator

from benchapp.calculations.substances import brings_water
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact

from ..building import ProcedureDraft
from ..formula import FormulaLine
from ..steps import MeasurePh
from .rule import EVERYTHING, INGREDIENTS, Finding, Rule

_FORMULA = frozenset({"formula", "ingredients"})


def _water(sheet: ProcedureDraft) -> FormulaLine | None:
    """The first planned line that brings water: by its role, or by its composition."""
    for line in sheet.procedure.formula.lines:
        watery = any(brings_water(x.inci) for x in line.material.composition)
        if line.cap_percent is None and (line.material.role == "water" or watery):
            return line
    return None


def _preservatives(sheet: ProcedureDraft) -> list[FormulaLine]:
    return [x for x in sheet.procedure.formula.lines if x.material.role == "preservative"]


def preservative(sheet: ProcedureDraft) -> Iterator[Finding]:
    """A formula with water has a preservative."""
    water = _water(sheet)
    if water is not None and not _preservatives(sheet):
        yield Finding(
            sheet.path("line", water.key),
            tr("The formula has water and no preservative, so microbes can grow in it"),
            tr('Add an ingredient with role = "preservative", or write the reason under [accept]'),
        )


def preservative_low(sheet: ProcedureDraft) -> Iterator[Finding]:
    """A preservative is in with the least its supplier says works."""
    for material in {x.material.key: x.material for x in _preservatives(sheet)}.values():
        lines = [x for x in sheet.procedure.formula.lines if x.material.key == material.key]
        share, least = sum(x.percent for x in lines), material.use_least_percent
        if least is not None and exact(share) < exact(least):
            yield Finding(
                sheet.path("line", lines[-1].key, "percent"),
                tr(
                    '"{name}" is at {share:g} %, and its supplier says at least {least:g} %',
                    name=material.name,
                    share=share,
                    least=least,
                ),
                tr("Raise its share, or write the reason under [accept]"),
            )


def preservative_range(sheet: ProcedureDraft) -> Iterator[Finding]:
    """A preservative says how much of it works: without that nobody can tell whether it is enough."""
    for key, material in sheet.procedure.materials.items():
        if material.role == "preservative" and material.use_least_percent is None:
            yield Finding(
                sheet.path("material", key),
                tr(
                    '"{name}" does not say how much of it is needed, so whether it is enough is not known',
                    name=material.name,
                ),
                tr('Add use_least = "0.7 %", from the supplier\'s papers'),
            )


def preservative_ph(sheet: ProcedureDraft) -> Iterator[Finding]:
    """At least one preservative works over the whole pH band of the product."""
    band, found = sheet.procedure.formula.ph, _preservatives(sheet)
    if _water(sheet) is None or band is None or not found:
        return
    windows = [(line, line.material.ph_window) for line in found]
    if any(w is not None and w.low <= band.low and band.high <= w.high for _, w in windows):
        return
    line, window = windows[0]
    works = (
        tr("does not say at which pH it works")
        if window is None
        else tr("works from pH {low:g} to {high:g}", low=window.low, high=window.high)
    )
    yield Finding(
        sheet.path("material", line.material.key, "ph_window"),
        tr(
            "{name} {works}, and the product is at pH {low:g} to {high:g}",
            name=line.material.name,
            works=works,
            low=band.low,
            high=band.high,
        ),
        tr("Take the window from the supplier's papers, or change the pH or the preservative"),
    )


def ph_band(sheet: ProcedureDraft) -> Iterator[Finding]:
    """A formula with water says which pH it has to have."""
    if _water(sheet) is not None and sheet.procedure.formula.ph is None:
        yield Finding(
            ("formula",),
            tr("The formula has water, but says no pH"),
            tr(
                "Add ph = [5.0, 5.8] with your own limits under [formula], or write the reason under [accept]"
            ),
        )


def ph_step(sheet: ProcedureDraft) -> Iterator[Finding]:
    """A formula with water and a pH has it measured."""
    measured = any(isinstance(step, MeasurePh) for step in sheet.procedure.steps)
    if _water(sheet) is not None and sheet.procedure.formula.ph is not None and not measured:
        yield Finding(
            ("formula", "ph"),
            tr("No step measures the pH"),
            tr('Add a step with kind = "measure ph" before filling, or write the reason under [accept]'),
        )


def ph_step_band(sheet: ProcedureDraft) -> Iterator[Finding]:
    """A pH step accepts nothing that the formula does not."""
    band = sheet.procedure.formula.ph
    for step in sheet.procedure.steps:
        if (
            isinstance(step, MeasurePh)
            and band is not None
            and not (band.low <= step.band.low and step.band.high <= band.high)
        ):
            yield Finding(
                sheet.path("step", step.key, "band"),
                tr(
                    "This step accepts pH {low:g} to {high:g}, and the formula allows {low_2:g} to "
                    "{high_2:g}",
                    low=step.band.low,
                    high=step.band.high,
                    low_2=band.low,
                    high_2=band.high,
                ),
                tr("Leave band out to use the formula's own, or keep it inside"),
            )


def ph_role(sheet: ProcedureDraft) -> Iterator[Finding]:
    """What raises the pH is a base, what lowers it is an acid."""
    roles = {line.key: line.material.role for line in sheet.procedure.formula.lines}
    for step in sheet.procedure.steps:
        if not isinstance(step, MeasurePh):
            continue
        wanted = [("raise_with", key, "base") for key in step.raise_with]
        wanted += [("lower_with", key, "acid") for key in step.lower_with]
        for field, key, role in wanted:
            if roles[key] != role:
                article = "an" if role == "acid" else "a"
                yield Finding(
                    sheet.path("step", step.key, field),
                    tr(
                        "This solution has the role {roles}, and {article} {role} is wanted",
                        roles=roles[key],
                        article=article,
                        role=role,
                    ),
                    tr('Name another one, or correct its role to "{role}"', role=role),
                )


def ph_one_way(sheet: ProcedureDraft) -> Iterator[Finding]:
    """A pH step can bring a batch back from either side, or says that it can't."""
    unnamed = {line.material.role for line in _unnamed(sheet)}
    for step in sheet.procedure.steps:
        if not isinstance(step, MeasurePh) or bool(step.raise_with) == bool(step.lower_with):
            continue
        missing, side = ("lower_with", "above") if step.raise_with else ("raise_with", "below")
        if ("acid" if side == "above" else "base") in unnamed:
            continue  # the rule about what no step adds says it
        yield Finding(
            sheet.path("step", step.key),
            tr(
                "A batch that reads {side} pH {how:g} can only be accepted or thrown away: nothing "
                "here brings it back",
                side=side,
                how=step.band.high if side == "above" else step.band.low,
            ),
            tr(
                "Add {how} to the formula, as needed, and name it in this step under {missing}",
                missing=missing,
                how=tr("an acid") if side == "above" else tr("a base"),
            ),
        )


def as_needed(sheet: ProcedureDraft) -> Iterator[Finding]:
    """An "as needed" line is what a pH step adds."""
    for line in _unnamed(sheet):
        yield Finding(
            sheet.path("line", line.key, "percent"),
            tr('{name} is added "as needed", but no pH step says when', name=line.name),
            tr("Name it as raise_with or lower_with in a pH step, or give it a share"),
        )


def _unnamed(sheet: ProcedureDraft) -> list[FormulaLine]:
    """The "as needed" lines that no pH step names."""
    used = {
        k for s in sheet.procedure.steps if isinstance(s, MeasurePh) for k in (*s.raise_with, *s.lower_with)
    }
    return [x for x in sheet.procedure.formula.lines if x.cap_percent is not None and x.key not in used]


RULES = (
    Rule("preservative", preservative, _FORMULA, by_choice=True, named=True),
    Rule("preservative-low", preservative_low, INGREDIENTS, by_choice=True, named=True),
    Rule("preservative-range", preservative_range, INGREDIENTS, grade="warning"),
    Rule("preservative-ph", preservative_ph, _FORMULA, by_choice=True),
    Rule("ph-band", ph_band, EVERYTHING, by_choice=True),
    Rule("ph-step", ph_step, EVERYTHING, by_choice=True),
    Rule("ph-step-band", ph_step_band, EVERYTHING),
    Rule("ph-role", ph_role, EVERYTHING),
    Rule("ph-one-way", ph_one_way, EVERYTHING, grade="warning"),
    Rule("as-needed", as_needed, EVERYTHING),
)
