"""The lowest row of a page: the way back at the left end, the rest alike at the right end, what throws away apart from both."""

from __future__ import annotations

from benchapp.screens.display.sizes import SEVEN_INCH, TEN_INCH, Sizes


def laid(panel, *buttons):
    """The presses of a page's row, in their order from the left."""
    from benchapp.screens.widgets.page_base import Page

    page = Page(Sizes.of(panel), "Lots")
    page.bottom([("Back", print, "plain"), *((label, print, kind) for label, kind in buttons)])
    from benchapp.screens.widgets.button import TouchButton

    return page, sorted((w for w in page.children if isinstance(w, TouchButton)), key=lambda p: p.x)


def test_presses_of_one_rank_are_of_one_width_and_end_at_the_right(window):
    for panel in (TEN_INCH, SEVEN_INCH):
        page, (back, *rest) = laid(
            panel, ("Near their date", "plain"), ("Lots", "plain"), ("Next page", "plain")
        )
        assert back.x == page.left
        assert len({round(p.width) for p in rest}) == 1
        assert round(rest[-1].right) == round(page.left + page.wide)


def test_words_stand_on_one_line_where_they_need_not_be_small(window):
    _, presses = laid(
        TEN_INCH, ("Add materials", "plain"), ("Next page", "plain"), ("Data sheet of Kelp wax", "main")
    )
    assert {p.caption.height < 1.5 * p.caption.font_size for p in presses} == {True}
    assert len({p.caption.font_size for p in presses}) == 1
    assert all(p.caption.font_size >= Sizes.of(TEN_INCH).between for p in presses)


def test_what_throws_away_stands_as_far_from_the_way_back_as_from_what_goes_on(window):
    _, (back, away, on) = laid(TEN_INCH, ("Do the checks", "main"), ("Reject or rework", "serious"))
    assert round(away.x - back.right) == round(on.x - away.right) > Sizes.of(TEN_INCH).gap
    assert round(away.width) == round(on.width)


def test_a_way_back_of_another_name_stands_at_the_left_as_well(window):
    from benchapp.screens.widgets.button import TouchButton
    from benchapp.screens.widgets.page_base import Page

    page = Page(Sizes.of(TEN_INCH), "How it went")
    page.bottom(
        [("To the bench", print, "plain"), ("What happened", print, "plain"), ("Once more", print, "main")]
    )
    back, what, more = sorted((w for w in page.children if isinstance(w, TouchButton)), key=lambda p: p.x)
    assert back.x == page.left
    assert what.x - back.right > more.x - what.right


def test_what_throws_away_never_stands_where_going_on_does(window):
    page, (back, away) = laid(TEN_INCH, ("Take back from sale", "serious"))
    left, right, gap = away.x - back.right, page.left + page.wide - away.right, Sizes.of(TEN_INCH).gap
    assert abs(left - right) <= gap + 1
    assert right > Sizes.of(TEN_INCH).action
