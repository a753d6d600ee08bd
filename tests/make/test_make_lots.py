"""Each weighing draws from a named lot, confirmed before the pour; a lot that may not be used has a way out."""

from __future__ import annotations

import dataclasses

import pytest
from bench_by_hand import Bench, kinds

from benchapp import events as ev
from benchapp.make.acts.lot import lot_in_hand
from benchapp.make.inputs import LotOnHand, Scanned, Store
from benchapp.make.remedies import left_of_its_lot

WATER = LotOnHand("W7", "purified-water", "Purified water", 5000.0, code="4007")
OLDER = LotOnHand("W6", "purified-water", "Purified water", 900.0, code="4006")
OIL = LotOnHand("S1", "sunflower-oil", "Sunflower oil", 500.0, code="5001")
EXPIRED = LotOnHand(
    "W1", "purified-water", "Purified water", 100.0, "2026-01-01", "4001", "Lot W1 expired on 2026-01-01."
)


def reading_back(*lots: LotOnHand) -> Bench:
    """The water pot stands on its scale, and purified water is to be fetched."""
    bench = Bench()
    bench.give(Store(0.0, lots))
    bench.to("02-weigh")
    bench.stand(0.0)
    bench.place(420.0)
    assert bench.make.state.progress.act.startswith("read")
    return bench


def scan(bench: Bench, code: str) -> list[ev.Event]:
    bench.now += 1.0
    return bench.give(Scanned(bench.now, bench.make.state.prompt, code))


def taken(bench: Bench) -> ev.LotTaken:
    (one,) = [e for e in bench.events if isinstance(e, ev.LotTaken)]
    return one


def test_the_material_key_of_the_shipped_lotion_is_the_one_used_here():
    assert reading_back().procedure.formula.lines[0].material.key == WATER.material


def test_the_remembered_lot_is_confirmed_by_a_yes_and_stands_in_the_weighing():
    bench = reading_back(WATER, OLDER)
    assert bench.view.act_view.choices[0].label == "It is lot W7"
    bench.press("yes")
    assert (taken(bench).lot, taken(bench).how) == ("W7", "remembered")
    bench.stand(420.0)
    bench.stand(420.0 + 376.0)
    (weighing,) = [e for e in bench.events if isinstance(e, ev.WeightTaken)]
    assert weighing.lot == "W7"


def test_another_lot_is_picked():
    bench = reading_back(WATER, OLDER)
    bench.press("lot:W6")
    assert (taken(bench).lot, taken(bench).how) == ("W6", "picked")


@pytest.mark.parametrize("code", ["4006", "w6", " 4006 "])
def test_a_barcode_says_which_lot_is_in_hand(code):
    bench = reading_back(WATER, OLDER)
    scan(bench, code)
    assert (taken(bench).lot, taken(bench).how) == ("W6", "scanned")


def test_the_wrong_material_is_refused_by_name_and_asked_again():
    bench = reading_back(WATER, OIL)
    assert kinds(scan(bench, "5001")) == ["LotRefused"]
    assert bench.view.act_view.not_yet[0] == "This is Sunflower oil, not Purified water. Put it back."
    bench.press("yes")
    assert taken(bench).lot == "W7"


def test_an_unknown_code_is_refused():
    bench = reading_back(WATER)
    scan(bench, "9999")
    assert "No lot here has the code 9999" in bench.view.act_view.not_yet[0]


def test_an_expired_lot_is_refused_and_used_only_with_a_written_reason_that_is_a_major_deviation():
    bench = reading_back(EXPIRED)
    assert "LotRefused" in kinds(bench.press("yes"))
    assert bench.view.act_view.not_yet == ("Lot W1 expired on 2026-01-01.",)
    assert bench.press("use anyway") == []
    bench.press("use anyway", "retested yesterday")
    assert taken(bench).lot == "W1"
    assert [(d.grade, d.kind) for d in bench.make.state.deviations][-1] == (ev.Grade.MAJOR, "lot not usable")


def test_after_a_refusal_a_usable_lot_can_be_picked():
    bench = reading_back(EXPIRED, WATER)
    scan(bench, "4001")
    assert [c.word for c in bench.view.act_view.choices] == ["lot:W7", "others", "use anyway"]
    bench.press("lot:W7")
    assert taken(bench).lot == "W7"


