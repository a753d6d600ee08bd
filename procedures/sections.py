"""The tables of a file, each validated by itself, so that one bad table hides no problem of the others."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from benchapp.foundation.language import tr
from benchapp.foundation.toml_places import Path

from . import schema as s
from .steps import STEP_TABLES
from .steps.table import StepTable
from .wording import MOST_OF_A_TABLE, Report, suggestion

Form = TypeVar("Form", bound=BaseModel)
Located = list[tuple[Path, Form]]

_TOP = ("formula", "batch", "material", "vessel", "step", "release", "accept")


@dataclass(slots=True)
class Sections:
    """What could be read. ``whole`` names the sections in which every table was good."""

    formula: s.FormulaTable | None = None
    batch: s.BatchTable | None = None
    materials: Located[s.MaterialTable] = field(default_factory=list)
    placed: Located[s.PlacedTable] = field(default_factory=list)
    vessels: Located[s.VesselTable] = field(default_factory=list)
    steps: Located[StepTable] = field(default_factory=list)
    release: Located[s.ReleaseTable] = field(default_factory=list)
    accept: dict[str, str] = field(default_factory=dict)
    accepted_by: dict[str, str] = field(default_factory=dict)
    whole: set[str] = field(default_factory=set)
    broken: set[str] = field(default_factory=set)

    def is_broken(self, name: str) -> bool:
        """Whether a table of that name or phase was there but bad: it need not be reported missing too."""
        folded = name.casefold()
        return any(folded == b or folded.startswith(f"{b} (") for b in self.broken)

    def note_broken(self, raw: object) -> None:
        """Remember the names a bad table would have given."""
        found = [raw.get(key) for key in ("name", "material", "phase")] if isinstance(raw, dict) else []
        self.broken.update(x.strip().casefold() for x in found if isinstance(x, str) and x)


def read_sections(data: dict[str, Any], report: Report) -> Sections:
    """Every table of the file in its form. What does not fit is noted in the report and left out."""
    found = Sections()
    for name in [name for name in data if name not in _TOP][:MOST_OF_A_TABLE]:
        report.add(
            (name,),
            tr("There is no table {name} in a procedure", name=name),
            suggestion(name, _TOP),
            "form",
            at_key=True,
        )
    formula = data.get("formula", {})
    if isinstance(formula, dict):
        own = {k: v for k, v in formula.items() if k != "ingredient"}
        found.formula = _table(own, ("formula",), s.FormulaTable, report)
        _ingredients(formula.get("ingredient", []), found, report)
    else:
        report.add(("formula",), tr("formula is a table"), tr("Write it as a heading, [formula]"), "form")
    found.batch = _table(data.get("batch", {}), ("batch",), s.BatchTable, report)
    _materials(data.get("material", []), found, report)
    found.vessels = _list(data.get("vessel", []), ("vessel",), s.VesselTable, found, report)
    found.release = _list(data.get("release", []), ("release",), s.ReleaseTable, found, report)
    _steps(data.get("step", []), found, report)
    _accept(data.get("accept", {}), found, report)
    _wanted(data, report)
    if found.formula is not None and found.batch is not None:
        found.whole.add("formula")
    return found


def _wanted(data: dict[str, Any], report: Report) -> None:
    for name in ("vessel", "step"):
        if name not in data:
            report.add_lacking(name)


def _table(
    raw: object, path: Path, form: type[Form], report: Report, also: Iterable[str] = ()
) -> Form | None:
    if not isinstance(raw, dict):
        report.add(
            path,
            tr("{path} is a table", path=path[-1]),
            tr("Write it as a heading, [{path}]", path=path[-1]),
            "form",
        )
        return None
    try:
        return form.model_validate(raw)
    except ValidationError as error:
        report.add_invalid(error, path, form, also)
        return None


def _items(raw: object, path: Path, report: Report) -> list[tuple[Path, dict[str, Any]]] | None:
    """The tables of a list of tables with their paths; None if it is something else."""
    if not isinstance(raw, list) or not all(isinstance(x, dict) for x in raw):
        name = ".".join(str(x) for x in path)
        report.add(
            path,
            tr("{name} is a list of tables", name=name),
            tr("Head each of them with [[{name}]]", name=name),
            "form",
        )
        return None
    return [((*path, i), x) for i, x in enumerate(raw)]


def _list(raw: object, path: Path, form: type[Form], found: Sections, report: Report) -> Located[Form]:
    items = _items(raw, path, report)
    read = [(at, _table(x, at, form, report)) for at, x in items or []]
    for (_, raw_table), (_, table) in zip(items or [], read, strict=True):
        if table is None:
            found.note_broken(raw_table)
    if items is not None and all(x is not None for _, x in read):
        found.whole.add(str(path[0]))
    return [(at, x) for at, x in read if x is not None]


def _materials(raw: object, found: Sections, report: Report) -> None:
    inline = found.materials
    found.materials = _list(raw, ("material",), s.MaterialTable, found, report) + inline


def _ingredients(raw: object, found: Sections, report: Report) -> None:
    items = _items(raw, ("formula", "ingredient"), report) or []
    good = bool(items)
    if raw == []:
        report.add(
            ("formula",),
            tr("The formula has no ingredient"),
            tr("Add one headed [[formula.ingredient]]"),
            "form",
        )
    for path, x in items:
        placing = x
        material: s.MaterialTable | None = None
        if "material" not in x:
            own = {k: v for k, v in x.items() if k not in s.PLACING}
            material = _table(own, path, s.MaterialTable, report, s.PLACING)
            if material is None:
                good = False
                found.note_broken(x)
            else:
                found.materials.append((path, material))
            placing = {k: v for k, v in x.items() if k in s.PLACING}
            placing["material"] = material.name if material is not None else "?"
        placed = _table(placing, path, s.PlacedTable, report)
        if placed is None:
            good = False
            found.note_broken(x)
        else:
            found.placed.append((path, placed))
    if good:
        found.whole.add("ingredients")


def _steps(raw: object, found: Sections, report: Report) -> None:
    items = _items(raw, ("step",), report)
    good = bool(items)
    for path, x in items or []:
        kind = x.get("kind")
        form = STEP_TABLES.get(kind) if isinstance(kind, str) else None
        step: StepTable | None = None
        if kind is None:
            report.add(
                path,
                tr("This step has no kind"),
                tr("Add a line kind = …. {suggestion}", suggestion=suggestion("", STEP_TABLES)),
                "form",
            )
        elif form is None:
            instead = suggestion(str(kind)[:40], STEP_TABLES)
            report.add(
                (*path, "kind"), tr('There is no kind of step "{kind}"', kind=str(kind)[:40]), instead, "form"
            )
        else:
            step = _table(x, path, form, report)
        good = good and step is not None
        if step is not None:
            found.steps.append((path, step))
    if good:
        found.whole.add("step")


def _accept(raw: object, found: Sections, report: Report) -> None:
    if not isinstance(raw, dict):
        report.add(("accept",), tr("accept is a table"), tr("Write it as a heading, [accept]"), "form")
        return
    for rule, given in raw.items():
        reason, by = (given.get("reason"), given.get("by", "")) if isinstance(given, dict) else (given, "")
        if (
            not isinstance(reason, str)
            or len(reason.split()) < 3
            or not isinstance(by, str)
            or (isinstance(given, dict) and (set(given) - {"reason", "by"} or not by.strip()))
        ):
            report.add(
                ("accept", rule),
                tr("{rule} wants a written reason", rule=rule),
                tr(
                    'Write a sentence that says why it is right here, like "…", or { reason = "…", by = '
                    '"your name" }'
                ),
                "accept",
            )
        else:
            found.accept[rule] = reason
            if by:
                found.accepted_by[rule] = by.strip()
