"""The fields of a step, a line, a vessel or a material as a page of rows: each with what it says now."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage

#: A value of so many signs stands beside its name, a longer one under it.
_BESIDE = 22
#: Fields that say more in other words than a file's.
_FIELD_WORDS = {
    "over": tr_noop("too hot above"), "hold": tr_noop("keep for"), "inci": tr_noop("INCI name"), "below": tr_noop("only below"),
    "ph_window": tr_noop("works at pH"), "statements": tr_noop("hazard statements"), "signal_word": tr_noop("signal word"),
    "usual": tr_noop("usual batch"), "smallest": tr_noop("smallest batch"), "largest": tr_noop("largest batch"),
    "told apart as": tr_noop("label"), "what it is": tr_noop("about the material"),
    "powder": tr_noop("is a powder"), "flammable": tr_noop("is flammable"), "bath": tr_noop("in a water bath"),
    "sheet_revised": tr_noop("safety data sheet"), "band": tr_noop("limits"),
}  # fmt: skip

#: What mends a field in which something is wrong.
_MENDED = {
    "share": tr_noop("Change the share"), "band": tr_noop("Change the limits"), "sheet_revised": tr_noop("Enter its data sheet"),
    "checks": tr_noop("See what to mend"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class FieldRows:
    """What can be said of a thing: each field with what it says now, or None where it is something that can be done.
    ``faults``: what is wrong with the thing; the first of them is shown. ``faulty``: the fields in which it is."""

    title: str
    fields: Sequence[tuple[str, str | None]]
    faults: Sequence[str] = ()
    faulty: Sequence[str] = ()


def under(name: str, fault: str) -> str:
    """What is wrong with a thing, where it stands under its name."""
    return fault.removeprefix(f"{name}: ")


def as_read(text: str) -> str:
    """With the degree's sign, where files have a word for it."""
    return text.replace(" degC", " °C").replace(" degF", " °F")


def fields_page(
    sizes: Sizes,
    shown: FieldRows,
    pick: Callable[[str], None],
    paging: Paging,
    more: Sequence[ButtonSpec] = (),
) -> RowsPage:
    """A row for each field, those first in which something is wrong; the first of these has a press of its own, where one
    is named for it."""
    rows = []
    faulty = next((name for name in shown.faulty if name in _MENDED), "")
    mend: list[ButtonSpec] = [(_MENDED[faulty], partial(pick, faulty), "main")] if faulty else []
    order = {name: n for n, name in enumerate(shown.faulty)}
    for name, value in sorted(shown.fields, key=lambda field: order.get(field[0], len(order))):
        left_open = tr("not entered") if name in shown.faulty else tr("not said")
        said = "" if value is None else as_read(value) or left_open
        label = translated(_FIELD_WORDS.get(name) or name.replace("_", " "))
        short = len(said) <= _BESIDE
        if not short and said in shown.title:
            said = ""  # the title of the page says it
        rows.append(
            RowSpec(
                label if label == "pH" else label[:1].upper() + label[1:],
                partial(pick, name),
                "" if short else said,
                said if short else "",
                name in shown.faulty,
            )
        )
    over = [(as_read(under(shown.title, text)), True) for text in shown.faults[:1]]
    return RowsPage(sizes, shown.title, rows, paging, [*more, *mend], over)
