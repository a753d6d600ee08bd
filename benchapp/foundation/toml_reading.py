"""The tables of a TOML text, or the one place where it stops being TOML and what to write there instead."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.toml_places import Place

_PLAIN = (
    (
        "Expected '='",
        tr_noop("This line is no field"),
        tr_noop("Write name = value, or start a comment with #"),
    ),
    (
        "Invalid statement",
        tr_noop("This line is no field and no heading"),
        tr_noop("Write name = value, [table], or # before a comment"),
    ),
    (
        "Invalid value",
        tr_noop("This value is not written in a way that can be read"),
        tr_noop('Put text in quotes: "…"'),
    ),
    (
        "Cannot overwrite",
        tr_noop("This field stands here a second time"),
        tr_noop("Keep one of the two"),
    ),
    (
        "Cannot declare",
        tr_noop("This table stands here a second time"),
        tr_noop("Keep one of the two, or use double brackets [[…]]"),
    ),
    ("Unclosed array", tr_noop("A list is not closed"), tr_noop("End it with ]")),
    ("Unclosed inline table", tr_noop("A table in braces is not closed"), tr_noop("End it with }")),
    ("Unterminated string", tr_noop("A text is not closed"), tr_noop('End it with "')),
    (
        "Illegal character",
        tr_noop("A text is not closed on its line"),
        tr_noop('End it with ", or use three quotes for several lines'),
    ),
    (
        "Expected newline",
        tr_noop("Something follows after the value"),
        tr_noop("Start a new line for the next field, and write 4.0, not 4,0"),
    ),
    ("Expected ']", tr_noop("A heading is not closed"), tr_noop("End it with ] or ]]")),
    ("Unescaped", tr_noop("A backslash in a text means something else"), tr_noop("Write two of them")),
    ("Invalid date", tr_noop("This is no date"), tr_noop("Write year-month-day, like 2024-11-05")),
)


#: Levels of tables and lists in one another; no file of this house needs ten.
DEEPEST = 32


class TomlError(ValueError):
    """A text that is not TOML: at which place, what is wrong there, and what to write instead."""

    def __init__(self, place: Place, what: str, instead: str) -> None:
        super().__init__(f"{what}. {instead}")
        self.place, self.what, self.instead = place, what, instead


def read_toml(text: str) -> dict[str, Any]:
    """The tables of the text. Raises TomlError."""
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise TomlError(_place(str(error), text), *_plain(str(error))) from error
    except RecursionError as error:
        raise TomlError(
            Place(1, 1), tr("Brackets are nested far too deep here"), tr("Close each bracket that is opened")
        ) from error
    except ValueError as error:  # a number with thousands of digits
        raise TomlError(
            Place(1, 1), tr("One of the numbers is far too long"), tr("Write numbers with a few digits")
        ) from error
    if _deeper_than(tables, DEEPEST):
        raise TomlError(
            Place(1, 1),
            tr("Tables or lists are nested far too deep here"),
            tr("Use at most {deepest} levels", deepest=DEEPEST),
        )
    return tables


def _deeper_than(tables: dict[str, Any], most: int) -> bool:
    """Level by level, as what is too deep would be too deep for a function that calls itself as well."""
    level: list[Any] = [tables]
    for _ in range(most):
        inner = (one.values() if isinstance(one, dict) else one for one in level)
        level = [value for values in inner for value in values if isinstance(value, dict | list)]
        if not level:
            return False
    return True


def _place(message: str, text: str) -> Place:
    at = re.search(r"at line (\d+), column (\d+)", message)
    if at:
        return Place(int(at[1]), int(at[2]))
    return Place(text.count("\n") + 1, len(text.rsplit("\n", 1)[-1]) + 1)


def _plain(message: str) -> tuple[str, str]:
    for start, what, instead in _PLAIN:
        if message.startswith(start):
            return what, instead
    what = re.sub(r"\s*\(at .*\)$", "", message)
    return tr("This cannot be read ({what})", what=what), tr("Compare the line with a file that can be read")
