"""The core alone, without ports: what one input does, and that it does it only once and always the same."""

from __future__ import annotations

import pytest
from bench_by_hand import SCALES, Bench, kinds

from benchapp import events as ev
from benchapp.make.inputs import Abandon, Degrees, Hold, NoNumber, Press, Resumed, Tick, TypeValue


@pytest.fixture
def at_water():
    bench = Bench()
    bench.to("02-weigh")
    bench.stand(0.0)
    bench.place(420.0)
    bench.press("yes")
    return bench


def test_a_vessel_at_rest_is_placed_and_known_as_empty():
    bench = Bench()
    bench.to("02-weigh")
    bench.stand(0.0)
    events = bench.place(420.0)
    (placed,) = [e for e in events if isinstance(e, ev.VesselPlaced)]
    assert (placed.vessel, placed.gross_g, placed.empty) == ("water-pot", 420.0, True)
    assert bench.make.state.ledger.of("water-pot").empty_g == 420.0


def test_what_weighs_about_as_much_as_an_empty_vessel_is_asked_about_once():
    bench = Bench()
    bench.to("02-weigh")
    bench.stand(0.0)
    assert "VesselPlaced" not in kinds(bench.stand(418.2, 20.0))
    assert bench.view.act_view.instruction == "Is this the empty, dry water pot?"
    assert bench.view.act_view.not_yet == (), "that it fits is drawn"
    assert [(c.word, c.serious) for c in bench.view.act_view.choices] == [
        ("it is", False),
        ("another", False),
    ]
    assert kinds(bench.press("it is"))[:2] == ["VesselPlaced", "ActFinished"], "and nothing to note"


@pytest.mark.parametrize(("grams", "fits"), [(418.2, True), (340.0, False)])
def test_only_what_weighs_much_the_same_is_drawn_as_fitting(grams, fits):
    bench = Bench()
    bench.to("02-weigh")
    bench.stand(0.0)
    bench.stand(grams, 20.0)
    drawn = bench.view.act_view.picture
    assert (drawn.low <= grams <= drawn.high) is fits


def test_a_pot_far_from_its_stated_mass_is_questioned():
    bench = Bench()
    bench.to("02-weigh")
    assert not [e for e in bench.stand(900.0) if isinstance(e, ev.VesselPlaced)]
    assert "should weigh about 420 g" in bench.view.act_view.not_yet[0]
    assert "VesselPlaced" in kinds(bench.press("it is"))
    assert bench.make.state.deviations[-1].kind == "vessel mass"


def test_still_in_the_band_is_taken_by_itself(at_water):
    at_water.stand(420.0)
    events = at_water.stand(420.0 + 376.0)
    (taken,) = [e for e in events if isinstance(e, ev.WeightTaken)]
    assert taken.net_g == pytest.approx(376.0)
    assert taken.source is ev.Source.MEASURED
    assert taken.checked


def test_below_the_band_waits(at_water):
    at_water.stand(420.0)
    assert not [e for e in at_water.stand(420.0 + 300.0) if isinstance(e, ev.WeightTaken)]
    assert at_water.view.act_view.live[0].word == "below"


def test_above_the_band_stops_and_asks(at_water):
    at_water.stand(420.0)
    events = at_water.stand(420.0 + 384.0)
    assert "OverpourFound" in kinds(events)
    assert at_water.view.act_view.stage == "remedy"
    assert at_water.view.act_view.live[0].word == "above"


def test_far_above_has_a_word_of_its_own(at_water):
    at_water.stand(420.0)
    at_water.stand(420.0 + 450.0)
    assert at_water.view.act_view.live[0].word == "far above"


def test_two_seconds_are_left_to_object(at_water):
    at_water.stand(420.0)
    assert not [e for e in at_water.stand(420.0 + 376.0, seconds=1.5) if isinstance(e, ev.WeightTaken)]
    assert [e for e in at_water.stand(420.0 + 376.0, seconds=2.0) if isinstance(e, ev.WeightTaken)]


