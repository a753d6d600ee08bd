"""Two batches beside each other: what differs first, under its heads; what is the same, folded into one line of each kind."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from benchapp.foundation.language import capitalised, number, tr, tr_n, translated
from benchapp.screens.desk.batch_rows import heading
from benchapp.screens.display.dates import leaf, product_named
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.table_page import TableColumn, TablePage, TableRow

if TYPE_CHECKING:
    from benchapp.record.comparison import Pair
    from benchapp.service.desk_facts import Beside

#: Two values that differ by less, in their own unit, are the same on the glass; a duration by less than a minute.
SAME, SAME_S = 0.005, 30.0


def beside_page(sizes: Sizes, found: Beside, paging: Paging) -> TablePage:
    """What, the one, the other, the difference."""
    one, other = found.first, found.second
    alike = one.procedure == other.procedure
    title = product_named(one.procedure) if alike else tr("Two batches beside each other")
    differing = [p for p in found.pairs if not same(p)]
    rows = (
        []
        if found.same_procedure
        else [TableRow((tr("They were made by different versions of the recipe."),), plain=True)]
    )
    if not alike:
        rows = []
    rows += _better(found) if alike else []
    for group, pairs in groupby(differing, lambda p: p.group):
        rows += [TableRow((capitalised(translated(group)),), head=True), *_rows(list(pairs))]
    rows += [TableRow((text,), plain=True) for text in _folded(found.pairs)]
    heads = [
        (c, "\u00a0".join(leaf(b.wall)) if alike else heading(b).replace("\u00a0", " "))
        for c, b in ((0.2, one), (0.2, other))
    ]
    if heads[0][1] == heads[1][1]:
        heads = [(0.2, one.batch), (0.2, other.batch)]
    columns = [
        TableColumn("", 0.4), *(TableColumn(head, share, True) for share, head in heads),
        TableColumn("difference", 0.2, True),
    ]  # fmt: skip
    return TablePage(sizes, title, columns, rows, paging)


def _better(found: Beside) -> list[TableRow]:
    """Of which of two batches of one product more came out; nothing where their days do not tell them apart."""
    gained = next((p.difference for p in found.pairs if p.what == "yield" and not same(p)), None)
    if not gained or found.first.wall[:10] == found.second.wall[:10]:
        return []
    more = found.second if gained > 0 else found.first
    return [TableRow((tr("More came out on {day}.", day="\u00a0".join(leaf(more.wall))),), head=True)]


def same(p: Pair) -> bool:
    """Whether both have it, and as much of it as can be seen."""
    return p.difference is not None and abs(p.difference) < (SAME_S if p.unit == "s" else SAME)


def _rows(pairs: Sequence[Pair]) -> list[TableRow]:
    """With as many decimals in each as one of them needs, so that the points stand under each other."""
    places = {unit: max(_places(p) for p in pairs if p.unit == unit) for unit in {p.unit for p in pairs}}
    return [
        TableRow(
            (translated(p.what), _said(p, p.first, places[p.unit]), _said(p, p.second, places[p.unit]), _difference(p, places[p.unit]))
        )
        for p in pairs
    ]  # fmt: skip


def _places(p: Pair) -> int:
    given = (v for v in (p.first, p.second) if v is not None)
    return max((len(f"{round(v, 2):g}".partition(".")[2]) for v in given), default=0)


def _said(p: Pair, value: float | None, places: int) -> str:
    if value is None:
        return "–"
    if p.unit == "s":
        from benchapp.record.documents.plain_text import span  # the first frame does not wait for it

        return span(value)
    unit = "" if p.unit == "pH" else translated(p.unit)  # the group says that it is a pH
    return f"{number(value, f'.{places}f')} {unit}".strip()


def _difference(p: Pair, places: int) -> str:
    found = p.difference
    if found is None:
        return ""
    sign = "−" if found < 0 else "+"
    if p.unit == "%":  # of percents, so no percent of anything
        return sign + tr("{points} points", points=number(abs(found), f".{places}f"))
    return sign + _said(p, abs(found), places)


def _folded(pairs: Sequence[Pair]) -> list[str]:
    """How many of each kind are the same; all of them in one line where nothing differs."""
    alike = [p for p in pairs if same(p)]
    if pairs and len(alike) == len(pairs):
        return [tr("Nothing differs, to 0.01 of anything and half a minute.")]
    weighed = [p for p in alike if p.group == "weighed"]
    others = [
        translated(p.what if p.group == "result" else p.group)
        for p in alike
        if p.group not in ("weighed", "time")
    ]
    said = []
    if weighed:
        said.append(
            tr_n(
                "{n} ingredient is the same, to 0.01 %.",
                "{n} ingredients are the same, to 0.01 %.",
                n=len(weighed),
            )
        )
    if others:
        said.append(tr("Also the same: {names}.", names=", ".join(dict.fromkeys(others))))
    if any(p.group == "time" for p in alike):
        said.append(tr("The other times are the same, to half a minute."))
    return said
