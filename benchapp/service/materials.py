"""The materials that can be received: by their key or name, as the procedures on the shelf name them."""

from __future__ import annotations

import contextlib
import difflib
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

from benchapp.foundation.language import tr
from benchapp.recipes.errors import ChangeRefused
from benchapp.service.errors import CommandError
from benchapp.service.own_procedures import NONE_ARRIVED, own_keys, own_procedures
from procedures.building import slug
from procedures.errors import ProcedureError
from procedures.reading import read_procedure, read_text
from procedures.shelf import find, shipped

#: How alike two words have to be to be offered for one another (difflib's ratio), and how many are.
ALIKE, OFFERED = 0.7, 3


def on_the_shelf(folder: Path | None = None, arrived: Mapping[str, str] = NONE_ARRIVED) -> Mapping[str, str]:
    """Key to name of every material that a procedure names, the workshop's own that can be made among them and the texts that have
    ``arrived`` from other benches, and of those on its shelf."""
    named = dict(_shipped_names())
    for key, text in arrived.items():
        with contextlib.suppress(ProcedureError):  # a newer version's, for one
            named |= {m.key: m.name for m in read_text(text, f"{key}.toml").procedure.materials.values()}
    for key in own_keys(folder):
        with contextlib.suppress(ProcedureError):  # whoever makes it is told what is wrong with it
            own = read_procedure(find(key, own_procedures(folder))).procedure
            named |= {m.key: m.name for m in own.materials.values()}
    if folder is not None:
        from benchapp.recipes.material_shelf import read_shelf  # tomlkit is loaded where it is wanted

        with contextlib.suppress(ChangeRefused):  # whoever opens the shelf is told
            named |= {key: str(x["name"]) for key, x in read_shelf(folder).entries.items()}
    return named


@lru_cache(maxsize=1)
def _shipped_names() -> Mapping[str, str]:
    read = (read_procedure(find(key)).procedure for key in shipped())
    return {m.key: m.name for p in read for m in p.materials.values()}


def material_meant(given: str, known: Mapping[str, str]) -> tuple[str, str]:
    """The key and the name of the material a person writes, by either, of the ``known`` ones. What is like none is a material of its
    own. Raises CommandError with those that are near where it was mistyped."""
    called = key_called(given, known)
    if called:
        return called, known[called]
    wanted = given.strip().casefold()
    words = {word.casefold(): key for key, name in known.items() for word in (key, name)}
    near = dict.fromkeys(words[w] for w in difflib.get_close_matches(wanted, words, 2 * OFFERED, ALIKE))
    if near:
        offered = ", ".join(f"{key} ({known[key]})" for key in list(near)[:OFFERED])
        raise CommandError(
            tr(
                "No material is called {given!r}. Is it one of {offered}? If it is another one, say "
                "so with --new-material.",
                given=given,
                offered=offered,
            )
        )
    return new_material(given)


def key_called(given: str, known: Mapping[str, str]) -> str:
    """The key of what is called so, by key or name, "" where nothing is."""
    wanted = given.strip().casefold()
    return next((key for key, name in known.items() if wanted in (key.casefold(), name.casefold())), "")


def new_material(given: str) -> tuple[str, str]:
    """The key under which a procedure that names it so will look for it, and its name."""
    return slug(given), given.strip()
