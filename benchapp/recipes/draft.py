"""A recipe that is being written: the text of its procedure, and every change as a function from draft to draft.

The text may lack anything yet; the procedures' own reading says what. What was answered and can't stand in a procedure
("it is liquid at room temperature") is kept beside it.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import Any

from benchapp.foundation.language import tr
from benchapp.foundation.name_likeness import likeness
from benchapp.foundation.toml_places import Path
from benchapp.foundation.toml_reading import TomlError, read_toml
from benchapp.recipes import toml_blocks as blocks
from benchapp.recipes.errors import ChangeRefused
from procedures.building import slug
from procedures.schema import PLACING

#: Where the lines of a formula and the steps of a method stand.
LINE, STEP, VESSEL, RELEASE = ("formula", "ingredient"), ("step",), ("vessel",), ("release",)


@dataclass(frozen=True, slots=True)
class Draft:
    """``answers`` by the key of their question."""

    text: str
    answers: Mapping[str, str] = field(default_factory=dict)

    @property
    def tables(self) -> dict[str, Any]:
        """What the text says; only to be looked at."""
        return _tables(self.text)

    def list_of(self, place: Path) -> list[dict[str, Any]]:
        """The tables of one list, in their order."""
        found: Any = self.tables
        for part in place:
            found = found.get(part, {}) if isinstance(found, dict) else found[part]
        return list(found or [])

    @property
    def name(self) -> str:
        """What the product is called so far."""
        return str(self.tables.get("formula", {}).get("name", "No name yet"))

    @property
    def phases(self) -> tuple[str, ...]:
        """In the order they are first named."""
        placed = (part for line in self.list_of(LINE) for part in (line.get("parts") or [line]))
        return tuple(dict.fromkeys(str(x["phase"]) for x in placed if x.get("phase")))


@functools.lru_cache(maxsize=64)
def _tables(text: str) -> dict[str, Any]:
    """Raises ChangeRefused where the text is no TOML, or so unlike a procedure that nothing can be shown of it."""
    try:
        tables = read_toml(text)
    except TomlError as error:
        raise ChangeRefused(tr("Line {line}: {error}.", line=error.place.line, error=error)) from error
    formula = tables.get("formula", {})
    lists = {name: tables.get(name, []) for name in ("material", "vessel", "step", "release")}
    if isinstance(formula, dict):
        lists["formula.ingredient"] = formula.get("ingredient", [])
    for name in ("formula", "batch", "accept"):
        if not isinstance(tables.get(name, {}), dict):
            raise ChangeRefused(tr("{name} is no table. Write it as a heading, [{name}].", name=name))
    for name, items in lists.items():
        if not isinstance(items, list) or not all(isinstance(one, dict) for one in items):
            raise ChangeRefused(
                tr("{name} is no list of tables. Head each of them with [[{name}]].", name=name)
            )
    for line in lists["formula.ingredient"]:
        parts = line.get("parts", [])
        if not isinstance(parts, list) or not all(isinstance(one, dict) for one in parts):
            raise ChangeRefused(tr("The parts of an ingredient are no list of tables. Write each in braces."))
    return tables


@dataclass(frozen=True, slots=True)
class BatchSizes:
    """How much is made at a time, as texts with their units, and what stays in the pots; of a recipe of which nobody said it, these."""

    usual: str = "500 g"
    smallest: str = "400 g"
    largest: str = "1000 g"
    loss: str = "3 %"


def new_draft(name: str, use: str, sizes: BatchSizes) -> Draft:
    """A recipe of which only its name, its use and its sizes are known."""
    text = blocks.with_fields("", ("formula",), {"name": name, "use": use})
    return Draft(blocks.with_fields(text, ("batch",), asdict(sizes)))


def _sound(draft: Draft) -> str:
    """The text, where it has the outline of a procedure. Raises ChangeRefused."""
    _tables(draft.text)
    return draft.text


def with_fields(draft: Draft, place: Path, fields: Mapping[str, Any]) -> Draft:
    """Fields of one table set; those that are None taken out. Raises ChangeRefused."""
    return replace(draft, text=blocks.with_fields(_sound(draft), place, fields))


def with_one_more(draft: Draft, place: Path, fields: Mapping[str, Any], at: int | None = None) -> Draft:
    """One more table in a list, at the end unless it is said where. Raises ChangeRefused."""
    number = len(draft.list_of(place)) if at is None else at
    return replace(draft, text=blocks.with_table(_sound(draft), (*place, number), fields))


def without(draft: Draft, place: Path) -> Draft:
    """One table less. Raises ChangeRefused."""
    return replace(draft, text=blocks.without_table(_sound(draft), place))


def moved(draft: Draft, place: Path, to: int) -> Draft:
    """One table of a list at another place of it, where there is one. Raises ChangeRefused."""
    count = len(draft.list_of(place[:-1]))
    return replace(draft, text=blocks.with_table_moved(_sound(draft), place, min(max(to, 0), count - 1)))


def with_line(draft: Draft, material: Mapping[str, Any], placing: Mapping[str, Any]) -> Draft:
    """One more line of the formula: a material as its papers describe it, and where it goes; "Oil" goes into the phase
    "oil" where there is one. Raises ChangeRefused."""
    phase = str(placing.get("phase", ""))
    alike = [{"phase": one} for one in draft.phases if likeness(one) == likeness(phase)]
    return with_one_more(draft, LINE, {**own_fields(material), **placing, **dict(*alike[:1])})


def with_list(draft: Draft, place: Path, tables: list[dict[str, Any]]) -> Draft:
    """All tables of a list anew. Raises ChangeRefused."""
    if draft.list_of(place) == tables:
        return draft
    for _ in draft.list_of(place):
        draft = without(draft, (*place, len(draft.list_of(place)) - 1))
    for fields in tables:
        draft = with_one_more(draft, place, fields)
    return draft


def own_fields(table: Mapping[str, Any]) -> dict[str, Any]:
    """Of an ingredient's table, what describes the material itself."""
    return {key: value for key, value in table.items() if key not in PLACING and key != "material"}


def materials_of(tables: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Every material that a procedure's tables describe, wherever they do."""
    lines = tables.get("formula", {}).get("ingredient", [])
    return [dict(x) for x in tables.get("material", [])] + [own_fields(x) for x in lines if "name" in x]


def place_of_material(draft: Draft, name: str) -> Path | None:
    """The table in which the draft describes a material."""
    key = slug(name)
    for place in (LINE, ("material",)):
        for n, table in enumerate(draft.list_of(place)):
            if slug(str(table.get("name", ""))) == key:
                return (*place, n)
    return None
