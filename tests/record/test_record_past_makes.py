"""How long a make still takes, by finished makes in a real journal. The plain sums here are of event times alone."""

from __future__ import annotations

import sqlite3
from dataclasses import replace

import pytest

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.view_building import view_model_of
from benchapp.record.past_makes import NEWEST, past_makes
from benchapp.record.past_waits import past_waits
from benchapp.runtime.session_start import plan_of

LOTION = "oat-hand-lotion"


@pytest.fixture(scope="module")
def lotion_events(walked):
    """A whole make as it was written down: with a weighing beside a wait, and nothing held."""
    return [s.event for s in walked(LOTION).stored]


def slower(events, times=1.0, **begun):
    """The same make, every time of it so many times as long."""
    first = replace(events[0], **begun)
    return [replace(e, at_s=e.at_s * times) for e in (first, *events[1:])]


def held(events, at_s, for_s):
    """The same make, held for so long at that time."""
    before = [e for e in events if e.at_s <= at_s]
    after = [replace(e, at_s=e.at_s + for_s) for e in events if e.at_s > at_s]
    hold = (ev.MakeHeld(at_s=at_s, reason="the door"), ev.HoldEnded(at_s=at_s + for_s, held_s=for_s))
    return [*before, *hold, *after]


def closed(events, at_s, for_s):
    """The same make, and the program closed for so long at that time."""
    before = [e for e in events if e.at_s <= at_s]
    after = [replace(e, at_s=e.at_s + for_s) for e in events if e.at_s > at_s]
    return [*before, ev.MakeResumed(at_s=at_s + for_s, gap_s=for_s), *after]


def known(journal, rehearsal=True, batch_g=500.0):
    return past_makes(journal, LOTION, batch_g, rehearsal)


def test_a_damaged_make_foretells_nothing_and_stops_no_other(journal, lotion_events):
    for batch, times in (("b1", 1.0), ("b2", 2.0)):
        journal.append(batch, slower(lotion_events, times, batch=batch))
    whole = known(journal)
    raw = sqlite3.connect(journal.path)
    raw.execute("DROP TRIGGER event_no_update")
    raw.execute(
        "UPDATE event SET text = '{' WHERE batch = 'b2' AND kind IN ('StepFinished', 'TemperaturesLogged')"
    )
    raw.commit()
    raw.close()
    unread: dict[str, str] = {}
    assert past_makes(journal, LOTION, 500.0, True, unread) == whole[1:]
    assert past_waits(journal, LOTION, 500.0, True, unread)
    assert list(unread) == ["b2"]
    assert "batch b2 cannot be read" in unread["b2"]
    assert "benchapp verify" in unread["b2"]


def told(events, past, at=lambda event: isinstance(event, ev.ActBegan)):
    """(event, view) at each act of a make that knows these others, and at whatever else is looked ``at``."""
    make = Make(plan_of(events[0]))
    make.watch.past_makes = past
    for event in events:
        make.apply([event])
        if at(event) and make.act() is not None:
            yield event, view_model_of(make, event.at_s)


def said_at_each_step(events, past):
    """(step, when, view) when its first act began."""
    steps = set()
    for event, view in told(events, past):
        if event.step not in steps:
            steps.add(event.step)
            yield event.step, event.at_s, view


def signing_began_s(events):
    return next(e.at_s for e in events if isinstance(e, ev.StepBegan) and e.step.endswith("finish"))


def test_a_make_that_goes_as_one_before_is_told_its_end_to_the_second(journal, lotion_events):
    journal.append("b1", lotion_events)
    end_s, steps = signing_began_s(lotion_events), 0
    for step, at_s, view in said_at_each_step(lotion_events, known(journal)):
        if step.endswith("finish"):
            assert view.until_done is None
            continue
        steps += 1
        until = view.until_done
        assert until.makes == 1
        assert until.early_s == until.late_s == pytest.approx(end_s - at_s, abs=0.01), step
    assert steps == 18


@pytest.mark.parametrize("broken", [held, closed])
def test_time_in_which_nobody_worked_is_not_in_it(journal, lotion_events, broken):
    """Neither in the one before nor in this one; in the oil phase, where nothing is waited for."""
    journal.append("b1", broken(lotion_events, 700.0, 3600.0))
    end_s = signing_began_s(lotion_events)
    for step, at_s, view in said_at_each_step(broken(lotion_events, 150.0, 7200.0), known(journal)):
        worked_s = at_s if at_s <= 150.0 else at_s - 7200.0
        if not step.endswith("finish"):
            assert view.until_done.late_s == pytest.approx(end_s - worked_s, abs=0.01), step


