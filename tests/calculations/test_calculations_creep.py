"""A display that wanders at rest is told from a pour, and what is laid down and taken off hides nothing."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from benchapp.calculations.creep import TAIL_S, WITHIN_S, Creep


def heard(*rests, division_g=0.1):
    """Ten readings a second: (grams, seconds), None grams while it moves. The first rest is the empty vessel."""
    creep, at_s = Creep(division_g), 0.0
    for n, (grams, seconds) in enumerate(rests):
        for _ in range(round(seconds * 10)):
            at_s += 0.1
            creep.hear(at_s, grams)
        if n == 0:
            creep.calm()
    return creep


def test_a_pour_is_where_it_came_to_rest():
    assert heard((0.0, 5.0), (None, 3.0), (50.0, 10.0)).since_g == 50.0


def test_a_division_later_on_is_no_pour():
    assert heard((0.0, 5.0), (None, 3.0), (50.0, 10.0), (50.1, 10.0)).since_g == 50.0
    assert heard((0.0, 5.0), (None, 3.0), (50.0, 10.0), (None, 1.0), (50.2, 10.0)).since_g == 50.0


def test_the_tail_of_a_pour_belongs_to_it():
    assert heard((0.0, 5.0), (None, 3.0), (50.0, 0.5 * TAIL_S), (50.2, 10.0)).since_g == 50.2


def test_drop_by_drop_on_the_heels_of_a_pour_is_a_pour():
    drops = [(round(50.0 + 0.1 * n, 1), 0.8 * TAIL_S) for n in range(3)]
    assert heard((0.0, 5.0), (None, 3.0), *drops).since_g == 50.2


def test_drops_one_after_the_other_are_a_pour():
    drops = [(round(50.0 + 0.1 * n, 1), 5.0) for n in range(4)]
    assert heard((0.0, 5.0), (None, 3.0), (50.0, 10.0), *drops).since_g == 50.3


def test_as_much_over_a_long_time_is_creep():
    slow = [(round(50.0 + 0.1 * n, 1), WITHIN_S) for n in range(8)]
    assert heard((0.0, 5.0), (None, 3.0), (50.0, 10.0), *slow).since_g == 50.0


def test_what_lay_there_a_while_hides_no_creep():
    """A spoon beside the vessel, twice; the display has crept by a division meanwhile."""
    spoon = [(None, 0.5), (72.0, 20.0), (None, 0.5), (50.1, 10.0)]
    assert heard((0.0, 5.0), (None, 3.0), (50.0, 10.0), *spoon, *spoon).since_g == 50.0


def test_nor_does_a_draught_in_which_it_seemed_to_rest():
    creep = heard(
        (0.0, 5.0),
        (None, 3.0),
        (49.8, 10.0),
        (50.0, 20.0),
        (None, 0.5),
        (50.4, 1.0),
        (None, 0.5),
        (50.1, 9.0),
    )
    assert creep.since_g == 49.8


def test_after_a_fault_the_first_rest_is_where_it_stands():
    creep = heard((0.0, 5.0), (None, 3.0), (50.0, 10.0))
    creep.forget()
    assert creep.since_g is None
    creep.hear(100.0, 50.2)
    assert creep.since_g == 50.2


@given(st.lists(st.integers(-2, 2), max_size=200), st.sampled_from([0.001, 0.01, 0.1, 1.0]))
def test_within_two_divisions_nothing_ever_counts_as_poured(steps, division_g):
    creep = Creep(division_g)
    creep.hear(0.0, 100.0)
    creep.calm()
    for n, step in enumerate(steps):
        # Away from the middle of its two divisions by one at the most: no two rests are more than two apart.
        creep.hear(10.0 + n, 100.0 + step / 2 * division_g)
    assert creep.since_g == 100.0
