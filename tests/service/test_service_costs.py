"""Costs and needs of the demo workshop, asked as a maker would. Prices are invented."""

from __future__ import annotations

import pytest
from workshop_days import a_month, correction, delivery, made

from benchapp.record import correcting
from benchapp.service.desk import Desk
from benchapp.service.errors import CommandError
from benchapp.service.needs import Sized

LOTION, PREMIX = "20260303-oat-hand-lotion-1", "20260302-rose-premix-1"


@pytest.fixture
def desk(journal):
    a_month(journal)
    return Desk(journal)


def priced(desk, **prices):
    for lot, price in prices.items():
        desk.price(lot.replace("_", "-"), price, "Mara Lind", "")


def test_a_batch_of_an_own_premix_costs_what_went_into_that(desk):
    """oil-1: 300 g of 1000 g at 12.50 = 3.75, all of it in a premix of 290 g, of which 90 g: 3.75 × 90 / 290 = 1.16;
    water 380 g of 20 kg at 2.00 = 0.04; five jars of 200 at 100.00 = 2.50."""
    priced(desk, oil_1=(12.5, "EUR"), water_9=(2.0, "EUR"), jar_3=(100.0, "EUR"))
    sheet = desk.cost(LOTION)
    assert {row[0]: row[3] for row in sheet.rows} == {
        "purified water": "0.04 EUR", "rose premix": "1.16 EUR", "jar 100": "2.50 EUR"
    }  # fmt: skip
    assert sheet.notes[0] == "Materials 1.20 EUR, packaging 2.50 EUR."
    assert sheet.notes[-1] == (
        "In all 3.70 EUR without the work (its rate: --hourly); 0.93 EUR for each of 4 containers."
    )


def test_a_rehearsal_cost_nothing_and_says_why(journal, desk):
    from benchapp import events as ev

    begun = ev.MakeStarted(
        at_s=0.0, batch="practised", maker="Mara Lind", procedure="tide-pool-gel", procedure_sha256="0" * 64,
        procedure_text="", batch_g=500.0, devices=(), rehearsal=True,
    )  # fmt: skip
    journal.append("practised", [begun])
    sheet = desk.cost("practised", hourly=20.0)
    assert sheet.head[0].startswith("A rehearsal draws from no lot of the store")
    assert (sheet.rows, sheet.notes) == ((), ())


def test_a_lot_without_a_price_is_named(desk):
    priced(desk, jar_3=(100.0, "EUR"))
    notes = desk.cost(LOTION).notes
    assert "rose premix, lot pre-1" in notes[-1]
    assert "purified water, lot water-9" in notes[-1]


def test_two_currencies_are_not_added_up(desk):
    priced(desk, oil_1=(12.5, "EUR"), water_9=(2.0, "GBP"))
    with pytest.raises(CommandError, match="priced in EUR and GBP"):
        desk.cost(LOTION)


def test_a_later_price_stands(desk):
    priced(desk, oil_1=(12.5, "EUR"))
    priced(desk, oil_1=(10.0, "EUR"))
    assert desk.cost(PREMIX).rows[0][3] == "3.00 EUR"


def test_another_size_takes_more_of_each_and_more_containers(desk):
    """Twice the 500 g: eight containers where there were four."""
    priced(desk, oil_1=(12.5, "EUR"), water_9=(2.0, "EUR"), jar_3=(100.0, "EUR"))
    sheet = desk.cost(LOTION, hourly=20.0, batch_g=1000.0)
    assert {row[0]: row[2] for row in sheet.rows} == {
        "purified water": "760.0 g", "rose premix": "180.0 g", "jar 100": "10 pieces"
    }  # fmt: skip
    assert "of 8 containers" in sheet.notes[-1]
    assert "in one size: heating and cooling take longer in a larger one" in sheet.head[1]


