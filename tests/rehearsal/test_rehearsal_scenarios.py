"""Each scenario, over real ports, walked by a hand that does it well and by one that errs in just that way."""

from __future__ import annotations

import contextlib
import functools
import re
from pathlib import Path

import pytest
from acting import WALL, replies_of, to_the_end

from benchapp import events as ev
from benchapp.foundation.catalogues import language_of
from benchapp.foundation.language import speaking
from benchapp.make.view_model import STOP_POURING
from benchapp.make.vocabulary import Verb
from benchapp.record.journal import Journal
from benchapp.rehearsal.errors import ScenarioInvalid, ScenarioNotFound
from benchapp.rehearsal.run import rehearse
from benchapp.rehearsal.runner import RehearsalRunner
from benchapp.rehearsal.scenario_reading import (
    SHIPPED,
    find_scenario,
    read_scenario_text,
    scenarios,
)
from benchapp.rehearsal.scoring import judge
from benchapp.runtime.session_start import BatchOrder, begin, facts_of
from benchapp.voice.prompts import utterance_of
from drivers.simulated import SimulatedBench
from procedures.reading import read_procedure
from procedures.shelf import find

#: What each hand that errs leaves in the record.
TRACES = {
    "over-pour": (ev.RemedyChosen, "remedy", "accept"),
    "forgotten-tare": (ev.WeightTaken, "source", "stated"),
    "probe-out": (ev.StepSkipped, "step", "06-heat"),
    "too-cold-to-combine": (ev.DeviationNoted, "kind", "combined out of band"),
    "cooled-too-far": (ev.DeviationNoted, "kind", "cooled too far"),
    "added-too-hot": (ev.DeviationNoted, "kind", "added out of band"),
    "dry-bath": (ev.StepSkipped, "step", "06-heat"),
    "scale-loses-power": (ev.WeightTaken, "source", "stated"),
    "wrong-lot": (ev.DeviationNoted, "kind", "lot not usable"),
    "ph-overshoot": (ev.DeviationNoted, "kind", "pH out of band"),
    "called-away": (ev.Watched, "step", "05-weigh"),
}


@pytest.fixture(scope="module")
def perform(tmp_path_factory):
    """Rehearse a scenario to its end, once for all who ask about it; gives it and the events of the make."""

    @functools.cache
    def walk(name, errs):
        scenario = find_scenario(name)
        procedure = read_procedure(find(scenario.procedure)).procedure
        bench = SimulatedBench(seed=1)
        facts = [facts_of(d) for d in bench.bench.devices]
        order = BatchOrder(
            procedure, scenario.batch_g, facts, "Jo Tern", "b1", rehearsal=True, scenario=scenario.text
        )
        with contextlib.closing(Journal(tmp_path_factory.mktemp(name), lambda: WALL)) as journal:
            session = begin(journal, order, lambda: bench.now_s)
            with contextlib.closing(rehearse(bench, session, 1, scenario=scenario)) as rehearsal:
                to_the_end(rehearsal, replies_of(scenario, errs), limit_s=4 * 3600.0)
            return scenario, journal.events("b1")

    return walk


def test_every_shipped_scenario_is_walked_here():
    assert set(TRACES) == set(scenarios())


#: The longest two, whose batch has to cool first, are walked by hand only.
LONG = ("added-too-hot", "cooled-too-far")
WALKED = [pytest.param(n, marks=pytest.mark.by_hand) if n in LONG else n for n in sorted(TRACES)]


@pytest.mark.parametrize("name", WALKED)
def test_a_good_hand_reaches_the_goal(perform, name):
    scenario, events = perform(name, False)
    verdict = judge(scenario, events)
    assert verdict.reached, verdict.why
    assert verdict.begun_at_s is not None
    kind, field, value = TRACES[name]
    inside = [e for e in events if e.at_s >= verdict.begun_at_s]
    assert len([e for e in inside if isinstance(e, ev.ScenarioStruck)]) == 1
    if kind is not ev.Watched:
        assert not [e for e in inside if isinstance(e, kind) and getattr(e, field) == value]


@pytest.mark.parametrize("name", WALKED)
def test_a_hand_that_errs_does_not_and_the_record_shows_how(perform, name):
    scenario, events = perform(name, True)
    verdict = judge(scenario, events)
    assert verdict.finished
    assert not verdict.reached
    assert any(b.seen for b in verdict.bad)
    kind, field, value = TRACES[name]
    assert [e for e in events if isinstance(e, kind) and getattr(e, field) == value]


