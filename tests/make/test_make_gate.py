"""What was right when the pour began may be said when it is over, although the emptied pot has cooled meanwhile."""

from __future__ import annotations

import pytest
from bench_by_hand import Bench

from benchapp import events as ev
from benchapp.make.inputs import Degrees, Resumed, Tick


def at_the_pour():
    """A probe in each phase, and the oil is about to be poured."""
    bench = Bench()
    bench.to("08-combine")
    for probe, vessel in (("probe 1", "water-pot"), ("probe 2", "oil-pot")):
        bench.commit([ev.ProbeMoved(at_s=bench.now, probe=probe, vessel=vessel)])
    while not bench.make.state.progress.act.startswith("pour"):
        bench.press("understood" if "cautions" in bench.make.state.prompt else "yes")
    return bench


@pytest.fixture
def combining():
    """Both phases are just in the band."""
    bench = at_the_pour()
    warm(bench, 72.0, 69.0)
    return bench


def warm(bench, water_c, oil_c, seconds=5):
    where = {v: p for p, v in bench.make.state.probes.items()}
    for _ in range(seconds):
        bench.now += 1.0
        for vessel, temp in (("water-pot", water_c), ("oil-pot", oil_c)):
            bench.give(Degrees(bench.now, "thermo", where[vessel], temp))
        bench.give(Tick(bench.now))


def test_the_emptied_pot_may_cool_while_the_pour_is_still_to_be_said(combining):
    warm(combining, 71.0, 55.0, seconds=60)
    assert combining.view.act_view.choices[0].key == "yes"
    combining.press("yes")
    (logged,) = [
        e for e in combining.events if isinstance(e, ev.TemperaturesLogged) and e.step == "08-combine"
    ]
    assert dict(logged.temps_c)["oil-pot"] == 69.0, "as it was when it was right"
    assert not [d for d in combining.make.state.deviations if "out of band" in d.kind]


def test_after_two_minutes_it_is_too_late(combining):
    warm(combining, 71.0, 55.0, seconds=130)
    assert [c.word for c in combining.view.act_view.choices] == ["anyway"]
    assert combining.press("yes") == []


def test_what_was_never_right_is_not_let_through():
    bench = at_the_pour()
    warm(bench, 72.0, 60.0)
    assert bench.press("yes") == []


def test_the_pot_that_is_poured_into_has_to_stay_right(combining):
    warm(combining, 60.0, 55.0, seconds=5)
    assert [c.word for c in combining.view.act_view.choices] == ["anyway"]


def test_what_a_pot_had_before_the_program_was_away_lets_nothing_through():
    """One probe for two pots, and a computer that lost its clock with its power: it says that no time has passed."""
    bench = Bench()
    bench.to("08-combine")
    bench.commit([ev.ProbeMoved(at_s=bench.now, probe="probe 1", vessel="water-pot")])
    bench.commit([
        ev.TemperaturesLogged(at_s=bench.now, step="08-combine", temps_c=(("oil-pot", 72.0),), source=ev.Source.MEASURED)
    ])  # fmt: skip
    assert bench.make.context().temp_c("oil-pot") == 72.0
    bench.give(Resumed(bench.now + 1.0, 0.0))
    assert bench.make.context().temp_c("oil-pot") is None
