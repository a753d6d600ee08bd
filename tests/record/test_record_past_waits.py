"""How the same waits went before, out of the journal. Invented for the demo."""

from __future__ import annotations

from dataclasses import replace

import pytest
from workshop_days import FINISHED, started

from benchapp import events as ev
from benchapp.record.past_waits import NEWEST, past_waits

KEY = ("04-heat", "water-pot")


def logged(at_s, temp_c, source=ev.Source.MEASURED, step="04-heat"):
    return ev.TemperaturesLogged(at_s=at_s, step=step, source=source, temps_c=(("water-pot", temp_c),))


def heated(journal, batch, begun_s=100.0, size_g=500.0, rehearsal=False, end=FINISHED, points=5):
    begun = replace(started(batch, rehearsal=rehearsal), batch_g=size_g)
    temps = [logged(begun_s + 60.0 * n, 20.0 + 10.0 * n) for n in range(points)]
    close = [replace(end, at_s=begun_s + 600.0)] if end else []
    journal.append(batch, [begun, ev.StepBegan(at_s=begun_s, step="04-heat"), *temps, *close])


def test_a_curve_counts_from_where_its_step_began(journal):
    heated(journal, "b1")
    found = past_waits(journal, "oat-hand-lotion", 500.0, False)
    assert found == {KEY: (((0.0, 20.0), (60.0, 30.0), (120.0, 40.0), (180.0, 50.0), (240.0, 60.0)),)}


@pytest.mark.parametrize(
    "other",
    [{"size_g": 600.0}, {"rehearsal": True}, {"end": None}, {"points": 3}],
    ids=["another size", "a rehearsal", "unfinished", "too few points"],
)
def test_what_is_not_alike_teaches_nothing(journal, other):
    heated(journal, "b1", **other)
    assert past_waits(journal, "oat-hand-lotion", 500.0, False) == {}
    assert past_waits(journal, "tide-pool-gel", 500.0, False) == {}


def test_what_somebody_typed_is_no_curve(journal):
    events = [started("b1"), ev.StepBegan(at_s=0.0, step="04-heat")]
    events += [logged(60.0 * n, 20.0 + n, ev.Source.STATED) for n in range(9)]
    journal.append("b1", [*events, replace(FINISHED, at_s=900.0)])
    assert past_waits(journal, "oat-hand-lotion", 500.0, False) == {}


def test_the_newest_few_are_enough(journal):
    for n in range(NEWEST + 2):
        heated(journal, f"b{n}", size_g=500.0 + n)
    found = past_waits(journal, "oat-hand-lotion", 500.0, False)
    assert len(found[KEY]) == NEWEST
