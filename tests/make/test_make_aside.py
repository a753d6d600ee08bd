"""While phases heat, what comes later can be weighed; the wait goes on beside it and gets its maker back in time."""

from __future__ import annotations

import dataclasses

from bench_by_hand import SCALES, Bench, kinds
from heating_bench import (
    AHEAD,
    BOAT_G,
    LATER,
    WAIT,
    Heating,
    boat_on,
    poured_too_much,
    pouring,
    started_again,
)

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.folding import fold
from benchapp.make.inputs import (
    Grams,
    Hold,
    Press,
    Resume,
    Skip,
    TakeBack,
)  # fmt: skip
from benchapp.make.vocabulary import ChoiceKey


def test_what_can_be_weighed_now_is_offered_by_name(heating):
    offered = [c for c in heating.view.act_view.choices if c.word.startswith(AHEAD)]
    assert [c.word for c in offered] == [f"{AHEAD}{LATER}"]
    title = next(s.title for s in heating.procedure.steps if s.key == LATER)
    assert offered[0].label == f"Meanwhile: {title}"
    assert not offered[0].serious


def test_taken_up_it_is_the_later_step_that_stands_there_and_the_wait_beside_it(heating):
    events = heating.aside()
    assert kinds(events)[:2] == ["SteppedAside", "StepBegan"]
    assert heating.view.step_key == LATER
    beside = heating.view.meanwhile
    assert [x.value for x in beside.live] == [40.0, 38.0]
    assert beside.calls == ""


def test_its_cautions_come_first_as_always(heating):
    heating.aside()
    shown = [e.caution for e in heating.events if isinstance(e, ev.CautionShown) and e.step == LATER]
    assert shown
    assert heating.make.act().key == "cautions"


def test_the_wait_goes_on_counting_and_logging(heating):
    heating.aside()
    events = heating.run(120.0, warming_k_s=0.1)
    assert [e for e in events if isinstance(e, ev.TemperaturesLogged) and e.step == WAIT]
    assert heating.view.meanwhile.forecast is not None


def test_done_it_is_back_at_the_wait_and_never_asked_again(heating):
    heating.aside()
    events = heating.weigh_all()
    assert [type(e) for e in events[-2:]] == [ev.StepFinished, ev.SteppedBack]
    assert heating.make.state.step == WAIT
    assert not [c for c in heating.choices if c.startswith(AHEAD)]
    assert heating.view.act_view.note.endswith("Keep the cool-down boat covered.")
    assert heating.make.step_machine.next_step(dataclasses.replace(heating.make.state, steps_done=[
        *heating.make.state.steps_done, WAIT, "07-top-up", "08-combine", "09-blend", "10-cool",
    ])) == "12-premix"  # fmt: skip


def test_the_hold_that_was_counted_before_is_not_lost(heating):
    heating.become(72.0, "probe 1", "probe 2")
    heating.run(120.0)
    before = heating.make.state.progress.held_s
    assert before > 100.0
    heating.aside()
    heating.run(60.0)
    assert heating.make.state.waiting.held_s > before + 40.0
    heating.press(ChoiceKey.BACK)
    assert heating.make.state.progress.held_s > before + 40.0
    heating.run(20.0)
    assert heating.make.state.progress.held_s > before + 60.0


def test_nothing_is_offered_while_no_thermometer_watches_or_no_scale_is_free():
    assert not Heating([d for d in SCALES if d.kind != "thermometer"]).make.act().waits
    silent = Heating()
    silent.now += 30.0
    assert not [c for c in silent.choices if c.startswith(AHEAD)], "the fine scale has not spoken for a while"
    one_probe = (*SCALES[:2], ev.DeviceFacts("thermo", "thermometer", ("probe 1",)))
    assert not Heating(one_probe).make.act().waits


def test_nothing_is_offered_before_warmth_is_seen():
    """One order at a time: that the heat is on would be noticed late."""
    bench = Bench()
    bench.to_the_heat(WAIT)
    for n in range(40):
        bench.give(Grams(bench.now + 0.1 * n, "fine", 0.0, True, False))
    assert bench.view.act_view.instruction == "See that the heat is on."
    assert not [c for c in bench.view.act_view.choices if c.word.startswith(AHEAD)]


