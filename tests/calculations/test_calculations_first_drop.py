"""What a scale creeps before the first drop, told from the drop: streams are written out here, nothing is simulated."""

from __future__ import annotations

import pytest

from benchapp.calculations.first_drop import FirstDrop


def told(*pieces, division_g=0.01):
    """Readings five times a second: each piece is (seconds, grams at its end), reached evenly; it rests throughout."""
    heard, at_s, now_g = FirstDrop(division_g), 0.0, 0.0
    for seconds, end_g in pieces:
        steps = round(seconds * 5)
        start_g = now_g
        for n in range(1, steps + 1):
            at_s, now_g = at_s + 0.2, start_g + (end_g - start_g) * n / steps
            shown = round(now_g / division_g) * division_g
            quick = abs(end_g - start_g) / seconds > division_g
            heard.hear(at_s, shown, None if quick else shown)
    return heard


def test_drift_before_a_pour_is_told_from_it():
    heard = told((5, 0.0), (180, 0.30), (5, 1.50), (3, 1.50))
    assert heard.fallen
    assert heard.crept_g == pytest.approx(0.30, abs=0.02)


def test_nothing_has_crept_where_nothing_fell_yet():
    heard = told((5, 0.0), (180, 0.30))
    assert not heard.fallen
    assert heard.crept_g == 0.0


def test_a_pour_at_once_has_crept_by_nothing():
    assert told((5, 0.0), (5, 1.50), (3, 1.50)).crept_g == 0.0


def test_what_is_sprinkled_slowly_is_no_drift():
    """1.5 g in a minute and a half on a coarse scale: a rise of 0.3 g in twenty seconds is more than any drift."""
    heard = told((5, 0.0), (90, 1.5), (3, 1.5), division_g=0.1)
    assert heard.fallen
    assert heard.crept_g == 0.0


def test_something_laid_down_and_taken_off_again_is_no_drop():
    heard = told((5, 0.0), (1, 20.0), (3, 20.0), (1, 0.0), (5, 0.0))
    assert not heard.fallen


def test_once_booked_it_is_not_told_again():
    heard = told((5, 0.0), (180, 0.30), (5, 1.50), (3, 1.50))
    heard.booked()
    assert heard.crept_g == 0.0
