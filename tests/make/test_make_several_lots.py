"""A pour that goes on from another lot: each has its own grams, and nothing is taken before it is known what it is."""

from __future__ import annotations

import dataclasses

import pytest
from bench_by_hand import Bench, kinds
from test_make_lots import EXPIRED, OIL, OLDER, WATER, reading_back, scan

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.hands_free import distinct_choice, plain_choice
from benchapp.make.inputs import LotOnHand, Resumed, Store
from benchapp.record.drawing_up import record_of
from benchapp.record.stored_event import StoredEvent


def pouring(*lots: LotOnHand) -> Bench:
    """200 of 376 g of water are in, from the first lot."""
    bench = reading_back(*lots)
    bench.press("yes")
    bench.stand(420.0)
    bench.stand(420.0 + 200.0)
    return bench


def weighings(bench: Bench) -> list[tuple[str, float]]:
    return [(e.lot, e.net_g) for e in bench.events if isinstance(e, ev.WeightTaken)]


def offered(bench: Bench) -> list[str]:
    return [c.word for c in bench.view.act_view.choices]


def test_an_empty_bag_is_followed_by_another_lot_and_each_has_its_own_grams():
    bench = pouring(WATER, OLDER)
    assert offered(bench) == ["others", "accept less"]
    bench.press("others")
    assert bench.view.act_view.instruction == "Purified water: which lot goes on?"
    bench.stand(420.0 + 200.0)
    assert bench.view.act_view.note == "200 g of lot W7 are in."
    bench.press("lot:W6")
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 176.0)]
    assert bench.make.state.weighed_g[WATER.material] == 376.0


def test_the_parts_of_a_weighing_come_to_its_target_and_are_in_their_bands():
    bench = pouring(WATER, OLDER)
    bench.press("others")
    bench.press("lot:W6")
    whole = bench.make.plan.weighings[WATER.material].target
    bench.stand(420.0 + 376.5)
    parts = [e for e in bench.events if isinstance(e, ev.WeightTaken)]
    assert sum(p.target_g for p in parts) == pytest.approx(whole.grams)
    assert all(p.low_g <= p.net_g <= p.high_g for p in parts)
    assert [(p.portion, p.portions) for p in parts] == [(1, 2), (2, 2)]
    assert parts[-1].high_g - parts[-1].target_g == pytest.approx(whole.band.high - whole.grams)


def test_the_code_of_the_next_bag_is_enough():
    bench = pouring(WATER, OLDER)
    scan(bench, "4006")
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 176.0)]


def test_what_is_poured_before_the_lot_is_said_is_of_the_new_one():
    bench = pouring(WATER, OLDER)
    bench.press("others")
    bench.stand(420.0 + 200.0)
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [], "nothing is taken before it is known what it is"
    bench.press("lot:W6")
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 176.0)]


def test_the_same_lot_goes_on_and_the_weighing_stays_one():
    bench = pouring(WATER, OLDER)
    bench.press("others")
    assert bench.view.act_view.choices[0].label == "Go on with lot W7"
    assert kinds(bench.press("lot:W7")) == ["StageReached"]
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 376.0)]


def test_three_lots_in_one_weighing():
    last = dataclasses.replace(OLDER, lot="W5", code="4005")
    bench = pouring(WATER, OLDER, last)
    scan(bench, "4006")
    bench.stand(420.0 + 300.0)
    scan(bench, "4005")
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 100.0), ("W5", 76.0)]


def test_a_wrong_bag_scanned_while_pouring_is_refused_and_asked_about():
    bench = pouring(WATER, OIL, OLDER)
    scan(bench, "5001")
    assert bench.view.act_view.not_yet == ("This is Sunflower oil, not Purified water. Put it back.",)
    bench.stand(420.0 + 200.0)
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == []
    scan(bench, "4006")
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 176.0)]


def test_an_expired_second_lot_needs_its_reason_and_the_pour_goes_on_from_it():
    bench = pouring(WATER, EXPIRED)
    scan(bench, "4001")
    assert bench.view.act_view.not_yet == ("Lot W1 expired on 2026-01-01.",)
    bench.press("use anyway", "retested yesterday")
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W1", 176.0)]
    assert bench.make.state.deviations[-1].kind == "lot not usable"


def test_another_lot_is_offered_wherever_the_books_have_one_to_tell_it_from():
    assert offered(pouring(WATER)) == ["others", "accept less"]
    assert offered(pouring(OIL)) == ["accept less"]


def test_too_much_over_two_lots_is_asked_about_as_one_weighing():
    bench = pouring(WATER, OLDER)
    scan(bench, "4006")
    bench.stand(420.0 + 390.0)
    assert bench.make.state.progress.stage == "remedy"
    bench.press("accept", "the water is only water")
    assert weighings(bench) == [("W7", 200.0), ("W6", 190.0)]
    assert [d.kind for d in bench.make.state.deviations].count("weight out of band") == 1


