"""Two signs that would be dangerous to mix up: the octagon stops a make, the cross says that something is wrong."""

from __future__ import annotations

import pytest
from acting import WALL
from laid_out import Nobody
from page_samples import every_page

from benchapp.record.journal import Journal
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import TEN_INCH, Sizes
from benchapp.screens.drawings import shapes
from benchapp.screens.widgets.text_line import MARKS


@pytest.fixture
def drawn(window, monkeypatch):
    """The names of the two as they are drawn."""
    seen = []
    for name in ("stop", "cross"):
        draw = shapes.SHAPES[name]
        monkeypatch.setitem(shapes.SHAPES, name, lambda *at, n=name, f=draw: (seen.append(n), f(*at)))
    return seen


def test_the_octagon_is_drawn_on_stop_and_on_what_is_far_over_its_limit_and_nowhere_else(drawn, views):
    from benchapp.screens.make.make_screen import MakeScreen

    assert [word for word, (_, shape) in d.STANDING.items() if shape == "stop"] == ["far above"]
    screen = MakeScreen(Sizes.of(TEN_INCH), Nobody())
    for name, view in views:
        screen.show(view)
        over = any(live.word == "far above" for live in view.act_view.live)
        for press in screen.buttons:
            drawn.clear()
            press._arrange()
            assert ("stop" in drawn) == (press.label == "Stop"), (name, press.label)
        if not over:
            drawn.clear()
            for reading, live in zip(screen.work.readouts.all, view.act_view.live, strict=True):
                reading.show(live)
            screen.work.rail.show(view.sheet)
            assert "stop" not in drawn, name


def test_at_the_desk_the_octagon_stops_what_is_practised_and_a_cross_is_only_where_something_is_wrong(
    drawn, monkeypatch, tmp_path
):
    from benchapp.screens.make.signed_press import SignedPress
    from benchapp.screens.widgets import text_line

    assert [mark for mark, (shape, _) in MARKS.items() if shape == "cross"] == ["bad"]
    assert MARKS["bad"] == ("cross", "CORAL")
    marked, draw = [], text_line.draw_mark
    for module in _drawing_marks():
        monkeypatch.setattr(module, "draw_mark", lambda mark, *at: (marked.append(mark), draw(mark, *at)))
    journal = Journal(tmp_path, lambda: WALL)
    pages = 0
    for page in every_page(journal, tmp_path)(Sizes.of(TEN_INCH)):
        pages += 1
        stops = [w for w in page.children if isinstance(w, SignedPress) and w.label.startswith("Stop")]
        assert bool(stops) == ("stop" in drawn), [w.label for w in page.children if hasattr(w, "label")]
        drawn[:] = [name for name in drawn if name != "stop"]
    journal.close()
    assert pages > 80
    assert drawn.count("cross") == marked.count("bad") > 3


def _drawing_marks():
    """The modules that draw marks."""
    from benchapp.screens.desk import flow_page, lot_flow_page
    from benchapp.screens.widgets import named_lines, page_base, pager, row_button

    return flow_page, lot_flow_page, named_lines, page_base, pager, row_button
