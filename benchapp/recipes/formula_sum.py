"""The lines of a draft's formula as they stand, and their sum."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import TypeAdapter, ValidationError

from benchapp.foundation.language import number, tr, tr_noop
from benchapp.foundation.numbers import exact
from benchapp.recipes.draft import LINE, Draft, materials_of
from procedures import fields as f
from procedures.building import slug
from procedures.errors import QuantityError
from procedures.quantities import PERCENT, quantity

_SHARE: TypeAdapter[f.Share | f.ActiveShare] = TypeAdapter(f.Percent)


@dataclass(frozen=True, slots=True)
class FormulaRow:
    """One line: ``percent`` of the formula where it is a number, that of "rest" included; ``share``, ``tolerance`` and
    ``label`` as they are said, "" where they are not."""

    number: int
    name: str
    phase: str
    share: str
    percent: float | None
    tolerance: str = ""
    label: str = ""


@dataclass(frozen=True, slots=True)
class FormulaSum:
    """``planned``: what has a number; ``rest``: what is left for "rest", None where there is no such line; ``filler``: the
    name of that line."""

    planned: float
    rest: float | None
    filler: str = ""

    @property
    def whole(self) -> bool:
        """Whether it is a formula of 100 %."""
        return self.planned == 100.0 if self.rest is None else self.rest > 0

    @property
    def sentence(self) -> str:
        """The sum, and what it lacks."""
        if self.rest is not None and self.rest > 0:
            return tr(
                "So far {planned:.6g} %. {name} fills up the other {rest:.6g} %.",
                planned=self.planned,
                name=self.filler,
                rest=self.rest,
            )
        if self.planned == 100.0:
            return "100 %" if self.rest is None else tr("100 %, and nothing is left for the rest")
        off = exact(self.planned - 100.0)
        return tr(
            "{planned:.6g} %: {off:.6g} % {how}",
            planned=self.planned,
            off=abs(off),
            how=tr("too much") if off > 0 else tr("still missing"),
        )


def rows_of(draft: Draft) -> tuple[FormulaRow, ...]:
    """The lines in the order of the text."""
    strengths = _strengths(draft)
    total = sum_of(draft)
    rows = []
    for n, table in enumerate(draft.list_of(LINE)):
        name = _name(table)
        percent = _percent(table, strengths)
        rows.append(
            FormulaRow(
                n,
                tr("{name} ({label})", name=name, label=table["label"]) if table.get("label") else name,
                ", ".join(dict.fromkeys(str(p.get("phase", "")) for p in table.get("parts") or [table])),
                _share_words(table, percent, total),
                total.rest if table.get("percent") == "rest" else percent,
                str(table.get("tolerance", "")),
                str(table.get("label", "")),
            )
        )
    return tuple(rows)


def _name(table: Mapping[str, Any]) -> str:
    return str(table.get("name") or table.get("material") or tr_noop("No name yet"))


def sum_of(draft: Draft) -> FormulaSum:
    """What all lines come to."""
    strengths, lines = _strengths(draft), draft.list_of(LINE)
    planned = exact(sum(_percent(x, strengths) or 0.0 for x in lines))
    filler = next((_name(x) for x in lines if x.get("percent") == "rest"), None)
    if filler is None:
        return FormulaSum(planned, None)
    return FormulaSum(planned, max(exact(100.0 - planned), 0.0), filler)


def _strengths(draft: Draft) -> dict[str, Any]:
    """How strong each material is as it is bought, by the key of its name."""
    return {slug(str(m.get("name", ""))): m.get("active") for m in materials_of(draft.tables)}


def _percent(table: Mapping[str, Any], strengths: Mapping[str, Any]) -> float | None:
    """The share of the material itself; None where it has no number."""
    try:
        share = _SHARE.validate_python(table.get("percent"))
        if isinstance(share, f.ActiveShare):
            return exact(share.percent * 100 / quantity(strengths.get(slug(_name(table))), PERCENT))
    except (ValidationError, QuantityError, ZeroDivisionError):
        return None
    return share if isinstance(share, float) else None


def _share_words(table: Mapping[str, Any], percent: float | None, total: FormulaSum) -> str:
    if table.get("percent") == "rest":
        return tr("rest, {rest:.6g} %", rest=total.rest)
    if table.get("percent") == "as needed":
        return tr("up to {cap}", cap=_cap_words(table["cap"])) if table.get("cap") else tr_noop("as needed")
    return tr("no share yet") if percent is None else f"{number(percent, '.6g')} %"


def _cap_words(cap: Any) -> str:
    """As its language writes it, where it is a share at all."""
    try:
        return f"{number(quantity(cap, PERCENT))} %"
    except QuantityError:
        return str(cap)
