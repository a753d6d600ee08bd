"""Several lots in a weighing that no scale tells: how much each gave is said, and what is on no book is said to be so."""

from __future__ import annotations

import dataclasses

import pytest
from bench_by_hand import SCALES, Bench, kinds
from test_make_lots import EXPIRED, OIL, OLDER, WATER, reading_back, scan
from test_make_several_lots import offered, pouring, restarted, weighings

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.inputs import LotOnHand, NoNumber, Resumed, Store, Tick, TypeValue
from benchapp.record.drawing_up import record_of
from benchapp.record.stored_event import StoredEvent

RECALLED = dataclasses.replace(WATER, why_not="Lot W7 is in quarantine.")


def by_hand(*lots: LotOnHand) -> Bench:
    """Water is to be weighed on a scale that is not connected, and the first lot of it is in hand."""
    bench = Bench(devices=(SCALES[2],))
    bench.give(Store(0.0, lots))
    bench.to("02-weigh")
    bench.press("yes")
    return bench


def half_lost(*lots: LotOnHand) -> Bench:
    """200 of 376 g are in when the scale is lost."""
    bench = pouring(*lots)
    bench.give(NoNumber(bench.now, "big", None, "lost", "The big is out of reach.", lost=True))
    return bench


def type_in(bench: Bench, value: float) -> list[ev.Event]:
    """The value typed, where the view takes it."""
    ask = bench.view.act_view.ask
    assert ask is not None, "nothing is typed here"
    assert ask.low <= value <= ask.high, f"{value} is not taken here"
    bench.now += 1.0
    return bench.give(TypeValue(bench.now, bench.make.state.prompt, value))


def sources(bench: Bench) -> list[ev.Source]:
    return [e.source for e in bench.events if isinstance(e, ev.WeightTaken)]


def unknown(bench: Bench) -> list[str]:
    return [d.text for d in bench.make.state.deviations if d.kind == "lot unknown"]


# --- by hand -------------------------------------------------------------------------------------------


def test_by_hand_an_empty_bag_is_followed_by_another_lot_and_each_has_its_grams():
    bench = by_hand(WATER, OLDER)
    bench.press("others")
    assert bench.view.act_view.instruction == "How much Purified water is in?"
    type_in(bench, 200.0)
    assert bench.view.act_view.note == "200 g of lot W7 are in."
    bench.press("lot:W6")
    assert bench.view.act_view.note == "200 g are in; weigh 176.00 g more."
    type_in(bench, 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 176.0)]
    assert sources(bench) == [ev.Source.STATED] * 2
    assert bench.make.state.weighed_g[WATER.material] == 376.0


def test_by_hand_the_code_of_the_next_bag_is_taken_up_once_it_is_said_how_much_is_in():
    bench = by_hand(WATER, OLDER)
    scan(bench, "4006")
    type_in(bench, 200.0)
    type_in(bench, 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 176.0)]


def test_by_hand_three_lots_and_what_is_said_to_be_in_never_grows_less():
    bench = by_hand(WATER, OLDER, dataclasses.replace(OLDER, lot="W5", code="4005"))
    scan(bench, "4006")
    type_in(bench, 200.0)
    scan(bench, "4005")
    assert bench.view.act_view.ask.low == 200.0
    type_in(bench, 300.0)
    assert bench.view.act_view.ask.low == 300.0
    type_in(bench, 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 100.0), ("W5", 76.0)]


def test_what_is_in_of_three_lots_is_a_round_number():
    """0.3 + 1.1 is not 1.4 in binary floats: what was typed could not be typed again."""
    bench = by_hand(WATER, OLDER, dataclasses.replace(OLDER, lot="W5", code="4005"))
    scan(bench, "4006")
    type_in(bench, 0.3)
    scan(bench, "4005")
    type_in(bench, 1.4)
    assert bench.view.act_view.ask.low == 1.4


def test_by_hand_a_weight_typed_below_its_band_may_be_where_the_bag_ended():
    bench = by_hand(WATER, OLDER)
    type_in(bench, 200.0)
    assert offered(bench) == ["type again", "typed anyway", "others"]
    bench.press("others")
    bench.press("lot:W6")
    type_in(bench, 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 176.0)]
    assert [d.kind for d in bench.make.state.deviations if d.kind.startswith("weight")] == []


def test_by_hand_a_weight_typed_above_its_band_is_no_empty_bag():
    bench = by_hand(WATER, OLDER)
    type_in(bench, 3760.0)
    assert offered(bench) == ["type again", "typed anyway"]
    assert bench.press("others") == []


