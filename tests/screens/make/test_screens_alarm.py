"""An alarm is seen at once over a PIN, the lock or a sheet, and what was typed there stays."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest

from benchapp.make.view_model import Trouble
from benchapp.make.vocabulary import TroubleKind

TEXT = "The oil pot is at 91.0 °C."


@pytest.fixture
def pilot(pilot):
    pilot.begin()
    pilot.until(lambda m: "task 0" in m.prompt)
    real, view = pilot.app.make.loop, pilot.view
    pilot.app.make.loop = SimpleNamespace(
        shown=SimpleNamespace(view=view), view=view, trouble="", writing=False
    )
    yield pilot
    pilot.app.make.loop = real


def alarm(pilot, on=True):
    loop = pilot.app.make.loop
    loop.view = replace(loop.view, trouble=Trouble(TroubleKind.ALARM, "Alarm", TEXT) if on else None)
    loop.shown = SimpleNamespace(view=loop.view)
    pilot.frame()


def test_over_a_pin_half_typed(pilot):
    pilot.app.navigator.ask_signature(("Mara Lind",), "made as recorded", lambda *_: None, lambda: None)
    sheet = pilot.page
    pilot.press("4")
    pilot.press("7")
    assert pilot.app.navigator.alarm.text == ""
    alarm(pilot)
    assert pilot.app.navigator.alarm.text == TEXT
    assert pilot.app.navigator.alarm.height > 0
    assert pilot.app.navigator.root.children[0] is pilot.app.navigator.alarm, "over everything else"
    pilot.press("1")
    assert (pilot.page, sheet.typed) == (sheet, "471"), "what was typed stays, and goes on"
    alarm(pilot, on=False)
    assert pilot.app.navigator.alarm.text == ""


def test_over_the_lock_for_wiping(pilot):
    pilot.page.show_lock()
    alarm(pilot)
    assert pilot.page.overlay is not None
    assert pilot.app.navigator.alarm.text == TEXT


def test_more_gives_way_and_the_make_itself_shows_it(pilot):
    pilot.page.show_details()
    before = pilot.app.make.loop.view
    pilot.app.make.loop.view = replace(before, prompt=before.prompt + "1")
    alarm(pilot)
    assert pilot.page.overlay is None
    assert pilot.page.header.trouble.text == "Alarm"
    assert pilot.app.navigator.alarm.text == ""


@pytest.mark.usefixtures("window")
def test_under_every_first_aid_stands_whose_word_counts(views):
    from benchapp.screens.display.sizes import SEVEN_INCH_COARSE, Sizes
    from benchapp.screens.make.caution_pages import ADVICE, CautionPages

    told = 0
    for _, view in views:
        if not view.act_view.cautions:
            continue
        pages = CautionPages(Sizes.of(SEVEN_INCH_COARSE, True), view.act_view.cautions, (10, 100), (780, 300))
        for caution, body in pages.pages:
            texts = [text for text, _ in body]
            if caution.first_aid in texts and caution.first_aid:
                assert ADVICE in texts
                told += 1
    assert told > 5
