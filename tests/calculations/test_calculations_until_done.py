"""How long until a make is done, against minutes worked out here by hand. Invented for the tests."""

from __future__ import annotations

import pytest

from benchapp.calculations.until_done import MakeSoFar, PastMake, UntilDone, until_done

WEIGH, HEAT, AHEAD, FILL = "weigh", "heat", "ahead", "fill"
QUICK = {
    frozenset(): 5.0,
    frozenset({WEIGH}): 300.0,
    frozenset({HEAT}): 1200.0,
    frozenset({HEAT, AHEAD}): 300.0,
    frozenset({FILL}): 600.0,
}
SLOW = {
    frozenset({WEIGH}): 400.0,
    frozenset({HEAT}): 2000.0,
    frozenset({AHEAD}): 500.0,
    frozenset({FILL}): 700.0,
}
MAKES = (PastMake(QUICK), PastMake(SLOW))


def so_far(active, ahead, seconds=(), **more):
    return MakeSoFar(frozenset(active), dict(ahead), {frozenset(steps): s for steps, s in seconds}, **more)


BEFORE = so_far((), {WEIGH: 0.0, HEAT: 0.0, AHEAD: 0.0, FILL: 0.0})
HEATING = so_far({HEAT}, {AHEAD: 0.0, FILL: 0.0}, [({WEIGH}, 350.0), ({HEAT}, 500.0)])


@pytest.mark.parametrize(
    ("now", "said"),
    [
        (BEFORE, (2400.0, 3000.0, 3600.0)),
        (HEATING, (1600.0, 2150.0, 2700.0)),  # 1500 - 500 + 600, and 2000 - 500 + 500 + 700
        # Longer than ever: what is ahead takes no less for it.
        (so_far({HEAT}, {AHEAD: 0.0, FILL: 0.0}, [({HEAT}, 9000.0)]), (600.0, 900.0, 1200.0)),
        # The same, and a hold of ten minutes has not begun yet.
        (so_far({HEAT}, {AHEAD: 0.0, FILL: 0.0}, [({HEAT}, 9000.0)], least_s=600.0), (1200.0, 1500.0, 1800.0)),
        # The filling surely takes 800 s of waiting, however long it took before.
        (so_far((), {FILL: 800.0}), (800.0, 800.0, 800.0)),
        # Foretold: ends from there; 1000 s and 1500 s by those before, of which one lies within.
        (so_far({HEAT}, {FILL: 0.0}, [({HEAT}, 500.0)], least_s=900.0, most_s=1100.0, waiting=HEAT), (1500.0, 1700.0, 1800.0)),
        # Weighed beside the wait, which ends in a minute: 500 s less 100 s are still to be weighed by the slow one, 200 s by the quick.
        (so_far({HEAT, AHEAD}, {FILL: 0.0}, [({HEAT}, 1900.0), ({HEAT, AHEAD}, 100.0)], least_s=60.0, most_s=70.0, waiting=HEAT),
         (800.0, 950.0, 1100.0)),
        # It was weighed beside in one of them: by itself it takes as long.
        (so_far((), {AHEAD: 0.0, FILL: 0.0}), (900.0, 1050.0, 1200.0)),
        # Begun, and stepped back from: what was done of it is done.
        (so_far((), {AHEAD: 0.0, FILL: 0.0}, [({HEAT, AHEAD}, 100.0)]), (800.0, 950.0, 1100.0)),
    ],
)  # fmt: skip
def test_it_is_what_those_before_took_without_what_is_behind(now, said):
    assert until_done(MAKES, now) == UntilDone(*said, 2)


def test_one_that_left_a_step_out_or_never_had_it_says_nothing_of_it():
    without = {steps: s for steps, s in SLOW.items() if FILL not in steps}
    for makes in ((PastMake(SLOW, frozenset({FILL})),), (PastMake(without),), ()):
        assert until_done(makes, BEFORE) is None
    assert until_done((*MAKES, PastMake(without)), BEFORE).makes == 2
    assert until_done(MAKES, so_far((), ())) is None, "nothing is to come"


def test_a_make_in_which_somebody_went_home_says_nothing_of_what_was_left_standing():
    """Fourteen hours in the filling: whoever hears of them plans nothing by them. What comes after it, it still knows."""
    overnight = PastMake(QUICK | {frozenset({FILL}): 14 * 3600.0})
    assert until_done((*MAKES, overnight), BEFORE) == until_done(MAKES, BEFORE)
    assert until_done((overnight,), BEFORE) is None
    assert until_done((overnight,), so_far((), {HEAT: 0.0})) is not None
    # A rest of fourteen hours that the procedure asks for is none such.
    assert until_done((overnight,), so_far((), {FILL: 14 * 3600.0})) is not None
