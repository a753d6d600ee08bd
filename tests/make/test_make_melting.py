"""A butter melted before it is weighed: set to melt in time, asked about, no hotter than it bears."""

from __future__ import annotations

import pytest
from bench_by_hand import SCALES, Bench
from procedure_edits import edited, move

from benchapp import events as ev
from benchapp.make.inputs import Tick, TypeValue
from benchapp.make.plan_making import make_plan
from benchapp.make.steps import acts_of
from procedures.cautions import cautions_for
from procedures.errors import ProcedureInvalid
from procedures.reading import read_text
from procedures.walk import bench_at

SET = "set shea-butter to melt"


def balm(*changes):
    return read_text(edited("sand-bar-balm", *changes)).procedure


@pytest.fixture
def asked():
    """The oil is weighed, the butter comes next."""
    bench = Bench(procedure=balm(), batch_g=420.0)
    bench.jump("02-weigh")
    bench.give(Tick(bench.now))
    bench.press("understood")
    bench.stand(0.0)
    bench.place(290.0)
    bench.press("yes")
    for grams in (290.0, 290.0 + 247.8):
        bench.stand(grams)
    assert bench.view.act_view.instruction == "Is Shea butter melted and clear?"
    return bench


def noted(bench):
    return [d for d in bench.make.state.deviations if d.kind != "lot unknown"]


def typed(bench, temp_c):
    return bench.give(TypeValue(bench.now + 1.0, bench.make.state.prompt, temp_c))


def test_it_is_set_to_melt_when_the_bench_is_ready_and_said_with_its_grams():
    plan = make_plan(balm(), 420.0, SCALES)
    *_, last = acts_of(plan.procedure.steps[0], plan)
    assert (last.key, last.text) == (SET, "Set Shea butter to melt, at 60 °C at most.")
    assert last.note == "A little more than 100.8 g; it is weighed in: Weigh the fats."


def test_after_a_long_wait_it_is_set_to_melt_in_that_wait():
    """Weighed behind the heating of another pot, it would stand hot for an hour."""
    changes = (
        move("Weigh the late boat", "Pour the tins"), move("Add the late boat", "Pour the tins"),
        ('phase = "late"\nscale = "fine"', 'phase = "late"\nscale = "fine"\nmelt = ["Vitamin E"]'),
    )  # fmt: skip
    plan = make_plan(balm(*changes), 420.0, SCALES)
    where = {s.kind: [a.key for a in acts_of(s, plan)] for s in plan.procedure.steps}
    assert where["cool"][0] == "set vitamin-e to melt"
    assert where["prepare"][-1] == SET


def test_clear_it_is_read_back_and_weighed(asked):
    (said,) = [e for e in asked.press("yes") if isinstance(e, ev.Confirmed)]
    assert said.text == "Melted and clear: Shea butter"
    assert asked.view.act_view.instruction == "Take Shea butter."
    assert noted(asked) == []


def test_what_was_read_stands_on_the_record_and_tells_that_it_cannot_be_clear(asked):
    typed(asked, 38.0)
    assert asked.view.act_view.not_yet == ("38 °C: it melts at 40 °C.",)
    assert asked.press("yes") == []
    typed(asked, 52.0)
    asked.press("yes")
    read = [(e.what, e.value) for e in asked.events if isinstance(e, ev.NumberTaken)]
    assert read == [("temperature of Shea butter", 38.0), ("temperature of Shea butter", 52.0)]
    assert asked.view.act_view.instruction == "Take Shea butter."


def test_too_hot_is_asked_once_more_and_wants_a_reason(asked):
    typed(asked, 72.0)
    assert (asked.view.act_view.instruction, asked.view.act_view.not_yet) == (
        "72 °C for Shea butter?", ("It should be 60 °C at most.",),
    )  # fmt: skip
    assert asked.press("typed anyway") == []
    asked.press("typed anyway", "the plate was set too high")
    (hot,) = noted(asked)
    assert (hot.kind, hot.grade) == ("melted too hot", ev.Grade.MINOR)
    asked.press("yes")
    assert asked.view.act_view.instruction == "Take Shea butter."


def test_a_slip_of_the_finger_is_typed_again(asked):
    typed(asked, 72.0)
    asked.press("type again")
    assert noted(asked) == []
    assert asked.view.act_view.instruction == "Is Shea butter melted and clear?"


