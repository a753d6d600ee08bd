"""Rules about the formula alone: compositions that can add up, and suppliers' limits."""

from __future__ import annotations

from collections.abc import Iterator

from benchapp.calculations.substances import is_water
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact

from ..building import ProcedureDraft
from .rule import INGREDIENTS, Finding, Rule

_CLOSE = 0.05  # percent; suppliers round their ranges


def composition(sheet: ProcedureDraft) -> Iterator[Finding]:
    """The substances of a material can total 100 %: lower limits not above it, upper ones not below."""
    for key, material in sheet.procedure.materials.items():
        low = sum(x.low_percent for x in material.composition)
        high = sum(x.high_percent for x in material.composition)
        if low > 100 + _CLOSE or high < 100 - _CLOSE:
            yield Finding(
                sheet.path("material", key, "composition"),
                tr(
                    'The composition of "{name}" totals {low:g} to {high:g} %, which leaves out 100 %',
                    name=material.name,
                    low=low,
                    high=high,
                ),
                tr("Check the ranges, and name every substance, water too"),
            )


def active_share(sheet: ProcedureDraft) -> Iterator[Finding]:
    """What is said to be active of a material is one of its substances, or all of them but the water."""
    for key, material in sheet.procedure.materials.items():
        if material.active_percent is None:
            continue
        parts = [x for x in material.composition if not is_water(x.inci)]
        ranges = [(x.low_percent, x.high_percent) for x in parts]
        ranges.append((sum(low for low, _ in ranges), sum(high for _, high in ranges)))
        if not any(low - _CLOSE <= material.active_percent <= high + _CLOSE for low, high in ranges):
            yield Finding(
                sheet.path("material", key, "active"),
                tr(
                    '"{name}" is said to be {active_percent:g} % active, and nothing in its composition '
                    "is that much of it",
                    name=material.name,
                    active_percent=material.active_percent,
                ),
                tr("Take both from the supplier's papers: the ceilings are reckoned from the composition"),
            )


def use_limit(sheet: ProcedureDraft) -> Iterator[Finding]:
    """All lines of a material together, an "as needed" line at its cap, stay within its use limit."""
    for material in sheet.procedure.materials.values():
        lines = [x for x in sheet.procedure.formula.lines if x.material.key == material.key]
        share = sum(x.percent if x.cap_percent is None else x.cap_percent for x in lines)
        limit = material.use_limit_percent
        if limit is not None and lines and exact(share) > exact(limit):
            field = "percent" if lines[-1].cap_percent is None else "cap"
            yield Finding(
                sheet.path("line", lines[-1].key, field),
                tr(
                    "{name}: {share:g} % is more than its use limit, {limit:g} %",
                    name=material.name,
                    share=share,
                    limit=limit,
                ),
                tr("Lower its share; or, where the supplier's papers allow more, correct its limit"),
            )


RULES = (
    Rule("composition", composition, INGREDIENTS),
    Rule("active-share", active_share, INGREDIENTS),
    Rule("use-limit", use_limit, INGREDIENTS),
)
