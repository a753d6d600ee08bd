"""A boat or bottle that was begun and left its scale: another one, or a tare key, is not taken for it."""

from __future__ import annotations

import pytest
from bench_by_hand import SCALES, Bench, kinds
from test_make_filling import bottle, filling

from benchapp import events as ev
from benchapp.make.inputs import Grams, Hold, NoNumber, Tick, TypeValue

BOAT_G = 3.5


def poured(bench, to_g, device="big", seconds=8.0):
    """A thread runs in, and the scale comes to rest."""
    out, before = [], bench.shown[device]
    for n in range(1, int(seconds * 10)):
        bench.now = round(bench.now + 0.1, 3)
        on_the_way = round(before + (to_g - before) * n / (seconds * 10), 2)
        out += bench.give(Grams(bench.now, device, on_the_way, False, False))
    return [*out, *bench.rest(to_g, 5.0, device)]


@pytest.fixture
def half_full():
    """A bottle of 18 g stands on the big scale, with 60 g in it."""
    bench = filling(450.0)
    bench.stand(0.0)
    bench.stand(18.0)
    poured(bench, 78.0)
    return bench


@pytest.fixture
def boat():
    """The batch reads pH 6.4, and an empty boat stands on the fine scale for the acid."""
    bench = Bench(devices=SCALES[:2])
    bench.jump("14-measure-ph")
    bench.weigh_everything()
    bench.give(Tick(bench.now))
    for _ in range(200):
        bench.rest(0.0, 2.0, "fine")
        stage = bench.make.state.progress.stage.plain
        if stage == "dose":
            break
        if bench.press("meter") or bench.press("add"):
            continue
        if stage == "read":
            bench.give(TypeValue(bench.now, bench.make.state.prompt, 6.4))
        elif not bench.press("understood" if "cautions" in bench.make.state.prompt else "yes"):
            bench.give(Tick(bench.now + 30.0))
    assert "PourBegan" in kinds(bench.stand(BOAT_G, 4.0, "fine"))
    return bench


def filled(bench):
    return [e.net_g for e in bench.events if isinstance(e, ev.BottleFilled)]


def doses(bench):
    return [e.net_g for e in bench.events if isinstance(e, ev.WeightTaken) and e.step == "14-measure-ph"]


def words(bench):
    return [c.word for c in bench.view.act_view.choices]


def test_a_bottle_that_comes_back_as_it_went_is_filled_on_without_a_question(half_full):
    half_full.stand(0.0)
    assert words(half_full) == ["start over"]
    half_full.stand(78.1)
    assert words(half_full) == []
    poured(half_full, 118.3)
    assert filled(half_full) == [100.3]


def test_another_bottle_is_not_filled_on_above_the_first_ones_mass(half_full):
    """One of 19.2 g in place of the first was filled to 99.1 g, and 100.3 g were on the record."""
    half_full.stand(0.0)
    half_full.stand(19.2)
    assert half_full.view.act_view.instruction == "Bottle 1 came back 58.8 g lighter."
    assert words(half_full) == ["start over"]
    poured(half_full, 118.3)
    half_full.press("take")
    assert filled(half_full) == []
    half_full.press("start over")
    half_full.stand(0.0)
    bottle(half_full, 100.3, empty_g=19.2)
    assert filled(half_full) == [100.3]


def test_what_was_filled_beside_the_scale_is_asked_about_and_counts(half_full):
    half_full.stand(0.0)
    half_full.stand(118.3)
    assert half_full.view.act_view.instruction == "Bottle 1 came back 40.3 g heavier. Was more put in?"
    assert filled(half_full) == []
    (said,) = half_full.press("poured on")
    assert said.text == "40.3 g more were put into bottle 1 beside the scale."
    half_full.rest(118.3, 3.0)
    assert filled(half_full) == [100.3]


