"""A rehearsal that breaks off in the middle: its scenario goes on where that can be honest, and says so where not."""

from __future__ import annotations

import os
import signal
import subprocess
import sys

import pytest
from acting import Actor, replies_of, to_the_end

from benchapp import events as ev
from benchapp.record.journal import Journal
from benchapp.rehearsal.debrief import debrief, debrief_lines
from benchapp.rehearsal.evidence import goal_reached, practised
from benchapp.rehearsal.run import rehearse, resume_rehearsal
from benchapp.rehearsal.scenario_reading import find_scenario
from benchapp.rehearsal.scoring import BROKEN_OFF, judge
from benchapp.runtime.session_start import BatchOrder, begin, facts_of, reopen
from drivers.simulated import SimulatedBench
from procedures.reading import read_procedure
from procedures.shelf import find


class Interrupted:
    """One rehearsal of a scenario, dropped and taken up on a bench that knows nothing of the one before."""

    def __init__(self, journal, name, errs=False):
        self.journal, self.scenario = journal, find_scenario(name)
        self.replies = replies_of(self.scenario, errs)
        procedure = read_procedure(find(self.scenario.procedure)).procedure
        bench = SimulatedBench(seed=1)
        session = begin(
            journal,
            BatchOrder(
                procedure,
                self.scenario.batch_g,
                [facts_of(d) for d in bench.bench.devices],
                "Jo Tern",
                "b1",
                rehearsal=True,
                scenario=self.scenario.text,
            ),
            lambda: bench.now_s,
        )
        self.rehearsal = rehearse(bench, session, 1, scenario=self.scenario)

    @property
    def events(self):
        return self.journal.events("b1")

    def drop(self, when):
        """Walk until the record says so, then drop everything but the journal, and take it up."""
        r = self.rehearsal
        actor = Actor(self.replies, r.bench, r.session, r.hands, r.answers)
        for _ in range(10_000):
            view = r.step()
            if any(when(e) for e in r.session.recent):
                break
            actor.answer(view, r.director.begun)
        else:
            pytest.fail(f"never came to it; stands at {view.prompt}")
        r.close()
        stored = self.journal.stored("b1")
        bench, base = SimulatedBench(seed=2), stored[-1].event.at_s
        session = reopen(self.journal, stored, 30.0, lambda: base + bench.now_s)
        self.rehearsal = resume_rehearsal(bench, session, 2, [s.event for s in stored])

    def finish(self):
        if not self.rehearsal.session.make.state.over:
            to_the_end(self.rehearsal, self.replies, limit_s=4 * 3600.0)
        self.rehearsal.close()
        return judge(self.scenario, self.events)


def of_kind(kind):
    return lambda event: isinstance(event, kind)


def test_dropped_before_anything_happened_it_happens_once_and_the_goal_can_be_reached(journal):
    one = Interrupted(journal, "over-pour")
    one.drop(lambda e: isinstance(e, ev.StepBegan) and e.step == "02-weigh")
    assert one.rehearsal.director.leading_in
    assert one.finish().reached
    (struck,) = [e for e in one.events if isinstance(e, ev.ScenarioStruck)]
    assert struck.what == ("pour on",)
    assert any(struck.says in line for line in debrief_lines(debrief(one.events)))


def test_dropped_while_too_much_is_in_the_beaker_it_is_broken_off_and_speaks_for_nobody(journal):
    one = Interrupted(journal, "over-pour")
    one.drop(of_kind(ev.ScenarioStruck))
    verdict = one.finish()
    assert (verdict.reached, verdict.broken_off) == (False, True)
    assert [e.reason for e in one.events if isinstance(e, ev.MakeAbandoned)] == [BROKEN_OFF]
    assert len([e for e in one.events if isinstance(e, ev.ScenarioStruck)]) == 1
    assert goal_reached(one.events) == ()
    assert practised(one.events) == ("Too much poured", "broken off", None)
    said = "\n".join(debrief_lines(debrief(one.events)))
    assert "Broken off." in said
    assert "begin it again" in said
    assert "Goal not reached" not in said


def test_dropped_once_the_remedy_is_chosen_the_verdict_hangs_on_nothing_that_was_lost(journal):
    one = Interrupted(journal, "over-pour")
    one.drop(of_kind(ev.RemedyChosen))
    assert one.finish().reached
    assert len([e for e in one.events if isinstance(e, ev.ScenarioStruck)]) == 1


@pytest.mark.parametrize("errs", [False, True], ids=["a good hand", "one that errs"])
@pytest.mark.parametrize("name", ["wrong-lot", "called-away"])
def test_what_outlives_a_restart_is_taken_up_after_it_has_happened(journal, name, errs):
    one = Interrupted(journal, name, errs)
    one.drop(of_kind(ev.ScenarioStruck))
    assert not one.rehearsal.director.leading_in
    verdict = one.finish()
    assert verdict.reached is not errs, verdict.why
    assert len([e for e in one.events if isinstance(e, ev.ScenarioStruck)]) == 1


def test_a_scenario_nobody_can_read_any_more_is_broken_off(journal):
    one = Interrupted(journal, "wrong-lot")
    one.rehearsal.close()
    started = one.events[0]
    journal.append("b2", [ev.MakeStarted(**{**_fields(started), "batch": "b2", "scenario": "nonsense"})])
    stored = journal.stored("b2")
    bench = SimulatedBench(seed=1)
    session = reopen(journal, stored, 0.0, lambda: bench.now_s)
    resume_rehearsal(bench, session, 1, [s.event for s in stored]).close()
    assert session.make.state.over == "abandoned"
    assert practised(journal.events("b2")) == ("", "a scenario this version cannot read", None)


def _fields(event):
    return {name: getattr(event, name) for name in event.__dataclass_fields__}


@pytest.mark.skipif(os.name != "posix", reason="SIGKILL is POSIX")
def test_killed_on_the_way_to_where_it_begins_the_command_takes_the_scenario_up(tmp_path):
    command = [sys.executable, "-u", "-m", "benchapp.cli"]
    rest = ["--data", str(tmp_path), "--pace", "0"]
    first = subprocess.Popen(
        [*command, "rehearse", "--scenario", "over-pour", *rest], stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, text=True
    )  # fmt: skip
    assert any(line.startswith("  = ") for line in first.stdout)  # the first thing that was recorded
    first.send_signal(signal.SIGKILL)
    first.communicate()
    again = subprocess.run(
        [*command, "resume", *rest], stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=60
    )
    assert again.returncode == 0, again.stderr
    assert "Goal reached." in again.stdout
    journal = Journal(tmp_path, lambda: "")
    (line,) = journal.batches()
    events = journal.events(line.batch)
    journal.close()
    assert len([e for e in events if isinstance(e, ev.MakeResumed)]) == 1
    assert len([e for e in events if isinstance(e, ev.ScenarioStruck)]) == 1
