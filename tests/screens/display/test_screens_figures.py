"""How figures are written, and that choices outlive a restart and a power cut."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.runtime.settings import PREFERENCES, Preferences, keep_preferences, preferences_in
from benchapp.screens.display.figures import Figures, fahrenheit

COMMA, WARM, HEAVY = Figures(comma=True), Figures(fahrenheit=True), Figures(kilograms=True)


@pytest.mark.parametrize(("temp_c", "temp_f"), [(0.0, 32.0), (100.0, 212.0), (-40.0, -40.0), (37.0, 98.6)])
def test_fahrenheit_at_known_points(temp_c, temp_f):
    """Ice and steam define the scale (32 and 212 °F); -40 is the same on both."""
    assert fahrenheit(temp_c) == pytest.approx(temp_f)


@pytest.mark.parametrize(
    ("figures", "words", "written"),
    [
        (Figures(), "Heat to 70–75 °C, 0.5 g.", "Heat to 70–75 °C, 0.5 g."),
        (WARM, "Heat to 70–75 °C.", "Heat to 158–167 °F."),
        (WARM, "water pot: 64.1 °C, needs 70 °C.", "water pot: 147.4 °F, needs 158 °F."),
        (WARM, "70 to 75 °C", "158 to 167 °F"),
        (WARM, "Pour 35.0 g.", "Pour 35.0 g."),
        (COMMA, "Pour 376.0 g. Then stir.", "Pour 376,0 g. Then stir."),
        (Figures(comma=True, fahrenheit=True), "64.1\u00a0°C", "147,4\u00a0°F"),
    ],
)  # fmt: skip
def test_sentences_are_written_as_chosen(figures, words, written):
    assert figures.text(words) == written


def test_masses_in_kilograms_keep_their_last_digit():
    assert HEAVY.live(1234.5, "g", 1) == ("1.2345", "kg")
    assert HEAVY.live(999.9, "g", 1) == ("999.9", "g")


@given(st.floats(-40, 400))
def test_a_value_typed_in_the_unit_shown_comes_back_as_it_was(temp_c):
    assert WARM.typed(WARM.limit(temp_c, "°C"), "°C") == pytest.approx(temp_c, abs=1e-9)
    assert WARM.typed(temp_c, "g") == temp_c


def test_choices_outlive_a_restart(tmp_path):
    chosen = Preferences(large_text=True, comma=True, volume=30, bath="thermostat", bath_c=78.0)
    keep_preferences(tmp_path, chosen)
    assert preferences_in(tmp_path) == chosen


@pytest.mark.parametrize("text", ["", '{"comma": tr', "[]", "7"])
def test_half_a_file_is_as_if_nothing_had_been_chosen(tmp_path, text):
    (tmp_path / PREFERENCES).write_text(text)
    assert preferences_in(tmp_path) == Preferences()


def test_what_does_not_fit_is_left_as_it_comes(tmp_path):
    odd = {"comma": "yes", "volume": 900, "sound": False, "x": 1, "bath": "sand", "bath_c": 400.0}
    (tmp_path / PREFERENCES).write_text(json.dumps(odd))
    assert preferences_in(tmp_path) == Preferences(sound=False, volume=100, bath_c=100.0)
