"""An ingredient replaced on the glass: which, by what, why and by whom; and the size page says so."""

from __future__ import annotations

import pytest
from substitutes import keep_a_shelf


@pytest.fixture
def pilot(pilot, tmp_path):
    keep_a_shelf(tmp_path)
    pilot.press("Make a batch")
    pilot.press("Oat and sea-buckthorn hand lotion")
    return pilot


def texts(pilot):
    from benchapp.screens.widgets.text_label import TextLabel

    return " ".join(w.text for w in pilot.page.walk() if isinstance(w, TextLabel))


def find(pilot, label):
    """Turns pages until that row is there, then presses it."""
    for _ in range(8):
        shown = pilot.presses()
        if label in shown:
            pilot.press(label)
            return
        pilot.turn_page()
    pytest.fail(f"no {label}")


def test_another_oil_for_this_batch_and_back_again(pilot):
    pilot.press("Replace an ingredient")
    find(pilot, "Sunflower oil")
    find(pilot, "Rapeseed oil")
    assert "The list of ingredients on the label changes" in texts(pilot)
    pilot.press("It is not to be had")
    assert "Rapeseed oil in place of Sunflower oil, approved by Mara Lind" in texts(pilot)
    pilot.press("Back")
    assert "In this batch alone: Rapeseed oil in place of Sunflower oil." in texts(pilot)
    assert "Rapeseed oil" in texts(pilot)
    pilot.press("Replace an ingredient")
    find(pilot, "As the recipe says")
    assert "In this batch alone" not in texts(pilot)
    assert "Sunflower oil" in texts(pilot)


def test_what_a_rule_speaks_against_is_said_and_nothing_is_replaced(pilot):
    pilot.press("Replace an ingredient")
    find(pilot, "Sunflower oil")
    find(pilot, "Tallow-like wax")
    assert "melts at 80 °C" in texts(pilot)
