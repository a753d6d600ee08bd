"""What is practised on the glass in every language that is shipped, at four sizes: whole, on the glass, over nothing; and
nothing of it outside the catalogue."""

from __future__ import annotations

import functools
import itertools
import re
from dataclasses import replace
from types import SimpleNamespace

import pytest
from catalogue import marked, outside
from page_glass import words_on
from page_samples import shipped_practices, shipped_scenarios
from test_screens_pages import test_presses_are_large_apart_and_on_the_glass as presses_are_pressed
from test_screens_pages import test_words_lie_over_nothing as words_lie_apart

from benchapp.foundation.catalogues import codes, language_of
from benchapp.foundation.language import ENGLISH, SOURCE, speak, tr, translated
from benchapp.screens.display.figures import Figures
from benchapp.screens.display.sizes import PANELS, Sizes
from procedures.reading import read_procedure
from procedures.shelf import find

CASES = list(itertools.product([code for code in codes() if code != SOURCE], PANELS))


def verdicts(scenario):
    """A hand that did everything well, one that did all that is bad, and one that did nothing."""
    from benchapp.rehearsal.scoring import CriterionResult, Verdict

    def seen(signs, whether):
        return tuple(CriterionResult(x.says, whether, 60.0 if whether else None, x.missed) for x in signs)

    yield Verdict(5.0, True, seen(scenario.good, True), ())
    yield Verdict(5.0, True, seen(scenario.good, True), seen(scenario.bad, True))
    yield Verdict(5.0, True, seen(scenario.good, False), ())


def looked_back_on(scenario):
    from benchapp.rehearsal.debrief import Debrief, DebriefLine

    for v in verdicts(scenario):
        told = [
            DebriefLine(0.0, tr("You were told: {says}", says=x.says)) for x in scenario.happens if x.says
        ]
        told += [DebriefLine(60.0, sign.told, "good") for sign in v.good if sign.seen]
        told += [DebriefLine(60.0, sign.told, "bad") for sign in v.bad]
        yield Debrief("b1", "Jo Tern", scenario.title, scenario.goal, v, tuple(told), (), scenario.master)


def pages_of(sizes, p, scenario):
    """Each page of one scenario, and what has to stand on it; on one of several, what they have to say together."""
    from benchapp.screens.make.lead_in_page import LeadInPage
    from benchapp.screens.training.debrief_page import DebriefPage, TimelinePage
    from benchapp.screens.training.practice_pages import goal_page

    title, goal = translated(p.title), translated(p.goal)
    yield [goal_page(sizes, p, print, print)], [title, goal]
    titles = {step.key: (n, step.title) for n, step in enumerate(steps(scenario.procedure), 1)}
    number, begins_with = titles[scenario.begins.step]
    lead_in = LeadInPage(sizes, replace(p, begins_at=number, begins_with=begins_with), print)
    lead_in.show(
        SimpleNamespace(
            progress=0.0, step_count=16, step_number=1, step_title=steps(scenario.procedure)[0].title
        )
    )
    yield [lead_in], [title, goal]
    for found in looked_back_on(scenario):
        more = [(tr("What happened"), print, "plain"), (tr("Once more"), print, "main")]
        debrief = turned(lambda paging, of=found: DebriefPage(sizes, of, paging, more))  # noqa: B023
        yield debrief, [title, *found.verdict.why, translated(found.master)]
        yield (
            turned(lambda paging, of=found: TimelinePage(sizes, of, paging)),
            [x.text for x in found.timeline],
        )


@functools.cache
def steps(name):
    return read_procedure(find(name)).procedure.steps


def turned(page):
    """All pages of what may take several."""
    from benchapp.screens.widgets.pager import Paging

    first = page(Paging(print, print, 0, tr("To the bench")))
    return [first, *(page(Paging(print, print, n, tr("To the bench"))) for n in range(1, first.count))]


def every_page(sizes):
    for p, scenario in zip(shipped_practices().found, shipped_scenarios(), strict=True):
        assert p.key == scenario.key
        yield from pages_of(sizes, p, scenario)


@pytest.fixture(params=CASES, ids=[f"{code} {panel.name}" for code, panel in CASES])
def drawn(window, request):
    code, panel = request.param
    speak(language_of(code))
    try:
        yield panel, list(every_page(Sizes.of(panel, False, Figures(comma=True))))
    finally:
        speak(ENGLISH)


def plain(words):
    return " ".join(words.replace("\u00a0", " ").split())


def test_all_of_it_stands_on_the_glass(drawn):
    panel, found = drawn
    for pages, wanted in found:
        said = plain(" ".join(words_on(page) for page in pages))
        for words in wanted:
            assert plain(words) in said, words
        for page in pages:
            assert all(text.y >= page.above_bottom - 1 for text in page.texts), words_on(page)
            assert all(text.right <= panel.width for text in page.texts), words_on(page)
            if page.one_line_title and panel.height < 800:
                assert page.texts[0].height < 1.5 * page.sizes.instruction, page.texts[0].text
    pages = [page for some, _ in found for page in some]
    presses_are_pressed((panel, pages))
    words_lie_apart((panel, pages))


@pytest.fixture
def in_marks(window):
    speak(marked())
    yield Sizes.of(PANELS[0], False)
    speak(ENGLISH)


def test_nothing_of_it_stands_outside_the_catalogue(in_marks):
    """But who practises, and seconds."""
    from benchapp.screens.training.practice_pages import PracticeLeads, practice_page
    from benchapp.screens.widgets.pager import Paging
    from benchapp.screens.widgets.text_label import TextLabel

    leads = PracticeLeads(print, print, print)
    lists = [practice_page(in_marks, shipped_practices(), leads, Paging(print, print, n)) for n in range(4)]
    for page in [*lists, *(page for pages, _ in every_page(in_marks) for page in pages)]:
        for words in (label.text for label in page.walk() if isinstance(label, TextLabel)):
            rest = re.sub(r"\b(Jo Tern|s|min)\b", "", outside(words))
            assert not re.search(r"[^\W\d_]", rest), words