def test_typing_over_a_working_scale_is_a_note(at_water):
    at_water.stand(420.0)
    at_water.give(TypeValue(at_water.now + 1, at_water.make.state.prompt, 376.0))
    (noted,) = [d for d in at_water.make.state.deviations if d.kind == "typed over a device"]
    assert noted.grade is ev.Grade.NOTE


def test_a_zeroed_full_vessel_is_caught_when_it_is_lifted(at_water):
    """Somebody pressed zero with the pot on: lifted, the scale stands far below zero."""
    at_water.stand(420.0)
    at_water.stand(0.0)
    assert "ScaleDoubted" in kinds(at_water.stand(-420.0))
    at_water.stand(0.3)  # its zero key, a little off
    at_water.press("pan is empty")
    assert at_water.make.state.zero_g["big"] == pytest.approx(0.3)
    assert "ScaleReconciled" in kinds(at_water.stand(420.3))
    (taken,) = [e for e in at_water.stand(796.3, seconds=6.0) if isinstance(e, ev.WeightTaken)]
    assert taken.net_g == pytest.approx(376.0)


def test_an_unchecked_device_is_noted_once():
    facts = tuple(ev.DeviceFacts(d.name, d.kind, d.channels, d.readability_g, d.capacity_g) for d in SCALES)
    bench = Bench(facts)
    bench.at_the_first_pour()
    bench.stand(796.0)
    bench.press("yes")
    bench.stand(796.0)
    bench.stand(797.0)
    assert [d.kind for d in bench.make.state.deviations].count("unchecked big") == 1


def test_a_press_for_another_prompt_or_a_second_one_does_nothing(at_water):
    stale = at_water.make.state.prompt
    at_water.stand(420.0)
    assert at_water.give(Press(at_water.now, stale, "yes")) == []


def test_the_hold_counts_only_while_the_coldest_is_in_the_band():
    bench = Bench()
    bench.to_the_heat()
    start = bench.now
    for second in range(1, 900):
        at = start + second
        bench.give(Degrees(at, "thermo", "probe 1", 72.0))
        bench.give(Degrees(at, "thermo", "probe 2", 72.0 if second > 100 else 69.0))
        if bench.make.state.step != "06-heat":
            break
    progress = [e for e in bench.events if isinstance(e, ev.HoldProgressed)]
    assert progress[-1].held_s >= 600.0
    assert second == pytest.approx(703, abs=3), "10 min counted from the coldest, not the first, in the band"


def test_a_gap_in_the_readings_does_not_count_as_held():
    bench = Bench()
    bench.to_the_heat()
    for at in (1000.0, 1001.0, 1500.0, 1501.0):
        for probe in ("probe 1", "probe 2"):
            bench.give(Degrees(at, "thermo", probe, 72.0))
    assert bench.view.act_view.picture.held_s < 5.0


def test_too_hot_rises_above_the_step_and_wants_a_person():
    bench = Bench()
    bench.to_the_heat()
    bench.give(Degrees(bench.now + 60, "thermo", "probe 1", 86.0))
    assert bench.view.trouble.kind == "alarm"
    assert bench.press("seen to") == [], "still too hot"
    bench.give(Degrees(bench.now + 60, "thermo", "probe 1", 80.0))
    assert kinds(bench.press("seen to")) == ["AlarmCleared"]
    bench.give(Degrees(bench.now + 60, "thermo", "probe 1", 74.0))
    assert any(d.grade is ev.Grade.MAJOR and d.kind == "too hot" for d in bench.make.state.deviations)


def test_combining_out_of_band_needs_a_reason_and_deviates():
    bench = Bench()
    bench.to_the_heat()
    bench.to("08-combine")
    bench.press("understood")
    for probe, temp in (("probe 1", 72.0), ("probe 2", 61.0)):
        bench.give(Degrees(bench.now + 1, "thermo", probe, temp))
    assert any("61.0 °C" in why for why in bench.view.act_view.not_yet)
    assert bench.press("yes") == []
    assert bench.press("anyway") == []
    bench.press("anyway", "the oil is clear")
    assert "combined out of band" in [d.kind for d in bench.make.state.deviations]


