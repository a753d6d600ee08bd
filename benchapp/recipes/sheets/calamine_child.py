"""Run in a process of its own: the cells of a spreadsheet as JSON on standard output.

A sheet with two cells far apart makes the reading library ask for more memory than there is, which ends the process it
runs in; so this one has limits, and nothing of this house in it. Exit 3: the file is no spreadsheet it can read.
"""

from __future__ import annotations

import contextlib
import datetime
import json
import sys
from collections.abc import Sequence

#: So much memory, in bytes, and time, in seconds, is enough for any formula.
_MOST_BYTES, _MOST_S = 2**30, 20
#: A sheet with more is no formula.
MOST_ROWS, MOST_COLUMNS = 2000, 100


def main(path: str) -> int:
    """Print what is in the file."""
    with contextlib.suppress(ImportError):  # only where the system keeps limits
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (_MOST_BYTES, _MOST_BYTES))
        resource.setrlimit(resource.RLIMIT_CPU, (_MOST_S, _MOST_S))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    from python_calamine import CalamineError, CalamineWorkbook, SheetVisibleEnum

    try:
        book = CalamineWorkbook.from_path(path)
        found = [
            {
                "name": meta.name,
                "hidden": meta.visible != SheetVisibleEnum.Visible,
                "rows": _rows(book.get_sheet_by_name(meta.name).to_python(skip_empty_area=False)),
            }
            for meta in book.sheets_metadata
        ]
    except (CalamineError, ValueError, OSError) as error:
        print(str(error)[:200], file=sys.stderr)
        return 3
    json.dump(found, sys.stdout)
    return 0


def _rows(rows: Sequence[Sequence[object]]) -> list[list[object]]:
    if len(rows) > MOST_ROWS or any(len(row) > MOST_COLUMNS for row in rows):
        rows = [row[:MOST_COLUMNS] for row in rows[:MOST_ROWS]]
    return [[_cell(one) for one in row] for row in rows]


def _cell(value: object) -> object:
    """Text, a number, yes or no, or nothing."""
    if isinstance(value, datetime.date | datetime.time | datetime.timedelta):
        return str(value)
    return value if isinstance(value, str | int | float | bool) else None


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
