"""What stands under the axis of a chart: the edges of a forecast in whole minutes, as far as they have room."""

from __future__ import annotations

import pytest

FONT = 20
TENS = ["+10", "+20", "+30", "+40", "+50"]


def labels(edges, window, to_s=3600.0):
    """The words under an axis of 600 px from ten minutes ago on."""
    from kivy.core.window import Window  # what draws wants one open
    from kivy.graphics import Canvas as Ground

    from benchapp.screens.drawings.canvas import Canvas
    from benchapp.screens.drawings.chart import Chart

    assert Window is not None
    with Ground():
        canvas = Canvas(0.0, 0.0, 600.0, 300.0, FONT)
        Chart(canvas, -600.0, to_s, 20.0, 80.0).axes((), edges)
    return {words: (left, left + wide) for words, left, _, wide, _ in canvas.texts}


@pytest.mark.parametrize(
    ("edges", "told"),
    [
        ((1320.0, 2700.0), ["+22", "+45"]),  # apart
        ((2640.0, 2700.0), ["+44–45"]),  # too near each other
        ((2690.0, 2700.0), ["+45"]),  # the same minute
        ((20.0, 2700.0), ["+45"]),  # it may be now
    ],
)
def test_each_edge_bears_its_minute_and_nothing_else_to_come_has_one(edges, told, window):
    said = labels(edges, window)
    assert [words for words in said if words.startswith("+")] == told
    assert "now" in said


def test_two_edges_in_one_label_have_it_between_them(window):
    said = labels((1320.0, 1380.0), window)
    left, right = said["+22–23"]
    assert left < 600.0 * (600.0 + 1350.0) / 4200.0 < right, "not at the end of the axis"


def test_without_a_forecast_what_is_to_come_has_round_minutes(window):
    assert [words for words in labels((), window) if words.startswith("+")] == TENS


def test_edges_that_would_run_into_now_leave_the_round_minutes(window):
    assert [words for words in labels((40.0, 100.0), window) if words.startswith("+")] == TENS
