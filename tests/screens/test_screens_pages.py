"""The pages that are no make at four sizes and two text sizes: nothing lies over anything, everything can be pressed."""

from __future__ import annotations

import itertools

import pytest
from acting import WALL
from laid_out import CASES, NAMES, broken
from page_samples import every_page

from benchapp.record.journal import Journal
from benchapp.screens.display.sizes import DESK, Sizes


@pytest.fixture(scope="module", params=[*CASES, (DESK, False)], ids=[*NAMES, DESK.name])
def drawn(window, request, tmp_path_factory):
    """Every page on one panel at one text size, drawn once for all that is asked of it."""
    folder, (panel, large) = tmp_path_factory.mktemp("pages"), request.param
    journal = Journal(folder, lambda: WALL)
    yield panel, list(every_page(journal, folder)(Sizes.of(panel, large)))
    journal.close()


def test_presses_are_large_apart_and_on_the_glass(drawn):
    from benchapp.screens.widgets.button import TouchButton

    panel, pages = drawn
    least, gap = panel.action_mm * panel.px_per_mm, 2.0 * panel.px_per_mm
    for page in pages:
        presses = [w for w in page.children if isinstance(w, TouchButton)]
        assert (*page.pos, *page.size) == (0, 0, panel.width, panel.height)
        for p in presses:
            assert min(p.size) >= least, p.caption.text
            assert p.x >= 0, p.caption.text
            assert p.y >= 0, p.caption.text
            assert p.right <= panel.width + 0.5, p.caption.text
            assert p.top <= panel.height + 0.5, p.caption.text
            assert p.caption.height <= p.height, p.caption.text
            assert not broken(p.caption), p.caption.text
        for a, b in itertools.combinations(presses, 2):
            apart = max(b.x - a.right, a.x - b.right, b.y - a.top, a.y - b.top)
            assert apart >= gap - 0.5, (a.caption.text, b.caption.text)


def test_words_lie_over_nothing(drawn):
    from benchapp.screens.widgets.button import TouchButton
    from benchapp.screens.widgets.text_label import TextLabel

    for page in drawn[1]:
        words = [w for w in page.children if isinstance(w, TextLabel) and w.text.strip()]
        shown = [*words, *(w for w in page.children if isinstance(w, TouchButton))]
        for w, other in itertools.product(words, shown):
            if w is not other:
                clear = (
                    w.y >= other.top - 3
                    or w.top <= other.y + 3
                    or w.x + w.texture_size[0] <= other.x + 3
                    or w.x >= other.right - 3
                )
                assert clear, (w.text, other.text if isinstance(other, TextLabel) else other.caption.text)


def test_the_words_of_a_device_stand_apart_and_within_its_row(drawn):
    from benchapp.screens.bench.device_tile import DeviceTile

    rows = [row for page in drawn[1] for row in getattr(page, "rows", ()) if isinstance(row, DeviceTile)]
    assert len(rows) >= 2
    for row in rows:
        assert not broken(row.name), row.name.text
        name, state = (t.texture_size[0] + t.x for t in (row.name, row.state))
        over = row.value.top <= row.state.y  # the words over the value, or beside it
        assert over or max(name, state) <= row.value.x, row.value.text
        assert max(name, state) <= row.right, (row.name.text, row.state.text)
        assert row.state.top <= row.name.y + 1
        assert row.y - 2 <= row.state.y, row.state.text
        assert row.name.top <= row.top + 2