def test_a_tare_pressed_on_a_bottle_is_no_way_to_fill_it_by_its_mass_too_much():
    """The display at 0 with the bottle on it: 118.3 g went in, and 100.3 g were on the record."""
    bench = filling(450.0)
    bench.stand(0.0)
    bench.stand(18.0)
    bench.rest(0.0, 4.0)
    poured(bench, 100.3)
    assert "Was more put in?" in bench.view.act_view.instruction
    assert "its tare was pressed" in bench.view.act_view.not_yet[0]
    poured(bench, 118.3)
    assert filled(bench) == []
    assert "last" not in words(bench)
    bench.press("start over")
    bench.rest(-18.0)
    bench.rest(0.0)
    bench.press("pan is empty")
    bottle(bench, 100.3)
    assert filled(bench) == [100.3]


@pytest.mark.parametrize(("zero_g", "back_g"), [(0.0, 78.0), (1.5, 79.5)])
def test_a_bottle_half_full_when_the_scale_was_lost_stands_above_the_zero_it_has_then(
    half_full, zero_g, back_g
):
    half_full.give(NoNumber(half_full.now + 1.0, "big", None, "unplugged", "big went away.", True))
    half_full.rest(zero_g)
    half_full.press("pan is empty")
    half_full.stand(back_g)
    assert words(half_full) == []
    poured(half_full, back_g + 40.3)
    assert filled(half_full) == [100.3]


def test_another_bottle_after_the_scale_was_lost_is_not_taken_for_it(half_full):
    half_full.give(NoNumber(half_full.now + 1.0, "big", None, "unplugged", "big went away.", True))
    half_full.rest(0.0)
    half_full.press("pan is empty")
    half_full.stand(19.2)
    assert half_full.view.act_view.instruction == "Bottle 1 came back 58.8 g lighter."


def test_a_tare_pressed_on_a_boat_is_no_way_to_dose_by_its_mass_too_much(boat):
    """4.05 g of acid were in the boat, and 0.55 g on the record: the pH was set by a seventh of what went in."""
    dose_g = boat.view.act_view.want.amount
    boat.rest(0.0, 4.0, "fine")
    poured(boat, dose_g, "fine")
    assert boat.view.act_view.instruction == f"The boat came back {BOAT_G - dose_g:.2f} g lighter."
    poured(boat, round(dose_g + BOAT_G, 2), "fine")
    assert doses(boat) == []


def test_a_boat_that_comes_back_as_it_went_is_dosed_on(boat):
    dose_g = boat.view.act_view.want.amount
    poured(boat, BOAT_G + 0.3, "fine")
    boat.stand(0.0, 4.0, "fine")
    assert words(boat) == ["start over"]
    boat.stand(BOAT_G + 0.3, 4.0, "fine")
    poured(boat, round(BOAT_G + dose_g, 2), "fine")
    assert doses(boat) == [pytest.approx(dose_g)]


def test_what_is_too_much_may_be_taken_out_of_a_boat_beside_the_scale(boat):
    dose_g = boat.view.act_view.want.amount
    poured(boat, round(BOAT_G + 2 * dose_g, 2), "fine")
    assert "waste" in boat.view.act_view.instruction
    boat.stand(0.0, 4.0, "fine")
    boat.stand(round(BOAT_G + dose_g, 2), 6.0, "fine")
    boat.press("take")
    assert doses(boat) == [pytest.approx(dose_g)]


def test_a_scale_that_is_lost_while_a_boat_is_on_it_is_said(boat):
    """The meter was at hand, so nothing stood above the step: it asked to weigh, and showed no number."""
    boat.give(NoNumber(boat.now + 1.0, "fine", None, "unplugged", "fine went away.", True))
    assert boat.view.act_view.not_yet[0] == "fine went away."
    boat.rest(BOAT_G, 4.0, "fine")
    assert "fine went away." not in boat.view.act_view.not_yet


def test_what_is_exchanged_on_hold_is_asked_about_too(half_full, boat):
    for bench, device, back_g in ((half_full, "big", 19.2), (boat, "fine", BOAT_G - 0.4)):
        bench.give(Hold(bench.now, "the door bell"))
        bench.stand(0.0, 4.0, device)
        bench.stand(back_g, 4.0, device)
        bench.press("resume")
        bench.stand(back_g, 4.0, device)
        assert "g lighter." in bench.view.act_view.instruction