def test_too_little_left_is_said_before_the_pour():
    bench = reading_back(dataclasses.replace(WATER, left_g=12.0))
    assert bench.view.act_view.not_yet == ("By the book only 12 g of lot W7 are left.",)


def test_a_workshop_without_lots_goes_on_and_the_gap_is_a_minor_deviation_once():
    bench = reading_back()
    bench.press("yes")
    assert (taken(bench).lot, taken(bench).how) == ("", "none")
    noted = [d for d in bench.make.state.deviations if d.kind == "lot unknown"]
    assert [d.grade for d in noted] == [ev.Grade.MINOR]


def test_a_lot_in_hand_can_be_taken_back():
    bench = reading_back(WATER, OLDER)
    bench.press("yes")
    assert bench.view.take_back.endswith("lot W7")


def test_keeping_the_formula_is_refused_where_the_lot_does_not_reach():
    """Too much chelator: more water would have to go on top, and its lot is nearly empty."""
    chelator = LotOnHand("C1", "chelator-solution", "Chelator solution", 50.0)
    bench = reading_back(dataclasses.replace(WATER, left_g=400.0), chelator)
    bench.press("yes")
    bench.stand(420.0)
    bench.stand(420.0 + 376.0)
    bench.press("yes")
    bench.stand(796.0)
    bench.stand(796.0 + 1.6)
    assert bench.make.state.progress.stage == "remedy"
    assert "keep" not in [c.word for c in bench.view.act_view.choices]
    assert any("The lot of Purified water still holds 24 g" in said for said in bench.view.act_view.not_yet)


def test_a_lot_in_hand_is_asked_for_anew_once_it_may_not_be_used_and_nobody_insisted():
    bench = reading_back(WATER, OLDER)
    assert lot_in_hand(bench.make.context(), WATER.material) is None, "none was taken yet"
    bench.press("yes")
    assert lot_in_hand(bench.make.context(), WATER.material) == taken(bench)
    recalled = dataclasses.replace(WATER, why_not="Lot W7 is in quarantine.")
    bench.give(Store(bench.now, (recalled, OLDER)))
    assert lot_in_hand(bench.make.context(), WATER.material) is None


def test_what_somebody_insisted_on_is_not_asked_for_again():
    bench = reading_back(EXPIRED)
    bench.press("yes")
    bench.press("use anyway", "nothing else is here")
    assert lot_in_hand(bench.make.context(), EXPIRED.material).lot == "W1"


def test_what_was_weighed_since_the_store_was_asked_is_taken_off_once():
    bench = reading_back(WATER)
    bench.press("yes")
    bench.stand(420.0)
    bench.stand(420.0 + 376.0)
    drawn_g = next(e.net_g for e in bench.events if isinstance(e, ev.WeightTaken))
    context = bench.make.context()
    assert left_of_its_lot(context, WATER.material) == pytest.approx(5000.0 - drawn_g)
    bench.give(
        Store(bench.now, (dataclasses.replace(WATER, left_g=5000.0 - drawn_g),))
    )  # asked in the middle of a step
    assert left_of_its_lot(bench.make.context(), WATER.material) == pytest.approx(5000.0 - drawn_g)


def test_a_yes_is_of_the_lot_it_was_said_of_though_another_stands_first_by_then():
    bench = reading_back(WATER, OLDER)
    word = bench.view.act_view.choices[0].word
    bench.give(Store(bench.now, (OLDER, WATER)))
    assert bench.view.act_view.choices[0].label == "It is lot W6"
    bench.press(word)
    assert taken(bench).lot == "W7"


def test_a_yes_to_a_lot_that_was_recalled_meanwhile_is_refused():
    bench = reading_back(WATER, OLDER)
    word = bench.view.act_view.choices[0].word
    recalled = dataclasses.replace(WATER, why_not="Lot W7 is in quarantine.")
    bench.give(Store(bench.now, (OLDER, recalled)))
    assert kinds(bench.press(word)) == ["LotRefused", "StageReached"]
