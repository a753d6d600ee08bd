"""The order of the steps and what may interrupt it: driven by events, refusing what cannot be, agreeing with the fold."""

from __future__ import annotations

from pathlib import Path

import pytest
from transitions.extensions import GraphMachine

from benchapp import events as ev
from benchapp.make import state_machine as w
from benchapp.make.folding import apply
from benchapp.make.state import State

STEPS = ("01-prepare", "02-weigh", "03-finish")
PAGE = Path(__file__).parents[2] / "docs" / "architecture.md"
NEEDED = frozenset({"big"})

BEGAN = ev.StepBegan(at_s=0.0, step="01-prepare")
LEFT = ev.StepFinished(at_s=0.0, step="01-prepare")
HELD = ev.MakeHeld(at_s=1.0, reason="")
RESUMED = ev.HoldEnded(at_s=1.0, held_s=1.0)
LOST = ev.DeviceLost(at_s=1.0, device="big", fault="", text="")
FOUND = ev.DeviceReturned(at_s=1.0, device="big")
DOUBTED = ev.ScaleDoubted(at_s=1.0, device="big", why="")
ALARM = ev.AlarmRaised(at_s=2.0, kind="too hot", text="", vessel="pot")
CALM = ev.AlarmCleared(at_s=2.0, kind="too hot", how="")
ABANDONED = ev.MakeAbandoned(at_s=1.0, reason="spilt")
FINISHED = ev.MakeFinished(at_s=1.0, product_g=1.0, yield_percent=1.0)


def driven(*events, needed=NEEDED):
    """A machine and a fold after these events."""
    walk, fold = w.StepMachine(STEPS), State()
    for event in events:
        apply(fold, event)
        walk.fire(event, fold, needed)
    return walk, fold


def test_steps_follow_in_their_order_and_then_nothing():
    walk, fold = driven()
    for key in STEPS:
        assert walk.next_step(fold) == key
        for event in (ev.StepBegan(at_s=0.0, step=key), ev.StepFinished(at_s=0.0, step=key)):
            apply(fold, event)
            walk.fire(event, fold, NEEDED)
    assert walk.next_step(fold) is None


@pytest.mark.parametrize(
    ("events", "place"),
    [
        ((), w.READY),
        ((BEGAN,), "step_01-prepare"),
        ((BEGAN, LEFT), w.READY),
        ((BEGAN, HELD), w.HELD),
        ((BEGAN, HELD, RESUMED), "step_01-prepare"),
        ((BEGAN, LOST), w.LOST),
        ((BEGAN, LOST, FOUND), "step_01-prepare"),
        ((BEGAN, DOUBTED), w.DOUBTED),
        ((BEGAN, DOUBTED, LOST), w.LOST),
        ((BEGAN, LOST, HELD, RESUMED), w.LOST),
        ((BEGAN, HELD, LOST, ALARM), w.ALARM),
        ((BEGAN, HELD, ALARM, CALM), w.HELD),
        ((BEGAN, ALARM, CALM), "step_01-prepare"),
        ((BEGAN, ALARM, ABANDONED), w.ABANDONED),
        ((BEGAN, LEFT, FINISHED), w.FINISHED),
    ],
)
def test_events_move_it_to_where_the_fold_says(events, place):
    walk, fold = driven(*events)
    assert walk.state == place == w.derived(fold, NEEDED)


def test_a_lost_device_that_the_act_does_not_need_interrupts_nothing():
    assert driven(BEGAN, LOST, needed=frozenset())[0].state == "step_01-prepare"


@pytest.mark.parametrize(
    "events",
    [
        (ev.StepBegan(at_s=0.0, step="02-weigh"),),  # out of turn
        (BEGAN, BEGAN),
        (LEFT,),
        (RESUMED,),
        (BEGAN, CALM),
        (BEGAN, HELD, HELD),
        (BEGAN, ALARM, HELD),
        (BEGAN, FINISHED),
        (ABANDONED, HELD),
        (BEGAN, LEFT, FINISHED, ABANDONED),
    ],
)
def test_what_cannot_happen_is_refused(events):
    with pytest.raises(w.ImpossibleEvent, match="cannot happen at"):
        driven(*events)


@pytest.mark.parametrize(
    ("place", "allowed", "refused"),
    [
        ("step_02-weigh", {"hold", "lose", "doubt", "alarm", "abandon", "skip", "leave"}, {"resume", "calm", "begin"}),
        (w.HELD, {"resume", "alarm", "abandon"}, {"skip", "hold"}),
        (w.ALARM, {"calm", "abandon"}, {"hold", "skip"}),
        (w.LOST, {"find", "hold", "alarm", "abandon", "skip", "leave"}, {"begin", "resume"}),
        (w.FINISHED, set(), {"hold", "abandon", "alarm", "skip", "resume"}),
    ],
)  # fmt: skip
def test_what_may_happen_from_where(place, allowed, refused):
    walk = w.StepMachine(STEPS)
    walk.state = place
    assert {t for t in allowed if walk.may(t)} == allowed
    assert not {t for t in refused if walk.may(t)}


def test_the_drawing_in_the_docs_is_the_machines_own():
    drawn = w.StepMachine(("first", "last"), GraphMachine, graph_engine="mermaid").machine.get_graph().source
    shown = drawn[drawn.index("stateDiagram-v2") :].strip()
    assert shown in PAGE.read_text(encoding="utf-8"), f"put this into {PAGE.name}:\n{shown}"
