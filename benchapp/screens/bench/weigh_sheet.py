"""What is weighed for a batch: each phase a block, in as many columns and as large as there is room for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from kivy.graphics import Color, Rectangle

from benchapp.foundation.language import capitalised, tr
from benchapp.screens.display import design as d
from benchapp.screens.display.figures import aligned
from benchapp.screens.widgets.button import least_width
from benchapp.screens.widgets.page_base import ROOMY_PX, Page
from benchapp.screens.widgets.text_label import TextLabel, natural_wide, wrapped_high
from benchapp.screens.widgets.text_line import TextLine

if TYPE_CHECKING:
    from benchapp.make.plan import Plan, Weighing

#: A name has room for so many ems at the least.
_NAME_EMS = 7
#: The letters are tried smaller by so much, in pixels, until all of it has room; a phase with its sum is so much smaller than its amounts.
_STEP, _HEAD_SHARE = 2, 0.85


@dataclass(frozen=True, slots=True)
class SheetRow:
    """An amount and what it is of; ``where``: on which scale; ``head``: a phase with its sum, set apart from the amounts."""

    amount: str
    name: str
    where: str = ""
    head: bool = False
    phase: str = ""


def draw_weigh_sheet(page: Page, plan: Plan) -> None:
    """Every weighing under its phase; where there is no room for all, as many as there is, and how many more."""
    s = page.sizes
    full = [*sheet_rows(plan), *(as_needed(plan) if page.panel.height >= ROOMY_PX else ())]
    short = [replace(row, where="") for row in full]  # which scale is said when it is used
    bare = [row for row in short if not row.head]
    steps = (*range(s.line, s.note, -_STEP), s.note, s.small)
    if any(_drawn(page, short, columns, font, whole=True) for font in steps for columns in (1, 2, 3)):
        return  # no phase is broken
    sets = (
        (full, 1, s.line), (short, 2, s.line), (full, 2, s.between), (short, 2, s.between), (full, 2, s.note), (short, 2, s.note),
        (short, 2, s.small), (short, 3, s.small), (bare, 2, s.small), (bare, 3, s.small),
    )  # fmt: skip
    if any(_drawn(page, rows, columns, font) for rows, columns, font in sets):
        return
    page.listed([TextLine(s.figures.text(f"{row.amount}  {row.name}")) for row in bare], s.small)


def sheet_rows(plan: Plan) -> list[SheetRow]:
    """The rows by phases, that which is weighed first first; of kettles that all get as much, each amount once."""
    phases: dict[str, list[Weighing]] = {}
    turns = {key: n for n, step in enumerate(plan.declared.values()) for key in reversed(step.weighs)}
    first: dict[str, int] = {}
    for w in plan.weighings.values():
        turn = turns.get(w.line.key, len(turns))
        first[w.line.whole_phase] = min(turn, first.get(w.line.whole_phase, turn))
    for w in sorted(plan.weighings.values(), key=lambda w: first[w.line.whole_phase]):
        phases.setdefault(w.line.whole_phase, []).append(w)
    most = max(_decimals(w) for w in plan.weighings.values())
    rows: list[SheetRow] = []
    for phase, found in phases.items():
        whole = sum(w.target_g for w in found)
        rows.append(
            SheetRow("", tr("{phase}: {whole:.1f} g", phase=capitalised(phase), whole=whole), head=True)
        )
        rows += [replace(row, phase=phase) for row in _amounts(found, most)]
    return rows


def as_needed(plan: Plan) -> list[SheetRow]:
    """What is weighed only where it is needed, and the most it may be; on a low glass it is only counted."""
    most = {
        x.whole_name: plan.batch_g * x.cap_percent / 100.0
        for x in plan.procedure.formula.lines
        if x.cap_percent is not None
    }
    phase, places = tr("As needed, at most"), max(_decimals(w) for w in plan.weighings.values())
    rows = [
        SheetRow(aligned(f"{grams:.1f}", places, "\u00a0g"), name, phase=phase)
        for name, grams in most.items()
    ]
    return [SheetRow("", phase, head=True), *rows] if rows else []


def _decimals(w: Weighing) -> int:
    from benchapp.make.plan import decimals_of

    return decimals_of(w.device)


def _amounts(found: Sequence[Weighing], most: int) -> list[SheetRow]:
    """``most``: as many decimals as any scale shows, so that the points stand under each other."""
    alike: dict[tuple[str, str, str], list[Weighing]] = {}
    for w in found:
        grams = aligned(f"{w.target_g:.{_decimals(w)}f}", most, "\u00a0g")
        where = w.device.name if w.device else tr("by hand")
        alike.setdefault((grams, w.line.whole_name, where), []).append(w)
    rows: list[SheetRow] = []
    for (grams, name, where), same in alike.items():
        of_all = len(same) == same[0].line.kettles
        each = f"{len(same)} × {grams}" if len(same) > 1 and of_all else grams
        rows += (
            [SheetRow(each, name, where)] if of_all else [SheetRow(grams, w.line.name, where) for w in same]
        )
    return rows


def _drawn(page: Page, rows: Sequence[SheetRow], columns: int, font: int, whole: bool = False) -> bool:
    """Amounts ending on one line with their names beside them, in columns; False (and nothing drawn) where they have
    no room at that size. ``whole``: only with every phase in one column."""
    s, put = page.sizes, page.sizes.figures.text
    amount = max(natural_wide(put(row.amount), font) for row in rows) + 4
    each = page.wide / columns
    name_wide = int(each - amount - 2 * s.gap)
    if name_wide < _NAME_EMS * font or (whole and _broken(rows, font, name_wide)):
        return False
    apart, room = s.gap * 0.2, page.pen_y - page.low
    lines = (wrapped_high("x", _font_of(row, font), row.head, page.panel.width) + apart for row in rows)
    if sum(lines) > columns * room:
        return False  # not even if each had one line; to break all the words into lines is dear
    highs = [_high(row, font, int(name_wide + amount * row.head)) + apart for row in rows]
    parted = _whole_phases(rows, highs, columns) if whole else _columns(rows, highs, columns)
    if not parted:
        return False
    said = [_going_on(rows, part) for part in parted]
    heads = [_high(row, font, int(name_wide + amount)) + apart if row else 0.0 for row in said]
    if max(head + sum(highs[n] for n in part) for head, part in zip(heads, parted, strict=True)) > room:
        return False
    low = page.pen_y
    for column, part in enumerate(parted):
        x, top = page.left + column * each, page.pen_y
        head = said[column]
        if head is not None:
            _draw(page, head, font, (x, top, amount, name_wide))
            top -= heads[column]
        for n in part:
            _draw(page, rows[n], font, (x, top, amount, name_wide))
            top -= highs[n]
        low = min(low, top)
    page.pen_y = low
    return True


def _going_on(rows: Sequence[SheetRow], part: Sequence[int]) -> SheetRow | None:
    """What stands over a column that begins within a phase."""
    first = part[0] if part else 0
    if not first or rows[first].head or not any(row.head for row in rows):
        return None
    return SheetRow("", tr("{phase}, going on", phase=capitalised(rows[first].phase)), head=True)


def _words(row: SheetRow) -> str:
    return f"{row.name}, {row.where}" if row.where else row.name


def _high(row: SheetRow, font: int, name_wide: int) -> float:
    return wrapped_high(_words(row), _font_of(row, font), row.head, name_wide)


def _font_of(row: SheetRow, font: int) -> int:
    return round(font * _HEAD_SHARE) if row.head else font


def _columns(rows: Sequence[SheetRow], highs: Sequence[float], columns: int) -> list[list[int]]:
    """The numbers of the rows of each column: as even as they get in their order; no phase's head stands last."""
    parts: list[list[int]] = [[]]
    share, filled = sum(highs) / columns, 0.0
    for n, high in enumerate(highs):
        last = len(parts) == columns
        if not last and parts[-1] and filled + high * 0.5 > share:
            over = [parts[-1].pop()] if rows[parts[-1][-1]].head and len(parts[-1]) > 1 else []
            parts.append(over)
            filled = sum(highs[m] for m in over)
        parts[-1].append(n)
        filled += high
    return parts


