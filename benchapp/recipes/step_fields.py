"""What a maker may say of each kind of step, read off the tables of procedures/steps: so a new kind or field is here at once."""

from __future__ import annotations

import types
import typing
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import Any

from pydantic.fields import FieldInfo

from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.recipes.draft import LINE, VESSEL, Draft
from benchapp.recipes.errors import ChangeRefused
from benchapp.recipes.formula_sum import rows_of
from benchapp.recipes.material_shelf import ShelfMaterialTable
from procedures import fields as f
from procedures.schema import VesselTable
from procedures.steps import STEP_TABLES
from procedures.wording import suggestion


class FieldKind(Enum):
    """How a field is asked for."""

    TEXT = tr_noop("a sentence")
    SENTENCES = tr_noop("sentences, one after the other")
    LOOKS = tr_noop("pairs of what is judged and what is expected")
    YES_NO = tr_noop("yes or no")
    CHOICE = tr_noop("one of a few words")
    COUNT = tr_noop("a whole number")
    NUMBER = tr_noop("a number")
    QUANTITY = tr_noop("a number with its unit")
    BAND = tr_noop("two limits, the lower one first")
    VESSEL = tr_noop("a vessel")
    PHASE = tr_noop("a phase")
    PHASES = tr_noop("phases")
    INGREDIENTS = tr_noop("ingredients of the formula")
    SOLUTIONS = tr_noop("ingredients that are added as needed")
    MATERIAL = tr_noop("a material")


@dataclass(frozen=True, slots=True)
class StepField:
    """One field of one kind of step. ``units`` of a quantity or a band, the usual one first; none for plain numbers."""

    name: str
    kind: FieldKind
    needed: bool
    choices: tuple[str, ...] = ()
    units: tuple[str, ...] = ()


#: Fields that name something of the formula or the bench.
_NAMING = {
    "vessel": FieldKind.VESSEL, "pour": FieldKind.VESSEL, "into": FieldKind.VESSEL, "jug": FieldKind.VESSEL, "phase": FieldKind.PHASE,
    "phases": FieldKind.PHASES, "ingredients": FieldKind.INGREDIENTS, "raise_with": FieldKind.SOLUTIONS, "thin": FieldKind.INGREDIENTS, "melt": FieldKind.INGREDIENTS,
    "lower_with": FieldKind.SOLUTIONS, "water": FieldKind.MATERIAL, "looks": FieldKind.LOOKS,
}  # fmt: skip


def fields_naming(*kinds: FieldKind) -> tuple[str, ...]:
    """The fields that name something of one of these kinds."""
    return tuple(name for name, kind in _NAMING.items() if kind in kinds)


def _reader(annotated: Any) -> Any:
    return typing.get_args(annotated)[1]


_C, _S = ("degC", "degF"), ("min", "s", "h", "days")
_READ: tuple[tuple[Any, FieldKind, tuple[str, ...]], ...] = (
    (f.Temperature, FieldKind.QUANTITY, _C), (f.Difference, FieldKind.QUANTITY, ("K",)), (f.Time, FieldKind.QUANTITY, _S),
    (f.SomeTime, FieldKind.QUANTITY, _S), (f.Mass, FieldKind.QUANTITY, ("g", "kg")), (f.Volume, FieldKind.QUANTITY, ("ml", "l")),
    (f.Length, FieldKind.QUANTITY, ("mm", "cm")), (f.Parts, FieldKind.NUMBER, ()), (f.Content, FieldKind.QUANTITY, ("ml", "g")),
    (f.SomePart, FieldKind.QUANTITY, ("%",)), (f.SpecificMass, FieldKind.QUANTITY, ("g/ml",)), (f.MeltingHeat, FieldKind.QUANTITY, ("J/g",)), (f.TemperatureBand, FieldKind.BAND, _C), (f.DensityBand, FieldKind.BAND, ("g/ml",)), (f.YieldBand, FieldKind.BAND, ("%",)),
    (f.PhBand, FieldKind.BAND, ()), (f.AnyBand, FieldKind.BAND, ()),
)  # fmt: skip
_BY_READER = [(_reader(annotated), kind, units) for annotated, kind, units in _READ]


def fields_of(kind: str) -> tuple[StepField, ...]:
    """What can be said of a kind of step, needed fields first; its title is one of them. Raises ChangeRefused for no
    kind."""
    if kind not in STEP_TABLES:
        raise ChangeRefused(
            tr(
                'There is no kind of step "{kind}". {suggestion}',
                kind=kind,
                suggestion=suggestion(kind, STEP_TABLES),
            )
        )
    found = [
        _field(info.alias or name, info)
        for name, info in STEP_TABLES[kind].model_fields.items()
        if name != "kind"
    ]
    return tuple(sorted(found, key=lambda one: (not one.needed, one.name in _COMMON)))


def vessel_fields() -> tuple[StepField, ...]:
    """What can be said of a vessel; its name and its phase left out, since the steps go by them."""
    return tuple(
        _field(name, info) for name, info in VesselTable.model_fields.items() if name not in ("name", "phase")
    )


#: What every step may have beside its own, after that.
_COMMON = ("note", "why", "look", "wrong", "any_order")


