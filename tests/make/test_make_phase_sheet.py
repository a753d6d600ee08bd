"""The sheet of a phase, the line of time, and the next move."""

from __future__ import annotations

import pytest
from catalogue import read

from benchapp.foundation.catalogues import SHIPPED
from benchapp.make.next_move import MOST_WORDS, MOVES


@pytest.fixture(scope="module")
def views(walked):
    """The views of a make."""
    return walked("oat-hand-lotion").moments


def test_a_move_has_three_words_at_the_most(views):
    assert all(len(move.split()) <= MOST_WORDS for move in MOVES.values())
    assert all(len(view.act_view.move.split()) <= MOST_WORDS for view in views)


def test_the_sheet_ticks_a_line_with_what_was_weighed_and_its_lot(views):
    oils = [v.sheet for v in views if v.step_title == "Weigh the oil phase" and v.sheet]
    first, last = oils[0], oils[-1]
    assert [line.name for line in first] == [line.name for line in last]
    assert len(first) > 2
    assert all(line.taken_g is None for line in first)
    done = [line for line in last if line.state == "done"]
    assert len(done) >= len(last) - 1
    for line in done:
        assert line.lot
        assert line.taken_g == pytest.approx(line.target_g, rel=0.05)
    assert all(sum(line.state == "now" for line in sheet) <= 1 for sheet in oils)


def test_what_is_to_go_and_what_is_there_are_the_target(views):
    pours = [v.act_view for v in views if v.step_kind == "weigh" and v.act_view.picture and v.act_view.live]
    below = [a for a in pours if a.live[0].word == "below"]
    assert below
    for face in below:
        live = face.live[0]
        assert live.value + live.to_go == pytest.approx(face.picture.target_g, abs=1e-6)
    assert all(a.live[0].to_go is None for a in pours if a.live[0].word == "in band")


def test_the_waiting_left_goes_down_and_ends_at_nothing(views):
    assert views[0].left_s > 600
    assert views[-1].left_s == 0
    spans = views[0].spans
    assert [span.open_end for span in spans if span.open_end] == ["heating", "cooling"]
    assert all(span.state == "next" for span in spans[1:])


def test_the_least_that_is_said_goes_by_the_early_end_of_a_forecast(views):
    foretold = [
        v for v in views if v.step_kind == "cool" and v.act_view.forecast is not None and v.meanwhile is None
    ]
    assert any(v.act_view.forecast.early_s < v.act_view.forecast.middle_s - 60 for v in foretold)
    for view in foretold:
        later = sum(span.wait_s for span in view.spans if span.state == "next")
        assert view.left_s == pytest.approx(view.act_view.forecast.early_s + later)


def test_what_makes_like_it_say_goes_down_and_never_lies_under_the_waiting_that_is_sure(views):
    told = [view for view in views if view.until_done is not None]
    assert len(told) > 100
    assert {view.until_done.makes for view in told} == {4}
    for view in told:
        assert view.left_s <= view.until_done.early_s <= view.until_done.middle_s <= view.until_done.late_s
    foretold = [
        view for view in told if view.act_view.forecast is not None and view.step_kind in ("heat", "cool")
    ]
    assert foretold, "while a wait is foretold, its end is in it"
    assert all(view.until_done is None for view in views if view.step_kind == "finish" or view.over)
    middles = [view.until_done.middle_s for view in told]
    assert middles[0] > 2 * 3600 > 3600 > middles[-1]


def test_every_word_that_stands_by_itself_can_be_said_in_another_language(views):
    known = {message.id for message in read(SHIPPED / "de.po")}
    ends = {span.open_end for view in views for span in view.spans}
    stands = {live.word for view in views for live in view.act_view.live}
    assert {"cooling", "in band"} <= ends | stands
    assert (ends | stands) - {""} <= known


def test_the_finished_batch_says_where_all_its_mass_went(views):
    signing = next(v for v in views if v.step_kind == "finish" and v.act_view.picture is not None)
    picture, facts = signing.act_view.picture, signing.act_view.note
    assert sum(grams for _, grams in picture.parts) == pytest.approx(picture.went_in_g, abs=0.3)
    assert picture.went_in_g == pytest.approx(500.0, rel=0.01), "water that was put back went in once"
    assert "steamed off" not in dict(picture.parts)
    assert "pH\u00a0" in facts
