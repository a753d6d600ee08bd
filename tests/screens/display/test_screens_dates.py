"""Days and batches as people say them."""

from __future__ import annotations

import pytest

from benchapp.screens.display.dates import batches_in_words, leaf, until


@pytest.mark.parametrize(
    ("iso", "days", "said"),
    [
        ("2026-08-31", 200, "good until August 2026"), ("2026-04-30", 61, "good until April 2026"), ("2026-04-30", 60, "60 days left"),
        ("2026-03-02", 1, "1 day left"), ("2026-03-01", 0, "today is its last day"), ("2026-02-28", -1, "1 day past its date: set it aside"),
        ("2026-02-20", -9, "9 days past its date: set it aside"), ("2020-01-31", -2221, "past its date since January 2020: set it aside"),
    ],
)  # fmt: skip
def test_how_long_something_keeps(iso, days, said):
    assert until(iso, days) == said


def test_the_leaf_of_a_calendar():
    assert leaf("2026-11-05T09:00:00+01:00") == ("5", "Nov 2026")
    assert leaf("") == ("", "")


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("Due: pH after a day, of 20260226-oat-hand-lotion-1.", "Due: pH after a day, of Oat hand lotion of 26 February 2026."),
        ("20260226-oat-hand-lotion-W-2 waits", "Oat hand lotion of 26 February 2026, number 2 of that day waits"),
        ("lot SU-90, due on 2026-02-20", "lot SU-90, due on 20 February 2026"),
        ("b1 and 20260226-1", "b1 and 20260226-1"),
    ],
)  # fmt: skip
def test_a_batch_is_named_by_its_product_and_day(written, said):
    assert batches_in_words(written) == said
