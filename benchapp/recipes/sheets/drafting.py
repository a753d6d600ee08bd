"""A sheet that was understood and confirmed, as a draft; what the shelf knows of its materials comes with them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from benchapp.foundation.language import tr_noop
from benchapp.recipes.draft import (
    LINE,
    BatchSizes,
    Draft,
    new_draft,
    own_fields,
    with_fields,
    with_line,
    with_one_more,
)
from benchapp.recipes.material_shelf import MaterialShelf, for_recipe
from benchapp.recipes.sheets.understanding import UnderstoodLine, UnderstoodSheet
from benchapp.recipes.usual_phases import usual_phase
from procedures.building import slug


def draft_from(
    understood: UnderstoodSheet, name: str, use: str, sizes: BatchSizes, shelf: MaterialShelf
) -> tuple[Draft, tuple[str, ...]]:
    """The draft, and the names of materials the shelf doesn't know: what they are has to be entered."""
    draft, unknown = new_draft(name, use, sizes), []
    named: dict[str, int] = {}
    for line in understood.lines:
        fields = _material(line, shelf)
        if "role" not in fields:
            unknown.append(line.name)
        placing: dict[str, Any] = {"phase": line.phase or usual_phase(fields.get("role"))}
        if line.word == "as needed":
            placing |= {"percent": tr_noop("as needed")}
        elif line.word == "rest":
            placing |= {"percent": "rest"}
        elif line.percent:
            placing |= {"percent": line.percent}
        key = slug(str(fields["name"]))
        named[key] = named.get(key, 0) + 1
        if named[key] > 1:  # the same material in two rows: told apart by a label
            placing["label"] = f"{named[key]}"
            fields = {"material": str(fields["name"])}
            draft = _apart(draft, key)
        draft = with_line(
            draft, fields, placing | ({"material": fields["material"]} if "material" in fields else {})
        )
    return draft, tuple(dict.fromkeys(unknown))


def _apart(draft: Draft, key: str) -> Draft:
    """A material that stands in two lines is described apart, under [[material]]."""
    for n, line in enumerate(draft.list_of(LINE)):
        if "name" in line and slug(str(line["name"])) == key:
            own = own_fields(line)
            draft = with_one_more(draft, ("material",), own)
            draft = with_fields(draft, (*LINE, n), {**dict.fromkeys(own), "material": own["name"]})
    return draft


def _material(line: UnderstoodLine, shelf: MaterialShelf) -> Mapping[str, Any]:
    """As the shelf has it, by its name or its only INCI name; else what the sheet says of it."""
    entries = shelf.entries
    if slug(line.name) in entries:
        return for_recipe(entries[slug(line.name)])
    same = [
        x for x in entries.values() if line.inci and str(x.get("inci", "")).casefold() == line.inci.casefold()
    ]
    if len(same) == 1:
        return for_recipe(same[0])
    said = {"name": line.name, "inci": line.inci, "role": line.role}
    return {key: value for key, value in said.items() if value}