def test_nothing_is_offered_when_there_is_no_time_for_it(heating):
    heating.become(72.0, "probe 1", "probe 2")
    heating.run(10.0)
    assert [c for c in heating.choices if c.startswith(AHEAD)], "the whole hold lies ahead: time enough"
    offered = []
    while heating.make.act().key == "heat":
        heating.run(10.0)
        left = heating.view.act_view.forecast
        if left is not None and left.early_s <= 120.0:
            offered += [c for c in heating.choices if c.startswith(AHEAD)]
    assert offered == []


def test_nothing_flammable_is_weighed_beside_a_bath():
    bench = Heating()
    formula = bench.procedure.formula
    later = next(s for s in bench.procedure.steps if s.key == LATER)
    lines = tuple(
        dataclasses.replace(x, material=dataclasses.replace(x.material, flammable=x.key in later.lines))
        for x in formula.lines
    )
    assert [c for c in bench.choices if c.startswith(AHEAD)], "without alcohol it is offered"
    procedure = dataclasses.replace(bench.procedure, formula=dataclasses.replace(formula, lines=lines))
    watch = bench.make.watch
    bench.make = Make(dataclasses.replace(bench.make.plan, procedure=procedure), bench.make.state.log)
    bench.make.watch = watch
    assert not [c for c in bench.choices if c.startswith(AHEAD)]


def test_too_much_ahead_is_never_mended_out_of_a_pot_in_the_bath(heating):
    poured_too_much(heating)
    assert "keep" not in heating.choices
    heating.make.state.tied = ()  # the same, were the pots not in the bath
    assert "keep" in heating.choices


def test_left_out_it_is_back_at_the_wait(heating):
    heating.aside()
    heating.give(Skip(heating.now, heating.make.state.prompt, "not today"))
    assert heating.make.state.step == WAIT
    assert LATER in heating.make.state.steps_done


def test_a_hold_holds_both(heating):
    heating.aside()
    heating.give(Hold(heating.now, ""))
    heating.become(76.0, "probe 1")
    assert not [e for e in heating.run(10.0) if isinstance(e, ev.DeviationNoted | ev.SteppedBack)]
    heating.give(Resume(heating.now))
    assert "SteppedBack" in kinds(heating.run(2.0))


def test_a_press_meant_for_the_wait_changes_nothing_at_the_weighing(heating):
    before = heating.make.state.prompt
    heating.aside()
    heating.now += 1.0
    assert heating.give(Press(heating.now, before, f"{AHEAD}{LATER}")) == []


def test_what_was_said_at_the_weighing_can_be_taken_back_although_the_wait_has_logged(heating):
    boat_on(heating)
    heating.fine_g = 0.0  # the boat is in the hand: nothing can be poured yet
    heating.run(2.0)
    heating.press("yes")
    heating.run(31.0)
    assert [e for e in heating.events[-40:] if isinstance(e, ev.TemperaturesLogged)], (
        "the wait has logged since"
    )
    assert heating.view.take_back
    heating.give(TakeBack(heating.now, heating.make.state.prompt))
    assert heating.make.act().key.startswith("read")
    assert heating.make.state.waiting is not None


def test_started_again_in_the_middle_both_stand_where_they_stood(heating):
    heating.become(72.0, "probe 1", "probe 2")
    heating.run(120.0)
    pouring(heating)
    held = heating.make.state.waiting.held_s
    folded, live = vars(fold(heating.events)), vars(heating.make.state)
    assert {k: v for k, v in folded.items() if k != "ledger"} == {
        k: v for k, v in live.items() if k != "ledger"
    }
    assert folded["ledger"].vessels == live["ledger"].vessels
    again = started_again(heating)
    assert again.make.state.step == LATER
    assert again.make.state.waiting.held_s == held
    assert again.view.trouble.kind == "scale doubted"
    again.run(60.0)
    assert again.make.state.waiting.held_s > held + 30.0


def test_after_a_restart_it_is_offered_as_before_and_the_scale_is_looked_at_first(heating):
    boat_on(heating)
    heating.press(ChoiceKey.BACK)
    again = started_again(heating)
    again.run(33.0)
    assert again.make.state.doubted.keys() == {"fine"}
    assert f"{AHEAD}{LATER}" in again.choices
    again.aside()
    while again.make.act().key == "cautions":
        again.press("understood")
    assert again.view.trouble.kind == "scale doubted"
    again.fine_g = 0.0
    again.run(3.0)
    again.press("pan is empty")
    again.fine_g = BOAT_G
    again.run(6.0)
    assert again.view.trouble is None
    assert again.make.act().key.startswith("read"), "the boat is known again"
