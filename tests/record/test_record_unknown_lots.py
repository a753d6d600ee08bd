"""What was weighed without a known lot: one deviation that names every line, and a mark in every trace."""

from __future__ import annotations

import dataclasses

import pytest
from workshop_days import FINISHED, correction, delivery, filled, in_hand, started, weight

from benchapp import events as ev
from benchapp.record import correcting, deciding
from benchapp.record.errors import NotAllowed
from benchapp.record.tracing import back, forward
from benchapp.service.desk import Desk
from benchapp.service.lots import lots_on_hand
from benchapp.service.procedure_facts import record_in

BATCH = "20260303-oat-hand-lotion-1"
NOTED = ev.DeviationNoted(
    at_s=2.0, number=1, grade=ev.Grade.MINOR, kind="lot unknown", step="02-weigh",
    text="Purified water: no lot of it is on the books; the batch cannot be traced to it.",
)  # fmt: skip
WATER, GLYCERIN = 5, 8


def unknown(line):
    """Nothing on the books for a line, as a make writes it down."""
    return ev.LotTaken(at_s=1.0, step="02-weigh", act="lot", line=line, material=line, lot="", how="none")


@pytest.fixture
def desk(journal, lotion):
    """Oil from a lot; water and glycerin from none, of which the make noted the first alone."""
    one = Desk(journal)
    one.records.add(delivery("oil-1"), delivery("gly-1", "glycerin"))
    events = [
        dataclasses.replace(started(BATCH), procedure_text=lotion.text),
        in_hand("oil-1"), unknown("purified-water"), NOTED, weight("", 376.0, "purified-water"),
        weight("oil-1", 60.0), unknown("glycerin"), weight("", 20.0, "glycerin"), filled(1), FINISHED,
    ]  # fmt: skip
    journal.append(BATCH, events)
    return one


def open_ones(desk):
    return [d.text for d in desk.records.standing(BATCH).blocking]


def test_one_deviation_names_every_line_and_one_reason_closes_it(desk):
    (text,) = open_ones(desk)
    assert "Purified water, Glycerin" in text
    deciding.close_deviation(
        desk.records, BATCH, 1, "taken from the shelf before lots were kept", "Mara Lind"
    )
    assert open_ones(desk) == []


def test_each_line_stays_marked_in_the_record_and_in_the_trace_after_it_is_closed(desk):
    deciding.close_deviation(desk.records, BATCH, 1, "known supplier", "Mara Lind")
    record = record_in(desk.journal, BATCH)
    assert [w.lot_now for w in record.weighings] == ["", "oil-1", ""]
    lines = desk.trace(f"{BATCH}/1").lines
    for amount in ("376.0 g of lot unknown", "20.0 g of lot unknown", "60.0 g of lot oil-1"):
        assert any(amount in line for line in lines), lines


def test_a_lot_s_trace_says_which_batches_cannot_be_left_out(desk):
    assert forward(desk.journal, "gly-1").reached == ()
    for sheet in (desk.trace("gly-1"), desk.recall("gly-1")):
        assert f"cannot be left out: {BATCH} has 20.0 g of glycerin, lot unknown" in sheet.notes
    assert not any("left out" in note for note in desk.trace("oil-1").notes)


def test_a_lot_named_afterwards_takes_its_line_out(desk):
    correcting.correct(
        desk.records, BATCH, correction(GLYCERIN, "lot", "gly-1", "found the jug", "Mara Lind")
    )
    assert "Purified water:" in open_ones(desk)[0]
    assert {(i.use.line, i.use.lot) for i in back(desk.journal, BATCH).inputs} >= {("glycerin", "gly-1")}
    assert desk.records.lots().lots["gly-1"].left == 980.0
    desk.journal.rebuild_indexes()
    assert desk.records.lots().lots["gly-1"].left == 980.0


def test_a_make_that_noted_nothing_of_it_has_the_deviation_all_the_same(desk):
    desk.journal.append("b-2", [started("b-2"), weight("", 5.0, "glycerin"), FINISHED])
    assert [d.kind for d in desk.records.standing("b-2").blocking] == ["lot unknown"]
    desk.journal.append("b-3", [started("b-3", rehearsal=True), weight("", 5.0, "glycerin"), FINISHED])
    assert desk.records.standing("b-3").blocking == ()


def test_a_weighing_that_was_taken_back_is_of_no_lot_nobody_knows(desk):
    said = [
        ev.ActBegan(at_s=1.0, step="02-weigh", act="pour"), weight("", 5.0, source=ev.Source.STATED),
        ev.ActTakenBack(at_s=2.0, step="02-weigh", act="pour"), weight("oil-1", 5.0),
    ]  # fmt: skip
    desk.journal.append("b-2", [started("b-2"), *said, FINISHED])
    assert desk.records.standing("b-2").blocking == ()
    assert [i.use.lot for i in back(desk.journal, "b-2").inputs] == ["oil-1"]


# --- water of the house --------------------------------------------------------------------------------------------


def tap(supplier="Saltmarsh town water, bench tap"):
    return delivery("house water", "purified-water", 0.0, supplier=supplier, expires="")


def test_water_on_tap_is_a_lot_that_names_its_source_and_is_never_empty(desk):
    assert desk.receive(tap(), "Mara Lind", "").startswith("Lot house water: purified water on tap.")
    assert "on tap" in desk.stock_list("purified-water").rows[0]
    desk.journal.append(
        "b-2", [started("b-2"), weight("house water", 9000.0, "purified-water"), filled(1), FINISHED]
    )
    (lot,) = (x for x in lots_on_hand(desk.journal) if x.lot == "house water")
    assert (lot.why_not, lot.left_g) == ("", float("inf"))
    assert any("Saltmarsh town water" in line for line in desk.trace("b-2/1").lines)
    assert "on tap since" in desk.trace("house water").head[0]


def test_what_comes_on_tap_says_from_where(desk):
    with pytest.raises(NotAllowed, match="needs the place it comes from"):
        desk.receive(tap(supplier=""), "Mara Lind", "")
