"""While a scenario's beginning is done for whoever practises: whose turn it is stands larger than all else, on every glass."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest
from page_samples import shipped_practices
from seen import seen_arcmin

from benchapp.screens.display.sizes import PANELS, Sizes


@pytest.mark.usefixtures("window")
@pytest.mark.parametrize("panel", PANELS, ids=lambda p: p.name)
def test_whose_turn_it_is_is_read_from_two_metres_or_where_one_works(panel):
    from benchapp.screens.make.lead_in_page import LeadInPage

    practice = replace(
        shipped_practices().found[0], begins_at=3, begins_with="Pour the oil pot into the lotion"
    )
    page = LeadInPage(Sizes.of(panel), practice, print)
    for at, word in ((2, "Wait"), (3, "Your turn")):
        page.show(
            SimpleNamespace(progress=at / 16, step_count=16, step_number=at, step_title="Heat both pots")
        )
        (said,) = [x for x in page.texts if x.text == word]
        assert seen_arcmin(said.font_size, panel, panel.work_m) >= 20
        assert said.font_size >= max(x.font_size for x in page.texts)
