"""How many digits a number is shown with, whatever unit its scale has."""

from __future__ import annotations

import pytest

from benchapp.foundation.numbers import decimals_of, decimals_of_step
from benchapp.record.documents.plain_text import number

OUNCE_G = 453.59237 / 16


@pytest.mark.parametrize(
    ("step", "digits"),
    [
        (1.0, 0), (5.0, 0), (0.1, 1), (0.5, 1), (0.05, 2), (0.25, 2), (0.002, 3), (0.00001, 5),
        (OUNCE_G, 1), (0.1 * OUNCE_G, 1), (0.01 * OUNCE_G, 2), (0.005 * OUNCE_G, 2), (0.001 * OUNCE_G, 3), (0.02835, 3),
        (0.001 * 16 * OUNCE_G, 2),
    ],
)  # fmt: skip
def test_a_step_of_ounces_or_pounds_is_shown_to_its_tenth_and_a_round_one_as_its_display_does(step, digits):
    assert decimals_of_step(step) == digits
    assert step / 10**-digits >= 1, "two neighbours read differently"


def test_a_value_has_the_digits_it_has():
    assert [decimals_of(x) for x in (95.0, 95.2, 95.22, 806.543933)] == [0, 1, 2, 6]


def test_what_a_scale_in_ounces_showed_reads_like_a_weight():
    assert number(806.543933) == "806.5439"
    assert number(0.9758) == "0.9758"
    assert number(1.4994) == "1.4994"
