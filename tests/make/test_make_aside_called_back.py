"""Weighing ahead while phases heat: whatever the wait wants fetches the maker back in time."""

from __future__ import annotations

from bench_by_hand import kinds
from heating_bench import (
    AHEAD,
    BOAT_G,
    LATER,
    WAIT,
    pouring,
)

from benchapp import events as ev
from benchapp.make.inputs import (
    NoNumber,
    Tick,
)  # fmt: skip
from benchapp.make.vocabulary import ChoiceKey


def test_above_its_band_it_calls_and_gets_its_maker_back_from_empty_hands(heating):
    heating.aside()
    heating.become(76.5, "probe 1")
    events = heating.run(2.0)
    (back,) = [e for e in events if isinstance(e, ev.SteppedBack)]
    assert "too hot" in back.why
    assert heating.make.state.step == WAIT
    assert not [c for c in heating.choices if c.startswith(AHEAD)], "nothing is offered while it calls"


def test_in_the_middle_of_a_pour_it_calls_but_takes_nobody_away(heating):
    pouring(heating)
    heating.become(76.5, "probe 1")
    assert not [e for e in heating.run(20.0) if isinstance(e, ev.SteppedBack)]
    assert "too hot" in heating.view.meanwhile.calls
    assert ChoiceKey.BACK not in heating.choices
    assert heating.press(ChoiceKey.BACK) == []
    heating.fine_g = round(BOAT_G + heating.targets()[0], 2)
    events = heating.run(4.0)
    assert kinds([e for e in events if isinstance(e, ev.WeightTaken | ev.SteppedBack)]) == [
        "WeightTaken",
        "SteppedBack",
    ]


def test_taken_up_again_the_boat_is_weighed_again_and_what_is_in_stays(heating):
    pouring(heating)
    heating.become(76.5, "probe 1")
    heating.fine_g = round(BOAT_G + heating.targets()[0], 2)
    heating.run(4.0)
    heating.become(60.0, "probe 1")
    heating.fine_g = 0.0  # the boat was put aside
    heating.run(5.0)
    heating.aside()
    while heating.make.act().key == "cautions":
        heating.press("understood")
    assert heating.make.act().key.startswith("vessel"), "the boat comes back on the scale first"
    heating.fine_g = round(BOAT_G + heating.targets()[0], 2)
    heating.run(3.0)
    lines = next(s for s in heating.procedure.steps if s.key == LATER).lines
    assert heating.make.act().key == f"read {lines[1]}"
    assert len(heating.make.state.weights[lines[0]]) == 1


def test_too_hot_rises_above_it_at_once(heating):
    pouring(heating)
    heating.become(90.0, "probe 1", after_s=600.0)
    events = heating.run(1.0)
    (alarm,) = [e for e in events if isinstance(e, ev.AlarmRaised) and e.kind == "too hot"]
    assert alarm.vessel in heating.make.state.tied
    assert "is at 90.0 °C, over" in heating.view.act_view.instruction
    assert heating.view.trouble.kind == "alarm"
    assert heating.press("seen to") == [], "still too hot"
    heating.become(74.0, "probe 1")
    events = heating.run(6.0)
    deviations = [e for e in events if isinstance(e, ev.DeviationNoted) and e.kind == "too hot"]
    assert [d.step for d in deviations] == [WAIT]
    assert "90.0 °C at its peak" in deviations[0].text


def test_a_bath_that_does_not_warm_is_noticed_from_aside(heating):
    heating.aside()
    events = heating.run(960.0)
    assert [e.kind for e in events if isinstance(e, ev.AlarmRaised)] == ["not warming"]


def test_a_probe_that_hangs_open_alarms_from_aside(heating):
    heating.aside()
    heating.now += 1.0
    open_probe = NoNumber(heating.now, "thermo", "probe 1", "open probe", "probe 1 is open.", False)
    events = [*heating.give(open_probe), *heating.give(open_probe)]
    assert [e.kind for e in events if isinstance(e, ev.AlarmRaised)] == ["probe"]


def test_a_lost_thermometer_fetches_the_maker(heating):
    heating.aside()
    heating.now += 1.0
    lost = NoNumber(heating.now, "thermo", None, "port gone", "The thermometer is gone.", True)
    heating.give(lost)
    noted = [d for d in heating.make.state.deviations if d.kind == "device lost"]
    assert [d.step for d in noted] == [WAIT]
    heating.give(Tick(heating.now + 0.2))
    assert heating.make.state.step == WAIT
    assert heating.view.trouble.kind == "device lost"


def test_a_wait_that_ends_meanwhile_goes_on_from_its_end(heating):
    heating.become(72.0, "probe 1", "probe 2")
    heating.run(60.0)
    pouring(heating)
    events = heating.run(700.0)
    done = [e for e in events if isinstance(e, ev.ActFinished)]
    assert [(e.step, e.act) for e in done] == [(WAIT, "heat")]
    assert heating.view.meanwhile.calls.endswith("done.")
    heating.fine_g = round(BOAT_G + heating.targets()[0], 2)
    events = heating.run(4.0)
    assert "SteppedBack" in kinds(events)
    assert WAIT in heating.make.state.steps_done
    assert heating.make.state.step == "07-top-up"
