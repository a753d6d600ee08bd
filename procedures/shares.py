"""The sums of a formula: what "rest" comes to, and whether everything totals 100 %."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.foundation.language import tr
from benchapp.foundation.toml_places import Path

from .schema import PlacedTable
from .wording import Report

_CLOSE = 0.0005  # percent; shares are written with three decimals at most


def shares(placed: Sequence[tuple[Path, PlacedTable]], report: Report) -> list[tuple[float, ...]]:
    """The percent of every part of every ingredient, in file order (one number where there are no parts).

    Notes in the report when the formula does not total 100, when parts do not total their ingredient, and
    when there is more than one "rest". An "as needed" ingredient counts as nothing.
    """
    numbers = [x.percent for _, x in placed if isinstance(x.percent, float)]
    rests = [path for path, x in placed if x.percent == "rest"]
    total = sum(numbers)
    for path in rests[1:]:
        report.add(
            (*path, "percent"),
            tr('"rest" stands here a second time'),
            tr("Give this one a number"),
            "rest-once",
        )
    rest = round(100.0 - total, 6)
    if rests and rest <= 0:
        report.add(
            (*rests[0], "percent"),
            tr('Nothing is left for "rest": the others already total {total:.6g} %', total=total),
            tr("Lower one of the others"),
            "percent-total",
        )
    elif not rests and placed and abs(rest) > _CLOSE:
        more = tr("{rest:.6g} % {how}", rest=abs(rest), how=tr("less") if rest < 0 else tr("more"))
        report.add(
            ("formula",),
            tr("The formula totals {total:.6g} %, not 100 %", total=total),
            tr('It needs {more}; or let one ingredient be percent = "rest"', more=more),
            "percent-total",
        )
    return [_of_one(path, x, max(rest, 0.0), report) for path, x in placed]


def _of_one(path: Path, x: PlacedTable, rest: float, report: Report) -> tuple[float, ...]:
    whole = x.percent if isinstance(x.percent, float) else rest if x.percent == "rest" else 0.0
    if not x.parts:
        return (whole,)
    numbers = [p.percent if isinstance(p.percent, float) else 0.0 for p in x.parts]
    open_parts = [i for i, p in enumerate(x.parts) if not isinstance(p.percent, float)]
    left = round(whole - sum(numbers), 6)
    if any(p.percent == "as needed" for p in x.parts) or len(open_parts) > 1:
        report.add(
            (*path, "parts"),
            tr('One part at most may be "rest"'),
            tr("Give the others a number"),
            "parts-total",
        )
    elif (open_parts and left <= 0) or (not open_parts and abs(left) > _CLOSE):
        report.add(
            (*path, "parts"),
            tr(
                "The parts total {sum:.6g} %, and the ingredient is {whole:.6g} %",
                sum=sum(numbers),
                whole=whole,
            ),
            tr('Change one of them, or let one part be "rest"'),
            "parts-total",
        )
    return tuple(max(left, 0.0) if i in open_parts else n for i, n in enumerate(numbers))
