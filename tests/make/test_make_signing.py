"""Who may sign what: enforced in the core, whatever a screen sends."""

from __future__ import annotations

import dataclasses

import pytest
from bench_by_hand import SCALES, Bench

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.inputs import Sign
from benchapp.make.plan_making import make_plan
from procedures.reading import read_procedure
from procedures.shelf import find

NEVER_ALONE = ("weigh", "measure ph")


class Training(Bench):
    """A helper in training makes; a second person signs after ``witness`` kinds of step."""

    def __init__(self, role="helper", witness=NEVER_ALONE):
        self.procedure = read_procedure(find("oat-hand-lotion")).procedure
        self.make = Make(make_plan(self.procedure, 500.0, SCALES, witness))
        self.events = []
        self.now = 0.0
        self.commit([
            ev.MakeStarted(
                at_s=0.0, batch="b", maker="Ina Voss", procedure="p", procedure_sha256="", procedure_text="",
                batch_g=500.0, devices=SCALES, role=role, witness=witness,
            )
        ])  # fmt: skip

    def sign(self, who, role, proof="pin"):
        self.now += 1.0
        return self.give(Sign(self.now, self.make.state.prompt, who, role, proof))

    def signatures(self):
        return [(e.who, e.meaning, e.role, e.proof) for e in self.events if isinstance(e, ev.Signed)]


def test_a_step_with_something_critical_ends_with_a_witness_and_one_without_does_not():
    make = Training().make
    assert [k for k, acts in make.agenda.acts.items() if any(a.key == "witness" for a in acts)] == [
        "11-weigh",
        "14-measure-ph",
    ]


def at_witness():
    """The cool-down ingredients are weighed, and the second person is called."""
    bench = Training(witness=("weigh",))
    bench.to("11-weigh")
    acts = bench.make.agenda.acts["11-weigh"]
    done = [ev.ActFinished(at_s=bench.now, step="11-weigh", act=a.key) for a in acts if a.key != "witness"]
    bench.commit(done)
    bench.commit(bench.make.follow(bench.now))
    assert bench.make.state.progress.act == "witness"
    return bench


@pytest.mark.parametrize(
    ("who", "role", "proof"),
    [
        ("Ina Voss", "maker", "pin"),  # nobody witnesses their own work
        ("Ole Brandt", "helper", "pin"),  # no helper
        ("Mara Lind", "maker", ""),  # no proof
    ],
)
def test_the_wrong_person_cannot_witness(who, role, proof):
    bench = at_witness()
    assert bench.sign(who, role, proof) == []
    assert bench.signatures() == []


def test_another_maker_witnesses_with_a_pin():
    bench = at_witness()
    bench.sign("Mara Lind", "maker")
    assert bench.signatures() == [("Mara Lind", "seen and found right", "maker", "pin")]
    assert bench.make.state.progress.act != "witness"


def test_a_press_is_no_signature_where_people_are_enrolled():
    bench = Training(role="maker", witness=())
    bench.to("19-finish")
    assert bench.view.act_view.choices[0].sign == "made as recorded"
    assert bench.press("sign") == []
    assert bench.sign("Mara Lind", "maker") == [], "only who made it says so"
    bench.sign("Ina Voss", "maker")
    assert bench.signatures() == [("Ina Voss", "made as recorded", "maker", "pin")]
    assert bench.make.state.over == "finished"


def test_where_nobody_is_enrolled_a_press_signs_and_says_that_nothing_was_proved():
    bench = Training(role="", witness=())
    bench.to("19-finish")
    bench.press("sign")
    assert bench.signatures() == [("Ina Voss", "made as recorded", "", "")]


def test_the_plan_of_a_resumed_make_still_wants_its_witness():
    from benchapp.runtime.session_start import plan_of

    started = Training().events[0]
    started = dataclasses.replace(started, procedure_text=Training().procedure.text)
    assert plan_of(started).witness == NEVER_ALONE


def test_what_a_remedy_puts_on_top_is_weighed_before_the_second_person_signs():
    """It was weighed once they had signed and gone."""
    bench = Training(witness=("weigh",))
    bench.to("11-weigh")
    line = next(s for s in bench.procedure.steps if s.key == "11-weigh").lines[0]
    bench.commit([
        ev.TargetsRevised(
            at_s=bench.now, step="11-weigh", why="kept the formula", batch_g=510.0, additions=((line, 0.1),), targets=()
        )
    ])  # fmt: skip
    state = bench.make.state
    keys = [a.key for a in bench.make.agenda.acts_now("11-weigh", state)]
    assert keys[-3:] == [f"read {line} again 1", f"pour {line} again 1", "witness"]
    for _ in range(20):
        key = state.progress.act
        if "again" in key or key == "witness":
            break
        bench.commit([ev.ActFinished(at_s=bench.now, step="11-weigh", act=key)])
        while more := bench.make.follow(bench.now):
            bench.commit(more)
        state = bench.make.state
    assert state.progress.act == f"read {line} again 1"


def test_what_an_older_program_put_behind_the_second_person_is_still_weighed():
    bench = at_witness()
    line = next(s for s in bench.procedure.steps if s.key == "11-weigh").lines[0]
    bench.commit([
        ev.TargetsRevised(
            at_s=bench.now, step="11-weigh", why="kept the formula", batch_g=510.0, additions=((line, 0.1),), targets=()
        )
    ])  # fmt: skip
    bench.sign("Mara Lind", "maker")
    assert bench.make.state.step == "11-weigh"
    assert "for" in bench.make.state.progress.act, "the boat comes back on the scale"