def test_a_lost_device_is_said_once_and_clears_its_filters(at_water):
    at_water.stand(420.0)
    lost = NoNumber(at_water.now + 1, "big", None, "unplugged", "big went away.", True)
    assert kinds(at_water.give(lost)) == [
        "DeviceLost",
        "DeviceNoted".replace("DeviceNoted", "DeviationNoted"),
    ]
    assert at_water.give(lost) == []
    assert at_water.make.watch.scale_g("big", at_water.now) is None


def test_abandoning_wants_a_reason(at_water):
    assert at_water.give(Abandon(at_water.now, "")) == []
    at_water.give(Abandon(at_water.now, "spilt"))
    assert at_water.view.over == "abandoned"
    assert at_water.view.act_view.instruction == "Abandoned: spilt."
    assert (at_water.view.progress < 0.2, at_water.view.next_up) == (True, "")
    assert at_water.stand(1000.0) == [], "nothing happens after the end"


def test_after_a_restart_the_scale_under_the_vessel_is_doubted(at_water):
    at_water.stand(420.0)
    at_water.give(Resumed(at_water.now, 30.0))
    assert at_water.make.state.doubted == {"big": "empty pan"}
    at_water.stand(420.0)
    assert at_water.view.trouble.kind == "scale doubted"


def test_held_nothing_moves_on(at_water):
    at_water.stand(420.0)
    at_water.give(Hold(at_water.now, "door"))
    assert not [e for e in at_water.stand(796.0) if isinstance(e, ev.WeightTaken)]
    assert "HoldEnded" in kinds(at_water.press("resume"))
    assert [e for e in at_water.stand(796.0) if isinstance(e, ev.WeightTaken)]


def test_the_same_inputs_give_the_same_events():
    def play():
        bench = Bench()
        bench.at_the_first_pour()
        bench.stand(796.3)
        return bench.events

    assert play() == play()


def test_one_probe_for_two_pots_is_wiped_and_moved_between_them():
    one = (*SCALES[:2], ev.DeviceFacts("thermo", "thermometer", ("probe 1",)))
    bench = Bench(one)
    bench.to_the_heat()
    bench.give(Degrees(bench.now + 1, "thermo", "probe 1", 72.0))
    assert "moved" in {c.word for c in bench.view.act_view.choices}
    bench.press("moved")
    assert bench.make.state.probes == {"probe 1": "oil-pot"}
    start = bench.now
    for second in range(1, 250):
        bench.give(Degrees(start + second, "thermo", "probe 1", 73.0))
    held = bench.view.act_view.picture.held_s
    assert held == pytest.approx(250, abs=10), "the water's last reading still stands for a few minutes"
    for second in range(250, 500):
        bench.give(Degrees(start + second, "thermo", "probe 1", 73.0))
    assert bench.view.act_view.picture.held_s < 310, "but not for ever: the probe has to go back"


def test_what_is_weighed_on_a_scale_that_sends_nothing_is_asked_for_with_its_band_and_without_a_value():
    bench = Bench(devices=())
    (step,) = [s.key for s in bench.procedure.steps if s.key.startswith("03-")]
    bench.jump(step)
    asked = []
    for _ in range(12):
        view = bench.view.act_view
        if view.ask is not None and view.want is not None and view.want.verb == "type":
            asked.append(view)
            break
        if not any(bench.press(word) for word in ("understood", "yes", "take")):
            bench.give(Tick(bench.now))
    (view,) = asked
    assert view.ask.usual
    assert view.ask.band.holds(view.want.amount)
    assert (view.live, view.choices) == ((), ())
    assert f"{view.ask.band.low:g} to {view.ask.band.high:g}" in view.ask.words
