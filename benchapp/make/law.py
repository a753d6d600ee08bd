"""A procedure put to the sums of label and law: order of ingredients, ceilings, allergens, preservative."""

from __future__ import annotations

from collections.abc import Mapping

from benchapp.calculations.composition import CompositionLine, Part, together
from benchapp.calculations.fragrance import allergens, allergens_to_ask
from benchapp.calculations.label import ingredient_list
from benchapp.calculations.limits import (
    DEFAULT_LAW,
    Law,
    check_limits,
    conditions,
    not_known,
    not_known_in_short,
    preservative_window_complaint,
)
from benchapp.foundation.language import tr
from procedures.model import Procedure

#: Water a batch may have lost by the end where nobody weighed it, in percent: ceilings are checked with it.
LOST_PERCENT = 3.0


def lines_of(
    procedure: Procedure, grams: Mapping[str, float] | None = None, *, with_caps: bool = False
) -> tuple[CompositionLine, ...]:
    """The formula as it went in, in percent: as planned (``with_caps``: and as much of every "as needed" line as it
    may take), or from ``grams`` really weighed of each line."""
    shares = {
        x.key: x.percent if x.cap_percent is None else x.cap_percent
        for x in procedure.formula.lines
        if x.cap_percent is None or with_caps
    }
    if grams:
        whole = sum(grams.values())
        shares = {key: 100 * g / whole for key, g in grams.items()}
    by_key = {x.key: x for x in procedure.formula.lines}
    return together(
        CompositionLine(
            by_key[key].whole_name,
            percent,
            tuple(Part(s.inci, s.low_percent, s.high_percent) for s in by_key[key].material.composition),
            by_key[key].material.use_limit_percent,
        )
        for key, percent in shares.items()
        if key in by_key and percent > 0
    )


def label_lines(procedure: Procedure) -> list[str]:
    """What a label would have to say, and where the supplier has to be asked."""
    lines = lines_of(procedure)
    listed = ingredient_list(lines)
    out = [listed.text, *listed.doubts]
    out += [
        tr("Name on the label: {inci} ({percent:.4f} %).", inci=a.inci, percent=a.percent)
        for a in allergens(lines, procedure.formula.use)
    ]
    return [*out, *allergens_to_ask(lines)]


def limit_lines(procedure: Procedure, law: Law = DEFAULT_LAW) -> list[str]:
    """Every ceiling the formula touches, worst case of all ranges, with the usual water lost; what else the law asks;
    and, always, what no ceiling is known for."""
    lines, use = lines_of(procedure, with_caps=True), procedure.formula.use
    out = [c.finding for c in check_limits(lines, use, LOST_PERCENT, procedure.formula.area, law)]
    out += conditions(lines)
    ph = procedure.formula.ph
    for line in procedure.formula.lines:
        window = line.material.ph_window
        if ph is not None and window is not None and line.material.role == "preservative":
            said = preservative_window_complaint(line.name, (window.low, window.high), ph.low, ph.high)
            out += [f"{said}."] if said else []
    return [*out, not_known(lines, use, law)]


def law_in_short(procedure: Procedure, law: Law = DEFAULT_LAW) -> tuple[str, ...]:
    """Each ceiling that the plan passes, and, always, of how many substances none is known: for a page with little room."""
    lines, formula = lines_of(procedure, with_caps=True), procedure.formula
    found = check_limits(lines, formula.use, LOST_PERCENT, formula.area, law)
    passed = [c.finding for c in found if not c.passed]
    return (*passed, not_known_in_short(lines, formula.use, law, within=not passed))


def passed_by(
    procedure: Procedure,
    grams: Mapping[str, float],
    lost_percent: float = LOST_PERCENT,
    law: Law = DEFAULT_LAW,
) -> tuple[str, ...]:
    """A sentence for each ceiling, of the law, of the workshop's own and of the suppliers', that ``grams`` of the lines in
    the vessels pass, with so much water lost or with none, and the plan does not, with the usual loss or none."""
    formula = procedure.formula
    found: dict[tuple[str, str], str] = {}
    for usual, lost in ((min(lost_percent, LOST_PERCENT), lost_percent), (0.0, 0.0)):
        planned = check_limits(lines_of(procedure), formula.use, usual, formula.area, law)
        given = check_limits(lines_of(procedure, grams), formula.use, lost, formula.area, law)
        before = [c.limit for c in planned if not c.passed]
        for c in given:
            if not c.passed and c.limit not in before:
                found.setdefault((c.limit.entry, c.limit.name), c.sentence)
    return tuple(found.values())
