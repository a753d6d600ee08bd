"""What goes wrong on a bench, over real ports: power-cycled and unplugged scales, over-pours, dry baths, lost probes."""

from __future__ import annotations

import pytest
from acting import to_the_end
from walking import walk

from benchapp import events as ev
from benchapp.make.inputs import Hold, Press, Resume, Skip, TypeValue
from procedures.reading import read_procedure
from procedures.shelf import find


def recorded(journal, kind):
    return [e for e in journal.events("b1") if isinstance(e, kind)]


def at_pour(line):
    def pouring(view):
        live = view.act_view.live
        return view.prompt.split("#")[0].endswith(f"pour {line}") and live and (live[0].value or 0) > 2.0

    return pouring


def test_a_scale_that_lost_power_in_the_middle_of_a_pour_is_reconciled(make_rehearsal, journal, lotion):
    rehearsal = make_rehearsal(lotion)
    walk(rehearsal, at_pour("sunflower-oil"))
    rehearsal.bench.faults.power_cycle("bench scale", 8.0)  # it comes back zeroed on the half-full pot
    walk(rehearsal, lambda m: m.step_key == "06-heat")

    (doubt,) = recorded(journal, ev.ScaleDoubted)
    assert doubt.device == "bench scale"
    (settled,) = recorded(journal, ev.ScaleReconciled)
    assert settled.vessel == "oil-pot"
    assert settled.found_g >= settled.expected_g - 0.5
    (oil,) = [e for e in recorded(journal, ev.WeightTaken) if e.line == "sunflower-oil"]
    assert oil.low_g <= oil.net_g <= oil.high_g
    pot = rehearsal.bench.world.vessel("oil-pot")
    truly = sum(g for name, g in pot.contents.items() if "unflower" in name)
    assert oil.net_g == pytest.approx(truly, abs=0.3), (
        "what was poured before the power went is still counted"
    )


def test_an_unplugged_scale_holds_the_pour_and_goes_on_when_it_is_back(make_rehearsal, journal, lotion):
    rehearsal = make_rehearsal(lotion)
    walk(rehearsal, at_pour("purified-water"))
    rehearsal.bench.faults.unplug("bench scale")
    view = walk(rehearsal, lambda m: m.trouble is not None)
    assert view.trouble.kind == "device lost"
    assert "or type the mass of Purified water" in view.act_view.instruction
    rehearsal.bench.faults.replug("bench scale")
    walk(rehearsal, lambda m: m.step_key == "03-weigh")
    assert [e.device for e in recorded(journal, ev.DeviceLost)] == ["bench scale"]
    assert [e.device for e in recorded(journal, ev.DeviceReturned)] == ["bench scale"]
    assert recorded(journal, ev.ScaleReconciled)


def test_a_lost_scale_can_be_typed_around_and_the_value_is_stated(make_rehearsal, journal, lotion):
    rehearsal = make_rehearsal(lotion)
    walk(rehearsal, at_pour("purified-water"))
    rehearsal.bench.faults.unplug("bench scale")
    view = walk(rehearsal, lambda m: m.trouble is not None)
    rehearsal.session.put(TypeValue(rehearsal.session.clock(), view.prompt, 376.0))
    (water,) = recorded(journal, ev.WeightTaken)
    assert water.source is ev.Source.STATED
    assert water.device == ""
    assert not water.checked


def test_too_much_is_never_waved_through(make_rehearsal, journal, lotion):
    """Over the band the make stops and asks; accepting wants a reason and is a deviation."""
    rehearsal = make_rehearsal(lotion)
    view = walk(rehearsal, at_pour("glycerin"))
    rehearsal.bench.world.pour_to(
        rehearsal.hands.stuff("glycerin"), "slurry-beaker", 26.0 - view.act_view.live[0].value
    )
    view = walk(rehearsal, lambda m: m.act_view.stage == "remedy")
    assert {c.word for c in view.act_view.choices} >= {"accept", "remove"}
    rehearsal.session.put(Press(rehearsal.session.clock(), view.prompt, "accept"))
    assert not [e for e in recorded(journal, ev.WeightTaken) if e.line == "glycerin"], (
        "no reason, no acceptance"
    )
    rehearsal.session.put(Press(rehearsal.session.clock(), view.prompt, "accept", "no harm at this share"))
    (glycerin,) = [e for e in recorded(journal, ev.WeightTaken) if e.line == "glycerin"]
    assert glycerin.net_g > glycerin.high_g
    (noted,) = [d for d in recorded(journal, ev.DeviationNoted) if d.kind == "weight out of band"]
    assert noted.grade is ev.Grade.MAJOR
    assert f"{glycerin.net_g:g}" in noted.text


