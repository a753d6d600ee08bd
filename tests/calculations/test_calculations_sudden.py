"""What is laid on a scale comes all at once, what is poured does not; and what lies under it is not forgotten."""

from __future__ import annotations

import pytest

from benchapp.calculations.sudden import Sudden


class Scale:
    """A display ten times a second that comes to rest after half a second, or rises for as long as a pour lasts."""

    def __init__(self) -> None:
        self.now, self.shows = 0.0, 100.0
        self.heard = Sudden(0.1)
        self.rest()

    def rest(self) -> None:
        for _ in range(10):
            self.say(self.shows, self.shows)

    def say(self, value, rest) -> None:
        self.now = round(self.now + 0.1, 3)
        self.heard.hear(self.now, value, rest)

    def changes(self, by_g, seconds) -> float:
        """To another rest within so many seconds; what then came all at once."""
        before, steps = self.shows, max(int(seconds * 10), 2)
        for n in range(steps):
            self.say(before + by_g * (n + 1) / steps, None)
        self.shows = before + by_g
        self.rest()
        return round(self.heard.by_g, 6)


@pytest.fixture
def scale():
    return Scale()


def test_a_spoon_comes_all_at_once_and_a_pour_does_not(scale):
    assert scale.changes(25.0, 0.3) == 25.0
    assert Scale().changes(25.0, 4.0) == 0.0


def test_a_drop_or_a_pinch_is_no_spoon(scale):
    assert scale.changes(1.5, 0.2) == 0.0


def test_taken_off_again_nothing_lies_there(scale):
    scale.changes(25.0, 0.3)
    assert scale.changes(-25.0, 0.3) == 0.0
    assert scale.heard.gone_g == 25.0


def test_what_is_laid_on_top_and_taken_off_again_leaves_what_lay_under_it(scale):
    scale.changes(300.0, 0.3)
    assert scale.changes(600.0, 0.3) == 600.0
    assert scale.changes(-600.0, 0.3) == 300.0
    assert scale.changes(-300.0, 0.3) == 0.0


def test_two_things_on_top_may_go_in_any_order(scale):
    scale.changes(300.0, 0.3)
    scale.changes(600.0, 0.3)
    scale.changes(640.0, 0.3)
    assert scale.changes(-600.0, 0.3) > 0.0, "the first of them went: something is there still"
    assert scale.changes(-640.0, 0.3) == 300.0


def test_what_is_poured_on_afterwards_is_meant(scale):
    scale.changes(25.0, 0.3)
    assert scale.changes(30.0, 4.0) == 0.0


def test_what_goes_all_at_once_is_said_as_less(scale):
    assert scale.changes(-25.0, 0.3) == -25.0


def test_a_draught_or_a_pinch_does_not_make_it_meant(scale):
    scale.changes(300.0, 0.3)
    assert scale.changes(0.5, 2.0) == 300.0
    assert scale.changes(-0.5, 2.0) == 300.0
    assert scale.changes(-300.0, 0.3) == 0.0
