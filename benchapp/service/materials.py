"""The materials that can be received: by their key or name, as the procedures on the shelf name them."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from functools import lru_cache

from benchapp.service.errors import CommandError
from procedures.building import slug
from procedures.reading import read_procedure
from procedures.shelf import find, shipped

#: How alike two words have to be to be offered for one another (difflib's ratio), and how many are.
ALIKE, OFFERED = 0.7, 3


@lru_cache(maxsize=1)
def on_the_shelf() -> Mapping[str, str]:
    """Key to name of every material that a procedure on the shelf names."""
    read = (read_procedure(find(key)).procedure for key in shipped())
    return {m.key: m.name for p in read for m in p.materials.values()}


def material_meant(given: str, also: Mapping[str, str]) -> tuple[str, str]:
    """The key and the name of the material a person writes, by either; ``also`` are those that lots were received of.
    What is like none is a material of its own. Raises CommandError with those that are near where it was mistyped."""
    known = {**also, **on_the_shelf()}
    wanted = given.strip().casefold()
    for key, name in known.items():
        if wanted in (key.casefold(), name.casefold()):
            return key, name
    words = {word.casefold(): key for key, name in known.items() for word in (key, name)}
    near = dict.fromkeys(words[w] for w in difflib.get_close_matches(wanted, words, 2 * OFFERED, ALIKE))
    if near:
        offered = ", ".join(f"{key} ({known[key]})" for key in list(near)[:OFFERED])
        raise CommandError(
            f"No material is called {given!r}. Is it one of {offered}? If it is another one, say so with --new-material."
        )
    return new_material(given)


def new_material(given: str) -> tuple[str, str]:
    """The key under which a procedure that names it so will look for it, and its name."""
    return slug(given), given.strip()