def test_a_vessel_spilled_while_it_is_asked_which_lot_goes_on_is_asked_about_after_it():
    bench = pouring(WATER, OLDER)
    bench.press("others")
    bench.stand(620.0)
    bench.rest(0.0)
    bench.rest(600.0)
    bench.press("lot:W6")
    bench.rest(600.0)
    assert "spilled" in offered(bench)
    assert taken_last(bench).after_g == 200.0
    bench.press("spilled")
    bench.press("with less", "no more is here")
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 176.0)]


def taken_last(bench: Bench) -> ev.LotTaken:
    return [e for e in bench.events if isinstance(e, ev.LotTaken)][-1]


def test_insisting_on_the_lot_in_hand_though_it_was_recalled_is_a_deviation():
    bench = pouring(WATER, OLDER)
    bench.give(Store(bench.now, (OLDER, dataclasses.replace(WATER, why_not="Lot W7 is in quarantine."))))
    bench.press("others")
    bench.press("lot:W7")
    bench.press("use anyway", "the rest is in already")
    assert bench.make.state.deviations[-1].kind == "lot not usable"
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 376.0)]


def test_what_was_in_when_it_was_asked_stands_though_a_lot_was_refused_meanwhile():
    bench = pouring(WATER, OLDER, EXPIRED)
    bench.press("others")
    bench.stand(420.0 + 200.0)
    bench.stand(420.0 + 250.0)
    bench.press("lot:W1")
    bench.stand(420.0 + 300.0)
    bench.press("lot:W6")
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 176.0)]


def restarted(bench: Bench, *lots: LotOnHand) -> None:
    """The power fails, and the make goes on from its events, the vessel as it stood before."""
    shown = bench.shown["big"]
    bench.make = Make(bench.make.plan, list(bench.events))
    bench.give(Store(bench.now, lots))
    bench.give(Resumed(bench.now, 40.0, "1"))
    bench.rest(0.0)
    bench.press("pan is empty")
    bench.rest(0.0)
    bench.rest(shown)


@pytest.mark.parametrize("words", [("others",), ("others", "lot:W1")])
def test_a_power_cut_while_it_is_asked_which_lot_goes_on_loses_no_grams_of_the_first(words):
    bench = pouring(WATER, OLDER, EXPIRED)
    for word in words:
        bench.press(word)
    restarted(bench, WATER, OLDER, EXPIRED)
    assert bench.view.act_view.note == "200 g of lot W7 are in."
    bench.press("lot:W6")
    assert taken_last(bench).after_g == 200.0
    bench.press("poured on")
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 176.0)]


def test_a_lot_that_comes_in_during_a_pour_of_none_is_that_of_its_own_part():
    bench = pouring()
    bench.give(Store(bench.now, (OLDER,)))
    scan(bench, "4006")
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("", 200.0), ("W6", 176.0)]
    stored = [StoredEvent(n, "b", n, "", e, "") for n, e in enumerate(bench.events, 1)]
    assert {x["lot"]: x["drawn_g"] for x in record_of(stored).lots} == {"W6": 176.0, "": 200.0}


@pytest.mark.parametrize("lots", [(WATER, OLDER), (OLDER,), ()])
def test_no_foot_picks_the_lot_that_goes_on(lots):
    bench = pouring(WATER, OLDER)
    bench.press("others")
    bench.give(Store(bench.now, lots))
    assert offered(bench)
    assert (plain_choice(bench.view.act_view), distinct_choice(bench.view.act_view)) == (None, None)


def test_a_bag_that_is_on_no_book_is_a_part_of_no_lot_and_a_deviation():
    bench = pouring(WATER)
    bench.give(Store(bench.now, ()))
    scan(bench, "9999")
    assert offered(bench) == ["unknown"]
    bench.press("unknown")
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 200.0), ("", 176.0)]
    assert [d.kind for d in bench.make.state.deviations].count("lot unknown") == 1


def recalled_while_pouring() -> Bench:
    bench = pouring(WATER, OLDER)
    recalled = dataclasses.replace(WATER, why_not="Lot W7 is in quarantine.")
    bench.give(Store(bench.now, (recalled, OLDER)))
    bench.stand(420.0 + 200.0)
    return bench


def test_a_lot_recalled_while_it_is_poured_stops_the_pour_and_another_goes_on():
    bench = recalled_while_pouring()
    assert bench.view.act_view.not_yet == ("Lot W7 is in quarantine.",)
    assert offered(bench) == ["lot:W6", "others", "use anyway"]
    bench.press("lot:W6")
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 176.0)]


def test_a_lot_recalled_while_it_is_poured_is_used_all_the_same_for_a_reason_that_is_major():
    bench = recalled_while_pouring()
    bench.press("use anyway", "recalled for its label alone")
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 376.0)]
    assert (bench.make.state.deviations[-1].grade, bench.make.state.deviations[-1].kind) == (
        ev.Grade.MAJOR,
        "lot not usable",
    )


def test_a_lot_that_the_book_has_empty_is_poured_on():
    bench = pouring(WATER, OLDER)
    empty = dataclasses.replace(WATER, left_g=0.0, why_not="Lot W7 is empty by the book.")
    bench.give(Store(bench.now, (empty, OLDER)))
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 376.0)]
