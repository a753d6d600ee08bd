"""The foot switch: short is yes, held is the distinct act, and a key that repeats or bounces says nothing twice."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from benchapp.calculations.pedal import (
    BOUNCE_S,
    HELD_S,
    QUIET_S,
    SHORT_S,
    PedalAction,
    PedalSwitch,
    RepeatedPedal,
)


def test_short_is_a_yes_for_what_stood_there_when_it_went_down() -> None:
    pedal = PedalSwitch()
    assert pedal.down(10.0, "weigh")
    assert pedal.up(10.4) == PedalAction(False, "weigh")


def test_held_speaks_once_while_the_foot_is_still_on_it() -> None:
    pedal = PedalSwitch()
    pedal.down(10.0, "weigh")
    assert pedal.look(10.0 + HELD_S - 0.01) is None
    assert pedal.look(10.0 + HELD_S) == PedalAction(True, "weigh")
    assert pedal.look(15.0) is None
    assert pedal.up(15.0) is None


def test_held_and_let_go_between_two_looks_is_held_all_the_same() -> None:
    pedal = PedalSwitch()
    pedal.down(0.0, "weigh")
    assert pedal.up(2.5) == PedalAction(True, "weigh")


def test_between_short_and_held_it_says_nothing() -> None:
    pedal = PedalSwitch()
    pedal.down(0.0, "weigh")
    assert pedal.look(1.5) is None
    assert pedal.up(1.5) is None


def test_repeats_of_a_key_that_is_down_say_nothing() -> None:
    pedal = PedalSwitch()
    pedal.down(0.0, "first")
    assert not any(pedal.down(0.5 + n / 30, "later") for n in range(10))
    assert pedal.up(0.9) == PedalAction(False, "first")


def test_a_bouncing_contact_is_one_press() -> None:
    pedal = PedalSwitch()
    pedal.down(0.0, "weigh")
    assert pedal.up(0.3) is not None
    assert not pedal.down(0.3 + BOUNCE_S / 2, "next")
    assert pedal.up(0.5) is None
    assert pedal.down(1.5, "next")
    assert pedal.up(1.8) == PedalAction(False, "next")


def test_it_has_to_come_up_before_the_next() -> None:
    pedal = PedalSwitch()
    pedal.down(0.0, "weigh")
    pedal.look(HELD_S)
    assert not pedal.down(5.0, "next"), "still the same foot"
    assert pedal.look(9.0) is None


@given(
    st.lists(st.tuples(st.floats(0.06, 3.0), st.floats(0.02, 4.0), st.booleans()), min_size=1, max_size=12)
)
def test_one_press_says_at_most_one_thing_and_only_for_its_own_prompt(presses) -> None:
    """Gap before, seconds down, looked at meanwhile or not: whatever the rhythm."""
    pedal, now = PedalSwitch(), 0.0
    for n, (gap, lasts, looked) in enumerate(presses):
        now += gap
        pedal.down(now, str(n))
        said = [pedal.look(now + lasts * share) for share in (0.3, 0.7, 0.99)] if looked else []
        said.append(pedal.up(now + lasts))
        said = [s for s in said if s is not None]
        assert (
            len(said) == (0 if SHORT_S <= lasts < HELD_S else 1)
            or abs(lasts - HELD_S) < 1e-6
            or abs(lasts - SHORT_S) < 1e-6
        )
        assert all(s.meant == str(n) and s.held == (lasts >= SHORT_S) for s in said)
        now += lasts


def test_a_terminal_hears_no_release_and_waits_until_it_is_quiet() -> None:
    pedal = RepeatedPedal()
    assert pedal.heard(0.0, "weigh")
    assert pedal.look(QUIET_S - 0.01) is None
    assert pedal.look(QUIET_S) == PedalAction(False, "weigh")
    assert pedal.look(5.0) is None


def test_a_terminal_key_that_repeats_for_two_seconds_is_held() -> None:
    pedal = RepeatedPedal()
    pedal.heard(0.0, "weigh")
    said = []
    for n in range(100):  # 0.66 s until a keyboard repeats, then 25 times a second
        at_s = 0.66 + n / 25
        pedal.heard(at_s, "later")
        said.append(pedal.look(at_s))
    assert [s for s in said if s] == [PedalAction(True, "weigh")]
