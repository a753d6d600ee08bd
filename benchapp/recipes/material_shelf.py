"""The workshop's shelf of materials: one TOML file, entered once and used by every recipe.

The fields are those a procedure's ingredient knows, with the supplier and the price beside them. What no data sheet or
paper said is not known, and said so: hazards without an entered data sheet, a melting point, a pH window, a limit.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

from pydantic import PlainValidator, ValidationError

from benchapp.calculations.substances import is_water
from benchapp.foundation.language import alphabetical, tr, tr_noop
from benchapp.foundation.text_files import NoTextFile, read_text_file, replace_text_file
from benchapp.foundation.toml_places import Places
from benchapp.foundation.toml_reading import TomlError, read_toml
from benchapp.recipes import toml_blocks as blocks
from benchapp.recipes.draft import materials_of, own_fields
from benchapp.recipes.errors import ChangeRefused, NoSuchRecipe
from procedures import fields as f
from procedures.building import slug
from procedures.formula import Material
from procedures.schema import MaterialTable
from procedures.wording import Report, suggestion

#: The file, in the workshop's folder.
FILE = "materials.toml"
#: What the shelf knows of a material beside what a procedure may say of it.
BESIDE = ("supplier", "price")
_HEAD = tr_noop(
    "# The workshop's materials. The fields are those of an ingredient in a procedure, "
    "with supplier and price beside them.\n"
    "# Copy hazards, limits and temperatures from the supplier's papers; leave out what "
    "they don't say.\n"
)


_PRICE = re.compile(r"([0-9]{1,7}(?:\.[0-9]{1,4})?) ?([A-Z]{3})/kg")


def _price(value: object) -> tuple[float, str]:
    """What a kilogram costs, and in which currency (its three letters, ISO 4217)."""
    found = _PRICE.fullmatch(value.strip()) if isinstance(value, str) else None
    if found is None:
        raise f.refuse(
            tr("This is no price"), tr('Write it for a kilogram with its currency, like "12.40 EUR/kg"')
        )
    return float(found[1]), found[2]


class ShelfMaterialTable(MaterialTable):
    """[[material]] of the shelf: what a procedure knows of it, its supplier, and what a kilogram costs."""

    supplier: f.Name = ""
    price: Annotated[tuple[float, str] | None, PlainValidator(_price)] = None


@dataclass(frozen=True, slots=True)
class MaterialShelf:
    """The text of the file, and what is wrong in it, a sentence each."""

    text: str
    problems: tuple[str, ...] = ()

    @property
    def entries(self) -> dict[str, dict[str, Any]]:
        """The fields of each material, by its key, in the order of their names."""
        tables = tomllib.loads(self.text).get("material", [])
        named = {slug(str(t["name"])): dict(t) for t in tables if isinstance(t.get("name"), str)}
        return dict(sorted(named.items(), key=lambda one: alphabetical(str(one[1]["name"]))))

    def entry(self, name: str) -> dict[str, Any]:
        """One material by its name or key. Raises NoSuchRecipe with the likeliest."""
        entries = self.entries
        if slug(name) not in entries:
            names = [str(x["name"]) for x in entries.values()]
            if not names:
                empty = tr('There is no material "{name}" on the shelf, which is empty: enter it, or take it over from a procedure.', name=name)  # fmt: skip
                raise NoSuchRecipe(empty)
            raise NoSuchRecipe(
                tr(
                    'There is no material "{name}" on the shelf. {suggestion}',
                    name=name,
                    suggestion=suggestion(name, names),
                )
            )
        return entries[slug(name)]


def read_shelf(folder: Path) -> MaterialShelf:
    """The shelf of a workshop's folder; an empty one where there is none yet. Raises ChangeRefused where the file is
    no TOML: whatever is written would spoil it."""
    path = folder / FILE
    try:
        text = read_text_file(path)
        read_toml(text)
    except FileNotFoundError:
        return MaterialShelf(_HEAD)
    except NoTextFile as error:
        raise ChangeRefused(tr("{path} cannot be read: {error}.", path=path, error=error)) from error
    except TomlError as error:
        raise ChangeRefused(f"{path}:{error.place.line}:{error.place.column}: {error}.") from error
    return MaterialShelf(text, tuple(_problems(text, str(path))))


def keep_shelf(folder: Path, shelf: MaterialShelf) -> None:
    """Write it down whole. Raises OSError."""
    replace_text_file(folder / FILE, shelf.text)


def _problems(text: str, file: str) -> Iterable[str]:
    report = Report(file, Places(text))
    for n, table in enumerate(tomllib.loads(text).get("material", [])):
        try:
            ShelfMaterialTable.model_validate(table)
        except ValidationError as error:
            report.add_invalid(error, ("material", n), ShelfMaterialTable)
    return map(str, report.problems)


def with_material(shelf: MaterialShelf, fields: Mapping[str, Any]) -> MaterialShelf:
    """A material entered, or some of its fields changed; those that are None are taken out. Raises ChangeRefused with
    what is wrong in one sentence."""
    keys = [slug(str(t.get("name", ""))) for t in tomllib.loads(shelf.text).get("material", [])]
    key = slug(str(fields.get("name", "")))
    if not key:
        raise ChangeRefused(tr("A material needs a name with a letter or a digit in it."))
    if key in keys:
        text = blocks.with_fields(shelf.text, ("material", keys.index(key)), fields)
    else:
        given = {k: v for k, v in fields.items() if v is not None}
        text = blocks.with_table(shelf.text, ("material", len(keys)), given)
    found = [x for x in _problems(text, FILE) if x not in set(_problems(shelf.text, FILE))]
    if found:
        raise ChangeRefused(found[0].split(": ", 1)[1] + ".")
    return MaterialShelf(text)


@dataclass(frozen=True, slots=True)
class TakenOver:
    """The shelf after materials came from a procedure; names of those that are new, and of those it says otherwise."""

    shelf: MaterialShelf
    new: tuple[str, ...]
    otherwise: tuple[str, ...]


def take_over(shelf: MaterialShelf, tables: Mapping[str, Any]) -> TakenOver:
    """Every material of a procedure's tables that the shelf has not; what it has stays as it is."""
    new, otherwise = [], []
    for fields in materials_of(tables):
        known = shelf.entries.get(slug(str(fields["name"])))
        if known is None:
            shelf = with_material(shelf, fields)
            new.append(str(fields["name"]))
        elif differences(known, fields):
            otherwise.append(str(fields["name"]))
    return TakenOver(shelf, tuple(new), tuple(otherwise))


def for_recipe(fields: Mapping[str, Any]) -> dict[str, Any]:
    """A material of the shelf as a procedure's ingredient says it."""
    return {key: value for key, value in own_fields(fields).items() if key not in BESIDE}


def differences(shelf: Mapping[str, Any], recipe: Mapping[str, Any]) -> tuple[str, ...]:
    """The fields in which a recipe's material is not that of the shelf."""
    mine, theirs = for_recipe(shelf), own_fields(recipe)
    return tuple(sorted(k for k in {*mine, *theirs} if mine.get(k) != theirs.get(k)))


def hazards_known(fields: Mapping[str, Any]) -> bool:
    """Whether a safety data sheet was entered, so that its hazards are known. Water has none: it is no hazard."""
    return bool(fields.get("sheet_revised")) or is_water(str(fields.get("inci", "")))


def hazards_of(material: Material) -> bool:
    """The same of a procedure's material."""
    only = [x.inci for x in material.composition]
    return hazards_known({"sheet_revised": material.sheet_revised, "inci": only[0] if len(only) == 1 else ""})


#: What is said of a material without an entered data sheet.
UNKNOWN = tr_noop("No safety data sheet is entered: its hazards are not known. Handle it as hazardous.")
