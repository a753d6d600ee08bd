"""A finger is told from droplets, sleeves and double reports. Traces made up for the tests; not tried on hardware."""

from __future__ import annotations

from random import Random

import pytest
from glass_trial import Glass, answered, pressed_by
from wet_glass import Contact, straight

from benchapp.screens.input.touch_guard import QUIET_S, TouchGuard


def finger(guard, at, place=(50.0, 50.0), length=0.12, key="finger"):
    """Whether a touch turns out to be a press."""
    guard.down(key, at, place)
    lifts(guard, key, at + length, place)
    return pressed(guard, at + length + QUIET_S + 0.01) == [key]


def pressed(guard, at):
    """The first contact of each press."""
    return [stand.keys[0] for stand in guard.settled(at)]


def lifts(guard, key, at, place):
    guard.settled(at)
    return guard.up(key, at, place)


def test_a_finger_presses():
    assert finger(TouchGuard(), 1.0)


def test_presses_half_a_second_apart_all_count():
    guard = TouchGuard()
    assert all(finger(guard, 1.0 + 0.5 * n, key=n) for n in range(10))


def test_the_same_finger_reported_twice_counts_once():
    guard = TouchGuard()
    guard.down("a", 1.0, (50, 50))
    guard.down("b", 1.005, (50.4, 50))
    lifts(guard, "a", 1.12, (50, 50))
    lifts(guard, "b", 1.125, (50.4, 50))
    assert pressed(guard, 1.3) == ["a"]
    assert pressed(guard, 1.5) == []


def test_the_same_finger_reported_twice_one_after_the_other_counts_once():
    guard = TouchGuard()
    assert finger(guard, 1.0, key="a")
    assert not finger(guard, 1.05, key="again")


def test_a_press_counts_within_0_15_s_of_lifting():
    guard = TouchGuard()
    guard.down("a", 1.0, (50, 50))
    lifts(guard, "a", 1.1, (50, 50))
    assert pressed(guard, 1.1 + 0.15) == ["a"]


def test_typing_three_keys_a_second_counts_every_key():
    guard = TouchGuard()
    places = [(20.0, 20.0), (60.0, 20.0), (20.0, 60.0), (60.0, 60.0), (20.0, 20.0), (100.0, 60.0)]
    assert all(finger(guard, 1.0 + 0.34 * n, places[n], length=0.09, key=n) for n in range(6))


def test_a_flick_of_a_droplet_is_too_short():
    assert not finger(TouchGuard(), 1.0, length=0.015)


def test_a_sleeve_that_rests_is_too_long_and_blocks_what_it_leans_beside():
    guard = TouchGuard()
    guard.down("sleeve", 1.0, (10, 10))
    assert not finger(guard, 3.0, key="other")
    assert not lifts(guard, "sleeve", 4.0, (10, 10))
    assert finger(guard, 5.0, key="after")


def test_a_wipe_slides_too_far():
    guard = TouchGuard()
    guard.down("cloth", 1.0, (10, 10))
    assert not lifts(guard, "cloth", 1.3, (60, 20))


def test_a_finger_whose_contact_breaks_off_for_a_view_is_one_press_as_long_as_both():
    guard = TouchGuard()
    guard.down("a", 1.0, (50, 50))
    lifts(guard, "a", 1.1, (50, 50))
    guard.down("b", 1.13, (51, 50))
    lifts(guard, "b", 1.3, (51, 50))
    (stand,) = guard.settled(1.45)
    assert stand.keys == ["a", "b"]
    assert stand.lasted_s == pytest.approx(0.3)


def test_what_runs_down_or_comes_back_to_where_it_began_has_strayed():
    guard = TouchGuard()
    guard.down("drop", 1.0, (50, 50))
    guard.move("drop", (50, 38))
    assert not lifts(guard, "drop", 1.4, (50, 50))
    assert guard.settled(2.0) == []


def test_a_second_contact_further_off_spoils_both():
    guard = TouchGuard()
    guard.down("a", 1.0, (50, 50))
    guard.down("b", 1.05, (90, 50))
    lifts(guard, "a", 1.2, (50, 50))
    lifts(guard, "b", 1.2, (90, 50))
    assert guard.settled(1.5) == []


# --- water, and deliberate presses: the short form of tests/benchmarks/bench_bustle.py ------------------


@pytest.mark.parametrize(
    ("kind", "times"), [("splash", 1500), ("drip", 500), ("single", 1000), ("wipe", 300), ("sleeve", 300)]
)
def test_nothing_wet_says_anything_to_the_make(kind, times):
    pressed = pressed_by(kind, Random(3), times)
    assert pressed["said"] == 0
    assert pressed["picked"] < 0.2 * times, pressed


def test_the_trial_can_fail_one_drop_in_a_dozen_picks_something():
    """A drop that stays as long as a quick finger cannot be told from one: only the second press keeps it out."""
    pressed = pressed_by("single", Random(4), 1000)
    assert 20 < pressed["picked"] < 150


def test_deliberate_answers_and_taps_are_heard():
    missed_answers, missed_taps = answered(Random(5), 500)
    assert missed_answers <= 5
    assert missed_taps <= 5


def test_an_answer_takes_two_presses_and_the_second_is_held():
    yes, bar = (180.0, 12.0), (40.0, 12.0)

    def heard(*presses):
        glass, at_s, contacts = Glass(), 10.0, []
        for place, lasts_s in presses:
            contacts.append(straight(at_s, lasts_s, place, place))
            at_s += lasts_s + 0.4
        glass.play(contacts, at_s + 1.0)
        return [what for _, _, what in glass.heard]

    assert heard((yes, 0.1), (bar, 0.3)) == ["picked", "said"]
    assert heard((yes, 0.1), (bar, 0.1)) == ["picked"], "held too short"
    assert heard((yes, 0.1), (bar, 0.1), (bar, 0.3)) == ["picked", "said"], "and then long enough"
    assert heard((yes, 0.1), (yes, 0.3)) == ["picked", "picked"], "the same place says nothing"
    assert heard((yes, 1.5)) == []


def test_a_drop_elsewhere_takes_the_bar_away():
    glass = Glass()
    drop = Contact(((10.8, (100.0, 100.0)), (10.82, (100.0, 100.0))))
    yes, bar = (180.0, 12.0), (40.0, 12.0)
    glass.play([straight(10.0, 0.1, yes, yes), drop, straight(12.0, 0.3, bar, bar)], 14.0)
    assert [what for _, _, what in glass.heard] == ["picked", "opened"], "under the bar lay something else"


def test_after_the_glass_has_dried_a_finger_counts_again():
    guard = TouchGuard()
    for n in range(6):
        finger(guard, 1.0 + 0.05 * n, place=(20.0 * n, 30.0), key=n)
    assert finger(guard, 3.5)
