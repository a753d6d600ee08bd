"""An answer of the desk as a table on the glass: its sentences over and under the rows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchapp.foundation.language import translated
from benchapp.screens.display.dates import in_words
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.table_page import TableColumn, TablePage, TableRow
from benchapp.screens.widgets.text_label import TextLabel

if TYPE_CHECKING:
    from benchapp.service.matter import Sheet

#: No column takes more than this share of the width while others want room.
_MOST_SHARE = 0.4
#: Where the columns would like so many times the width, they are read better one under the other.
CROWDED = 1.25
#: A word of so many signs may be broken: it is a batch's name.
_LONG_WORD = 16


def sheet_table(sizes: Sizes, title: str, sheet: Sheet, paging: Paging) -> TablePage:
    """The sheet's rows under its titles, a column that is empty everywhere left out; where the columns have no room beside
    each other, each row as its first cell with the others under it."""
    said = [TableRow((in_words(text),), plain=True) for text in sheet.head]
    notes = [TableRow((in_words(text),), plain=True) for text in sheet.notes]
    kept = [n for n in range(len(sheet.titles)) if any(row[n] for row in sheet.rows)]
    rows = [tuple(in_words(row[n]) for n in kept) for row in sheet.rows]
    titles = [sheet.titles[n] for n in kept]
    shares = _shares(sizes, [titles, *rows]) if rows else [1.0]
    if shares:
        columns = [TableColumn(head, share) for head, share in zip(titles or [""], shares, strict=True)]
        return TablePage(sizes, title, columns, [*said, *map(TableRow, rows), *notes], paging)
    under = [
        one
        for first, *others in rows
        for one in (
            TableRow((first,), head=True),
            TableRow((", ".join(x for x in others if x) or "–",), plain=True),
        )
    ]
    heads = (
        [TableRow((", ".join(translated(x) for x in titles[1:] if x),), plain=True)]
        if any(titles[1:])
        else []
    )
    return TablePage(sizes, title, [TableColumn("", 1.0)], [*said, *heads, *under, *notes], paging)


def _shares(sizes: Sizes, rows: Sequence[Sequence[str]]) -> list[float]:
    """What each column gets of the width, by its longest cell; () where their longest words have no room."""
    wide = sizes.panel.width - 2 * sizes.pad
    longest = [max((cell for cell in column), key=len) for column in zip(*rows, strict=True)]
    words = [
        max((w for cell in column for w in cell.split() if len(w) < _LONG_WORD), key=len, default="")
        for column in zip(*rows, strict=True)
    ]
    least = [_natural(word, sizes) + sizes.gap * 1.5 for word in words]
    wanted = [
        max(low, min(_natural(cell, sizes) + sizes.gap * 1.5, wide * _MOST_SHARE))
        for low, cell in zip(least, longest, strict=True)
    ]
    if sum(least) > wide or sum(wanted) > CROWDED * wide:
        return []
    over = max(sum(wanted) - wide, 0.0)
    give = sum(w - low for w, low in zip(wanted, least, strict=True))
    fitted = [w - over * (w - low) / give if give else w for w, low in zip(wanted, least, strict=True)]
    return [one / sum(fitted) for one in fitted]


def _natural(text: str, sizes: Sizes) -> float:
    return TextLabel(text, sizes.note).natural()[0]
