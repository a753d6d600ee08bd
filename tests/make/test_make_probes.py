"""A probe that does not follow its vessel counts for nothing, is asked about once, and counts again when it is back."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from heated_make import HeatedMake

from benchapp import events as ev
from benchapp.make.hands_free import distinct_choice, plain_choice
from benchapp.make.steps import heat_view


@pytest.fixture
def cooling():
    """The batch cools in the air at 62 °C, stirred, its probe in it."""
    bench = HeatedMake(seed=3, temp_c=64.0)
    bench.pots["water-pot"].stirred = True
    bench.begin("10-cool")
    bench.yes_until("cool")
    bench.run(3600.0, lambda: bench.truth("water-pot") < 62.0)
    assert not bench.asked
    return bench


def out(bench, at_c, probe="probe 1"):
    bench.probes[probe].lies_at_c = at_c


def test_a_probe_laid_on_something_cold_opens_no_gate(cooling):
    out(cooling, 34.0)
    assert not cooling.run(300.0, lambda: cooling.make.state.step != "10-cool")
    assert [a.kind for a in cooling.asked] == ["probe"]
    assert "Is it still in the water pot?" in cooling.asked[0].text
    cooling.press("unknown")
    assert not cooling.run(1200.0, lambda: cooling.make.state.step != "10-cool")
    assert len(cooling.asked) == 1, "asked once"
    assert any("counts again" in why for why in cooling.view.act_view.not_yet)


def test_only_a_stated_temperature_counts_meanwhile_and_that_is_major(cooling):
    out(cooling, 34.0)
    cooling.run(120.0)
    cooling.press("unknown")
    cooling.type_value(39.0)
    assert cooling.make.state.step != "10-cool"
    logged = [e for e in cooling.of_kind(ev.TemperaturesLogged) if e.source is ev.Source.STATED]
    assert dict(logged[-1].temps_c) == {"water-pot": 39.0}
    majors = [d for d in cooling.make.state.deviations if d.grade is ev.Grade.MAJOR]
    assert [d.kind for d in majors] == ["typed over a device"]
    assert "probe 1 is in doubt" in majors[0].text


def test_back_in_the_pot_it_counts_again_without_a_word(cooling):
    out(cooling, 22.0)
    cooling.run(25.0)
    assert cooling.make.context().temp_c("water-pot") is None
    out(cooling, None)
    cooling.run(60.0)
    assert cooling.asked == []
    assert cooling.make.context().temp_c("water-pot") == pytest.approx(cooling.truth("water-pot"), abs=0.5)
    assert not [d for d in cooling.make.state.deviations if d.kind != "unchecked thermo"]


def test_put_back_under_the_question_it_answers_it_itself(cooling):
    out(cooling, 30.0)
    cooling.run(90.0, lambda: bool(cooling.asked))
    out(cooling, None)
    cooling.run(60.0)
    assert cooling.make.state.alarm is None
    assert [e.why for e in cooling.of_kind(ev.ProbeTrusted)] == ["it is back on the curve of the water pot"]


def test_a_person_may_say_that_it_is_right_and_the_record_says_so(cooling):
    pot = cooling.pots["water-pot"]
    pot.upper_c = pot.lower_c = 45.0  # ice was thrown in
    cooling.run(120.0, lambda: bool(cooling.asked))
    cooling.press("in the pot")
    cooling.run(30.0)
    assert cooling.make.context().temp_c("water-pot") == pytest.approx(cooling.truth("water-pot"), abs=0.5)
    (answer,) = cooling.of_kind(ev.ProbeAnswered)
    assert (answer.answer, answer.probe) == ("in the pot", "probe 1")
    assert [d.grade for d in cooling.make.state.deviations if d.kind == "probe off its curve"] == [
        ev.Grade.MINOR
    ]


def test_a_temperature_measured_otherwise_that_agrees_shows_it_right(cooling):
    pot = cooling.pots["water-pot"]
    pot.upper_c = pot.lower_c = 50.0
    cooling.run(120.0, lambda: bool(cooling.asked))
    cooling.type_value(round(cooling.truth("water-pot"), 0))
    assert cooling.make.state.probe_doubts == {}
    assert cooling.make.state.alarm is None
    assert not [d for d in cooling.make.state.deviations if d.grade is ev.Grade.MAJOR]


def test_no_foot_no_enter_and_no_pan_answers_for_a_person(cooling):
    out(cooling, 34.0)
    cooling.run(120.0, lambda: bool(cooling.asked))
    view = cooling.view.act_view
    assert [c.word for c in view.choices] == ["in the pot", "unknown"]
    assert plain_choice(view) is None
    assert distinct_choice(view) is None
    cooling.press("unknown")
    view = cooling.view.act_view
    assert "in the pot" in [c.word for c in view.choices]
    assert distinct_choice(view) is None


def test_the_doubt_outlives_a_restart(cooling):
    out(cooling, 34.0)
    cooling.run(30.0)
    assert cooling.make.state.probe_doubts
    cooling.restart(60.0)
    assert not cooling.run(900.0, lambda: cooling.make.state.step != "10-cool")
    assert cooling.make.context().temp_c("water-pot") is None


def test_a_probe_taken_out_while_nobody_watched_is_noticed_too(cooling):
    out(cooling, 34.0)
    cooling.kitchen_only(120.0)
    cooling.restart(120.0)
    assert not cooling.run(120.0, lambda: cooling.make.state.step != "10-cool")
    assert cooling.make.context().temp_c("water-pot") is None


# --- C: another unit ---------------------------------------------------------------------------------------------


def test_a_unit_that_changed_is_named_and_no_heat_is_recorded():
    bench = HeatedMake(seed=5, temp_c=60.0)
    bench.begin("06-heat")
    bench.kitchen.bath.temp_c = 66.0
    for pot in bench.pots.values():
        pot.place, pot.stirred = "bath", True
    bench.yes_until("heat")
    bench.run(60.0)
    bench.probes["probe 1"].fahrenheit = True
    bench.run(30.0)
    assert [a.kind for a in bench.asked] == ["probe unit"]
    assert "is it set to °F?" in bench.asked[0].text
    assert {d.kind for d in bench.make.state.deviations} <= {"unchecked thermo"}
    assert all(t < 75.0 for e in bench.of_kind(ev.TemperaturesLogged) for _, t in e.temps_c)
    bench.probes["probe 1"].fahrenheit = False
    bench.run(30.0)
    assert bench.make.state.alarm is None
    assert bench.make.state.probe_doubts == {}


@pytest.fixture
def in_fahrenheit():
    """Both probes of the one thermometer show °F, while the pots are heated."""
    bench = HeatedMake(seed=5, temp_c=60.0)
    bench.begin("06-heat")
    bench.kitchen.bath.temp_c = 66.0
    for pot in bench.pots.values():
        pot.place, pot.stirred = "bath", True
    bench.yes_until("heat")
    bench.run(60.0)
    for probe in bench.probes.values():
        probe.fahrenheit = True
    bench.run(30.0)
    return bench


def test_a_unit_that_changed_is_asked_once_for_the_whole_thermometer(in_fahrenheit):
    bench = in_fahrenheit
    assert {d.kind for d in bench.make.state.probe_doubts.values()} == {"unit"}
    assert len(bench.make.state.probe_doubts) == 2
    bench.press("unknown")
    bench.run(30.0)
    assert len(bench.asked) == 1
    assert [e.probe for e in bench.of_kind(ev.ProbeAnswered)] == ["probe 1", "probe 2"]
    for probe in bench.probes.values():
        probe.fahrenheit = False
    bench.run(15.0)
    bench.press("in the pot")
    bench.run(60.0)
    assert len(bench.asked) == 1
    assert bench.make.state.probe_doubts == {}


def test_set_back_under_the_question_nothing_more_is_asked(in_fahrenheit):
    bench = in_fahrenheit
    for probe in bench.probes.values():
        probe.fahrenheit = False
    bench.run(60.0)
    assert bench.make.state.alarm is None
    assert len(bench.asked) == 1
    assert bench.make.state.probe_doubts == {}


# --- B: digits that stand still ----------------------------------------------------------------------------------


@pytest.fixture
def holding():
    """Both pots in the bath and in the band, their hold begun."""
    return at_the_hold(seed=7)


def at_the_hold(seed, **probe):
    bench = HeatedMake(seed=seed, temp_c=50.0, **probe)
    bench.begin("06-heat")
    bench.kitchen.bath.temp_c = bench.kitchen.bath.set_c = 76.0
    for pot in bench.pots.values():
        pot.place, pot.stirred = "bath", True
    bench.yes_until("heat")
    assert bench.run(3600.0, lambda: bench.make.state.progress.held_s > 60.0)
    assert not bench.asked
    return bench


def bath_off(bench):
    for pot in bench.pots.values():
        pot.place = "air"


def held_s(bench):
    return bench.make.watch.counts.hold.held_s


def test_frozen_digits_pass_no_hold(holding):
    for probe in holding.probes.values():
        probe.frozen = True
    bath_off(holding)
    holding.run(360.0, lambda: bool(holding.asked))
    assert [a.kind for a in holding.asked] == ["probe stands"]
    assert "Stir the" in holding.asked[0].text
    while holding.make.state.alarm is not None:
        holding.press("unknown")
        holding.run(120.0, lambda: holding.make.state.alarm is not None)
    assert not holding.run(1800.0, lambda: holding.make.state.step != "06-heat")
    assert len(holding.asked) <= 2, "once for each probe"
    assert held_s(holding) < 150.0, "what was held before it stood still"


def test_digits_that_move_on_are_credited_from_where_they_stood(holding):
    probe = holding.probes["probe 1"]
    probe.frozen = True
    holding.kitchen.bath.set_c = 77.5  # neither pot falls out of its band meanwhile
    start_s, before_s = holding.now, held_s(holding)
    holding.run(500.0, lambda: bool(holding.asked))
    assert holding.asked
    assert held_s(holding) < before_s + 5.0
    probe.frozen, probe._shown = False, None
    probe.temp_c = holding.truth("water-pot")
    holding.run(10.0, lambda: holding.make.state.alarm is None)
    holding.run(3.0)
    assert holding.make.state.alarm is None
    if holding.of_kind(ev.ProbeTrusted)[-1].held:
        assert held_s(holding) == pytest.approx(before_s + holding.now - start_s, abs=8.0)
    assert holding.run(900.0, lambda: holding.make.state.step != "06-heat")


@pytest.mark.parametrize("digit_k", [0.5, 1.0])
def test_a_coarse_probe_in_a_steady_bath_is_not_asked_about(digit_k):
    bench = at_the_hold(seed=11, digit_k=digit_k)
    assert bench.run(1200.0, lambda: bench.make.state.step != "06-heat")
    assert bench.asked == []


def of_deviation(bench, kind):
    return [d for d in bench.make.state.deviations if d.kind == kind]


def test_a_hold_that_rests_on_digits_which_never_moved_is_noted_and_the_jump_after_it_is_major():
    """The one case that cannot be told while it lasts: digits of a kelvin, frozen in a steady bath."""
    bench = at_the_hold(seed=11, digit_k=1.0)
    for probe in bench.probes.values():
        probe.frozen = True
    bath_off(bench)
    assert bench.run(1800.0, lambda: bench.make.state.step != "06-heat")
    noted = of_deviation(bench, "not seen to move")
    assert {d.grade for d in noted} == {ev.Grade.NOTE}
    assert "min of the hold of 10 min" in noted[0].text
    for probe in bench.probes.values():
        probe.frozen = False
    bench.begin("10-cool")
    bench.yes_until("cool")
    assert bench.run(300.0, lambda: bool(of_deviation(bench, "hold not seen")))
    found = of_deviation(bench, "hold not seen")[0]
    assert found.grade is ev.Grade.MAJOR
    assert "Then it showed" in found.text


def test_a_probe_lifted_to_stir_after_such_a_hold_says_nothing_of_it():
    bench = at_the_hold(seed=11, digit_k=1.0)
    for probe in bench.probes.values():
        probe.frozen = True  # and the bath is as steady as they are
    assert bench.run(1800.0, lambda: bench.make.state.step != "06-heat")
    assert of_deviation(bench, "not seen to move")
    for probe in bench.probes.values():
        probe.frozen = False
    bath_off(bench)
    bench.begin("10-cool")
    bench.yes_until("cool")
    for probe in bench.probes.values():
        probe.lies_at_c = bench.kitchen.room_c
    bench.run(25.0)
    for probe in bench.probes.values():
        probe.lies_at_c = None
    bench.run(120.0)
    assert bench.of_kind(ev.ProbeTrusted)
    assert of_deviation(bench, "hold not seen") == []


def test_a_hold_by_digits_that_move_is_not_noted(holding):
    assert holding.run(1200.0, lambda: holding.make.state.step != "06-heat")
    assert of_deviation(holding, "not seen to move") == []


# --- D: too hot and too cold -------------------------------------------------------------------------------------


def test_an_excursion_is_recorded_with_its_peak_and_its_length(holding):
    holding.kitchen.bath.set_c, holding.kitchen.bath.temp_c = 88.0, 88.0
    assert holding.run(400.0, lambda: holding.truth("water-pot") > 77.0)
    holding.kitchen.bath.set_c, holding.kitchen.bath.temp_c = 72.0, 60.0
    peak = 0.0
    for _ in range(900):
        holding.run(1.0)
        peak = max(peak, holding.truth("water-pot"))
        if [e for e in holding.of_kind(ev.ExcursionEnded) if e.vessel == "water-pot"]:
            break
    (began,) = [e for e in holding.of_kind(ev.ExcursionBegan) if e.vessel == "water-pot"]
    (ended,) = [e for e in holding.of_kind(ev.ExcursionEnded) if e.vessel == "water-pot"]
    assert ended.peak_c == pytest.approx(peak, abs=0.4)
    assert ended.lasted_s == pytest.approx(ended.at_s - began.at_s)
    (noted,) = [
        d
        for d in holding.make.state.deviations
        if d.kind == "above the heating band" and d.text.startswith("water pot")
    ]
    assert f"{ended.peak_c:.1f} °C at its peak" in noted.text


def test_an_excursion_that_is_still_open_at_the_end_of_the_step_is_recorded_too(holding):
    holding.kitchen.bath.set_c, holding.kitchen.bath.temp_c = 82.0, 82.0
    assert holding.run(1500.0, lambda: holding.make.state.step != "06-heat")
    ended = [e for e in holding.of_kind(ev.ExcursionEnded) if e.vessel == "water-pot"]
    assert len(ended) == 1
    assert ended[0].peak_c > 76.0
    assert not holding.make.state.excursions


def test_too_hot_is_written_as_hot_as_it_was(holding):
    holding.kitchen.bath.heater_w = 3000.0
    holding.kitchen.bath.set_c = holding.kitchen.bath.temp_c = 99.0
    assert holding.run(2000.0, lambda: bool(holding.asked))
    assert [a.kind for a in holding.asked] == ["too hot"]
    bath_off(holding)
    holding.run(30.0)
    hottest = max(t for e in holding.of_kind(ev.ExcursionBegan) for t in [e.temp_c])
    assert hottest < 80.0
    holding.kitchen.bath.temp_c = 20.0
    holding.run(1500.0, lambda: not holding.make.state.excursions)
    (noted,) = [d for d in holding.make.state.deviations if d.kind == "too hot"]
    assert noted.grade is ev.Grade.MAJOR
    assert any(
        e.peak_c >= 85.0 and f"{e.peak_c:.1f} °C at its peak" in noted.text
        for e in holding.of_kind(ev.ExcursionEnded)
    )


def test_a_hold_of_seconds_is_said_in_seconds(holding):
    """20 s were "0.333333 min" before the hold and "0 of 0 min" while it lasted."""
    act = replace(holding.make.act(), hold_s=20.0)
    assert act.brief.endswith("hold 20 s")
    said = heat_view.act_view_of(act, holding.make.context(holding.now))
    assert said.then == "Then hold 20 s."
    assert replace(act, hold_s=90.0).brief.endswith("hold 1 min 30 s")
    short = replace(holding.make.act(), hold_s=10_000.0)
    holding.run(30.0)
    (lacks, *_) = heat_view.act_view_of(short, holding.make.context(holding.now)).not_yet
    assert re.fullmatch(r"Kept hot for \d+ (s|min) of 2 h 46 min 40 s\.", lacks)
