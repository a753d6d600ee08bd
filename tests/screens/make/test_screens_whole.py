"""The moments of two makes at four panel sizes and two text sizes: nothing is cut off, covered or dropped in silence."""

from __future__ import annotations

import itertools
import re

from seen import far_enough, overlap, plain

from benchapp.make.pictures import (
    BatchPicture,
    BottlesPicture,
    CoolPicture,
    HeatPicture,
    PourOverPicture,
    TitrationPicture,
)
from benchapp.make.view_model import TOO_MUCH
from benchapp.make.vocabulary import Stage
from benchapp.screens.display.phrases import to_go_of


def test_every_instruction_is_on_the_glass(laid):
    for x in laid:
        if not x.view.act_view.cautions:
            order, then = plain(x.view.act_view.instruction), plain(x.view.act_view.then)
            assert {order, f"{order} {then}"} & {plain(t.words) for t in x.texts}, x.name


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


#: A countdown draws this sentence itself.
DRAWN = {"Taking it."}


def test_every_reason_is_on_the_glass_or_counted_on_more(laid):
    dropped = []
    for x in laid:
        if x.view.act_view.cautions:
            continue
        shown = " ".join(plain(t.words) for t in x.texts)
        large = {plain(t.words) for t in x.texts if far_enough(t, x.panel, 20)}
        lacking = {
            plain(live.lacks) for live in x.view.act_view.live if live.lacks and to_go_of(live)[0] in large
        }
        said = {plain(w) for w in DRAWN} | lacking
        said |= {plain(TOO_MUCH)} if any(t.startswith(plain("STOP")) for t in large) else set()
        missing = [why for why in map(plain, x.view.act_view.not_yet) if why not in shown and why not in said]
        counted = re.search(r"\((\d+)\)", " ".join(box.words for box, _ in x.buttons))
        if len(missing) > (int(counted[1]) if counted else 0):
            dropped.append((x.name, missing))
    assert not dropped


def test_what_has_happened_in_a_rehearsal_is_on_the_glass_whole(laid):
    """In large letters on seven inches an order of three lines may leave it to "More", which then counts it."""
    told = [x for x in laid if x.view.act_view.news]
    assert len(told) > 5
    for x in told:
        shown = any(plain(x.view.act_view.news) in plain(t.words) for t in x.texts)
        counted = any(re.search(r"\(\d+\)", box.words) for box, _ in x.buttons)
        assert shown or (counted and x.large and x.panel.height <= 600), (x.name, x.view.act_view.news)


def test_a_number_that_is_shown_is_never_called_unread(views):
    shown = [(name, x) for name, view in views for x in view.act_view.live if x.value is not None]
    assert len(shown) > 15
    assert not [name for name, x in shown if x.word == "no reading"]


def test_every_reading_of_several_is_named_at_every_size(laid):
    for x in laid:
        shown = " ".join(plain(t.words) for t in (*x.texts, *x.drawing_texts))
        if len(x.view.act_view.live) > 1 and not x.view.act_view.cautions:
            assert all(live.name in shown for live in x.view.act_view.live), x.name


#: Pictures that stand where the sheet would.
HIDES_THE_SHEET = (HeatPicture, CoolPicture, PourOverPicture, TitrationPicture, BatchPicture, BottlesPicture)


def test_the_sheet_of_the_phase_names_every_line_or_counts_it(laid):
    seen = 0
    for x in laid:
        ten = x.panel.width >= 1200 and not x.view.act_view.cautions
        if (
            not ten
            or isinstance(x.view.act_view.picture, HIDES_THE_SHEET)
            or x.view.act_view.stage == Stage.REMEDY
            or x.view.act_view.struck
        ):
            continue
        words = [t.words for t in x.texts]
        if x.view.meanwhile is not None or not any(line.target_g is not None for line in x.view.sheet):
            assert not [w for w in words if w.endswith((" done above", " more to come"))], x.name
            continue  # of steps and tasks the line of time and the order say enough; a wait stands where it would
        named = [line for line in x.view.sheet if line.name in words]
        counted = sum(int(w.split()[0]) for w in words if w.endswith((" done above", " more to come")))
        now = next((n for n, line in enumerate(x.view.sheet) if line.state == "now"), len(x.view.sheet))
        ahead = [one for one in x.view.sheet[now:] if one.state == "done" and one.target_g is None]
        assert len(named) + counted == len(x.view.sheet) - len(ahead), x.name
        assert any(line.state == "now" for line in named) or all(s.state != "now" for s in x.view.sheet), (
            x.name
        )
        amounts = [line for line in named if line.taken_g is not None]
        seen += len(amounts)
        for line in amounts:
            said = f"{line.taken_g:.{line.decimals}f} g"
            assert any(w.startswith(said) and w.endswith(line.lot) for w in words), (x.name, line)
    assert seen or laid[0].panel.width < 1200
