"""The formula of a recipe under every face: its head, its lines, an ingredient swapped for another."""

from __future__ import annotations

import re
from functools import partial
from typing import Any

from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import decimal
from benchapp.recipes import draft as d
from benchapp.recipes.ends import ph_limits
from benchapp.recipes.errors import ChangeRefused, NoSuchRecipe
from benchapp.recipes.formula_sum import rows_of
from benchapp.recipes.material_shelf import for_recipe
from benchapp.recipes.swapping import described, renamed, swapped, to_look_at
from benchapp.recipes.usual_phases import usual_phase
from benchapp.service.market import law_in
from benchapp.service.recipe_drafts import RecipeDrafts
from benchapp.service.recipe_facts import DraftFacts
from procedures.building import slug
from procedures.errors import ProcedureInvalid
from procedures.reading import read_text

#: A plain decimal number; the mark is a point or a comma, and digits are not grouped.
_NUMBER = re.compile(r"[+-]?[0-9]{1,9}(?:[.,][0-9]{0,9})?|[.,][0-9]{1,9}")


class RecipeFormulas(RecipeDrafts):
    """What goes in."""

    def set_head(self, key: str, **fields: Any) -> DraftFacts:
        """name, use, area, description, ph (two values)."""
        return self._change(
            key,
            tr("{names} changed", names=", ".join(fields)),
            partial(d.with_fields, place=("formula",), fields=fields),
        )

    def set_ph(self, key: str, limits: str) -> DraftFacts:
        """Between which pH values the product has to be, "5.0 to 5.8"; "" where it has none. Raises ChangeRefused."""
        return self.set_head(key, ph=list(ph_limits(limits)) if limits else None)

    def set_batch(self, key: str, **fields: str) -> DraftFacts:
        """usual, smallest, largest, loss, as texts with their units."""
        return self._change(
            key, tr("batch sizes changed"), partial(d.with_fields, place=("batch",), fields=fields)
        )

    def add_line(self, key: str, material: str, share: str, phase: str = "") -> DraftFacts:
        """A material of the shelf into the formula: ``share`` "7.5", "rest", "as needed, 0.5 %" or "1 % active"; its usual
        phase where none is named. Raises NoSuchRecipe, ChangeRefused."""
        fields = for_recipe(self.materials.shelf.entry(material))
        placing = {"phase": phase or usual_phase(fields.get("role")), **share_fields(share)}
        change = partial(d.with_line, material=fields, placing=placing)
        return self._change(key, tr("{name} added", name=fields["name"]), change)

    def set_line(self, key: str, number: int, fields: dict[str, Any]) -> DraftFacts:
        """Fields of one line as the file has them; a new name goes into the steps, too."""

        def change(draft: d.Draft) -> d.Draft:
            old = draft.list_of(d.LINE)[number].get("name")
            draft = d.with_fields(draft, (*d.LINE, number), fields)
            return renamed(draft, old, fields["name"]) if old and fields.get("name", old) != old else draft

        return self._change(
            key, tr("{line}: {names} changed", line=self._line(key, number), names=", ".join(fields)), change
        )

    def set_share(self, key: str, number: int, share: str) -> DraftFacts:
        """How much of one line. Raises ChangeRefused."""
        return self.set_line(key, number, {"cap": None, **share_fields(share)})

    def remove_line(self, key: str, number: int) -> DraftFacts:
        """One line less."""
        return self._change(
            key,
            tr("{line} removed", line=self._line(key, number)),
            partial(d.without, place=(*d.LINE, number)),
        )

    def move_line(self, key: str, number: int, by: int) -> DraftFacts:
        """One line further up or down."""
        what = tr("{line} moved", line=self._line(key, number))
        return self._change(key, what, partial(d.moved, place=(*d.LINE, number), to=number + by))

    def swap_line(self, key: str, number: int, material: str) -> tuple[DraftFacts, tuple[str, ...]]:
        """Another material in the place of one, and what has to be looked at. Raises NoSuchRecipe, ChangeRefused."""
        line, draft = self._table(key, d.LINE, number), self._store.open(key).draft
        old = described(draft, line)
        new = self.materials.shelf.entry(material)
        what = tr("{name} instead of {get}", name=new["name"], get=old.get("name"))
        facts = self._change(key, what, partial(swapped, number=number, material=new))
        return facts, (*to_look_at(old, for_recipe(new)), *self.ceilings(key))

    def ceilings(self, key: str) -> tuple[str, ...]:
        """What the law's tables say of it, and of how many substances they say nothing; nothing where it cannot be read
        yet. Raises CommandError where the workshop's own law cannot be."""
        from benchapp.make.law import law_in_short

        try:
            procedure = read_text(self.text(key), as_made=True).procedure
        except ProcedureInvalid:
            return ()
        return law_in_short(procedure, law_in(self._folder))

    def refresh(self, key: str) -> DraftFacts:
        """Every material of the draft as the shelf has it now."""

        def change(draft: d.Draft) -> d.Draft:
            entries = self.materials.shelf.entries
            for old in d.materials_of(draft.tables):
                new, place = (
                    entries.get(slug(str(old.get("name", "")))),
                    d.place_of_material(draft, str(old.get("name"))),
                )
                if new is not None and place is not None:
                    draft = d.with_fields(draft, place, dict.fromkeys(old) | for_recipe(new))
            return draft

        return self._change(key, tr("materials as on the shelf"), change)

    def onto_shelf(self, key: str, name: str) -> tuple[str, bool]:
        """The name of a line's material, and whether the shelf has it now: what the draft knows of it is put there, as
        far as it is enough. Raises NoSuchRecipe."""
        found = d.materials_of(self._store.open(key).draft.tables)
        fields = next(
            (m for m in found if name in (m.get("name"),) or name.startswith(f"{m.get('name')} (")), None
        )
        if fields is None:
            raise NoSuchRecipe(tr("{name} is in the recipe no more.", name=name))
        return str(fields["name"]), self.materials.take_in(fields)

    def _line(self, key: str, number: int) -> str:
        rows = rows_of(self._store.open(key).draft)
        if not 0 <= number < len(rows):
            raise NoSuchRecipe(
                tr("There is no line {number}; the formula has {count}.", number=number + 1, count=len(rows))
            )
        return rows[number].name


def share_fields(share: str) -> dict[str, Any]:
    """What stands in a line for "7.5", "7,5 %", "rest", "as needed, 0.5 %" or "1 % active". Raises ChangeRefused."""
    plain = share.strip().casefold()
    if plain == "rest":
        return {"percent": "rest"}
    if plain.startswith("as needed"):
        cap = plain.removeprefix("as needed").strip(" ,").removesuffix("%").strip()
        return {"percent": tr_noop("as needed"), "cap": f"{_number(cap, share):g} %"}
    if plain.endswith("active"):
        return {
            "percent": f"{_number(plain.removesuffix('active').strip().removesuffix('%'), share):g} % active"
        }
    return {"percent": _number(plain.removesuffix("%"), share)}


def _number(text: str, share: str) -> float:
    if not _NUMBER.fullmatch(text.strip()):
        raise ChangeRefused(
            tr(
                '{share!r} is no share. Write a percentage like 7.5, or "rest", "as needed, 0.5 %", '
                '"1 % active".',
                share=share[:40],
            )
        )
    return float(decimal(text))