def test_a_good_hand_waits_until_the_cold_phase_is_warm_again(perform):
    """The goal is not reached by nothing having happened: 55 °C of oil take minutes in the bath."""
    _, events = perform("too-cold-to-combine", False)
    (struck,) = [e for e in events if isinstance(e, ev.ScenarioStruck)]
    (moved,) = [e for e in events if isinstance(e, ev.MassMoved) and e.origin == "oil-pot"]
    assert moved.at_s - struck.at_s > 300.0


# --- reading files -------------------------------------------------------------------------------------------

GOOD = (SHIPPED / "over-pour.toml").read_text()


@pytest.mark.parametrize(
    ("old", "new", "place", "said"),
    [
        ('what = "pour on"', 'what = "set fire"', ":16:8:", "cannot be that"),
        ('thing = "glycerin"', 'thing = "glycerine"', ":17:9:", 'Did you mean "glycerin"?'),
        ('event = "RemedyChosen"', 'event = "RemedyChozen"', ":22:9:", 'Did you mean "RemedyChosen"?'),
        ("where = { remedy = [", "where = { cure = [", ":23:18:", 'no field "cure"'),
        ("nth = 2", "nth = 9", ":10:8:", 'no step "weigh" number 9'),
        ('procedure = "oat-hand-lotion"', 'procedure = "../../etc/passwd"', ":5:13:", "no procedure"),
        ('mass = "22 g"\n', "", ":15:1:", '"pour on" needs mass'),
        ("above = 5.0", "above = nan", ":13:9:", "above is too large"),
        ("above = 5.0", "above = inf", ":13:9:", "above is too large"),
        ("[begin]", "[begin]\ncommand = 1", ":10:1:", "no field command"),
        ("goal =", "goal", ":4:6:", "no field"),
        ('teaches = ["weigh"]', 'teaches = ["juggle"]', ":6:12:", 'no step "juggle"'),
        ('act = "pour glycerin"', 'act = "pour glycerine"', ":12:7:", 'Did you mean "pour glycerin"?'),
        ('act = "pour glycerin"', 'stage = "nonsense"', ":12:9:", 'no stage "nonsense"'),
        ("above = 5.0", "above = 5.0\nbelow = 2.0", ":13:9:", "above 5 and below 2"),
        ("[[happens]]", '[end]\nstep = "prepare"\n[[happens]]', ":16:8:", "end before it begins"),
        ("[[happens]]", '[[happens]]\nwhat = "tare"\nthing = "scale"\n[[happens]]', ":17:9:", 'no "scale" here'),
        ("[[happens]]", '[[happens]]\nwhat = "probe out"\nthing = "probe 7"\n[[happens]]', ":17:9:", 'no "probe 7" here'),
        ("where = { remedy = [", 'where = { step = "77-weigh", remedy = [', ":23:18:", 'no step "77-weigh"'),
    ],
)  # fmt: skip
def test_a_mistake_in_a_scenario_is_named_with_its_place(old, new, place, said):
    assert old in GOOD
    with pytest.raises(ScenarioInvalid) as found:
        read_scenario_text(GOOD.replace(old, new, 1), "mine.toml")
    assert f"mine.toml{place}" in str(found.value)
    assert said in str(found.value)


def test_ice_water_of_0_degrees_is_a_temperature():
    text = (SHIPPED / "cooled-too-far.toml").read_text().replace('"4 degC"', '"0 degC"')
    assert read_scenario_text(text).happens[0].temp_c == 0.0


def test_a_makers_own_scenario_lies_in_a_folder_and_is_found_by_name_only(tmp_path):
    own = tmp_path / "scenarios"
    own.mkdir()
    (own / "slippery.toml").write_text(GOOD)
    (tmp_path / "outside.toml").write_text(GOOD)
    assert find_scenario("slippery", own).key == "slippery"
    for name in ("../outside", str(tmp_path / "outside.toml"), "outside"):
        with pytest.raises(ScenarioNotFound):
            find_scenario(name, own)


# --- judging -------------------------------------------------------------------------------------------------


