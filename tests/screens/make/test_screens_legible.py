"""The moments of two makes, laid out at four panel sizes and two text sizes, held to eyes and hands: a small glass may say a
reason run on or smaller, but drops none in silence."""

from __future__ import annotations

import itertools
import re

from benchapp.make.waits import forecast
from benchapp.screens.display.phrases import short_forecast
from benchapp.screens.display.sizes import CAP_SHARE, SMALL_ARCMIN, arcmin


def seen_arcmin(font, panel, metres):
    return arcmin(font * CAP_SHARE, panel.px_per_mm, metres)


def test_instructions_are_22_arcmin_at_one_metre(laid):
    small = [
        x.name
        for x in laid
        if not x.view.act_view.cautions and seen_arcmin(x.instruction_font, x.panel, 1.0) < 22
    ]
    assert not small


def test_every_instruction_is_on_the_glass(laid):
    for x in laid:
        if not x.view.act_view.cautions:
            assert x.view.act_view.instruction in [t.words.replace("\u00a0", " ") for t in x.texts], x.name


def test_every_wait_with_a_forecast_says_how_long(laid):
    waits = [x for x in laid if x.view.act_view.forecast is not None]
    assert waits
    for x in waits:
        known = (forecast(x.view.act_view.forecast), short_forecast(x.view.act_view.forecast))
        assert any(t.words in known for t in x.texts), x.name


def test_live_readings_are_22_arcmin_across_the_bench(laid):
    measured = [(x, font) for x in laid for font, source in x.reading_fonts if source == "measured"]
    assert len(measured) > 15
    for x, font in measured:
        assert seen_arcmin(font, x.panel, x.panel.reading_m) >= 22.0, x.name


def test_no_text_is_smaller_than_16_arcmin_at_arms_length(laid):
    for x in laid:
        for text in x.texts:
            assert seen_arcmin(text.font, x.panel, 0.55) >= SMALL_ARCMIN - 0.01, (x.name, text.words)


def test_every_action_is_large_enough_and_apart(laid):
    for x in laid:
        least, gap = x.panel.action_mm * x.panel.px_per_mm, 2.0 * x.panel.px_per_mm
        boxes = [box for box, _ in x.buttons]
        assert boxes, x.name
        for box in boxes:
            assert min(box.right - box.x, box.top - box.y) >= least, (x.name, box.words)
            assert box.x >= 0, (x.name, box.words)
            assert box.right <= x.panel.width + 0.5, (x.name, box.words)
        for one, other in itertools.combinations(boxes, 2):
            apart = max(other.x - one.right, one.x - other.right, other.y - one.top, one.y - other.top)
            assert apart >= gap - 0.5, (x.name, one.words, other.words)


def test_nothing_is_cut_off(laid):
    for x in laid:
        for text in (*x.texts, *(box for box, _ in x.buttons)):
            assert text.x >= -0.5, (x.name, text.words)
            assert text.right <= x.panel.width + 0.5, (x.name, text.words)
            assert text.y >= -0.5, (x.name, text.words)
            assert text.top <= x.panel.height + 0.5, (x.name, text.words)
            assert not text.broken, (x.name, text.words)
        for box, height in x.buttons:
            assert height <= box.top - box.y, (x.name, box.words)
        for text in x.drawing_texts:
            assert text.x >= x.drawing.x - 1, (x.name, text.words)
            assert text.right <= x.drawing.right + 1, (x.name, text.words)
            assert text.y >= x.drawing.y - 1, (x.name, text.words)
            assert text.top <= x.drawing.top + 1, (x.name, text.words)
        assert all(x.pages_fit), x.name


def test_no_text_lies_over_another_or_over_an_action(laid):
    for x in laid:
        boxes = [*x.texts, *(box for box, _ in x.buttons), *([x.drawing] if x.drawing else [])]
        for one, other in itertools.combinations(boxes, 2):
            assert not overlap(one, other), (x.name, one.words, other.words)


def test_no_words_in_a_drawing_lie_over_each_other(laid):
    for x in laid:
        for one, other in itertools.combinations(x.drawing_texts, 2):
            assert not overlap(one, other), (x.name, one.words, other.words)


def test_nothing_is_cut_off_or_lies_over_another_on_the_sheets_of_a_view(laid):
    for x in laid:
        for sheet, boxes in x.sheets:
            for box, _, inside in boxes:
                where = (x.name, sheet, box.words)
                assert inside, where
                assert box.x >= -0.5, where
                assert box.y >= -0.5, where
                assert box.right <= x.panel.width + 0.5, where
                assert box.top <= x.panel.height + 0.5, where
            for one, other in itertools.combinations([box for box, _, _ in boxes], 2):
                assert not overlap(one, other), (x.name, sheet, one.words, other.words)


def test_presses_on_the_sheets_of_a_view_are_large_and_apart(laid):
    for x in laid:
        least, gap = x.panel.action_mm * x.panel.px_per_mm, 2.0 * x.panel.px_per_mm
        for sheet, boxes in x.sheets:
            presses = [box for box, press, _ in boxes if press]
            assert presses, (x.name, sheet)
            for p in presses:
                assert min(p.right - p.x, p.top - p.y) >= least - 0.5, (x.name, sheet, p.words)
            for one, other in itertools.combinations(presses, 2):
                apart = max(other.x - one.right, one.x - other.right, other.y - one.top, one.y - other.top)
                assert apart >= gap - 0.5, (x.name, sheet, one.words, other.words)


#: A countdown draws this sentence itself.
DRAWN = {"Taking it."}


def plain(words):
    return " ".join(words.replace("\u00a0", " ").split())


def test_every_reason_is_on_the_glass_or_counted_on_more(laid):
    dropped = []
    for x in laid:
        if x.view.act_view.cautions:
            continue
        shown = " ".join(plain(t.words) for t in x.texts)
        missing = [why for why in x.view.act_view.not_yet if plain(why) not in shown and why not in DRAWN]
        counted = re.search(r"More \((\d+)\)", " ".join(box.words for box, _ in x.buttons))
        if len(missing) > (int(counted[1]) if counted else 0):
            dropped.append((x.name, missing))
    assert not dropped


def test_a_number_that_is_shown_is_never_called_unread(views):
    shown = [(name, x) for name, view in views for x in view.act_view.live if x.value is not None]
    assert len(shown) > 15
    assert not [name for name, x in shown if x.word == "no reading"]


def test_every_reading_of_several_is_named_at_every_size(laid):
    for x in laid:
        shown = " ".join(plain(t.words) for t in (*x.texts, *x.drawing_texts))
        if len(x.view.act_view.live) > 1 and not x.view.act_view.cautions:
            assert all(live.name in shown for live in x.view.act_view.live), x.name


def overlap(one, other, slack=3.0):
    return (
        one.x < other.right - slack
        and other.x < one.right - slack
        and one.y < other.top - slack
        and other.y < one.top - slack
    )
