"""What the validator found, in the words of a maker, at its place in the file."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator
from typing import Any

from pydantic import BaseModel, ValidationError

from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.toml_places import Path, Places

from .errors import Grade, Problem
from .fields import OWN

_LONGEST = 600
#: So many mistakes of one table are put into words: to look for the likeliest name takes its time.
MOST_OF_A_TABLE = 200
_SIMPLE = {
    "string_pattern_mismatch": (
        tr_noop("{field} holds a character that cannot be shown"),
        tr_noop("Keep to plain text"),
    ),
    "string_type": (tr_noop("{field} is text"), tr_noop('Write it in quotes, like {field} = "…"')),
    "bool_type": (tr_noop("{field} is a yes-or-no field"), tr_noop("Write true or false, without quotes")),
    "int_type": (tr_noop("{field} is a whole number"), tr_noop("Write it without quotes, like {field} = 3")),
    "date_type": (
        tr_noop("{field} is a date"),
        tr_noop("Write year-month-day without quotes, like {field} = 2024-11-05"),
    ),
    "list_type": (
        tr_noop("{field} is a list"),
        tr_noop('Write it in square brackets, like {field} = ["…", "…"]'),
    ),
    "model_type": (tr_noop("{field} is a table"), tr_noop("Write it in braces, like {{ name = … }}")),
    "dict_type": (
        tr_noop("{field} is a table"),
        tr_noop("Write it as a heading in square brackets, like [{field}]"),
    ),
    "string_too_short": (
        tr_noop("{field} is empty"),
        tr_noop("Write something in it, or leave the line out"),
    ),
    "string_too_long": (
        tr_noop("{field} is too long for the screen"),
        tr_noop("Use at most {max_length} characters"),
    ),
    "too_short": (tr_noop("{field} has nothing in it"), tr_noop("Give it at least {min_length}")),
    "too_long": (tr_noop("{field} has too many entries"), tr_noop("Give it at most {max_length}")),
    "greater_than_equal": (tr_noop("{field} is too small"), tr_noop("The smallest value is {ge}")),
    "less_than_equal": (tr_noop("{field} is too large"), tr_noop("The largest value is {le}")),
}


class Report:
    """Collects the problems of one file."""

    def __init__(self, file: str, places: Places) -> None:
        self._file = file
        self._places = places
        self.problems: list[Problem] = []

    def add(
        self, path: Path, what: str, instead: str, rule: str, grade: Grade = "error", *, at_key: bool = False
    ) -> None:
        """Note a problem where the value of ``path`` stands, or its key with ``at_key``."""
        place = self._places.key(path) if at_key else self._places.value(path)
        self.problems.append(
            Problem(self._file, place.line, place.column, one_line(what), one_line(instead), rule, grade)
        )

    def add_lacking(self, name: str) -> None:
        """Note that there is no table of that name at all."""
        what = tr("The file has no {name}", name=name)
        instead = tr("Add at least one table headed [[{name}]]", name=name)
        self.problems.append(Problem(self._file, 1, 1, what, instead, "form", lacks=name))

    def add_invalid(
        self, error: ValidationError, path: Path, table: type[BaseModel], also: Iterable[str] = ()
    ) -> None:
        """Note everything the validator found in the table at ``path``; ``also`` are fields it may hold."""
        for found in error.errors(include_url=False, include_input=False)[:MOST_OF_A_TABLE]:
            what, instead = _sentences(found, table, also)
            here = (*path, *found["loc"])
            self.add(here, what, instead, "form", at_key=found["type"] == "extra_forbidden")


def _sentences(found: Any, table: type[BaseModel], also: Iterable[str]) -> tuple[str, str]:
    kind, context = found["type"], found.get("ctx", {})
    field = next((str(x) for x in reversed(found["loc"]) if isinstance(x, str)), "This")
    if kind == OWN:
        return f"{field}: {context['what']}" if found["loc"] else context["what"], context["instead"]
    if kind == "missing":
        return tr("{field} is missing here", field=field), tr("Add a line {field} = …", field=field)
    if kind == "extra_forbidden":
        known = [*_known_fields(table, found["loc"]), *(also if len(found["loc"]) == 1 else ())]
        return tr("There is no field {field} here", field=field), suggestion(field, known)
    if kind == "literal_error":
        return tr("{field} cannot be that", field=field), tr(
            "Use one of: {expected}", expected=context["expected"]
        )
    if kind in _SIMPLE:
        what, instead = _SIMPLE[kind]
        return what.format(field=field, **context), instead.format(field=field, **context)
    return tr("{field} does not fit", field=field), f"{found['msg']}"


def _known_fields(table: type[BaseModel], loc: tuple[int | str, ...]) -> list[str]:
    """The fields of the table that the last name of ``loc`` was written in."""
    for name in loc[:-1]:
        field = table.model_fields.get(name) if isinstance(name, str) else None
        inner = [] if field is None else list(_tables_in(field.annotation))
        table = inner[0] if inner else table
    return [field.alias or name for name, field in table.model_fields.items()]


def _tables_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in getattr(annotation, "__args__", ()):
        yield from _tables_in(inner)


def one_line(text: str) -> str:
    """The text on one line, without anything a terminal could take for a command, cut where it gets long."""
    flat = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return flat if len(flat) <= _LONGEST else f"{flat[:_LONGEST]}…"


def suggestion(name: str, known: Iterable[str]) -> str:
    """A sentence that offers the likeliest name, or all of them."""
    names = list(known)
    near = difflib.get_close_matches(name.casefold(), [n.casefold() for n in names], n=1, cutoff=0.6)
    if near:
        meant = next(n for n in names if n.casefold() == near[0])
        return tr('Did you mean "{meant}"?', meant=meant)
    if not names:
        return tr("There is none to choose from yet")
    return tr("Use one of: ") + ", ".join(f'"{n}"' for n in names)
