"""Read a procedure file: syntax, form, names, then the rules of the trade; every problem at once."""

from __future__ import annotations

import dataclasses
import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from benchapp.foundation.language import tr
from benchapp.foundation.text_files import NoTextFile, read_text_file
from benchapp.foundation.toml_places import Places
from benchapp.foundation.toml_reading import TomlError, read_toml

from .building import ProcedureDraft, build
from .checks import check
from .errors import Problem, ProcedureInvalid, ProcedureNotFound, ProcedureUnreadable
from .model import Procedure
from .sections import read_sections
from .signs import check_signs
from .wording import Report

_LARGEST = 512 * 1024  # bytes; a procedure is a few thousand


@dataclass(frozen=True, slots=True)
class Checked:
    """A procedure that can be made, and what a maker may still want to look at."""

    procedure: Procedure
    warnings: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class PartlyRead:
    """A procedure as far as it could be built, and everything that is wrong with it."""

    sheet: ProcedureDraft
    problems: tuple[Problem, ...]


def read_procedure(path: Path) -> Checked:
    """The procedure in a file. Its key is the file's stem.

    Raises ProcedureNotFound, ProcedureUnreadable (no text file, no permission), ProcedureInvalid with every
    problem of the file.
    """
    try:
        text = read_text_file(path)
    except FileNotFoundError as error:
        raise ProcedureNotFound(
            tr("There is no file {path}. Check its name and folder", path=path)
        ) from error
    except NoTextFile as error:
        if error.line:
            raise ProcedureUnreadable(
                tr(
                    "{path}:{line}:1: This is no UTF-8 text. Save the file as plain UTF-8 text",
                    path=path,
                    line=error.line,
                )
            ) from error
        raise ProcedureUnreadable(
            tr("{path} cannot be read: {error}. Check what it is and who may read it", path=path, error=error)
        ) from error
    except OSError as error:
        reason = (error.strerror or tr("it cannot be opened")).lower()
        raise ProcedureUnreadable(
            tr(
                "{path} cannot be read: {reason}. Check what it is and who may read it",
                path=path,
                reason=reason,
            )
        ) from error
    return read_text(text, str(path))


def read_text(text: str, file: str = "procedure.toml", *, as_made: bool = False) -> Checked:
    """The procedure in a text; ``file`` is what problems call it, and its stem is the procedure's key.

    ``as_made``: a text that a batch was made by is not asked the rules again, since they may be stricter today.
    Raises ProcedureInvalid with every problem of the text.
    """
    read = read_partly(text, file, as_made=as_made)
    if any(p.grade == "error" for p in read.problems):
        raise ProcedureInvalid(read.problems)
    procedure = dataclasses.replace(
        read.sheet.procedure, text=text, sha256=hashlib.sha256(text.encode()).hexdigest(), file=file
    )
    return Checked(procedure, read.problems)


def read_partly(text: str, file: str = "procedure.toml", *, as_made: bool = False) -> PartlyRead:
    """A text that is still being written: what of it can be read, and every problem in the order of the text.

    Raises ProcedureInvalid only where it is no TOML.
    """
    data = parse_toml(text, file)
    places = Places(text)
    report = Report(file, places)
    sheet = build(read_sections(data, report), report, places, Path(file).stem)
    if not as_made:
        check(sheet, report)
        check_signs(data, report)
    return PartlyRead(sheet, tuple(sorted(report.problems)))


def parse_toml(text: str, file: str) -> dict[str, Any]:
    """The tables of a TOML text. Raises ProcedureInvalid with the one place where it stops being TOML."""

    if len(text) > _LARGEST:
        what, instead = (
            tr("This file is too large for a procedure"),
            tr("Keep it under {largest} kB", largest=_LARGEST // 1024),
        )
        raise ProcedureInvalid([Problem(file, 1, 1, what, instead, "toml")])
    try:
        return read_toml(text)
    except TomlError as error:
        at = error.place
        raise ProcedureInvalid(
            [Problem(file, at.line, at.column, error.what, error.instead, "toml")]
        ) from error
