"""While phases heat, what comes later can be weighed; the wait goes on beside it and gets its maker back in time."""

from __future__ import annotations

import dataclasses

import pytest
from test_make_core import SCALES, Bench, kinds

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.folding import fold
from benchapp.make.inputs import (
    Degrees,
    Grams,
    Hold,
    NoNumber,
    Press,
    Resume,
    Resumed,
    Skip,
    TakeBack,
    Tick,
)  # fmt: skip
from benchapp.make.vocabulary import ChoiceKey

WAIT, LATER = "06-heat", "11-weigh"
AHEAD = f"{ChoiceKey.AHEAD}:"
BOAT_G = 8.1


class Heating(Bench):
    """A make whose two pots are in the bath, on a bench with a fine scale that stands empty."""

    def __init__(self, devices=SCALES, procedure="oat-hand-lotion", wait=WAIT):
        super().__init__(devices, procedure)
        self.to(wait)
        self.temps = {"probe 1": 40.0, "probe 2": 38.0}
        self.fine_g = 0.0
        while self.make.act().key == "cautions":
            self.press("understood")
        self.press("yes")
        self.run(3.0)

    def run(self, seconds, warming_k_s=0.0):
        """The bench goes on: both probes each second, the fine scale ten times, and time."""
        out, before = [], self.shown.get("fine", self.fine_g)
        poured = [round(before + (self.fine_g - before) * n / 20, 2) for n in range(1, 20)]
        poured = poured if self.fine_g > before + 1.0 else []
        self.shown["fine"] = self.fine_g
        for n, grams in enumerate([*poured, *[self.fine_g] * int(seconds * 10)]):
            self.now = round(self.now + 0.1, 3)
            out += self.give(Grams(self.now, "fine", grams, grams == self.fine_g, False))
            if n % 10 == 0:
                for probe in self.temps:
                    self.temps[probe] += warming_k_s
                    out += self.give(Degrees(self.now, "thermo", probe, self.temps[probe]))
                out += self.give(Tick(self.now))
        return out

    def become(self, temp_c, *probes, after_s=400.0):
        """It takes its time, and nobody hears of it meanwhile: no vessel changes at once."""
        self.now += after_s
        self.temps.update(dict.fromkeys(probes, temp_c))

    @property
    def choices(self):
        return [c.word for c in self.view.act_view.choices]

    def aside(self, later=LATER):
        return self.press(f"{AHEAD}{later}")

    def weigh(self, line_g):
        """The lot is in hand, the boat fills, it is taken."""
        self.press("yes")
        self.run(2.0)
        self.fine_g = round(self.fine_g + line_g, 2)
        return self.run(4.0)

    def targets(self, step=LATER):
        lines = next(s for s in self.procedure.steps if s.key == step).lines
        return [self.make.plan.weighings[x].target_g for x in lines]

    def weigh_all(self):
        """Cautions, boat, every line."""
        while self.make.act().key == "cautions":
            self.press("understood")
        self.fine_g = BOAT_G
        out = [*self.run(3.0), *self.press("it is")]
        for grams in self.targets():
            out += self.weigh(grams)
        return out


@pytest.fixture
def heating():
    return Heating()


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


def test_above_its_band_it_calls_and_gets_its_maker_back_from_empty_hands(heating):
    heating.aside()
    heating.become(76.5, "probe 1")
    events = heating.run(2.0)
    (back,) = [e for e in events if isinstance(e, ev.SteppedBack)]
    assert "too hot" in back.why
    assert heating.make.state.step == WAIT
    assert not [c for c in heating.choices if c.startswith(AHEAD)], "nothing is offered while it calls"


def boat_on(heating):
    """Aside, with the empty boat on the fine scale."""
    heating.aside()
    while heating.make.act().key == "cautions":
        heating.press("understood")
    heating.fine_g = BOAT_G
    heating.run(3.0)
    heating.press("it is")


def started_again(heating):
    """The same make half a minute later, from its events."""
    again = Heating.__new__(Heating)
    again.__dict__.update(heating.__dict__)
    again.make = type(heating.make)(heating.make.plan, heating.events)
    again.give(Resumed(heating.now + 30.0, 30.0))
    return again


def pouring(heating):
    """In the middle of the first pour."""
    boat_on(heating)
    heating.press("yes")
    heating.run(2.0)
    heating.fine_g += round(heating.targets()[0] / 2, 2)
    heating.run(0.5)
    return heating


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


def test_nothing_is_offered_while_no_thermometer_watches_or_no_scale_is_free():
    assert not Heating([d for d in SCALES if d.kind != "thermometer"]).make.act().waits
    silent = Heating()
    silent.now += 30.0
    assert not [c for c in silent.choices if c.startswith(AHEAD)], "the fine scale has not spoken for a while"
    one_probe = (*SCALES[:2], ev.DeviceFacts("thermo", "thermometer", ("probe 1",)))
    assert not Heating(one_probe).make.act().waits


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


def poured_too_much(heating):
    """All pots hold what they should, as if weighed; the first line ahead is far too much."""
    for w in heating.make.plan.weighings.values():
        if w.vessel in ("water-pot", "oil-pot"):
            heating.commit([
                ev.WeightTaken(
                    at_s=heating.now, step="02-weigh", act="", line=w.line.key, vessel=w.vessel, target_g=w.target_g,
                    low_g=w.target.band.low, high_g=w.target.band.high, net_g=w.target_g, gross_g=None, source=ev.Source.STATED, lot="",
                    device="", checked=False,
                )
            ])  # fmt: skip
    boat_on(heating)
    heating.press("yes")
    heating.run(2.0)
    heating.fine_g = round(BOAT_G + 1.3 * heating.targets()[0], 2)
    heating.run(4.0)
    assert heating.view.act_view.stage == "remedy"
    return heating


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
