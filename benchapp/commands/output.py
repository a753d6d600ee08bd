"""What the commands say and write: lines, tables, files that are never overwritten; and the PIN that is asked for."""

from __future__ import annotations

import getpass
import re
import sys
import textwrap
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import zip_longest
from pathlib import Path
from typing import TYPE_CHECKING

from rich.cells import cell_len
from rich.console import Console

from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.foundation.text_files import said_as, write_whole
from benchapp.service.errors import CommandError
from benchapp.terminal.plain import clean

if TYPE_CHECKING:
    from benchapp.service.matter import Sheet

#: How wide tables are drawn into a pipe.
PIPE_COLUMNS = 200
#: What stands between two columns, and how many lines are written at a time.
BETWEEN, LINES = "  ", 5000
#: What goes on beneath begins no further to the right.
HUNG = 25
#: How narrow the first cell of a row, which names it, and the others may be made, and whether words break at their hyphens:
#: down to a day with its time of day, and only where that does not do, further.
NARROWEST = ((30, 16, False), (30, 16, True), (20, 12, True))


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


def warned(of: object) -> str:
    """A warning as it is said."""
    return tr("warning: {warning}", warning=str(of))


def say_look_at(console: Console, sentences: Iterable[str]) -> None:
    """What has to be looked at because of what was chosen."""
    for sentence in sentences:
        say(console, tr("look at: {sentence}", sentence=sentence))


def _write(console: Console, text: str) -> None:
    if console.is_terminal:
        console.print(text, markup=False, highlight=False)
    else:
        console.file.write(f"{text}\n")


def say_all(console: Console, lines: Sequence[str]) -> None:
    """Many lines; on a terminal, what is longer goes on beneath where its words began."""
    for part in batched(lines):
        said = (clean(translated(line)) for line in part)
        _write(
            console, "\n".join(_hung(line, console.width) if console.is_terminal else line for line in said)
        )


def _hung(line: str, width: int) -> str:
    if len(line) <= width:
        return line
    titled = re.match(r".{1,30}? {2,}(?=\S)", line[1:])  # the sign in front is no title
    begins = min(titled.end() + 1, HUNG) if titled else 4
    return "\n".join(textwrap.wrap(line, width, subsequent_indent=" " * begins, break_on_hyphens=False))


def show(console: Console, titles: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """A table, however long. Where it is wider than the terminal, columns in which nothing stands are left out and long
    cells go over several lines; where that does not do either, each row is a few lines of its own."""
    titles = [translated(title) for title in titles]
    cells = [[clean(translated(cell)) for cell in row] for row in rows]
    widths, wide = _widths(titles, cells), console.width
    if _whole(widths) > wide:
        filled = [n for n, column in enumerate(zip(*cells, strict=True)) if n == 0 or any(column)]
        titles, cells = [titles[n] for n in filled], [[row[n] for n in filled] for row in cells]
        widths = _narrowed(titles, cells, wide)
    lines = _columns(titles, cells, widths) if widths else _blocks(titles, cells, wide)
    for part in batched(list(lines)):
        console.file.write("\n".join((*part, "")))


def _widths(titles: Sequence[str], cells: Sequence[Sequence[str]]) -> list[int]:
    return [max(map(_columns_of, column)) for column in zip(titles, *cells, strict=True)]


def _whole(widths: Sequence[int]) -> int:
    return sum(widths) + len(BETWEEN) * (len(widths) - 1)


def _narrowed(titles: Sequence[str], cells: Sequence[Sequence[str]], wide: int) -> list[int]:
    """Widths with which it fits, taken from the widest columns; () where one would be too narrow to read."""
    widths, longest = _widths(titles, cells), _widths([""] * len(titles), cells)
    for first, others, hyphens in NARROWEST:
        words = _widths([_longest_word(title, True) for title in titles],
                        [[_longest_word(cell, hyphens) for cell in row] for row in cells])  # fmt: skip
        floor = [first] + [others] * (len(widths) - 1)
        least = [max(word, min(cell, f)) for word, cell, f in zip(words, longest, floor, strict=True)]
        if _whole(least) <= wide:
            break
    else:
        return []
    while _whole(widths) > wide:
        widest = max((n for n in range(len(widths)) if widths[n] > least[n]), key=widths.__getitem__)
        widths[widest] -= 1
    return widths


def _longest_word(cell: str, hyphens: bool) -> str:
    return max((cell.replace("-", "- ") if hyphens else cell).split(), key=len, default="")


def batched(lines: Sequence[str]) -> Iterator[Sequence[str]]:
    """So many lines that one call writes them without holding them all twice."""
    return (lines[start : start + LINES] for start in range(0, len(lines), LINES))


def _columns_of(cell: str) -> int:
    """How many columns of a terminal a cell takes: a sign of ASCII one, others up to two."""
    return len(cell) if cell.isascii() else cell_len(cell)


def _columns(titles: Sequence[str], rows: Sequence[Sequence[str]], widths: Sequence[int]) -> Iterator[str]:
    for row in (titles, ["-" * width for width in widths], *rows):
        broken = [_lines_of(cell, width, row is titles) for cell, width in zip(row, widths, strict=True)]
        for parts in zip_longest(*broken, fillvalue=""):
            filled = (
                part + " " * (width - _columns_of(part)) for part, width in zip(parts, widths, strict=True)
            )
            yield BETWEEN.join(filled).rstrip()


def _lines_of(cell: str, width: int, title: bool) -> list[str]:
    """Broken at a hyphen only where its words are too long for the column."""
    if _columns_of(cell) <= width:
        return [cell]
    return textwrap.wrap(cell, width, break_on_hyphens=title or len(_longest_word(cell, False)) > width)


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
    not_written = tr_noop("{out} cannot be written ({strerror}). Choose another place.")
    with said_as(CommandError, not_written, out=out):
        try:
            write_whole(Path(out).expanduser(), data, first)
        except FileExistsError as error:
            raise CommandError(
                tr("{out} is there already. Name another file, or put that one away.", out=out)
            ) from error
    say(console, tr("Written: {out}", out=out))