def test_what_is_taken_out_again_is_waste(make_rehearsal, journal, lotion):
    rehearsal = make_rehearsal(lotion)
    view = walk(rehearsal, at_pour("glycerin"))
    rehearsal.bench.world.pour_to(
        rehearsal.hands.stuff("glycerin"), "slurry-beaker", 22.0 - view.act_view.live[0].value
    )
    walk(rehearsal, lambda m: m.step_key == "04-disperse")  # the hands choose "remove"
    removed = recorded(journal, ev.MaterialRemoved)
    (glycerin,) = [e for e in recorded(journal, ev.WeightTaken) if e.line == "glycerin"]
    assert sum(e.removed_g for e in removed) > 0.5
    assert glycerin.low_g <= glycerin.net_g <= glycerin.high_g
    assert next(c.remedy for c in recorded(journal, ev.RemedyChosen)) is ev.Remedy.REMOVE


def test_the_formula_is_kept_by_making_more_of_it(make_rehearsal, journal, lotion):
    """A third too much chelator: the batch grows, water goes on top, and later targets grow with it."""
    rehearsal = make_rehearsal(lotion)
    view = walk(
        rehearsal, lambda m: "pour chelator" in m.prompt and m.act_view.live and m.act_view.live[0].value is not None
    )  # fmt: skip
    rehearsal.bench.world.pour_to(rehearsal.hands.stuff("chelator-solution"), "water-pot", 1.4)
    view = walk(rehearsal, lambda m: m.act_view.stage == "remedy")
    keys = {c.word for c in view.act_view.choices}
    assert "keep" in keys
    assert "remove" not in keys, "water and chelator cannot be told apart any more"
    rehearsal.session.put(Press(rehearsal.session.clock(), view.prompt, "keep"))
    walk(rehearsal, lambda m: m.step_key == "04-disperse")

    (revised,) = recorded(journal, ev.TargetsRevised)
    grown = revised.batch_g / lotion.default_batch_g
    assert grown > 1.2
    weights = recorded(journal, ev.WeightTaken)
    water = sum(w.net_g for w in weights if w.line == "purified-water")
    chelator = sum(w.net_g for w in weights if w.line == "chelator-solution")
    (glycerin,) = [w for w in weights if w.line == "glycerin"]
    assert glycerin.target_g == pytest.approx(20.0 * grown, abs=0.01)
    share = {x.key: x.percent for x in lotion.formula.lines}
    for line, grams in (
        ("purified-water", water),
        ("chelator-solution", chelator),
        ("glycerin", glycerin.net_g),
    ):
        assert 100 * grams / revised.batch_g == pytest.approx(share[line], rel=0.03), line


def test_no_wax_is_offered_for_a_cold_emulsion(make_rehearsal, journal, lotion):
    """Too much preservative at the end cannot be made good by more of everything: what is heated is done."""
    rehearsal = make_rehearsal(lotion)
    view = walk(rehearsal, at_pour("preservative-blend"))
    rehearsal.bench.world.pour_to(
        rehearsal.hands.stuff("preservative-blend"), "cool-down-boat", 6.5 - view.act_view.live[0].value
    )
    view = walk(rehearsal, lambda m: m.act_view.stage == "remedy")
    assert {c.word for c in view.act_view.choices} == {"accept"}
    assert any("may go in at this point" in why for why in view.act_view.not_yet)
    assert any("ABOVE" in why for why in view.act_view.not_yet), view.act_view.not_yet
    rehearsal.session.put(Press(rehearsal.session.clock(), view.prompt, "accept", "a test"))
    assert [d.grade for d in recorded(journal, ev.DeviationNoted) if d.kind == "weight out of band"] == [
        ev.Grade.MAJOR
    ]


def test_a_lifted_vessel_is_noticed_and_the_pour_goes_on_when_it_is_back(make_rehearsal, journal, lotion):
    rehearsal = make_rehearsal(lotion)
    walk(rehearsal, at_pour("purified-water"))
    walk(rehearsal, lambda m: not rehearsal.bench.busy)
    before = recorded(journal, ev.VesselLifted)
    if not recorded(journal, ev.WeightTaken):
        rehearsal.bench.world.lift("bench scale")
        walk(rehearsal, lambda m: "back on" in m.act_view.instruction)
    walk(rehearsal, lambda m: m.step_key == "03-weigh")
    assert len(recorded(journal, ev.VesselLifted)) > len(before)
    assert recorded(journal, ev.VesselReturned)
    (water,) = [e for e in recorded(journal, ev.WeightTaken) if e.line == "purified-water"]
    assert water.low_g <= water.net_g <= water.high_g


def test_a_bath_that_runs_dry_raises_an_alarm_above_the_step(make_rehearsal, journal, lotion):
    rehearsal = make_rehearsal(lotion)
    walk(rehearsal, lambda m: m.step_kind == "heat" and any((x.value or 0) > 45 for x in m.act_view.live))
    rehearsal.bench.world.bath_off()
    rehearsal.bench.world.refill_bath(25.0, 0.0)
    view = walk(rehearsal, lambda m: m.trouble is not None)
    assert view.trouble.kind == "alarm"
    assert "dry" in view.act_view.note
    (alarm,) = recorded(journal, ev.AlarmRaised)
    assert alarm.kind == "not warming"


