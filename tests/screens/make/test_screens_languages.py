"""A make in every language that is shipped, at four sizes: what is asked of English is asked of the others."""

from __future__ import annotations

import itertools

import pytest
import test_screens_legible as legible
import test_screens_whole as whole
from laid_out import Nobody, lay_out, views_of
from walked import walk

from benchapp.foundation.catalogues import codes, language_of
from benchapp.foundation.language import ENGLISH, SOURCE, speak
from benchapp.screens.display.figures import Figures
from benchapp.screens.display.sizes import PANELS, Sizes

LANGUAGES = [code for code in codes() if code != SOURCE]
CASES = list(itertools.product(LANGUAGES, PANELS))


@pytest.fixture(scope="module")
def moments(tmp_path_factory):
    """By language: every moment of the lotion that is drawn otherwise."""
    found = {}
    for code in LANGUAGES:
        speak(language_of(code))
        try:
            found[code] = views_of(walk("oat-hand-lotion", tmp_path_factory.mktemp(code)))
        finally:
            speak(ENGLISH)
    return found


@pytest.fixture(scope="module", params=CASES, ids=[f"{code} {panel.name}" for code, panel in CASES])
def laid(window, request, moments):
    """Every moment in one language on one panel."""
    from benchapp.screens.make.make_screen import MakeScreen

    code, panel = request.param
    speak(language_of(code))
    try:
        screen = MakeScreen(Sizes.of(panel, False, Figures(comma=True)), Nobody())
        longest = {max(group, key=lambda m: len(m.act_view.note)) for group in by_step(moments[code])}
        yield [lay_out(screen, name, m, m in longest) for name, m in moments[code].items()]
    finally:
        speak(ENGLISH)


def by_step(views):
    """The moments of each step."""
    steps = {}
    for view in views.values():
        steps.setdefault(view.step_key, []).append(view)
    return steps.values()


@pytest.mark.parametrize(
    "asked",
    [
        whole.test_every_instruction_is_on_the_glass,
        legible.test_what_is_still_to_go_is_read_at_a_glance,
        legible.test_the_next_move_is_read_at_a_glance,
        legible.test_buttons_and_reasons_are_ten_arcmin_from_where_one_works,
        legible.test_live_readings_are_22_arcmin_across_the_bench,
        legible.test_no_text_is_smaller_than_16_arcmin_at_arms_length,
        legible.test_every_action_is_large_enough_and_apart,
        whole.test_nothing_is_cut_off,
        whole.test_no_text_lies_over_another_or_over_an_action,
        whole.test_no_words_in_a_drawing_lie_over_each_other,
        whole.test_nothing_is_cut_off_or_lies_over_another_on_the_sheets_of_a_view,
        legible.test_presses_on_the_sheets_of_a_view_are_large_and_apart,
        whole.test_every_reason_is_on_the_glass_or_counted_on_more,
        whole.test_what_has_happened_in_a_rehearsal_is_on_the_glass_whole,
        legible.test_the_line_of_time_says_which_step_it_is_and_how_much_waiting_is_left,
        whole.test_every_reading_of_several_is_named_at_every_size,
        legible.test_a_filled_press_goes_on_and_lies_under_the_working_hand,
    ],
    ids=lambda asked: asked.__name__.removeprefix("test_"),
)
def test_in_this_language(asked, laid):
    asked(laid)
