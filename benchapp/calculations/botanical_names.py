"""What a name says of a plant: genus and species or the common name, the part, and whether oil or extract."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from benchapp.calculations.substances import name_words

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
_SAME_FORM = {
    "absolute": "extract",
    "concrete": "extract",
    "resinoid": "extract",
    "hydrolate": "water",
    "otto": "oil",
    "attar": "oil",
}
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
    return tuple(_SAME_FORM.get(w, _SAME_PART.get(w, w)) for w in name_words(name))


@dataclass(frozen=True, slots=True)
class PlantGroup:
    """The oils and extracts that one entry means. ``part_named``: a name without a part is not meant; ``not_plants`` and
    ``not_common``: what begins like one of its names and is another plant."""

    plants: tuple[str, ...]
    common: tuple[str, ...]
    parts: tuple[str, ...]
    forms: tuple[str, ...]
    not_plants: tuple[str, ...] = ()
    part_named: bool = False
    not_common: tuple[str, ...] = ()

    def fit(self, name: str) -> int:
        """How many words of the name are those of a plant that is meant, 0 where the name is none of them."""
        words = words_of(name)
        if not set(self.forms) & set(words) or any(_is_of(words, p) for p in self.not_plants):
            return 0
        if any(_is_common(words, c) for c in self.not_common):
            return 0
        said = PARTS & set(words)
        if self.parts and not said & set(self.parts) and (said or self.part_named):
            return 0
        plants = [len(words_of(p)) for p in self.plants if _is_of(words, p)]
        return max(plants + [len(words_of(c)) for c in self.common if _is_common(words, c)], default=0)


def _is_of(words: tuple[str, ...], plant: str) -> bool:
    """Genus first, the rest of the plant's name after it; the genus alone means every species of it."""
    genus, *rest = words_of(plant)
    if words[:1] != (genus,):
        return False
    return set(rest) <= set(words) or len(words) == 1 or _is_form_or_part(words[1])


def _is_common(words: tuple[str, ...], common: str) -> bool:
    said = words_of(common)
    return any(words[n : n + len(said)] == said for n in range(len(words)))


def _is_form_or_part(word: str) -> bool:
    return word in PARTS or word in ("oil", "extract", "water", "essential")


def is_scented(name: str, known: Collection[str] = ()) -> bool:
    """Whether a name is that of an essential oil, or of a plant's oil that is not known for a fixed one: it names a part, or
    one of the plants that are ``known`` for their scent."""
    said = words_of(name)
    words = set(said)
    if "essential" in words:
        return True
    fixed = words & (_FIXED - {"fruit"} if "citrus" in words else _FIXED)
    return "oil" in words and not fixed and (bool(words & PARTS) or any(_is_common(said, k) for k in known))


def groups(rows: Collection[dict[str, Any]]) -> dict[str, PlantGroup]:
    """The plant groups among rows of the table of allergens, by what the label calls them."""
    return {
        row["label"]: PlantGroup(
            tuple(row["plants"]), tuple(row.get("common", ())), tuple(row.get("parts", ())), tuple(row["forms"]),
            tuple(row.get("not_plants", ())), row.get("part_named", False), tuple(row.get("not_common", ())),
        )
        for row in rows
        if "plants" in row
    }  # fmt: skip
