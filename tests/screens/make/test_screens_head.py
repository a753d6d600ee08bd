"""The head of a make's pages: the line of time is at one place and of one size on all of them."""

from __future__ import annotations

import pytest
from laid_out import CASES, NAMES, Nobody

from benchapp.screens.display.sizes import Sizes


@pytest.mark.parametrize(("panel", "large"), CASES, ids=NAMES)
def test_the_line_of_time_lies_across_the_top_of_every_page_of_a_make_and_nothing_over_it(
    window, views, panel, large
):
    from benchapp.screens.make.make_screen import MakeScreen
    from benchapp.screens.widgets.text_label import TextLabel

    sizes = Sizes.of(panel, large)
    screen, places = MakeScreen(sizes, Nobody()), set()
    for name, view in views:
        screen.show(view)
        line = screen.header.progress
        places.add((*line.pos, *line.size))
        assert line.canvas.children, name
        words = [w for w in screen.children if isinstance(w, TextLabel) and w.text and w.height]
        letters = [w.top - 0.16 * w.font_size for w in words]  # over capitals a line is empty
        assert max(letters, default=0.0) <= line.y + 1, (name, [w.text for w in words])
        assert all(
            sign.top <= line.y for sign in screen.header.cautions.children if not isinstance(sign, TextLabel)
        ), name
    assert len(places) == 1, places
    ((left, low, wide, high),) = places
    assert (left, wide) == (sizes.pad, panel.width - 2 * sizes.pad)
    assert low + high == panel.height
