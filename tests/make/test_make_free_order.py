"""Steps in any order: the others are offered as long as nothing is done, and the record has them as they were done."""

from __future__ import annotations

import pytest
from bench_by_hand import SCALES, Bench
from procedure_edits import edited

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.hands_free import plain_choice
from benchapp.make.inputs import Tick
from benchapp.make.view_building import view_model_of
from procedures.reading import read_text

FIRST, SECOND = "08-weigh", "09-weigh"


@pytest.fixture
def begun():
    """The first boat's step has begun, its cautions are read."""
    bench = Bench(SCALES, read_text(edited("winter-shore-cream")).procedure, 600.0)
    bench.jump(FIRST)
    bench.give(Tick(bench.now))
    bench.press("understood")
    return bench


def words(bench):
    return [c.word for c in bench.view.act_view.choices]


def boat(bench):
    """The boat that is asked for is put on and known."""
    bench.stand(0.0, device="fine")
    bench.place(6.0, device="fine")


def test_the_other_one_is_offered_before_anything_is_done(begun):
    assert words(begun) == [f"instead:{SECOND}"]
    (offer,) = begun.view.act_view.choices
    assert offer.label == "First: Weigh the second boat"
    assert not offer.serious


def test_taken_first_it_is_done_first_and_the_one_put_off_comes_next(begun):
    out = begun.press(f"instead:{SECOND}")
    assert [type(e).__name__ for e in out][:2] == ["StepPutOff", "StepBegan"]
    assert begun.make.state.step == SECOND
    begun.press("understood")
    assert words(begun) == [f"instead:{FIRST}"], "and back again"
    begun.commit([ev.StepFinished(at_s=begun.now, step=SECOND)])
    begun.give(Tick(begun.now))
    assert begun.make.state.step == FIRST
    assert words(begun)[0] == "understood", "what can hurt is said again"
    begun.press("understood")
    assert words(begun) == [], "there is no other left"


def test_what_comes_next_is_the_one_put_off(begun):
    begun.press(f"instead:{SECOND}")
    begun.make.agenda.acts[SECOND] = begun.make.agenda.acts[SECOND][:1]
    assert begun.view.next_up == "Weigh the first boat"


def test_once_something_is_done_it_is_not_offered_any_more(begun):
    boat(begun)
    assert f"instead:{SECOND}" not in words(begun)
    assert begun.press(f"instead:{SECOND}") == []


@pytest.mark.parametrize("of", ["10-cool", FIRST, "nothing"])
def test_no_other_step_can_be_taken_so(begun, of):
    assert begun.press(f"instead:{of}") == []


def test_a_foot_never_takes_another_step(begun):
    assert plain_choice(begun.view.act_view) is None


def test_in_their_own_order_nothing_is_pressed(begun):
    boat(begun)
    begun.commit([ev.StepFinished(at_s=begun.now, step=FIRST)])
    begun.give(Tick(begun.now))
    assert begun.make.state.step == SECOND


def test_taken_up_again_it_stands_in_the_step_that_was_taken(begun):
    begun.press(f"instead:{SECOND}")
    again = Make(begun.make.plan, begun.events)
    assert (again.state.step, again.state.prompt) == (SECOND, begun.make.state.prompt)
    assert view_model_of(again, begun.now).step_title == "Weigh the second boat"


def test_a_step_of_no_group_is_never_put_off():
    bench = Bench()
    bench.jump("02-weigh")
    bench.give(Tick(bench.now))
    assert not [w for w in words(bench) if w.startswith("instead")]