def test_what_happens_outside_the_frame_is_not_scored():
    scenario = find_scenario("over-pour")
    step = scenario.begins.step
    wrong = ev.RemedyChosen(at_s=1.0, step="x", act="y", line="z", remedy=ev.Remedy.ACCEPT, reason="early")
    right = ev.RemedyChosen(at_s=6.0, step=step, act="y", line="z", remedy=ev.Remedy.REMOVE, reason="")
    began = ev.ActBegan(at_s=5.0, step=step, act="pour glycerin")
    done = ev.StepFinished(at_s=9.0, step=step)
    late = ev.RemedyChosen(at_s=12.0, step="x", act="y", line="z", remedy=ev.Remedy.ACCEPT, reason="late")
    assert judge(scenario, [wrong, began, right, done, late]).reached
    assert not judge(scenario, [began, wrong, right, done]).reached
    assert not judge(scenario, [began, right]).reached, "not walked to the end"
    assert judge(scenario, [wrong]).begun_at_s is None


def test_the_page_on_learning_names_every_scenario_and_what_it_teaches():
    page = (Path(__file__).parents[2] / "docs" / "training.md").read_text(encoding="utf-8")
    rows = dict(re.findall(r"^\| `([^`]+)` \| [^|]+ \| ([^|]+) \|$", page, re.MULTILINE))
    taught = {key: ", ".join(f"`{kind}`" for kind in find_scenario(key).teaches) for key in scenarios()}
    assert rows == taught


def watched(journal, name):
    """Each view of a scenario as somebody who watches gets it, with the bench's time; the hands answer by themselves."""
    scenario = find_scenario(name)
    procedure = read_procedure(find(scenario.procedure)).procedure
    bench = SimulatedBench(seed=1)
    facts = [facts_of(d) for d in bench.bench.devices]
    order = BatchOrder(
        procedure, scenario.batch_g, facts, "Jo Tern", "b1", rehearsal=True, scenario=scenario.text
    )
    session = begin(journal, order, lambda: bench.now_s)
    runner = RehearsalRunner(rehearse(bench, session, 1, scenario=scenario), pace=5.0)
    while not (view := runner.beat()).over:
        yield view, bench.now_s
        own = runner.own_answer(view)
        if own is not None:
            session.put(own.given(session.clock(), view.prompt))
    session.close()
    bench.close()


def test_what_happens_is_said_for_eight_seconds_also_where_the_make_has_gone_on(journal):
    said_s = [now_s for view, now_s in watched(journal, "called-away") if view.act_view.news]
    assert 8.0 * 5.0 - 1.0 <= said_s[-1] - said_s[0] < 120.0


def test_the_hand_finds_its_way_in_another_language(tmp_path):
    """It goes by what stands on the bench and beside the numbers, and reads no sentence."""
    scenario = find_scenario("too-cold-to-combine")
    procedure = read_procedure(find(scenario.procedure)).procedure
    bench = SimulatedBench(seed=1)
    order = BatchOrder(
        procedure, scenario.batch_g, [facts_of(d) for d in bench.bench.devices], "Jo Tern", "b1", rehearsal=True,
        scenario=scenario.text,
    )  # fmt: skip
    with contextlib.closing(Journal(tmp_path, lambda: WALL)) as journal, speaking(language_of("de")):
        session = begin(journal, order, lambda: bench.now_s)
        with contextlib.closing(rehearse(bench, session, 1, scenario=scenario)) as rehearsal:
            to_the_end(rehearsal, replies_of(scenario), limit_s=2 * 3600.0)
        assert judge(scenario, journal.events("b1")).reached


def test_while_far_more_runs_in_the_order_and_the_move_say_stop_not_pour(journal):
    says = find_scenario("over-pour").happens[0].says
    contradicted, stopped = [], []
    for view, _ in watched(journal, "over-pour"):
        act_view, told = view.act_view, utterance_of(view)
        if act_view.news == says and act_view.want is not None and act_view.want.verb == Verb.POUR:
            asked = {x.to_go for x in act_view.live} - {None}, act_view.picture, act_view.choices
            if act_view.instruction != STOP_POURING or any(asked):
                contradicted.append((act_view.instruction, asked))
            stopped.append((act_view.move, told.urgent, told.text))
    assert not contradicted
    assert set(stopped) == {(STOP_POURING, True, "Stop pouring.")}
