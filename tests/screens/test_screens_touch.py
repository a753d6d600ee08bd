"""A finger is told from droplets, sleeves and double reports. Traces made up for the tests; not tried on hardware."""

from __future__ import annotations

import random

from benchapp.screens.touch_guard import QUIET_S, TouchGuard


def finger(guard, at, place=(50.0, 50.0), length=0.12, key="finger"):
    """Whether a touch turns out to be a press."""
    guard.down(key, at, place)
    lifts(guard, key, at + length, place)
    return guard.settled(at + length + QUIET_S + 0.01) == [key]


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
    assert guard.settled(1.3) == ["a"]
    assert guard.settled(1.5) == []


def test_the_same_finger_reported_twice_one_after_the_other_counts_once():
    guard = TouchGuard()
    assert finger(guard, 1.0, key="a")
    assert not finger(guard, 1.05, key="again")


def test_a_press_counts_within_0_15_s_of_lifting():
    guard = TouchGuard()
    guard.down("a", 1.0, (50, 50))
    lifts(guard, "a", 1.1, (50, 50))
    assert guard.settled(1.1 + 0.15) == ["a"]


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


def test_bursts_of_scattered_touches_press_nothing():
    """A thousand splashes of 4 to 12 droplets within 0.4 s, anywhere on the glass."""
    chance = random.Random(3)
    pressed = 0
    for splash in range(1000):
        guard, at = TouchGuard(), 100.0 * splash
        drops = sorted((at + chance.uniform(0, 0.4), n) for n in range(chance.randint(4, 12)))
        events = []
        for when, n in drops:
            place = (chance.uniform(0, 217), chance.uniform(0, 136))
            events.append((when, "down", n, place))
            events.append((when + chance.uniform(0.02, 0.3), "up", n, place))
        for when, what, n, place in sorted(events):
            pressed += len(guard.settled(when))
            if what == "down":
                guard.down(n, when, place)
            else:
                guard.up(n, when, place)
        pressed += len(guard.settled(at + 5.0))
    assert pressed <= 10, f"{pressed} false presses in 1000 splashes"


def test_after_the_glass_has_dried_a_finger_counts_again():
    guard = TouchGuard()
    for n in range(6):
        finger(guard, 1.0 + 0.05 * n, place=(20.0 * n, 30.0), key=n)
    assert finger(guard, 3.5)
