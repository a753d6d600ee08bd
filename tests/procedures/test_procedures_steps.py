"""Every kind of step says of itself what the other rooms have to know; nothing about a kind stands anywhere else."""

from __future__ import annotations

import ast
import dataclasses
from pathlib import Path
from typing import get_args

import pytest
from procedure_edits import edited

from benchapp.make.plan_making import make_plan
from benchapp.make.steps import acts_of
from benchapp.record.competence import STEP_KINDS, WITNESSED
from procedures import steps
from procedures.cautions import cautions_for
from procedures.errors import ProcedureInvalid
from procedures.reading import read_procedure, read_text
from procedures.shelf import find, shipped
from procedures.steps.base import Guidance, Step
from procedures.walk import walk

ROOM = Path(steps.__file__).parent
KINDS: tuple[type[Step], ...] = get_args(steps.AnyStep)
EVERY = [
    pytest.param(step, bench, procedure, id=f"{key}/{step.key}")
    for key in shipped()
    for procedure in (read_procedure(find(key)).procedure,)
    for step, bench in walk(procedure)
]


def test_every_class_of_step_in_the_folder_is_among_the_kinds_and_can_be_written():
    found = {
        node.name
        for file in ROOM.glob("*.py")
        for node in ast.parse(file.read_text(encoding="utf-8")).body
        if isinstance(node, ast.ClassDef)
        and any(isinstance(b, ast.Name) and b.id == "Step" for b in node.bases)
    }
    assert found == {kind.__name__ for kind in KINDS}
    assert set(steps.TABLES) == set(KINDS)
    assert len(steps.STEP_TABLES) == len(KINDS), "no two kinds of one name"


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_has_words_of_its_own(kind):
    words = kind.of_kind.words
    assert all((words.why, words.look, words.wrong))


def test_the_record_knows_the_same_kinds():
    assert set(STEP_KINDS) == {kind.of_kind.name for kind in KINDS}
    assert set(WITNESSED) == {kind.of_kind.name for kind in KINDS if kind.of_kind.witnessed}


@pytest.mark.parametrize(("step", "bench", "procedure"), EVERY)
def test_every_vessel_and_line_a_step_names_is_in_its_declaration(step, bench, procedure):
    said = step.declare(bench)
    named = [v for f in dataclasses.fields(step) for v in (getattr(step, f.name),) if isinstance(v, str)]
    assert {v for v in named if v in procedure.vessels} <= set(said.touches)
    lines = {x.key for x in procedure.formula.lines}
    tuples = [v for f in dataclasses.fields(step) for v in (getattr(step, f.name),) if isinstance(v, tuple)]
    assert {x for given in tuples for x in given if isinstance(x, str) and x in lines} <= set(said.handles)
    assert set(said.touches) <= set(procedure.vessels)


@pytest.mark.parametrize(("step", "bench", "procedure"), EVERY)
def test_whatever_its_kind_a_hot_vessel_is_announced(step, bench, procedure):
    if any(bench.is_hot(v) for v in step.declare(bench).touches):
        assert "hot liquid" in {c.key for c in cautions_for(step, procedure)}


@pytest.mark.parametrize(("step", "bench", "procedure"), EVERY)
def test_every_kind_has_acts_and_a_sentence(step, bench, procedure):
    assert acts_of(step, make_plan(procedure, procedure.default_batch_g, ())) or step.kind in (
        "top up",
        "density",
    )
    assert step.sentence(bench)


def test_the_files_own_words_come_first_and_the_kinds_stand_in():
    step = dataclasses.replace(
        read_procedure(find("tide-pool-gel")).procedure.steps[0], why="Because.", look="", wrong=""
    )
    words = step.of_kind.words
    assert step.guidance == Guidance("Because.", words.look, words.wrong)


def test_what_goes_into_the_batch_after_its_ph_is_found_whatever_kind_brings_it():
    """A weigh step straight into the measured vessel was no "add", and passed."""
    late = '[[step]]\nkind = "weigh"\ntitle = "More"\nphase = "pH"\nvessel = "gel pot"\ningredients = ["Glycerin"]\n\n'
    text = edited("tide-pool-gel", ('[[step]]\nkind = "fill"', late + '[[step]]\nkind = "fill"'))
    with pytest.raises(ProcedureInvalid) as found:
        read_text(text)
    assert "after its pH was measured" in str(found.value)
