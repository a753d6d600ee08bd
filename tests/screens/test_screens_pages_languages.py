"""The pages that are no make in every language that is shipped, at four sizes; and nothing on them outside the catalogue."""

from __future__ import annotations

import itertools

import pytest
import test_screens_pages as asked
from acting import WALL
from page_samples import every_page

from benchapp.foundation.catalogues import codes, language_of
from benchapp.foundation.language import ENGLISH, SOURCE, speak
from benchapp.record.journal import Journal
from benchapp.screens.display.figures import Figures
from benchapp.screens.display.sizes import PANELS, Sizes

CASES = list(itertools.product([code for code in codes() if code != SOURCE], PANELS))


def pages_in(language, folder, sizes):
    """Every page in a language."""
    journal = Journal(folder, lambda: WALL)
    try:
        for page in every_page(journal, folder)(sizes):
            yield page
            speak(language)  # a page that goes by preferences has changed it
    finally:
        journal.close()


@pytest.fixture(scope="module", params=CASES, ids=[f"{code} {panel.name}" for code, panel in CASES])
def drawn(window, request, tmp_path_factory):
    """Every page in one language on one panel."""
    code, panel = request.param
    language = language_of(code)
    speak(language)
    try:
        sizes = Sizes.of(panel, False, Figures(comma=True))
        yield panel, list(pages_in(language, tmp_path_factory.mktemp("pages"), sizes))
    finally:
        speak(ENGLISH)


@pytest.mark.parametrize(
    "question",
    [asked.test_presses_are_large_apart_and_on_the_glass, asked.test_words_lie_over_nothing],
    ids=lambda question: question.__name__.removeprefix("test_"),
)
def test_in_this_language(question, drawn):
    question(drawn)
