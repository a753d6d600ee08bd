"""What cannot be pressed yet does not look like a press."""

from __future__ import annotations

import pytest


@pytest.mark.usefixtures("window")
@pytest.mark.parametrize("kind", ["main", "plain"])
def test_what_cannot_be_pressed_yet_lies_flat_on_the_ground_and_stays_legible(kind):
    from benchapp.screens.display import design as d
    from benchapp.screens.widgets.button import TouchButton

    press = TouchButton("Begin", print, kind)
    as_made = (press._fill.rgb, press.caption.color, press._edged.rgb)
    press.dim(True)
    assert tuple(press._fill.rgb) == pytest.approx(d.SAND), "the page's own ground"
    assert tuple(press.caption.color[:3]) == pytest.approx(d.INK)
    press.dim(False)
    assert (press._fill.rgb, press.caption.color, press._edged.rgb) == as_made
