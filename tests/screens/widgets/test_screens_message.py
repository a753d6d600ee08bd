"""How it went, on a page of its own: whatever is said stands there, at every size."""

from __future__ import annotations

import pytest

from benchapp.screens.display.sizes import PANELS, Sizes

LONG = (
    "Copied: /media/mara/A stick with a very long name of its own/copies of the bench/journal-0f3ac1de-20260301T090000-118.sqlite. "
    "From now on a copy goes there each day and after each batch; the newest 14 stay, and the last of each month for a year. "
    "It is on the same disk as the journal: that saves nothing when the disk dies."
)


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("panel", PANELS, ids=lambda panel: f"{panel.width}x{panel.height}")
@pytest.mark.parametrize(
    "sentence", ["It is done.", LONG, LONG.replace(". ", ", ")], ids=["short", "long", "one sentence"]
)
def test_a_message_is_shown_whole(window, panel, large, sentence):
    from benchapp.screens.widgets.page_base import message_page

    page = message_page(Sizes.of(panel, large), sentence, print)
    assert " ".join(words.text for words in page.texts) == sentence
    assert all(words.y >= page.low for words in page.texts)