@pytest.mark.parametrize(("lots", "word"), [((WATER, OLDER), "lot:W7"), ((WATER,), "lot:W7")])
def test_by_hand_the_same_lot_goes_on_without_a_number(lots, word):
    bench = by_hand(*lots)
    bench.press("others")
    assert offered(bench) == [word]
    assert kinds(bench.press(word)) == ["StageReached"]
    type_in(bench, 376.0)
    assert weighings(bench) == [("W7", 376.0)]


def test_by_hand_nothing_of_the_first_lot_makes_it_all_the_second():
    bench = by_hand(WATER, OLDER)
    scan(bench, "4006")
    type_in(bench, 0.0)
    type_in(bench, 376.0)
    assert weighings(bench) == [("W6", 376.0)]


def test_by_hand_a_recalled_lot_is_asked_about_at_once_and_another_goes_on():
    bench = by_hand(WATER, OLDER)
    bench.give(Store(bench.now, (RECALLED, OLDER)))
    bench.give(Tick(bench.now + 1.0))
    assert bench.view.act_view.not_yet == ("Lot W7 is in quarantine.",)
    bench.press("lot:W6")
    type_in(bench, 200.0)
    type_in(bench, 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 176.0)]


def test_by_hand_a_recalled_lot_is_used_all_the_same_for_a_reason():
    bench = by_hand(WATER)
    bench.give(Store(bench.now, (RECALLED,)))
    bench.give(Tick(bench.now + 1.0))
    bench.press("use anyway", "recalled for its label alone")
    type_in(bench, 376.0)
    assert weighings(bench) == [("W7", 376.0)]
    assert bench.make.state.deviations[-1].kind == "lot not usable"


@pytest.mark.parametrize("answers", [[], [200.0], [200.0, "lot:W6"], ["typed", "others"]])
def test_by_hand_a_power_cut_at_each_question_loses_nothing_that_was_said(answers):
    bench = by_hand(WATER, OLDER)
    if answers[:1] == ["typed"]:
        type_in(bench, 200.0)
        answers = answers[1:]
    else:
        bench.press("others")
    for said in answers:
        type_in(bench, said) if isinstance(said, float) else bench.press(said)
    before = bench.view.act_view
    bench.make = Make(bench.make.plan, list(bench.events))
    bench.give(Store(bench.now, (WATER, OLDER)))
    bench.give(Resumed(bench.now, 40.0, "1"))
    assert bench.view.act_view == before
    if bench.view.act_view.instruction.startswith("How much"):
        type_in(bench, 200.0)
    if bench.view.act_view.instruction.endswith("which lot goes on?"):
        bench.press("lot:W6")
    type_in(bench, 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 176.0)]


def test_by_hand_a_weighing_out_of_two_lots_can_be_taken_back_whole():
    bench = by_hand(WATER, OLDER)
    scan(bench, "4006")
    type_in(bench, 200.0)
    type_in(bench, 376.0)
    assert bench.view.take_back.endswith("376 g typed")


# --- a scale lost in the middle ------------------------------------------------------------------------


def test_a_scale_lost_in_the_middle_does_not_give_the_first_bags_grams_to_the_second():
    bench = half_lost(WATER, OLDER)
    assert "others" in offered(bench)
    bench.press("others")
    assert bench.view.act_view.instruction == "How much Purified water is in?"
    type_in(bench, 210.0)
    assert bench.view.act_view.instruction == "Purified water: which lot goes on?"
    assert bench.view.trouble.kind == "device lost"
    bench.press("lot:W6")
    type_in(bench, 376.0)
    assert weighings(bench) == [("W7", 210.0), ("W6", 166.0)]
    assert sources(bench) == [ev.Source.STATED] * 2


def test_what_was_measured_before_the_scale_was_lost_need_not_be_said():
    bench = pouring(WATER, OLDER)
    bench.press("others")
    bench.give(NoNumber(bench.now, "big", None, "lost", "The big is out of reach.", lost=True))
    bench.press("lot:W6")
    type_in(bench, 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 176.0)]


def test_a_part_whose_end_was_stated_is_stated_though_the_scale_came_back():
    bench = half_lost(WATER, OLDER)
    bench.press("others")
    type_in(bench, 200.0)
    bench.press("lot:W6")
    bench.rest(0.0)
    bench.press("pan is empty")
    bench.rest(0.0)
    bench.rest(620.0)
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 176.0)]
    assert sources(bench) == [ev.Source.STATED] * 2