def test_a_probe_that_comes_apart_is_an_alarm(make_rehearsal, journal, lotion):
    rehearsal = make_rehearsal(lotion)
    walk(rehearsal, lambda m: m.step_kind == "heat" and any((x.value or 0) > 40 for x in m.act_view.live))
    rehearsal.bench.faults.open_probe("probe 2")
    view = walk(rehearsal, lambda m: m.trouble is not None)
    assert view.trouble.kind == "alarm"
    assert "probe 2" in view.act_view.instruction


def test_hold_and_resume_are_recorded_with_their_length(make_rehearsal, journal, lotion):
    rehearsal = make_rehearsal(lotion)
    view = walk(rehearsal, lambda m: m.step_key == "02-weigh")
    rehearsal.session.put(Hold(rehearsal.session.clock(), "the door bell"))
    held = rehearsal.session.view()
    assert held.trouble.kind == "held"
    rehearsal.session.put(Press(rehearsal.session.clock(), view.prompt, "yes"))
    assert rehearsal.session.view().trouble.kind == "held", "nothing goes on meanwhile"
    rehearsal.session.put(Resume(rehearsal.session.clock()))
    (end,) = recorded(journal, ev.HoldEnded)
    assert end.held_s >= 0
    assert any(d.kind == "held" and "door bell" in d.text for d in recorded(journal, ev.DeviationNoted))


def test_a_press_meant_for_an_earlier_prompt_changes_nothing(make_rehearsal, journal, lotion):
    rehearsal = make_rehearsal(lotion)
    first = walk(
        rehearsal, lambda m: m.step_key == "01-prepare" and any(c.word == "yes" for c in m.act_view.choices)
    )
    rehearsal.session.put(Press(rehearsal.session.clock(), first.prompt, "yes"))
    written = len(journal.events("b1"))
    rehearsal.session.put(
        Press(rehearsal.session.clock(), first.prompt, "yes")
    )  # the second drop of a double touch
    assert len(journal.events("b1")) == written


def test_skipping_a_step_wants_a_reason_and_is_a_deviation(make_rehearsal, journal, lotion):
    rehearsal = make_rehearsal(lotion)
    view = walk(rehearsal, lambda m: m.step_key == "02-weigh")
    rehearsal.session.put(Skip(rehearsal.session.clock(), view.prompt, ""))
    assert not recorded(journal, ev.StepSkipped)
    rehearsal.session.put(
        Skip(rehearsal.session.clock(), rehearsal.session.view().prompt, "weighed on another bench")
    )
    (skipped,) = recorded(journal, ev.StepSkipped)
    assert skipped.step == "02-weigh"
    (noted,) = [d for d in recorded(journal, ev.DeviationNoted) if d.kind == "step skipped"]
    assert noted.grade is ev.Grade.MAJOR


def test_without_any_device_everything_is_stated_and_nothing_deviates_for_it(make_rehearsal, journal):
    procedure = read_procedure(find("tide-pool-gel")).procedure
    rehearsal = make_rehearsal(procedure, devices=())
    assert to_the_end(rehearsal).over == "finished"
    weights = recorded(journal, ev.WeightTaken)
    assert weights
    assert all(e.source is ev.Source.STATED for e in weights)
    assert not [d for d in recorded(journal, ev.DeviationNoted) if "typed" in d.kind]


def test_a_trial_sample_is_titrated_first_and_the_batch_then_needs_one_addition(
    make_rehearsal, journal, lotion
):
    """The trial's additions are on the record, but neither in the batch nor under its cap; its 20 g are destroyed."""
    rehearsal = make_rehearsal(read_procedure(find("driftwood-conditioner")).procedure)
    view = walk(rehearsal, lambda m: m.act_view.stage == "adjust")
    assert "try" in {c.word for c in view.act_view.choices}
    rehearsal.session.put(Press(rehearsal.session.clock(), view.prompt, "try"))
    view = walk(rehearsal, lambda m: m.act_view.stage == "adjust" or m.step_kind == "look")
    dosed = recorded(journal, ev.TrialDosed)
    trial = [e.ph for e in recorded(journal, ev.PhTaken) if e.of == "trial"]
    assert 1 <= len(dosed) == len(trial)
    lines = {e.line for e in dosed}
    assert not [e for e in recorded(journal, ev.WeightTaken) if e.line in lines]
    assert 20.0 in [e.mass_g for e in recorded(journal, ev.SampleTaken) if e.what == "pH trial"]
    assert "try" not in {c.word for c in view.act_view.choices}, "one trial tells what it can"
    walk(rehearsal, lambda m: m.step_kind == "look")
    added = [e for e in recorded(journal, ev.WeightTaken) if e.line in lines]
    assert len(added) == 1
    last = [e for e in recorded(journal, ev.PhTaken) if e.of == ""][-1]
    assert last.in_band