def test_a_week_needs_what_its_batches_need_and_says_what_runs_out_first(journal, desk, lotion):
    """Three of 500 g: 105 g of sunflower oil, of which 950 g and 700 g are here; of shea none. Jars: five for 500 g."""
    journal.append("workshop", [delivery("shea-1", "shea-butter", 25.0)])
    sheet = desk.needs([Sized(lotion, 500.0, 3)])
    rows = {row[0]: row[1:] for row in sheet.rows}
    assert rows["Sunflower oil"] == ("105.0 g", "1 650.0 g", "", "")
    assert rows["Shea butter"] == ("30.0 g", "25.0 g", "5.0 g", f"in batch 3, {lotion.name}")
    assert rows["Oat oil"] == ("30.0 g", "0.0 g", "30.0 g", f"in batch 1, {lotion.name}")
    assert list(rows).index("Oat oil") < list(rows).index("Shea butter") < list(rows).index("Sunflower oil")
    assert "Citric acid solution 10 % 15.0 g" in sheet.notes[0]


def test_packaging_is_foreseen_by_the_newest_batch(journal, desk, lotion):
    made(journal, "20260305-oat-hand-lotion-1", {"sunflower-oil": ("oil-2", 50.0)})
    before = desk.needs([Sized(lotion, 500.0, 1)])
    assert "jar-100" not in {row[0] for row in before.rows}
    assert before.notes[-1].startswith(f"No packaging is counted for {lotion.name}: no past batch says")
    desk.pack("20260305-oat-hand-lotion-1", "jar-3", (5, 1), "Mara Lind", "")
    after = desk.needs([Sized(lotion, 900.0, 2)])
    assert "packaging" not in " ".join(after.notes)
    rows = {row[0]: row[1:] for row in after.rows}
    assert rows["jar-100"] == ("18 pieces", "190 pieces", "", "")
    said = journal.last("20260305-oat-hand-lotion-1").n
    correcting.correct(desk.records, "20260305-oat-hand-lotion-1", correction(said, "pieces", "10"))
    rows = {row[0]: row[1:] for row in desk.needs([Sized(lotion, 900.0, 2)]).rows}
    assert rows["jar-100"] == ("36 pieces", "185 pieces", "", ""), "by the pieces as they stand"


def test_what_expires_before_is_not_counted_on(journal, desk, lotion):
    journal.append("workshop", [delivery("shea-1", "shea-butter", 25.0, expires="2026-03-10")])
    on_hand = {
        day: {r[0]: r[2] for r in desk.needs([Sized(lotion, 500.0, 1)], day).rows}
        for day in ("2026-03-09", "2026-03-11")
    }
    assert [on_hand[day]["Shea butter"] for day in on_hand] == ["25.0 g", "0.0 g"]


def test_a_card_says_how_long_it_usually_takes_and_what_is_short(journal, desk, lotion):
    """Three of the newest makes decide; a workshop without lots is short of nothing it knows of."""
    from benchapp import events as ev

    for n, seconds in enumerate((9999.0, 3600.0, 5400.0, 4500.0)):
        begun = ev.MakeStarted(
            at_s=0.0, batch=f"gel-{n}", maker="Mara Lind", procedure="tide-pool-gel", procedure_sha256="0" * 64,
            procedure_text="", batch_g=500.0, devices=(),
        )  # fmt: skip
        journal.append(
            f"gel-{n}", [begun, ev.MakeFinished(at_s=seconds, product_g=480.0, yield_percent=96.0)]
        )
    assert desk.usual_s("tide-pool-gel") == 4500.0
    assert desk.usual_s("winter-shore-cream") is None
    short = desk.short_of(lotion)
    assert "Shea butter" in short
    assert "Sunflower oil" not in short


def test_who_keeps_no_lots_is_short_of_nothing(tmp_path, lotion):
    from benchapp.record.journal import Journal

    journal = Journal(tmp_path / "empty", lambda: "2026-03-01T09:00:00.000+01:00")
    assert Desk(journal).short_of(lotion) == ()
    journal.close()