def _whole_phases(rows: Sequence[SheetRow], highs: Sequence[float], columns: int) -> list[list[int]]:
    """The same with no phase broken, in the order of the work from the top of the first column down: as even as they get so."""
    phases: list[list[int]] = []
    for n, row in enumerate(rows):
        if row.head:
            phases.append([])
        phases[-1].append(n)
    tall = [sum(highs[n] for n in phase) for phase in phases]
    limit = max(tall)
    while True:
        parts: list[list[int]] = [[]]
        filled = 0.0
        for phase, high in zip(phases, tall, strict=True):
            if parts[-1] and filled + high > limit:
                parts.append([])
                filled = 0.0
            parts[-1] += phase
            filled += high
        if len(parts) <= columns:
            return parts
        limit += min(highs)


def _broken(rows: Sequence[SheetRow], font: int, name_wide: int) -> bool:
    """Whether a word of a name has no room on one line."""
    words = " ".join(_words(row) for row in rows if not row.head)
    return least_width(words, font) > name_wide + 20


def _draw(page: Page, row: SheetRow, font: int, place: tuple[float, float, float, int]) -> None:
    """``place``: left edge and top, and how wide the amount and the name are."""
    x, top, amount, name_wide = place
    if row.head:
        words = TextLabel(page.sizes.figures.text(row.name), _font_of(row, font), d.TIDE, bold=True)
        page.hang(words)
        low = words.place(x, top, amount + page.sizes.gap + name_wide)
        with page.canvas:
            Color(*d.WET_SAND)
            Rectangle(pos=(x, low - 1), size=(amount + page.sizes.gap + name_wide, 2))
        return
    figure = TextLabel(page.sizes.figures.text(row.amount), font, d.INK, bold=True, halign="right")
    words = TextLabel(_words(row), font, d.INK)
    page.hang(figure, words)
    figure.place(x, top, amount)
    words.place(x + amount + page.sizes.gap, top, name_wide)
