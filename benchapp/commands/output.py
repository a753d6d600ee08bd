"""What the commands say and write: lines, tables, files that are never overwritten; and the PIN that is asked for."""

from __future__ import annotations

import getpass
import sys
import textwrap
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from rich.cells import cell_len
from rich.console import Console

from benchapp.foundation.language import tr, translated
from benchapp.foundation.text_files import write_whole
from benchapp.service.errors import CommandError
from benchapp.terminal.plain import clean

if TYPE_CHECKING:
    from benchapp.service.matter import Sheet

#: How wide tables are drawn into a pipe.
PIPE_COLUMNS = 200
#: What stands between two columns, and how many lines are written at a time.
BETWEEN, LINES = "  ", 5000


class Paper(Console):
    """A console that tells when nobody reads any more, so that the make is left in order."""

    def on_broken_pipe(self) -> None:
        """Instead of ending the process on the spot."""
        raise BrokenPipeError


def paper() -> Console:
    """Where the commands write: a terminal, or a pipe in which nothing is cut short."""
    console = Paper()
    return console if console.is_terminal else Paper(width=PIPE_COLUMNS)


def say(console: Console, text: str) -> None:
    """One line."""
    _write(console, clean(translated(text)))


def _write(console: Console, text: str) -> None:
    if console.is_terminal:
        console.print(text, markup=False, highlight=False)
    else:
        console.file.write(f"{text}\n")


def say_all(console: Console, lines: Sequence[str]) -> None:
    """Many lines."""
    for part in batched(lines):
        _write(console, "\n".join(clean(translated(line)) for line in part))


def show(console: Console, titles: Sequence[str], rows: Iterable[Sequence[str]], title: str = "") -> None:
    """A table, however long; where it is wider than the terminal, each row as a few lines of its own."""
    titles = [translated(title) for title in titles]
    cells = [[clean(translated(cell)) for cell in row] for row in rows]
    widths = [max(map(_columns_of, column)) for column in zip(titles, *cells, strict=True)]
    fits = sum(widths) + len(BETWEEN) * (len(widths) - 1) <= console.width
    lines = _columns(titles, cells, widths) if fits else _blocks(titles, cells, console.width)
    for part in batched(([title] if title else []) + list(lines)):
        console.file.write("\n".join((*part, "")))


def batched(lines: Sequence[str]) -> Iterator[Sequence[str]]:
    """So many lines that one call writes them without holding them all twice."""
    return (lines[start : start + LINES] for start in range(0, len(lines), LINES))


def _columns_of(cell: str) -> int:
    """How many columns of a terminal a cell takes: a sign of ASCII one, others up to two."""
    return len(cell) if cell.isascii() else cell_len(cell)


def _columns(titles: Sequence[str], rows: Sequence[Sequence[str]], widths: Sequence[int]) -> Iterator[str]:
    for row in (titles, ["-" * width for width in widths], *rows):
        filled = (cell + " " * (width - _columns_of(cell)) for cell, width in zip(row, widths, strict=True))
        yield BETWEEN.join(filled).rstrip()


def _blocks(titles: Sequence[str], rows: Sequence[Sequence[str]], width: int) -> Iterator[str]:
    """The first cell on a line, what belongs to it indented beneath; what is empty is left out."""
    for first, *others in rows:
        yield from textwrap.wrap(first, width) or ["-"]
        for name, cell in zip(titles[1:], others, strict=True):
            if cell:
                words = f"{name}: {cell}" if name else cell
                yield from textwrap.wrap(words, width, initial_indent="  ", subsequent_indent="    ")


def say_answer(console: Console, sheet: str | Sheet) -> None:
    """An answer of one line, or of many with their rows as a table."""
    if isinstance(sheet, str):
        say(console, sheet)
        return
    for line in sheet.head:
        say(console, line)
    if sheet.rows:
        show(console, sheet.titles, sheet.rows)
    for line in sheet.notes:
        say(console, line)


def ask_secret(prompt: str) -> str:
    """A PIN, not shown; from a pipe, one line. Never from the command line, where others could read it."""
    if sys.stdin is None:
        raise CommandError(
            tr("{strip} Standard input is closed: nobody can answer that.", strip=prompt.strip())
        )
    if sys.stdin.isatty():
        return getpass.getpass(prompt)
    return sys.stdin.readline().rstrip("\n")


def put(data: bytes, out: str | None, console: Console, first: Callable[[], None] = lambda: None) -> None:
    """Into a new file, which is there once ``first`` is done, or to a reader behind a pipe. Raises CommandError where
    neither will do."""
    if out is None:
        if data.startswith(b"%PDF") and sys.stdout.isatty():
            raise CommandError(tr("A PDF is no text for a terminal. Name a file: --out record.pdf"))
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
        return
    try:
        write_whole(Path(out).expanduser(), data, first)
    except FileExistsError as error:
        raise CommandError(
            tr("{out} is there already. Name another file, or put that one away.", out=out)
        ) from error
    except OSError as error:
        raise CommandError(
            tr(
                "{out} cannot be written ({strerror}). Choose another place.",
                out=out,
                strerror=error.strerror,
            )
        ) from error
    say(console, tr("Written: {out}", out=out))
