"""What is wrong with a file of the maker's, as sentences: ``file:line: what; what to do``."""

from __future__ import annotations

from functools import cached_property
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from benchapp.foundation.toml_places import Path, Places
from benchapp.foundation.toml_reading import TomlError, read_toml
from drivers.errors import BadFile

Form = TypeVar("Form", bound=BaseModel)

#: So many problems of one file are shown; whoever mends them sees the others next.
MOST_SHOWN = 20

#: What a value of the wrong kind has to be, by pydantic's name of the mistake.
INSTEAD = {
    "int_type": "a whole number, without quotes",
    "int_from_float": "a whole number, without quotes",
    "int_parsing": "a whole number, without quotes",
    "float_type": "a number, without quotes",
    "float_parsing": "a number, without quotes",
    "bool_type": "true or false, without quotes",
    "string_type": 'a text in quotes, like "COM3"',
    "list_type": 'a list in brackets, like ["one", "two"]',
    "tuple_type": 'a list in brackets, like ["one", "two"]',
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
                self.found.append(f"{self.name}: and {error.error_count() - MOST_SHOWN} more.")
            raise bad(self.found) from error


def _sentence(error: Any, path: Path) -> str:
    kind, message = error["type"], error["msg"]
    field = ".".join(str(part + 1) if isinstance(part, int) else part for part in path)
    if kind == "missing":
        return f"{path[-1]} is missing; add a line {path[-1]} = ..."
    if kind == "extra_forbidden":
        return f"{field} is not known here; check its spelling or take it out"
    if kind in ("literal_error", "enum"):
        return f"{field} must be {error['ctx']['expected']}; change it to one of these"
    if kind == "value_error":
        return str(error["ctx"]["error"]).rstrip(".")
    if kind in INSTEAD:
        return f"{field} has to be {INSTEAD[kind]}"
    return f"{field}: {message[0].lower()}{message[1:]}; correct it"