def test_a_scale_that_is_silent_does_not_give_the_first_bags_grams_to_the_second():
    bench = pouring(WATER, OLDER)
    bench.now += 30.0
    assert bench.view.act_view.not_yet[-1] == "No reading yet."
    bench.press("others")
    bench.press("lot:W6")
    assert bench.view.act_view.instruction == "How much Purified water is in?"
    bench.stand(420.0 + 200.0)
    bench.press("lot:W6")
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("W7", 200.0), ("W6", 176.0)]


def poured_unheard(grams: float) -> Bench:
    """The water's weight was typed, the scale lost; so much of the chelator is in when the scale is heard again."""
    bench = half_lost(WATER, LotOnHand("C1", "chelator-solution", "Chelator solution", 50.0))
    type_in(bench, 376.0)
    bench.press("yes")
    bench.rest(0.0)
    bench.press("pan is empty")
    bench.rest(0.0)
    bench.rest(420.0 + 376.0 + grams)
    return bench


def test_what_a_lost_scale_did_not_see_is_no_late_drop_of_the_line_before():
    bench = poured_unheard(0.5)
    assert not any(isinstance(e, ev.LateDropFound) for e in bench.events)
    assert "had begun" in offered(bench)
    bench.press("had begun")
    bench.stand(420.0 + 376.0 + 1.0)
    assert [(e.line, e.net_g) for e in bench.events if isinstance(e, ev.WeightTaken)] == [
        ("purified-water", 376.0), ("chelator-solution", 1.0),
    ]  # fmt: skip


def test_what_nobody_saw_while_the_power_was_off_is_no_late_drop_either():
    bench = pouring(WATER, LotOnHand("C1", "chelator-solution", "Chelator solution", 50.0))
    bench.stand(420.0 + 376.0)
    bench.press("yes")
    bench.shown["big"] = 420.0 + 376.0 + 0.5
    restarted(bench, WATER)
    assert not any(isinstance(e, ev.LateDropFound) for e in bench.events)
    assert "had begun" in offered(bench)


def test_a_lost_scale_that_shows_what_was_booked_asks_nothing():
    bench = poured_unheard(0.0)
    assert bench.make.state.progress.baseline_g is not None


# --- what is on no book --------------------------------------------------------------------------------


def test_a_code_nobody_knows_is_one_sentence_and_a_way_on_before_the_first_pour():
    bench = reading_back(WATER)
    scan(bench, "9999")
    assert bench.view.act_view.not_yet == (
        "No lot here has the code 9999: pick one, or say that it is not on the books.",
    )
    assert offered(bench) == ["lot:W7", "unknown"]
    bench.press("unknown")
    assert unknown(bench) == ["Purified water: 9999 is on no book; the batch cannot be traced to it."]
    bench.stand(420.0)
    bench.stand(420.0 + 376.0)
    assert weighings(bench) == [("", 376.0)]


def test_a_bag_without_a_number_is_said_to_be_on_no_book():
    bench = reading_back(WATER)
    bench.press("others")
    bench.press("unknown")
    assert unknown(bench) == [
        "Purified water: what was used is on no book; the batch cannot be traced to it."
    ]


@pytest.mark.parametrize("make", [pouring, by_hand, half_lost])
def test_a_second_bag_on_no_book_goes_on_and_is_recorded_as_such(make):
    bench = make(WATER, OIL)
    scan(bench, "9999")
    if bench.view.act_view.instruction.startswith("How much"):
        type_in(bench, 200.0)
    assert "unknown" in offered(bench)
    bench.press("unknown")
    if make is pouring:
        bench.stand(420.0 + 376.0)
    else:
        type_in(bench, 376.0)
    assert weighings(bench) == [("W7", 200.0), ("", 176.0)]
    (said,) = unknown(bench)
    assert "9999" in said
    stored = [StoredEvent(n, "b", n, "", e, "") for n, e in enumerate(bench.events, 1)]
    assert {x["lot"]: x["drawn_g"] for x in record_of(stored).lots} == {"W7": 200.0, "": 176.0}


def test_each_material_on_no_book_is_said_though_another_was_before():
    bench = by_hand(WATER, LotOnHand("C1", "chelator-solution", "Chelator solution", 50.0))
    bench.press("others")
    type_in(bench, 200.0)
    bench.press("unknown")
    type_in(bench, 376.0)
    bench.press("others")
    bench.press("unknown")
    assert [text.partition(":")[0] for text in unknown(bench)] == ["Purified water", "Chelator solution"]


def test_an_expired_lot_is_put_aside_for_one_on_no_book():
    bench = reading_back(EXPIRED)
    bench.press("yes")
    assert offered(bench) == ["others", "use anyway"]
    bench.press("others")
    bench.press("unknown")
    assert [d.kind for d in bench.make.state.deviations if d.kind.startswith("lot")] == ["lot unknown"]
