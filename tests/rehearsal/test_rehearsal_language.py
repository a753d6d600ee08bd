"""A rehearsal in another language than its scenario is written in: from what happens to the debrief."""

from __future__ import annotations

import contextlib
import re
from dataclasses import dataclass

from acting import WALL, Actor, replies_of
from catalogue import marked, outside, sentences

from benchapp import events as ev
from benchapp.foundation.catalogues import language_of
from benchapp.foundation.language import ENGLISH, speak
from benchapp.record.journal import Journal
from benchapp.rehearsal.debrief import debrief, debrief_lines, verdict_of
from benchapp.rehearsal.run import rehearse
from benchapp.rehearsal.runner import RehearsalRunner
from benchapp.rehearsal.scenario_reading import find_scenario, read_scenario_text
from benchapp.runtime.session_start import BatchOrder, begin, facts_of
from drivers.simulated import SimulatedBench
from procedures.reading import read_procedure
from procedures.shelf import find

OVER_POUR = find_scenario("over-pour")
HAPPENED = OVER_POUR.happens[0].says
#: Its words, as they stand in the file.
ENGLISH_WORDS = [m.id for m in sentences() if any("over-pour.toml" in file for file, _ in m.locations)]


@dataclass
class Rehearsed:
    """What was written down of a rehearsal, what the glass said of what happened, and how it was looked back on."""

    events: list[ev.Event]
    news: set[str]
    told: str


def rehearsed(scenario, folder, *, faces=ENGLISH, record=None):
    """A scenario walked to its debrief by a hand that errs, while these languages are spoken."""
    speak(faces, record)
    try:
        return walked_in(scenario, folder)
    finally:
        speak(ENGLISH)


def walked_in(scenario, folder):
    procedure = read_procedure(find(scenario.procedure)).procedure
    bench, news = SimulatedBench(seed=1), set()
    order = BatchOrder(
        procedure, scenario.batch_g, [facts_of(d) for d in bench.bench.devices], "Jo Tern", "b1", rehearsal=True,
        scenario=scenario.text,
    )  # fmt: skip
    with contextlib.closing(Journal(folder, lambda: WALL)) as journal:
        session = begin(journal, order, lambda: bench.now_s)
        with contextlib.closing(rehearse(bench, session, 1, scenario=scenario)) as r:
            runner, errs = (
                RehearsalRunner(r, pace=0.0),
                Actor(replies_of(scenario, errs=True), bench, session, r.hands, r.answers),
            )
            while not (view := runner.beat()).over:
                news.add(view.act_view.news)
                if r.director.begun:
                    errs.answer(view, True)
        events = journal.events("b1")
    found = debrief(events)
    return Rehearsed(events, news - {""}, "\n".join((verdict_of(found), *debrief_lines(found))))


def struck(of):
    (one,) = [e for e in of.events if isinstance(e, ev.ScenarioStruck)]
    return one.says


def test_a_rehearsal_in_german_is_german_through_to_the_debrief(tmp_path):
    german = language_of("de")
    found = rehearsed(OVER_POUR, tmp_path, faces=german)
    assert found.news == {german.sentence(HAPPENED)}
    assert struck(found) == german.sentence(HAPPENED)
    said = (
        OVER_POUR.title,
        OVER_POUR.goal,
        OVER_POUR.bad[0].says,
        OVER_POUR.good[0].missed,
        OVER_POUR.master,
    )
    for english in (*said, HAPPENED):
        assert german.sentence(english) in found.told
    assert found.told.startswith("Zu viel gegossen: Ziel nicht erreicht")
    assert not [english for english in ENGLISH_WORDS if english in found.told]


def test_what_happened_is_kept_in_the_language_of_the_record_and_the_file_as_it_was(tmp_path):
    french, german = language_of("fr"), language_of("de")
    found = rehearsed(OVER_POUR, tmp_path, faces=french, record=german)
    assert found.news == {french.sentence(HAPPENED)}
    assert struck(found) == german.sentence(HAPPENED)
    assert found.events[0].scenario == OVER_POUR.text
    assert french.sentence(OVER_POUR.master) in found.told


def test_a_makers_own_scenario_is_said_as_it_is_written(tmp_path):
    own = read_scenario_text(
        OVER_POUR.text.replace("Too much poured", "A slippery bottle").replace(HAPPENED, "It slips."),
        "own.toml",
    )
    found = rehearsed(own, tmp_path, faces=language_of("de"))
    assert found.news == {"It slips."} == {struck(found)}
    assert found.told.startswith("A slippery bottle: Ziel nicht erreicht\n")


def test_nothing_of_a_debrief_stands_outside_the_catalogue(tmp_path):
    """But what somebody or something is called, and numbers."""
    found = rehearsed(OVER_POUR, tmp_path, faces=marked())
    names = r"\b(b1|Jo Tern|Glycerin|min|s|Slurry beaker)\b"
    rest = [re.sub(names, "", outside(line)) for line in found.told.splitlines()]
    assert not [text for text in rest if re.search(r"[^\W\d_]", text)]
