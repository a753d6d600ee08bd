"""The order of the steps and what may interrupt it, always derived from the fold."""

from __future__ import annotations

import pytest

from benchapp import events as ev
from benchapp.make import walk as w
from benchapp.make.folding import fold

STEPS = ("01-prepare", "02-weigh", "03-finish")


def after(*events):
    return fold(events)


def test_steps_follow_in_their_order_and_then_nothing():
    walk = w.Walk(STEPS)
    done = []
    for expected in (*STEPS, None):
        state = after(*(ev.StepFinished(at_s=0.0, step=s) for s in done))
        assert walk.next_step(state) == expected
        done.append(expected)


@pytest.mark.parametrize(
    ("events", "place"),
    [
        ([ev.StepBegan(at_s=0.0, step="02-weigh")], "step:02-weigh"),
        ([ev.StepBegan(at_s=0.0, step="02-weigh"), ev.MakeHeld(at_s=1.0, reason="")], w.HELD),
        (
            [
                ev.StepBegan(at_s=0.0, step="02-weigh"),
                ev.DeviceLost(at_s=1.0, device="big", fault="", text=""),
            ],
            w.LOST,
        ),
        (
            [ev.StepBegan(at_s=0.0, step="02-weigh"), ev.ScaleDoubted(at_s=1.0, device="big", why="")],
            w.DOUBTED,
        ),
        ([ev.MakeAbandoned(at_s=1.0, reason="spilt")], w.ABANDONED),
        ([ev.MakeFinished(at_s=1.0, product_g=1.0, yield_percent=1.0)], w.FINISHED),
    ],
)
def test_the_place_is_where_the_fold_says(events, place):
    assert w.Walk(STEPS).place(after(*events), frozenset({"big"})) == place


def test_an_alarm_stands_above_everything_else():
    events = [
        ev.StepBegan(at_s=0.0, step="02-weigh"), ev.MakeHeld(at_s=1.0, reason=""),
        ev.DeviceLost(at_s=1.0, device="big", fault="", text=""),
        ev.AlarmRaised(at_s=2.0, kind="too hot", text="", vessel="pot"),
    ]  # fmt: skip
    assert w.Walk(STEPS).place(after(*events), frozenset({"big"})) == w.ALARM


def test_a_lost_device_that_the_act_does_not_need_interrupts_nothing():
    events = [
        ev.StepBegan(at_s=0.0, step="02-weigh"),
        ev.DeviceLost(at_s=1.0, device="big", fault="", text=""),
    ]
    assert w.Walk(STEPS).place(after(*events), frozenset()) == "step:02-weigh"


@pytest.mark.parametrize(
    ("place", "allowed", "refused"),
    [
        ("step:02-weigh", {"hold", "lose", "doubt", "alarm", "abandon", "skip", "press"}, {"resume", "calm"}),
        (w.HELD, {"resume", "alarm", "abandon"}, {"press", "skip", "hold"}),
        (w.ALARM, {"calm", "abandon"}, {"press", "hold", "skip"}),
        (w.FINISHED, set(), {"press", "hold", "abandon", "alarm", "skip", "resume"}),
    ],
)
def test_what_may_happen_from_where(place, allowed, refused):
    walk = w.Walk(STEPS)
    walk.state = place
    assert {t for t in allowed if walk.may(t)} == allowed
    assert not {t for t in refused if walk.may(t)}
