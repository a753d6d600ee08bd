"""What a rule is: a name, the parts of the file it needs, and a question put to a sheet."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from benchapp.foundation.language import tr
from benchapp.foundation.toml_places import Path

from ..building import ProcedureDraft
from ..errors import Grade


class Finding(NamedTuple):
    """One breach of a rule: where, what it is, what to write instead."""

    path: Path
    what: str
    instead: str


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule. ``by_choice``: a maker may overrule it with a written reason under [accept]; ``named``: who says so has
    to stand beside it, since somebody else may be hurt."""

    name: str
    ask: Callable[[ProcedureDraft], Iterator[Finding]]
    needs: frozenset[str] = frozenset()
    by_choice: bool = False
    named: bool = False
    grade: Grade = "error"


INGREDIENTS = frozenset({"ingredients"})
METHOD = frozenset({"ingredients", "vessel", "step"})
EVERYTHING = METHOD | {"formula", "shares"}


def listed(names: list[str]) -> str:
    """Names as a maker reads them out: "a", "a and b", "a, b and c"."""
    return (
        names[0]
        if len(names) == 1
        else tr("{names} and {names_2}", names=", ".join(names[:-1]), names_2=names[-1])
    )
