"""The cells of a spreadsheet file, whatever kind it is."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
import zipfile
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.text_files import said_as
from benchapp.recipes.errors import SheetUnreadable
from benchapp.recipes.sheets import calamine_child

Cell = str | float | bool | None
#: A file that is larger holds more than a formula, in bytes; so does one that unpacks to more.
_LARGEST, _LARGEST_UNPACKED = 8 * 2**20, 64 * 2**20
#: The longest a sheet may take, in seconds.
_PATIENCE_S = 30.0
#: In this order separators are tried; the first of those that give the same number of columns most often.
_SEPARATORS = (";", "\t", "|", ",")


@dataclass(frozen=True, slots=True)
class SheetCells:
    """One sheet: its rows from the first, every row as long as it is in the file."""

    name: str
    rows: tuple[tuple[Cell, ...], ...]
    hidden: bool = False

    def at(self, row: int, column: int) -> Cell:
        """A cell; None outside."""
        return self.rows[row][column] if 0 <= column < len(self.rows[row]) else None


def read_cells(path: Path) -> tuple[SheetCells, ...]:
    """Every sheet of an XLSX, ODS or CSV file. Raises SheetUnreadable with one sentence."""
    with said_as(SheetUnreadable, tr_noop("{path} cannot be read ({strerror})."), path=path):
        if not path.is_file():
            raise SheetUnreadable(tr("There is no file {path}. Check its name and folder.", path=path))
        if path.stat().st_size > _LARGEST:
            raise SheetUnreadable(
                tr(
                    "{name} is over {largest} MB: that is more than a formula.",
                    name=path.name,
                    largest=_LARGEST >> 20,
                )
            )
        raw = path.read_bytes()
    if raw[:4] == b"PK\x03\x04":
        return _from_workbook(path)
    if raw[:8] == bytes.fromhex("d0cf11e0a1b11ae1"):
        raise SheetUnreadable(
            tr(
                "{name} is a workbook of an old kind, or one with a password. Save it as XLSX, ODS "
                "or CSV without one.",
                name=path.name,
            )
        )
    if b"\0" in raw:
        raise SheetUnreadable(
            tr("{name} is no spreadsheet. Save the formula as XLSX, ODS or CSV.", name=path.name)
        )
    return (SheetCells(path.stem, _from_csv(raw)),)


def _from_workbook(path: Path) -> tuple[SheetCells, ...]:
    try:
        with zipfile.ZipFile(path) as packed:
            unpacked = sum(info.file_size for info in packed.infolist())
    except zipfile.BadZipFile as error:
        raise SheetUnreadable(
            tr("{name} is damaged. Save it again from the spreadsheet program.", name=path.name)
        ) from error
    too_large = SheetUnreadable(
        tr(
            "{name} is far too large, or has a cell far away from all others. Copy the formula "
            "into a new sheet.",
            name=path.name,
        )
    )
    if unpacked > _LARGEST_UNPACKED:
        raise too_large
    try:
        done = subprocess.run(
            [sys.executable, "-I", str(Path(calamine_child.__file__)), str(path.resolve())],
            capture_output=True, timeout=_PATIENCE_S, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired as error:
        raise too_large from error
    if done.returncode == 3:
        raise SheetUnreadable(
            tr("{name} is no workbook that can be read. Save it as XLSX, ODS or CSV.", name=path.name)
        )
    if done.returncode != 0:
        raise too_large
    return tuple(
        SheetCells(one["name"], tuple(tuple(row) for row in one["rows"]), one["hidden"])
        for one in json.loads(done.stdout)
    )


def _from_csv(raw: bytes) -> tuple[tuple[Cell, ...], ...]:
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = raw.decode("cp1252", errors="replace")
    best: tuple[float, list[list[str]]] = (-1.0, [])
    for separator in _SEPARATORS:
        rows = _split(text, separator)
        counts = Counter(len(row) for row in rows if any(cell.strip() for cell in row))
        wide = [(times, columns) for columns, times in counts.items() if columns > 1]
        share = max(wide)[0] / sum(counts.values()) if wide else 0.0
        if share > best[0]:
            best = (share, rows)
    return tuple(tuple(cell.strip() or None for cell in row) for row in best[1][: calamine_child.MOST_ROWS])


def _split(text: str, separator: str) -> list[list[str]]:
    try:
        return list(csv.reader(io.StringIO(text), delimiter=separator))
    except csv.Error:
        return [line.split(separator) for line in text.splitlines()]
