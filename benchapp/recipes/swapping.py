"""One ingredient swapped for another, and what has to be looked at because of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from benchapp.foundation.language import tr, translated
from benchapp.foundation.toml_places import Path
from benchapp.recipes.draft import LINE, STEP, Draft, materials_of, own_fields, place_of_material, with_fields
from benchapp.recipes.errors import ChangeRefused
from benchapp.recipes.field_answers import field_words
from benchapp.recipes.material_shelf import UNKNOWN, for_recipe, hazards_known
from benchapp.recipes.step_fields import FieldKind, fields_naming
from procedures.building import slug

#: Fields of a step that name an ingredient or a material.
_NAMING = fields_naming(FieldKind.INGREDIENTS, FieldKind.SOLUTIONS, FieldKind.MATERIAL)


def swapped(draft: Draft, number: int, material: Mapping[str, Any]) -> Draft:
    """The draft with another material in the place of one line's, in the same phase and share; where that is described
    apart, in every line of it; steps that named the old one name the new. Raises ChangeRefused."""
    old = material_name(draft.list_of(LINE)[number])
    place = place_of_material(draft, old)
    if place is None:
        raise ChangeRefused(tr("{old} is not described in the recipe. Name a material that is.", old=old))
    new, described = for_recipe(material), _table(draft, place)
    names = {slug(str(x.get("name", ""))) for x in materials_of(draft.tables)}
    if slug(str(new["name"])) in names - {slug(old)}:
        raise ChangeRefused(tr("{name} is in the formula already.", name=new["name"]))
    draft = with_fields(draft, place, {key: None for key in own_fields(described)} | new)
    for n, line in enumerate(draft.list_of(LINE)):
        if slug(str(line.get("material", ""))) == slug(old):
            draft = with_fields(draft, (*LINE, n), {"material": new["name"]})
    return renamed(draft, old, str(new["name"]))


def material_name(line: Mapping[str, Any]) -> str:
    """What a line's material is called, whether it is described in the line or apart."""
    return str(line.get("name") or line.get("material", ""))


def described(draft: Draft, line: Mapping[str, Any]) -> dict[str, Any]:
    """What describes a line's material, wherever that stands."""
    place = place_of_material(draft, material_name(line))
    return own_fields(line if place is None else _table(draft, place))


def _table(draft: Draft, place: Path) -> dict[str, Any]:
    return draft.list_of(place[:-1])[int(place[-1])]


def renamed(draft: Draft, old: str, new: str) -> Draft:
    """What the steps call an ingredient, its label left as it is."""

    def other(name: Any) -> Any:
        if not isinstance(name, str):
            return name
        same = name.casefold() == old.casefold() or name.casefold().startswith(f"{old.casefold()} (")
        return new + name[len(old) :] if same else name

    for n, step in enumerate(draft.list_of(STEP)):
        fields: dict[str, Any] = {}
        for key in _NAMING:
            value = step.get(key)
            if isinstance(value, str) and other(value) != value:
                fields[key] = other(value)
            elif isinstance(value, list) and [other(x) for x in value] != value:
                fields[key] = [other(x) for x in value]
        if fields:
            draft = with_fields(draft, (*STEP, n), fields)
    return draft


def to_look_at(old: Mapping[str, Any], new: Mapping[str, Any]) -> tuple[str, ...]:
    """A sentence for each thing that is not the same of two materials and reaches beyond their line."""
    return tuple(_differences(old, new))


def _differences(old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[str]:
    name = new["name"]
    for field, changed, unknown in (
        ("melts", tr("melts at {}: see that the heat band lies above it"), tr("has no melting point on the shelf: is it liquid?")),
        ("below", tr("has to stay below {}: see when it goes in"), tr("has no upper temperature on the shelf: may it be heated?")),
        ("ph_window", tr("works from pH {}: see that the product's pH lies in it"), tr("has no pH window on the shelf")),
        ("use_limit", tr("may be in at {} at most"), tr("has no ceiling on the shelf")),
        ("use_least", tr("works from {} on"), tr("has no least share on the shelf")),
        ("density", tr("has {}: volumes and how full a vessel gets change"), tr("has no density on the shelf: it counts as 1 g/ml")),
        ("active", tr("is {} active: a share of what is active weighs otherwise"), tr("does not say what of it is active")),
    ):  # fmt: skip
        if old.get(field) != new.get(field):
            value = new.get(field)
            yield f"{name} {unknown}." if value is None else f"{name} {changed.format(field_words(value))}."
    if old.get("role") != new.get("role"):
        yield tr(
            "Its role changes: {role} becomes {role_2}.",
            role=old.get("role") or "none",
            role_2=new.get("role") or "none",
        )
    if _inci(old) != _inci(new):
        yield tr(
            "The list of ingredients on the label changes: {inci} becomes {inci_2}.",
            inci=_inci(old),
            inci_2=_inci(new),
        )
    if not hazards_known(new):
        yield f"{name}: {translated(UNKNOWN)}"
    elif old.get("statements", []) != new.get("statements", []):
        yield tr(
            "Its hazards are others: {names}.",
            names=", ".join(new.get("statements", [])) or tr("none on its data sheet"),
        )


def _inci(fields: Mapping[str, Any]) -> str:
    parts = [x["inci"] for x in fields.get("composition", [])]
    return str(fields.get("inci") or ", ".join(parts) or tr("no INCI name"))
