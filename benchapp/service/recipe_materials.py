"""The shelf of materials under every face: listed, entered, taken over, and which procedures a change touches."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from benchapp.foundation.language import tr, tr_n
from benchapp.recipes.draft import materials_of
from benchapp.recipes.errors import ChangeRefused
from benchapp.recipes.field_answers import field_words
from benchapp.recipes.material_answers import material_answer
from benchapp.recipes.material_shelf import (
    UNKNOWN,
    MaterialShelf,
    differences,
    hazards_known,
    keep_shelf,
    read_shelf,
    take_over,
    with_material,
)  # fmt: skip
from benchapp.recipes.sheets.material_rows import MaterialRow, material_rows
from benchapp.recipes.sheets.sheet_cells import read_cells
from benchapp.recipes.step_fields import StepField as MaterialField
from benchapp.recipes.step_fields import material_fields
from benchapp.recipes.usual_phases import usual_phase
from benchapp.runtime.clocks import wall_now
from benchapp.runtime.settings import OWN_PROCEDURES
from benchapp.service.matter import Sheet
from benchapp.service.own_procedures import NONE_ARRIVED, keys_on_the_shelf
from procedures.building import slug
from procedures.shelf import find

#: What became of a row of a sheet that is on the shelf now.
TAKEN = "taken"


@dataclass(frozen=True, slots=True)
class KnownMaterial:
    """A material to pick, and whether its hazards are known."""

    name: str
    role: str
    hazards_known: bool


class MaterialDesk:
    """The shelf in a workshop's folder, and the procedures that use it; ``arrived`` are those that other benches approved."""

    def __init__(self, folder: Path, arrived: Mapping[str, str] = NONE_ARRIVED) -> None:
        self._folder, self._arrived = folder, arrived

    @property
    def shelf(self) -> MaterialShelf:
        """As it stands in the file. Raises ChangeRefused."""
        return read_shelf(self._folder)

    def known(self) -> tuple[KnownMaterial, ...]:
        """Every material of the shelf, by name."""
        return tuple(
            KnownMaterial(str(x["name"]), str(x.get("role", "")), hazards_known(x))
            for x in self.shelf.entries.values()
        )

    def phase_of(self, name: str) -> str:
        """Into which phase a material usually goes. Raises NoSuchRecipe."""
        return usual_phase(self.shelf.entry(name).get("role"))

    def as_needed(self, name: str) -> bool:
        """Whether a material may be weighed as much as it takes: what brings a pH right, and what nobody has said of what it is for. Raises
        NoSuchRecipe."""
        return self.shelf.entry(name).get("role") in ("acid", "base", "other", None)

    def limit_of(self, name: str) -> str:
        """How much of a material its papers allow at most; "" where they say nothing. Raises NoSuchRecipe."""
        return field_words(self.shelf.entry(name).get("use_limit", ""))

    def fields_of(self, name: str) -> tuple[tuple[MaterialField, str], ...]:
        """Every field of a material, with what it says; of one that isn't there yet, nothing."""
        known = self.shelf.entries.get(slug(name), {})
        return tuple(
            (field, field_words(known[field.name]) if field.name in known else "")
            for field in material_fields()
        )

    def listed(self) -> Sheet:
        """The shelf as a table."""
        shelf = self.shelf
        rows = tuple(
            (str(x["name"]), str(x.get("role", "")), str(x.get("supplier", "")), str(x.get("price", "")),
             tr("sheet of {sheet_revised}", sheet_revised=x['sheet_revised']) if x.get("sheet_revised") else tr("hazards known") if hazards_known(x) else tr("hazards not known"))
            for x in shelf.entries.values()
        )  # fmt: skip
        none = (
            ()
            if rows
            else (tr("No material is on the shelf yet. Take some over from a procedure, or enter one."),)
        )
        return Sheet(none, ("material", "role", "supplier", "price", tr("data sheet")), rows, shelf.problems)

    def shown(self, name: str) -> Sheet:
        """Everything that is known of one. Raises NoSuchRecipe."""
        fields = self.shelf.entry(name)
        rows = tuple((key, field_words(value)) for key, value in fields.items() if key != "name")
        missing = () if hazards_known(fields) else (UNKNOWN,)
        return Sheet((str(fields["name"]),), ("field", "value"), rows, (*missing, *self.touched_by(name)))

    def take_over(self, procedure: str) -> str:
        """Every material of a procedure that the shelf has not. Raises ProcedureError, ChangeRefused."""
        taken = take_over(self.shelf, tomllib.loads(self._text(procedure)))
        if taken.new:
            keep_shelf(self._folder, taken.shelf)
        count = len(taken.new)
        said = tr_n(
            "{n} material taken over from {procedure}.",
            "{n} materials taken over from {procedure}.",
            n=count,
            procedure=procedure,
        )
        if taken.otherwise:
            said += tr(
                " Described otherwise on the shelf, and left as they are: {names}.",
                names=", ".join(taken.otherwise),
            )
        return said

    def put(self, name: str, given: Mapping[str, str]) -> str:
        """A material entered or changed, its fields as texts; "" takes one out. Raises ChangeRefused with one sentence."""
        shelf = self.shelf
        fields = {key: material_answer(key, text) for key, text in given.items()}
        if "name" in fields and slug(str(fields["name"])) != slug(name):
            raise ChangeRefused(
                tr("A material keeps its name. Enter the other one, and swap it in your recipes.")
            )
        if str(fields.get("sheet_revised") or "") > wall_now()[:10]:
            raise ChangeRefused(tr("{on} is still to come.", on=fields["sheet_revised"]))
        if "inci" in fields and fields["inci"] and "composition" not in fields:
            fields["composition"] = None
        if fields.get("composition"):
            fields["inci"] = None
        known = shelf.entries.get(slug(name), {})
        keep_shelf(self._folder, with_material(shelf, {"name": known.get("name", name), **fields}))
        touched = self.touched_by(name)
        return " ".join(
            (tr("{name} is {how}.", name=name, how=tr("changed") if known else tr("on the shelf")), *touched)
        )

    def bring_in(self, file: Path) -> Sheet:
        """Every material of a spreadsheet that the shelf has not, a row each; what cannot be taken is named by its row,
        and keeps nothing else back. Raises SheetUnreadable."""
        cells = read_cells(file)
        sheet = next((s for s in cells if not s.hidden), cells[0])
        rows = tuple((str(one.row), one.name, self._brought_in(one)) for one in material_rows(sheet))
        unknown = [name for _, name, what in rows if what == TAKEN and self.not_known(name)]
        notes = (
            (
                tr(
                    "No data sheet was entered for {names}: {unknown}",
                    names=", ".join(unknown),
                    unknown=UNKNOWN,
                ),
            )
            if unknown
            else ()
        )
        return Sheet((), ("row", "material", tr("what became of it")), rows, notes)

    def _brought_in(self, one: MaterialRow) -> str:
        if slug(one.name) in self.shelf.entries:
            return tr("on the shelf already, left as it is")
        try:
            self.put(one.name, one.fields)
        except ChangeRefused as error:
            return tr("not taken: {error}", error=error)
        return TAKEN

    def take_in(self, fields: Mapping[str, Any]) -> bool:
        """A material as a recipe describes it onto the shelf, unless it is there; False where too little is known of it."""
        if slug(str(fields["name"])) in self.shelf.entries:
            return True
        try:
            keep_shelf(self._folder, with_material(self.shelf, fields))
        except ChangeRefused:
            return False
        return True

    def not_known(self, name: str) -> tuple[str, ...]:
        """What has to be said of it: that its hazards are not known."""
        return () if hazards_known(self.shelf.entries.get(slug(name), {})) else (UNKNOWN,)

    def touched_by(self, name: str, otherwise: bool = False) -> tuple[str, ...]:
        """Which procedures use a material, and in what they say otherwise than the shelf; with ``otherwise`` only those
        that do. Raises NoSuchRecipe."""
        fields = self.shelf.entry(name)
        said = []
        for key, tables in self._procedures():
            for theirs in materials_of(tables):
                if slug(str(theirs.get("name", ""))) == slug(str(fields["name"])):
                    other = differences(fields, theirs)
                    what = (
                        tr("says otherwise: {names}", names=", ".join(other))
                        if other
                        else tr("says the same")
                    )
                    if other or not otherwise:
                        said.append(tr("{key} uses it and {what}.", key=key, what=what))
        return tuple(said)

    def otherwise(self, tables: Mapping[str, Any]) -> tuple[str, ...]:
        """In what the shelf says otherwise now than the tables of a recipe, a sentence for each of its materials."""
        try:
            entries, found = self.shelf.entries, []
        except ChangeRefused as error:  # a recipe can be looked at all the same
            return (str(error),)
        for theirs in materials_of(tables):
            known = entries.get(slug(str(theirs.get("name", ""))))
            other = () if known is None else differences(known, theirs)
            if known is not None and other:
                said = tr(
                    "The shelf says otherwise of {name}: {names}.", name=known["name"], names=", ".join(other)
                )
                found.append(said)
        return tuple(found)

    def _text(self, procedure: str) -> str:
        if procedure in self._arrived:
            return self._arrived[procedure]
        return find(procedure, self._folder / OWN_PROCEDURES, self._arrived).read_text(encoding="utf-8")

    def _procedures(self) -> list[tuple[str, dict[str, Any]]]:
        found = []
        for key in keys_on_the_shelf(self._folder, self._arrived):
            try:
                found.append((key, tomllib.loads(self._text(key))))
            except (tomllib.TOMLDecodeError, UnicodeDecodeError, OSError):
                continue  # whoever makes it is told what is wrong with it
        return found
