"""What was weighed and from which lots, as sections of the printed record."""

from __future__ import annotations

from collections.abc import Mapping

from reportlab.platypus import Flowable, Paragraph

from benchapp.foundation.language import tr, translated
from benchapp.record.batch_record import Record
from benchapp.record.documents.cells import band, digits_of, rows_of_lines, value, when, where_from
from benchapp.record.documents.page import SMALL, cell, para, table
from benchapp.record.documents.plain_text import date_time, number, padded
from benchapp.record.lines import RecordLine


def weighings(r: Record, wide: float) -> list[Flowable]:
    """Planned and actual of each weighing (21 CFR 211.188(b)(4))."""
    reached = r.reached_percent
    rows = rows_of_lines(
        r.weighings,
        lambda x: (
            when(x.wall, x.at_s), cell(x.what, small=_lot(x)), x.vessel, padded(x.target, digits_of(r, x)), band(x),
            value(x, digits_of(r, x)), where_from(x), _share(r, reached, x), _by(r, x),
        ),
    )  # fmt: skip
    heads = (
        "time",
        tr("ingredient and lot"),
        tr("into"),
        tr("planned g"),
        tr("allowed g"),
        "weighed",
        tr("where from"),
        "reached",
        "by",
    )
    notes = [
        para(
            tr("Reached: the whole line in percent of the product, without what steamed off or was spilled."),
            SMALL,
        )
    ]
    notes += [para(words, SMALL) for words in r.portion_sums]
    notes += [para(tr("The batch became larger: {why}.", why=v["why"]), SMALL) for v in r.revisions]
    widths = (3.1, 6.1, 4.3, 3, 4.7, 3.5, 5.2, 2.9, 3)
    return [*table(heads, rows, widths, wide, (3, 4, 5, 7)), *notes] if rows else []


def _share(r: Record, reached: Mapping[str, float], x: RecordLine) -> Paragraph:
    """What the line came to, and what the formula asks for."""
    planned = r.planned_percent.get(x.line)
    now, strength = reached.get(x.line, 0.0), r.active_percent.get(x.line)
    asked = "" if planned is None else tr("of {number} %", number=number(planned))
    active = "" if strength is None else tr("{now:.2f} % active", now=now * strength / 100)
    return cell(f"{number(now, 2)} %", True, ", ".join(x for x in (asked, active) if x))


def _lot(x: RecordLine) -> str:
    """The lot, and how it was read back."""
    how = f", {translated(x.how)}" if x.how and x.how != "none" else ""
    note = f"; {x.note}" if x.note else ""
    return (
        tr("lot {lot_now}{how}{note}", lot_now=x.lot_now, how=how, note=note)
        if x.lot_now
        else tr("lot unknown{note}", note=note)
    )


def _by(r: Record, x: RecordLine) -> Paragraph:
    """Who weighed, and who else signed for the step where the procedure asked for it."""
    others = dict.fromkeys(s["who"] for s in r.signatures if s["step"] == x.step and s["who"] != r.maker)
    return cell(r.maker, small=tr("seen by {names}", names=", ".join(others)) if others else "")


def lots(r: Record, wide: float) -> list[Flowable]:
    """Every lot drawn from, and lots that were refused."""
    rows = [
        [x["lot"] or "unknown", x["what"], cell(x["supplier"], small=x["supplier_lot"]), x["expires"],
         tr("{number} g", number=number(x['drawn_g'])), x["how"]]
        for x in r.lots
    ]  # fmt: skip
    heads = ("lot", "ingredient", tr("supplier and their lot"), tr("use before"), "drawn", tr("how read"))
    made = table(heads, rows, (5, 9, 7, 4, 4, 4), wide, (4,))
    return [*made, *(para(tr("Refused: lot {lot}, {why} ({date_time})", lot=x['lot'], why=x['why'], date_time=date_time(x['wall'])), SMALL) for x in r.lots_refused)]  # fmt: skip
