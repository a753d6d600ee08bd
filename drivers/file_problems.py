"""What is wrong with a file of the maker's, as sentences: ``file:line: what; what to do``."""

from __future__ import annotations

from functools import cached_property
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.toml_places import Path, Places
from benchapp.foundation.toml_reading import TomlError, read_toml
from drivers.errors import BadFile

Form = TypeVar("Form", bound=BaseModel)

#: So many problems of one file are shown; whoever mends them sees the others next.
MOST_SHOWN = 20

#: What a value of the wrong kind has to be, by pydantic's name of the mistake.
INSTEAD = {
    "int_type": tr_noop("a whole number, without quotes"),
    "int_from_float": tr_noop("a whole number, without quotes"),
    "int_parsing": tr_noop("a whole number, without quotes"),
    "float_type": tr_noop("a number, without quotes"),
    "float_parsing": tr_noop("a number, without quotes"),
    "bool_type": tr_noop("true or false, without quotes"),
    "string_type": tr_noop('a text in quotes, like "COM3"'),
    "list_type": tr_noop('a list in brackets, like ["one", "two"]'),
    "tuple_type": tr_noop('a list in brackets, like ["one", "two"]'),
}


class FileProblems:
    """Collects the problems of one text, which may be any text."""

    def __init__(self, name: str, text: str) -> None:
        self.name, self._text = name, text
        self.found: list[str] = []

    @cached_property
    def _places(self) -> Places:
        return Places(self._text)

    def line(self, *path: str | int) -> int:
        """The line of the value, or of the nearest thing around it that is written down."""
        return self._places.value(path).line

    def add(self, what: str, *path: str | int) -> None:
        """Note a problem where the value of ``path`` stands."""
        self.found.append(f"{self.name}:{self.line(*path)}: {what}.")

    def form(self, form: type[Form], bad: type[BadFile]) -> Form:
        """The text in its form. Raises ``bad`` with every problem where it has another one or is not TOML."""
        try:
            return form.model_validate(read_toml(self._text))
        except TomlError as error:
            what = f"{error.what[:1].lower()}{error.what[1:]}; {error.instead[:1].lower()}{error.instead[1:]}"
            raise bad([f"{self.name}:{error.place.line}: {what}."]) from error
        except ValidationError as error:
            for one in error.errors(include_url=False, include_input=False)[:MOST_SHOWN]:
                self.add(_sentence(one, one["loc"]), *one["loc"])
            if error.error_count() > MOST_SHOWN:
                self.found.append(
                    tr(
                        "{name}: and {error_count} more.",
                        name=self.name,
                        error_count=error.error_count() - MOST_SHOWN,
                    )
                )
            raise bad(self.found) from error


def _sentence(error: Any, path: Path) -> str:
    kind, message = error["type"], error["msg"]
    field = ".".join(str(part + 1) if isinstance(part, int) else part for part in path)
    if kind == "missing":
        return tr("{path} is missing; add a line {path} = ...", path=path[-1])
    if kind == "extra_forbidden":
        return tr("{field} is not known here; check its spelling or take it out", field=field)
    if kind in ("literal_error", "enum"):
        return tr(
            "{field} must be {expected}; change it to one of these",
            field=field,
            expected=error["ctx"]["expected"],
        )
    if kind == "value_error":
        return str(error["ctx"]["error"]).rstrip(".")
    if kind in INSTEAD:
        return tr("{field} has to be {instead}", field=field, instead=INSTEAD[kind])
    return tr(
        "{field}: {lower}{message}; correct it", field=field, lower=message[0].lower(), message=message[1:]
    )
