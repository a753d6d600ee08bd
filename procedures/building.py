"""From the tables of a file to the frozen form: names become keys, "rest" becomes a number."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from benchapp.foundation.band import Band
from benchapp.foundation.language import Name, tr
from benchapp.foundation.numbers import exact
from benchapp.foundation.toml_places import Path, Places

from . import schema as s
from .bench import BenchState
from .fields import ActiveShare, Share
from .formula import Formula, FormulaLine, Material, Substance, Vessel
from .kettles import Split, in_order, split_lines, split_of, split_vessels
from .model import Procedure, ReleaseCheck
from .names import MissingName, Names
from .sections import Sections
from .shares import shares
from .steps import Step
from .wording import Report, suggestion


@dataclass(slots=True)
class ProcedureDraft:
    """A procedure with the path in its file of everything that has a key, and what of it is whole.

    ``whole`` holds "formula", "ingredients", "shares", "vessel" and "step" for what lacks nothing; a rule
    that needs a part is only asked when that part is whole.
    """

    procedure: Procedure
    paths: dict[tuple[str, str], Path]
    whole: frozenset[str]

    def path(self, what: str, key: str, name: str = "") -> Path:
        """Where the field ``name`` of a "line", "material", "vessel" or "step" is."""
        at = self.paths[what, key]
        return (*at, name) if name else at


@dataclass(slots=True)
class _Made:
    materials: dict[str, Material] = field(default_factory=dict)
    lines: dict[str, FormulaLine] = field(default_factory=dict)
    vessels: dict[str, Vessel] = field(default_factory=dict)
    paths: dict[tuple[str, str], Path] = field(default_factory=dict)


def slug(name: str) -> str:
    """A name as a key: lower case, letters and digits of any script, joined by hyphens."""
    return re.sub(r"[\W_]+", "-", name.casefold()).strip("-")


def build(found: Sections, report: Report, places: Places, key: str) -> ProcedureDraft:
    """The procedure as far as it can be built; names that lead nowhere are noted in the report."""
    made = _Made()
    materials, lines = _build_materials(found, made, report), _build_lines(found, made, report)
    whole = set(found.whole)
    if not (materials and lines):
        whole.discard("ingredients")
    if not _build_vessels(found, made, report):
        whole.discard("vessel")
    split = _split(found, made, places)
    formula = _formula(found, made)
    names = Names(formula, made.materials, made.vessels, found.is_broken, report, found.formula is not None)
    steps = _steps(found, names, places, split)
    if len({path for path, _ in steps}) < len(found.steps):
        whole.discard("step")
    for path, step in steps:
        made.paths["step", step.key] = path
    return ProcedureDraft(
        _procedure(found, made, formula, [x for _, x in steps], key), made.paths, frozenset(whole)
    )


def _steps(found: Sections, names: Names, places: Places, split: Split | None) -> list[tuple[Path, Step]]:
    """The steps whose names all lead somewhere, those of a split batch for each kettle."""
    commons = [table.common(int(path[-1]) + 1, places.value(path).line) for path, table in found.steps]
    apart = [split is not None and common["key"] in split.steps for common in commons]
    built: list[tuple[Path, Step]] = []
    missing: set[Path] = set()
    for (path, table), kettle in in_order(found.steps, apart, split.kettles if split else 1):
        if path in missing:
            continue
        names.at(path, kettle)
        try:
            step = table.build(names, table.common(int(path[-1]) + 1, places.value(path).line, kettle))
        except MissingName:
            missing.add(path)
            continue
        built.append((path, step))
    return built


def _split(found: Sections, made: _Made, places: Places) -> Split | None:
    """What is split over several kettles, with the lines and vessels split accordingly; None where the batch is made in
    one."""
    if not any(v.kettle for v in made.vessels.values()):
        return None
    formula, quiet = _formula(found, made), Report("", Places(""))
    names = Names(formula, made.materials, made.vessels, found.is_broken, quiet, found.formula is not None)
    steps = [step for _, step in _steps(found, names, places, None)]
    split = split_of(steps, BenchState(formula, made.materials, made.vessels))
    lines: dict[str, FormulaLine] = {}
    for line, whole in split_lines(formula.lines, split):
        lines[line.key] = line
        made.paths["line", line.key] = made.paths["line", whole]
    made.lines, made.vessels = lines, split_vessels(made.vessels, lines.values())
    return split


def _new(made: _Made, what: str, name: str, path: Path, report: Report) -> str | None:
    """The key of a new name; None, with a note, where it clashes or has no letter."""
    key = slug(name)
    if not key:
        report.add(
            (*path, "name"),
            tr('"{name}" has no letter and no digit', name=name),
            tr("Give it a name that can be read out"),
            "name",
        )
        return None
    if (what, key) in made.paths:
        report.add(
            (*path, "name"),
            tr('The name "{name}" is used twice', name=name),
            tr("Give one of the two another name or a label"),
            "name",
        )
        return None
    made.paths[what, key] = path
    return key


def _build_materials(found: Sections, made: _Made, report: Report) -> bool:
    good = True
    for path, x in found.materials:
        key = _new(made, "material", x.name, path, report)
        if key is None:
            good = False
            continue
        composition = tuple(Substance(c.inci, c.percent.low, c.percent.high) for c in x.composition)
        made.materials[key] = Material(
            key=key,
            name=Name(x.name),
            composition=composition or (Substance(str(x.inci), 100.0, 100.0),),
            role=x.role,
            statements=tuple(x.statements),
            signal_word=x.signal_word,
            sheet_revised=x.sheet_revised.isoformat() if x.sheet_revised else "",
            powder=x.powder,
            flammable=x.flammable,
            ph_window=x.ph_window,
            below_c=x.below,
            melts_c=x.melts,
            melting_heat_j_g=x.melting_heat,
            density_g_ml=x.density,
            active_percent=x.active,
            use_least_percent=x.use_least,
            use_limit_percent=x.use_limit,
        )
    return good


def _build_lines(found: Sections, made: _Made, report: Report) -> bool:
    good = True
    sums = Report("", Places("")) if "ingredients" not in found.whole else report
    before = len(sums.problems)
    placed = [(path, _of_material(path, x, made, report)) for path, x in found.placed]
    percents = shares(placed, sums)
    if sums is report and len(sums.problems) == before:
        found.whole.add("shares")
    for (path, x), of_parts in zip(placed, percents, strict=True):
        material = made.materials.get(slug(x.material))
        if material is None:
            good = False
            if x.material != "?" and not found.is_broken(x.material):
                names = [m.name for m in made.materials.values()]
                report.add(
                    (*path, "material"),
                    tr('There is no material "{material}"', material=x.material),
                    suggestion(x.material, names),
                    "name",
                )
            continue
        parts = x.parts or [
            s.PartTable.model_construct(label=x.label or "", phase=x.phase or "", percent=x.percent)
        ]
        for nth, (part, percent) in enumerate(zip(parts, of_parts, strict=True)):
            at = (*path, "parts", nth) if x.parts else path
            name = f"{material.name} ({part.label})" if part.label else material.name
            key = _new(made, "line", name, at, report)
            if key is None:
                good = False
                continue
            made.lines[key] = FormulaLine(
                key, material, part.phase, percent, part.label, part.percent == "rest", x.cap, x.tolerance
            )
    return good


def _of_material(path: Path, x: s.PlacedTable, made: _Made, report: Report) -> s.PlacedTable:
    """The same with every share of what is active written as a share of the material. Where the material does not say
    what of it is active, that is noted, and it counts as all of it."""
    material = made.materials.get(slug(x.material))
    strength = None if material is None else material.active_percent

    def share(given: Share | ActiveShare, at: Path) -> Share:
        if not isinstance(given, ActiveShare):
            return given
        if material is not None and strength is None:
            report.add(
                (*at, "percent"),
                tr('"{name}" does not say what of it is active', name=material.name),
                tr(
                    'Add active = "50 %" from its supplier\'s papers, or write the share of the material '
                    "itself"
                ),
                "active-share",
            )
        return exact(given.percent * 100 / (strength or 100.0))

    parts = [
        p.model_copy(update={"percent": share(p.percent, (*path, "parts", nth))})
        for nth, p in enumerate(x.parts)
    ]
    return x.model_copy(update={"percent": share(x.percent, path), "parts": parts})


def _build_vessels(found: Sections, made: _Made, report: Report) -> bool:
    good = True
    phases = {line.phase for line in made.lines.values()}
    several = [x.kettles for _, x in found.vessels if x.kettles > 1]
    for path, x in found.vessels:
        if x.kettles > 1 and x.kettles != several[0]:
            what = tr(
                "There are {kettles} of the {name}, and {several} of another vessel",
                kettles=x.kettles,
                name=x.name,
                several=several[0],
            )
            report.add((*path, "kettles"), what, tr("A batch is split over one number of kettles"), "kettles")
            good = False
        if x.phase and x.phase not in phases and not found.is_broken(x.phase):
            report.add(
                (*path, "phase"),
                tr('No ingredient is in a phase "{phase}"', phase=x.phase),
                suggestion(x.phase, phases),
                "name",
            )
        for kettle in range(1, several[0] + 1) if x.kettles > 1 else (0,):
            name = f"{x.name} {kettle}" if kettle else x.name
            key = _new(made, "vessel", name, path, report)
            if key is None:
                good = False
                continue
            made.vessels[key] = Vessel(
                key, Name(name), x.capacity, x.phase, x.empty, x.glass, x.diameter, kettle
            )
    return good


def _formula(found: Sections, made: _Made) -> Formula:
    lines = tuple(made.lines.values())
    phases = tuple(dict.fromkeys(x.phase for x in lines))
    if found.formula is None:
        return Formula("", "leave-on", lines, None, phases)
    x = found.formula
    return Formula(x.name, x.use, lines, x.ph, phases, x.description, x.area)


def _procedure(found: Sections, made: _Made, formula: Formula, steps: list[Step], key: str) -> Procedure:
    batch = found.batch or s.BatchTable.model_construct(usual=1.0, smallest=1.0, largest=1.0, loss=0.0)
    return Procedure(
        key=key,
        formula=formula,
        materials=made.materials,
        vessels=made.vessels,
        steps=tuple(steps),
        default_batch_g=batch.usual,
        batch_g=Band(batch.smallest, batch.largest),
        loss_percent=batch.loss,
        release=tuple(ReleaseCheck(x.name, x.expect, x.due, x.band) for _, x in found.release),
        cautions_ok=found.accept,
        accepted_by=found.accepted_by,
    )
