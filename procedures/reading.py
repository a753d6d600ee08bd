"""Read a procedure file: syntax, form, names, then the rules of the trade; every problem at once."""

from __future__ import annotations

import dataclasses
import hashlib
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .building import build
from .checks import check
from .errors import Problem, ProcedureInvalid, ProcedureNotFound, ProcedureUnreadable
from .model import Procedure
from .sections import read_sections
from .toml_places import Places
from .wording import Report

_LARGEST = 512 * 1024  # bytes; a procedure is a few thousand


@dataclass(frozen=True, slots=True)
class Checked:
    """A procedure that can be made, and what a maker may still want to look at."""

    procedure: Procedure
    warnings: tuple[Problem, ...]


def read_procedure(path: Path) -> Checked:
    """The procedure in a file. Its key is the file's stem.

    Raises ProcedureNotFound, ProcedureUnreadable (no text file, no permission), ProcedureInvalid with every
    problem of the file.
    """
    try:
        raw = path.read_bytes()
    except FileNotFoundError as error:
        raise ProcedureNotFound(f"There is no file {path}. Check its name and folder") from error
    except OSError as error:
        reason = (error.strerror or "it cannot be opened").lower()
        raise ProcedureUnreadable(
            f"{path} cannot be read: {reason}. Check what it is and who may read it"
        ) from error
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise ProcedureUnreadable(
            f"{path}:{line}:1: This is no UTF-8 text. Save the file as plain UTF-8 text"
        ) from error
    return read_text(text, str(path))


def read_text(text: str, file: str = "procedure.toml") -> Checked:
    """The procedure in a text; ``file`` is what problems call it, and its stem is the procedure's key.

    Raises ProcedureInvalid with every problem of the text.
    """
    data = parse_toml(text, file)
    places = Places(text)
    report = Report(file, places)
    sheet = build(read_sections(data, report), report, places, Path(file).stem)
    check(sheet, report)
    if any(p.grade == "error" for p in report.problems):
        raise ProcedureInvalid(report.problems)
    procedure = dataclasses.replace(
        sheet.procedure, text=text, sha256=hashlib.sha256(text.encode()).hexdigest(), file=file
    )
    return Checked(procedure, tuple(sorted(report.problems)))


def parse_toml(text: str, file: str) -> dict[str, Any]:
    """The tables of a TOML text. Raises ProcedureInvalid with the one place where it stops being TOML."""

    def stop(line: int, column: int, what: str, instead: str) -> ProcedureInvalid:
        return ProcedureInvalid([Problem(file, line, column, what, instead, "toml")])

    if len(text) > _LARGEST:
        raise stop(1, 1, "This file is too large for a procedure", f"Keep it under {_LARGEST // 1024} kB")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise stop(*_place(str(error), text), *_plain(str(error))) from error
    except RecursionError as error:
        raise stop(
            1, 1, "Brackets are nested far too deep here", "Close each bracket that is opened"
        ) from error
    except ValueError as error:  # a number with thousands of digits
        raise stop(1, 1, "One of the numbers is far too long", "Write numbers with a few digits") from error


def _place(message: str, text: str) -> tuple[int, int]:
    at = re.search(r"at line (\d+), column (\d+)", message)
    if at:
        return int(at[1]), int(at[2])
    return text.count("\n") + 1, len(text.rsplit("\n", 1)[-1]) + 1


_PLAIN = (
    ("Expected '='", "This line is no field", "Write name = value, or start a comment with #"),
    (
        "Invalid statement",
        "This line is no field and no heading",
        "Write name = value, [table], or # before a comment",
    ),
    ("Invalid value", "This value is not written in a way that can be read", 'Put text in quotes: "…"'),
    ("Cannot overwrite", "This field stands here a second time", "Keep one of the two"),
    (
        "Cannot declare",
        "This table stands here a second time",
        "Keep one of the two, or use double brackets [[…]]",
    ),
    ("Unclosed array", "A list is not closed", "End it with ]"),
    ("Unclosed inline table", "A table in braces is not closed", "End it with }"),
    ("Unterminated string", "A text is not closed", 'End it with "'),
    (
        "Illegal character",
        "A text is not closed on its line",
        'End it with ", or use three quotes for several lines',
    ),
    (
        "Expected newline",
        "Something follows after the value",
        "Start a new line for the next field, and write 4.0, not 4,0",
    ),
    ("Expected ']", "A heading is not closed", "End it with ] or ]]"),
    ("Unescaped", "A backslash in a text means something else", "Write two of them"),
    ("Invalid date", "This is no date", "Write year-month-day, like 2024-11-05"),
)


def _plain(message: str) -> tuple[str, str]:
    for start, what, instead in _PLAIN:
        if message.startswith(start):
            return what, instead
    what = re.sub(r"\s*\(at .*\)$", "", message)
    return f"This cannot be read ({what})", "Compare the line with one of the shipped procedures"