def test_from_the_shortest_to_the_longest_of_several(journal, lotion_events):
    for n, times in enumerate((1.0, 1.5, 1.1)):
        journal.append(f"b{n}", slower(lotion_events, times, batch=f"b{n}"))
    end_s = signing_began_s(lotion_events)
    _, _, view = next(said_at_each_step(lotion_events, known(journal)))
    until = view.until_done
    assert until.makes == 3
    assert (until.early_s, until.middle_s, until.late_s) == pytest.approx((end_s, 1.1 * end_s, 1.5 * end_s))


def test_the_newest_alike_count_and_no_others(journal, lotion_events):
    for n in range(NEWEST + 2):
        journal.append(f"b{n}", slower(lotion_events, 1.0 + n, batch=f"b{n}", batch_g=500.0 + n))
    journal.append("other size", slower(lotion_events, 9.0, batch="other size", batch_g=560.0))
    journal.append("not over", lotion_events[:-1])
    found = known(journal)
    assert [sum(make.seconds.values()) for make in found] == pytest.approx(
        [lotion_events[-1].at_s * (1.0 + n) for n in range(NEWEST + 1, 1, -1)]
    )
    assert known(journal, rehearsal=False) == ()
    assert past_makes(journal, "tide-pool-gel", 500.0, True) == ()


def test_a_make_that_left_out_what_is_still_to_come_says_nothing_until_that_is_behind(journal, lotion_events):
    journal.append("b1", list(without_step(lotion_events, "16-density")))
    known_of = {
        step: view.until_done is not None
        for step, _, view in said_at_each_step(lotion_events, known(journal))
    }
    steps = list(known_of)
    behind = steps[steps.index("16-density") + 1 : -1]
    assert [step for step, is_told in known_of.items() if is_told] == behind == ["17-fill", "18-clean-up"]


def without_step(events, step):
    """The same make with that step left out as soon as it had begun."""
    for event in events:
        if getattr(event, "step", "") != step:
            yield event
        elif isinstance(event, ev.StepBegan):
            yield event
            yield ev.StepSkipped(at_s=event.at_s, step=step, reason="no cup")


def test_what_was_weighed_beside_a_wait_counts_once_and_by_itself_where_the_wait_is_over(
    journal, lotion_events
):
    """The cool-down phase was weighed beside the heating; now it is weighed before."""
    journal.append("b1", lotion_events)
    (past,) = known(journal)
    aside = next(e for e in lotion_events if isinstance(e, ev.SteppedAside))
    back = next(e for e in lotion_events if isinstance(e, ev.SteppedBack))
    heat = [
        e.at_s
        for e in lotion_events
        if isinstance(e, ev.StepBegan | ev.StepFinished) and e.step == aside.step
    ]
    assert sum(s for steps, s in past.seconds.items() if aside.step in steps) == pytest.approx(
        heat[1] - heat[0]
    )
    assert past.seconds[frozenset({aside.step, aside.into})] == pytest.approx(back.at_s - aside.at_s)
    in_order = [
        e
        for e in lotion_events
        if e.at_s <= heat[1]
        and getattr(e, "step", "") != aside.into
        and not isinstance(e, ev.SteppedAside | ev.SteppedBack)
    ]
    views = {step: view for step, _, view in said_at_each_step(in_order, (past,))}
    after_s = signing_began_s(lotion_events) - heat[1]
    assert views["07-top-up"].until_done.late_s == pytest.approx(after_s + back.at_s - aside.at_s, abs=0.01)


def test_what_is_said_never_lies_under_the_waiting_that_is_sure(journal, lotion_events):
    """By makes that were far shorter than the waits allow, about as long, and far longer; at every moment that is drawn otherwise."""
    for n, times in enumerate((0.05, 0.6, 1.0, 3.0)):
        journal.append(f"b{n}", slower(lotion_events, times, batch=f"b{n}"))
    for past in (known(journal)[3:], known(journal)[2:], known(journal)):
        views = [view for _, view in told(lotion_events, past, lambda event: True)]
        known_of = [view for view in views if view.until_done is not None]
        assert len(known_of) > 50
        for view in known_of:
            until = view.until_done
            assert view.left_s <= until.early_s <= until.middle_s <= until.late_s


def test_nothing_is_told_where_nothing_like_it_was_made(lotion_events):
    assert all(view.until_done is None for _, _, view in said_at_each_step(lotion_events, ()))
