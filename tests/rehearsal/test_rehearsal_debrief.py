"""What a debrief tells, and that it tells it from events alone."""

from __future__ import annotations

import pytest

from benchapp import events as ev
from benchapp.rehearsal.debrief import NoDebrief, debrief, debrief_lines
from benchapp.rehearsal.evidence import goal_reached
from benchapp.rehearsal.scenario_reading import find_scenario

STEP = "03-weigh"
SCENARIO = find_scenario("over-pour")


def weighed(at_s: float, net_g: float, high_g: float = 20.4) -> ev.WeightTaken:
    return ev.WeightTaken(
        at_s=at_s, step=STEP, act="pour glycerin", line="glycerin", vessel="slurry-beaker", target_g=20.0,
        low_g=19.6, high_g=high_g, net_g=net_g, gross_g=None, source=ev.Source.MEASURED, device="fine scale",
        checked=True,
    )  # fmt: skip


def make(remedy: ev.Remedy, net_g: float, waste_g: float, text: str = SCENARIO.text) -> list[ev.Event]:
    """A rehearsal written down by hand: 500 g meant, glycerin 4 %."""
    return [
        ev.MakeStarted(at_s=0.0, batch="r1", maker="Jo Tern", procedure="oat-hand-lotion", procedure_sha256="",
                       procedure_text="", batch_g=500.0, devices=(), rehearsal=True, scenario=text),
        ev.ActBegan(at_s=100.0, step=STEP, act="pour glycerin"),
        ev.OverpourFound(at_s=130.0, step=STEP, act="pour glycerin", line="glycerin", net_g=30.0, high_g=20.4),
        ev.RemedyChosen(at_s=145.0, step=STEP, act="pour glycerin", line="glycerin", remedy=remedy, reason="so"),
        ev.MaterialRemoved(at_s=160.0, step=STEP, line="glycerin", vessel="slurry-beaker", removed_g=waste_g),
        weighed(160.0, net_g),
        ev.StepFinished(at_s=190.0, step=STEP),
        ev.MakeAbandoned(at_s=191.0, reason="over"),
    ]  # fmt: skip


def test_shares_waste_and_time_are_worked_out_from_the_events():
    found = debrief(make(ev.Remedy.ACCEPT, 30.0, 0.0))
    assert not found.verdict.reached
    assert "Glycerin: 6.00 %, not 4.00 %." in found.effects
    assert found.worst == found.effects[0]
    assert "It took 1.5 min." in found.effects
    assert not [x for x in found.effects if "on hold" in x]
    assert not [x for x in found.effects if "waste" in x or "samples" in x], "nothing is said of nothing"
    kept = debrief(make(ev.Remedy.REMOVE, 20.0, 10.0))
    assert kept.verdict.reached
    assert not kept.worst
    assert "10.0 g of waste." in kept.effects


def test_the_timeline_runs_from_the_beginning_of_the_scenario_and_marks_what_decided():
    found = debrief(make(ev.Remedy.ACCEPT, 30.0, 0.0))
    assert [line.after_s for line in found.timeline] == sorted(line.after_s for line in found.timeline)
    assert found.timeline[0].after_s == 30.0
    assert [line.after_s for line in found.timeline if line.mark == "bad"] == [45.0]
    printed = "\n".join(debrief_lines(found))
    assert SCENARIO.goal in printed
    assert SCENARIO.master in printed
    assert "Goal not reached." in printed


def test_the_goal_is_the_one_that_stood_when_it_was_rehearsed():
    """The record keeps the scenario's own text, so a file changed later changes no verdict."""
    other = SCENARIO.text.replace('remedy = "accept"', 'remedy = "remove"').replace(
        '["remove", "keep formula"]', '"accept"'
    )
    assert goal_reached(make(ev.Remedy.ACCEPT, 30.0, 0.0, other)) == ("weigh",)
    assert goal_reached(make(ev.Remedy.ACCEPT, 30.0, 0.0)) == ()


def test_a_make_without_a_scenario_has_no_debrief_and_is_no_evidence():
    events = make(ev.Remedy.REMOVE, 20.0, 10.0, "")
    with pytest.raises(NoDebrief, match="rehearsed no scenario"):
        debrief(events)
    assert goal_reached(events) == ()
    assert goal_reached(make(ev.Remedy.REMOVE, 20.0, 10.0, "nonsense")) == ()


def test_the_timeline_tells_each_fact_once_and_what_was_said_as_said():
    events = make(ev.Remedy.ACCEPT, 30.0, 0.0)
    accepted = ev.DeviationNoted(
        at_s=145.0, number=1, step=STEP, grade=ev.Grade.MAJOR, kind="weight out of band",
        text="Glycerin: 30.0 g, band 19.6 to 20.4 g.",
    )  # fmt: skip
    struck = ev.ScenarioStruck(at_s=120.0, step=STEP, what=("pour on",), says="The bottle slips.")
    events[5] = weighed(145.0, 30.0)
    told = [
        line.text for line in debrief([*events[:2], struck, *events[2:6], accepted, *events[6:]]).timeline
    ]
    assert told == [
        "You were told: The bottle slips.",
        "Glycerin: 30 g in the vessel, 20.4 g was the most.",
        f"{SCENARIO.bad[0].says}.",
        "0 g of Glycerin taken out, waste.",
        "The step was done.",
    ]


def test_what_was_missed_is_said_as_what_was_not_done():
    """Of every shipped scenario; of one that was kept before that could be written down, that it did not happen."""
    from benchapp.rehearsal.scenario_reading import scenarios

    for name in scenarios(None):
        assert all(
            " not " in f" {good.missed.lower()} " or good.missed.startswith("No ")
            for good in find_scenario(name).good
        ), name
    assert (
        "You did not choose a remedy that keeps the formula."
        in debrief(make(ev.Remedy.ACCEPT, 30.0, 0.0)).verdict.why
    )
    kept = "\n".join(line for line in SCENARIO.text.splitlines() if not line.startswith("missed"))
    said = debrief(make(ev.Remedy.ACCEPT, 30.0, 0.0, kept)).verdict.why
    assert f"This did not happen: {SCENARIO.good[0].says}." in said
