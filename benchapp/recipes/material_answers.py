"""What a person types for a field of a material, as the shelf's file has it."""

from __future__ import annotations

from datetime import date
from typing import Any

from benchapp.foundation.days import day_of
from benchapp.foundation.language import tr
from benchapp.recipes.ends import ends_of, ph_limits
from benchapp.recipes.errors import ChangeRefused
from benchapp.recipes.field_answers import yes_or_no
from benchapp.recipes.material_shelf import ShelfMaterialTable

#: Fields a person enters as a list, with semicolons between.
_LISTS = ("statements",)
_TRUE = ("powder", "flammable")


def material_answer(key: str, text: str) -> Any:
    """A field's value as the file wants it. Raises ChangeRefused."""
    if key not in ShelfMaterialTable.model_fields:
        raise ChangeRefused(
            tr(
                "There is no field {key}. There are: {names}.",
                key=key,
                names=", ".join(ShelfMaterialTable.model_fields),
            )
        )
    if not text:
        return None
    if key in _LISTS:
        return [part.strip() for part in text.split(";") if part.strip()]
    if key in _TRUE:
        return yes_or_no(key, text) or None
    if key in _SPECIAL:
        return _SPECIAL[key](text)
    return text


def _date(text: str) -> date:
    day = day_of(text.strip())
    if day is None:
        raise ChangeRefused(tr("{text!r} is no date. Write 2025-05-14.", text=text[:40]))
    return day


def _composition(text: str) -> list[dict[str, Any]]:
    """ "Panthenol 74-77; Aqua 23-26" as the file has it."""
    found = []
    for part in text.split(";"):
        name, _, share = part.strip().rpartition(" ")
        share = share.removesuffix("%")
        try:
            found.append(
                {"inci": name.strip(), "percent": [float(x) for x in ends_of(share) or (share, share)]}
            )
        except ValueError as error:
            raise ChangeRefused(
                tr(
                    '{strip!r} is no substance with its share. Write them like "Panthenol 74-77; Aqua '
                    '23-26".',
                    strip=part.strip()[:40],
                )
            ) from error
    return found


_SPECIAL = {
    "sheet_revised": _date,
    "ph_window": lambda text: list(ph_limits(text)),
    "composition": _composition,
}