def material_fields() -> tuple[StepField, ...]:
    """What can be said of a material on the shelf, its name left out."""
    found = [
        _field(name, info)
        for name, info in ShelfMaterialTable.model_fields.items()
        if name not in _ASKED_AS_TEXT
    ]
    texts = [StepField(name, FieldKind.TEXT, False) for name in _ASKED_AS_TEXT if name != "name"]
    return (*(x for x in found if x.needed), *texts[:1], *(x for x in found if not x.needed), *texts[1:])


#: Fields of a material that are written as one text.
_ASKED_AS_TEXT = ("name", "inci", "composition", "sheet_revised", "price")


def _field(name: str, info: FieldInfo) -> StepField:
    needed = info.is_required()
    if name in _NAMING:
        return StepField(name, _NAMING[name], needed)
    parts = [info.annotation, *info.metadata, *_inside(info.annotation)]
    for reader, kind, units in _BY_READER:
        if any(part is reader or part == reader for part in parts):
            return StepField(name, kind, needed, units=units)
    for part in parts:
        if typing.get_origin(part) is typing.Literal:
            return StepField(name, FieldKind.CHOICE, needed, tuple(map(str, typing.get_args(part))))
    plain = {bool: FieldKind.YES_NO, int: FieldKind.COUNT, str: FieldKind.TEXT}
    if any(typing.get_origin(part) is list for part in parts):
        return StepField(name, FieldKind.SENTENCES, needed)
    kind_of = next((plain[part] for part in parts if isinstance(part, type) and part in plain), None)
    if kind_of is None:
        raise LookupError(tr("nothing is known of how {name} is asked for", name=name))
    return StepField(name, kind_of, needed)


def _inside(annotation: Any) -> Iterator[Any]:
    """What stands in a union or an annotated type."""
    if typing.get_origin(annotation) in (typing.Union, types.UnionType, typing.Annotated):
        for one in typing.get_args(annotation):
            yield one
            yield from _inside(one)


def choices_for(field: StepField, draft: Draft) -> tuple[str, ...]:
    """What can be picked for a field, in this draft."""
    if field.kind is FieldKind.VESSEL:
        return tuple(str(v.get("name", "")) for v in draft.list_of(VESSEL))
    if field.kind in (FieldKind.PHASE, FieldKind.PHASES):
        return draft.phases
    if field.kind is FieldKind.YES_NO:
        return ("yes", "no")
    lines = draft.list_of(LINE)
    needed = {n for n, line in enumerate(lines) if line.get("percent") == "as needed"}
    if field.kind is FieldKind.INGREDIENTS:
        return tuple(name for n in range(len(lines)) if n not in needed for name in _names(draft, n))
    if field.kind is FieldKind.SOLUTIONS:
        return tuple(rows_of(draft)[n].name for n in sorted(needed))
    if field.kind is FieldKind.MATERIAL:
        return tuple(str(x["name"]) for x in lines if x.get("role") == "water")
    return field.choices


def _names(draft: Draft, number: int) -> tuple[str, ...]:
    """What steps call a line: its parts, where it has some."""
    line, name = draft.list_of(LINE)[number], rows_of(draft)[number].name
    return tuple(tr("{name} ({label})", name=name, label=p["label"]) for p in line.get("parts", ())) or (
        name,
    )


#: What a new step of each kind begins with beside its title, where a field is needed and nothing can be picked for it.
#: Figures: common practice, no source.
_BEGINNINGS: dict[str, dict[str, Any]] = {
    "prepare": {"tasks": [tr_noop("Bench, vessels and tools are clean and dry.")]},
    "heat": {"band": ["70 degC", "75 degC"], "hold": "10 min"},
    "blend": {"bursts": 3, "burst": "30 s", "rest": "30 s"},
    "cool": {"below": "40 degC"},
    "rest": {"rest": "12 h"},
    "measure": {
        "what": "viscosity",
        "unit": "mPa s",
        "how": tr_noop("As the viscometer's own instructions say, at 20 °C."),
    },
    "add": {"stir": "2 min"},
    "look": {"looks": [{"name": "Appearance", "expect": tr_noop("Even, without grains or lumps")}]},
    "density": {"volume": "50 ml"},
    "fill": {"content": "100 g"},
    "clean up": {"tasks": [tr_noop("Everything is unplugged, cold, washed and put away.")]},
}


def new_step(kind: str, draft: Draft) -> dict[str, Any]:
    """A step of a kind with all it needs, picked from the draft; what doesn't fit there the checks say at once. Raises
    ChangeRefused where the draft has nothing to pick from yet."""
    wanted = [x for x in fields_of(kind) if x.needed]
    fields: dict[str, Any] = {"kind": kind, "title": kind.capitalize(), **_BEGINNINGS.get(kind, {})}
    if kind == "add":  # one of the two is needed
        wanted.append(next(x for x in fields_of(kind) if x.name == "ingredients"))
    taken: set[str] = set()
    for field in wanted:
        if field.name in fields:
            continue
        choices = [c for c in choices_for(field, draft) if c not in taken] or list(choices_for(field, draft))
        if not choices:
            raise ChangeRefused(
                tr(
                    "A step of the kind {kind} names {value}, and there is none yet.",
                    kind=kind,
                    value=translated(field.kind.value),
                )
            )
        several = field.kind in (FieldKind.PHASES, FieldKind.INGREDIENTS, FieldKind.SOLUTIONS)
        fields[field.name] = choices[:1] if several else choices[0]
        if field.kind is FieldKind.VESSEL:
            taken.add(choices[0])
    return fields