def test_weighed_solid_it_says_why(asked):
    assert asked.press("anyway") == []
    asked.press("anyway", "the power is off")
    (solid,) = noted(asked)
    assert (solid.kind, solid.grade) == ("weighed solid", ev.Grade.NOTE)
    assert asked.view.act_view.instruction == "Take Shea butter."


@pytest.mark.parametrize(
    ("most", "hot"),
    [
        ('melt_at_most = "60 degC"', "Up to 60 °C"),
        ('melt_at_most = "50 degC"', "Up to 50 °C"),
        ("", "Up to 60 °C"),
    ],
)
def test_it_is_announced_as_hot_also_where_nobody_says_how_hot(most, hot):
    procedure = balm(('melt_at_most = "60 degC"', most))
    (caution,) = [c for c in cautions_for(procedure.steps[1], procedure) if c.key == "hot liquid"]
    assert caution.text.startswith(hot)
    assert caution.serious is (hot == "Up to 60 °C")


def test_left_out_it_is_what_the_butter_bears():
    procedure = balm(
        ('melt_at_most = "60 degC"\n', ""),
        ('role = "butter"\nmelts', 'role = "butter"\nbelow = "80 degC"\nmelts'),
    )
    step = procedure.steps[1]
    assert step.melt_at_most_c == 80.0
    said = step.sentence(bench_at(step, procedure))
    assert said.endswith("; melt Shea butter before, at 80 °C at most.")


def test_a_temperature_for_nothing_is_refused():
    with pytest.raises(
        ProcedureInvalid, match="melt_at_most says how warm something is melted, and nothing is"
    ):
        balm(('melt = ["Shea butter"]', ""))


def test_what_is_melted_before_it_is_weighed_needs_no_heated_phase():
    text = edited(
        "sand-bar-balm",
        ('melt = ["Shea butter"]', 'melt = ["Shea butter", "Beeswax"]'),
        ('"60 degC"\nwhy', '"80 degC"\nwhy'),
    )
    block = text[text.index('[[step]]\nkind = "heat"') : text.index('[[step]]\nkind = "cool"')]
    cool = text[text.index('[[step]]\nkind = "cool"') : text.index('[[step]]\nkind = "add"')]
    cold = (
        text.replace(block, "")
        .replace(cool, "")
        .replace('above = "56 degC" # below, it sets with a hole in the middle\n', "")
    )
    assert read_text(cold).procedure.steps[1].melt == ("shea-butter", "beeswax")


BURNS = (
    'below = "66 degC"\ndensity = "0.88 g/ml"',
    'below = "66 degC"\nflammable = true\ndensity = "0.88 g/ml"',
)


def test_what_burns_is_said_to_be_away_before_anything_is_set_to_melt_and_beside_the_scale():
    """As before a pot is in the bath: the fire was warned of, and nobody was asked."""
    procedure = balm(BURNS)
    plan = make_plan(procedure, 420.0, SCALES)
    keys = {s.key: [a.key for a in acts_of(s, plan)] for s in procedure.steps}
    assert keys["01-prepare"][-2:] == ["away", SET]
    assert keys["02-weigh"][0] == "away"
    assert keys["04-heat"][:2] == ["away", "place"]
    bench = Bench(procedure=procedure, batch_g=420.0)
    bench.jump("02-weigh")
    bench.give(Tick(bench.now))
    bench.press("understood")
    assert "fire" in {c.key for c in bench.view.cautions}
    assert bench.view.act_view.instruction == "Put Lavender oil away."
    bench.press("yes")
    assert "fire" not in {c.key for c in bench.view.cautions}


def test_what_burns_and_is_weighed_beside_the_melting_cannot_be_away_and_stays_warned_of():
    changes = (move("Weigh the late boat", "Pour the tins"), move("Add the late boat", "Pour the tins"))
    melts = ('phase = "late"\nscale = "fine"', 'phase = "late"\nscale = "fine"\nmelt = ["Vitamin E"]')
    procedure = balm(*changes, melts, BURNS)
    plan = make_plan(procedure, 420.0, SCALES)
    late = next(s for s in procedure.steps if "lavender-oil" in getattr(s, "lines", ()))
    assert "fire" in {c.key for c in cautions_for(late, procedure)}
    assert "away" not in [a.key for a in acts_of(late, plan)]
