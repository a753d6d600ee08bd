"""The law a workshop's formulas are held against: its own file in the data folder, else the markets the app knows."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr
from benchapp.service.errors import CommandError

if TYPE_CHECKING:
    from benchapp.calculations.limits import Law

#: The file's name in the data folder.
OWN_LAW = "law.toml"


def law_in(folder: Path) -> Law:
    """Read it. Raises CommandError where it is no such file: a limit that cannot be read is no limit kept."""
    return _read(folder)[0]


def law_text(folder: Path) -> str:
    """The file as it stands, "" where there is none: what a make keeps of it. Raises CommandError as law_in does."""
    return _read(folder)[1]


def _read(folder: Path) -> tuple[Law, str]:
    from benchapp.calculations.own_limits import read_law

    place = folder / OWN_LAW
    try:
        text = place.read_text(encoding="utf-8") if place.is_file() else ""
        return read_law(text), text
    except (OSError, ValueError) as error:
        raise CommandError(
            tr(
                "{place} cannot be read: {error}. Mend it; until then no ceiling is checked.",
                place=place,
                error=error,
            )
        ) from error
