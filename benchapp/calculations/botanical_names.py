"""What a name says of a plant: genus and species or the common name, the part, and whether oil or extract."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any

from benchapp.calculations.substances import same_name

PARTS = frozenset(
    [
        "flower",
        "leaf",
        "peel",
        "bark",
        "wood",
        "root",
        "seed",
        "kernel",
        "fruit",
        "stem",
        "twig",
        "bud",
        "needle",
        "herb",
        "cone",
        "nut",
        "germ",
        "bran",
    ]
)
#: Parts whose oils are fixed ones: no fragrance is expected in them.
_FIXED = frozenset(["seed", "kernel", "fruit", "nut", "germ", "bran"])
_SAME_FORM = {"absolute": "extract", "concrete": "extract", "resinoid": "extract", "hydrolate": "water"}
_SAME_PART = {
    "rind": "peel",
    "zest": "peel",
    "leaves": "leaf",
    "flowers": "flower",
    "petal": "flower",
    "blossom": "flower",
}


def words_of(name: str) -> tuple[str, ...]:
    """The words of a name in their usual form, brackets left out."""
    said = same_name(name).replace("/", " ").split()
    return tuple(_SAME_FORM.get(w, _SAME_PART.get(w, w)) for w in said)


@dataclass(frozen=True, slots=True)
class PlantGroup:
    """The oils and extracts that one entry means. ``part_named``: a name without a part is not meant."""

    plants: tuple[str, ...]
    common: tuple[str, ...]
    parts: tuple[str, ...]
    forms: tuple[str, ...]
    not_plants: tuple[str, ...] = ()
    part_named: bool = False

    def means(self, name: str) -> bool:
        """Whether the name is one of them."""
        words = words_of(name)
        if not set(self.forms) & set(words) or any(_is_of(words, p) for p in self.not_plants):
            return False
        if not (any(_is_of(words, p) for p in self.plants) or any(_is_common(words, c) for c in self.common)):
            return False
        said = PARTS & set(words)
        return bool(said & set(self.parts)) or not self.parts or not (said or self.part_named)


def _is_of(words: Sequence[str], plant: str) -> bool:
    """Genus first, the rest of the plant's name after it; the genus alone means every species of it."""
    genus, *rest = words_of(plant)
    if words[0] != genus:
        return False
    return set(rest) <= set(words) or len(words) == 1 or _is_form_or_part(words[1])


def _is_common(words: Sequence[str], common: str) -> bool:
    said = words_of(common)
    return tuple(words[: len(said)]) == said


def _is_form_or_part(word: str) -> bool:
    return word in PARTS or word in ("oil", "extract", "water", "essential")


def is_scented(name: str) -> bool:
    """Whether a name is that of an essential oil, or of a plant's extract or oil that is not known for a fixed one."""
    words = set(words_of(name))
    if "essential" in words:
        return True
    return "oil" in words and bool(words & PARTS) and not words & _FIXED


def groups(rows: Collection[dict[str, Any]]) -> dict[str, PlantGroup]:
    """The plant groups among rows of the table of allergens, by what the label calls them."""
    return {
        row["label"]: PlantGroup(
            tuple(row["plants"]), tuple(row.get("common", ())), tuple(row.get("parts", ())), tuple(row["forms"]),
            tuple(row.get("not_plants", ())), row.get("part_named", False),
        )
        for row in rows
        if "plants" in row
    }  # fmt: skip
