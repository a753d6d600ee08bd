"""Training on the glass: practise a scenario by touch, see how it went, find it again, and who may do what."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from page_glass import words_on as words

from benchapp import events as ev
from benchapp.foundation.catalogues import language_of
from benchapp.foundation.language import speaking
from benchapp.rehearsal.scenario_reading import SHIPPED, find_scenario, scenarios
from benchapp.rehearsal.scoring import BROKEN_OFF, judge

STEP = "03-weigh"
OVER_POUR = find_scenario("over-pour")


def turn_to(pilot, label):
    """Turn the pages of a list until that press is on the glass."""
    for _ in range(9):
        if label in pilot.presses():
            return
        pilot.turn_page()
    pytest.fail(f"{label!r} is on no page")


def practise(pilot, title):
    """From the bench to where the scenario has begun."""
    from benchapp.screens.make.lead_in_page import LeadInPage

    pilot.press("Practise")
    turn_to(pilot, title)
    pilot.press(title)
    pilot.press("Begin")
    assert isinstance(pilot.page, LeadInPage) or pilot.view is not None
    if isinstance(pilot.page, LeadInPage):
        assert "Your part from step " in words(pilot.page)


def the_events(journal):
    (line,) = journal.batches()
    return line, journal.events(line.batch)


def test_a_scenario_practised_by_touch_with_a_good_hand(pilot, journal):
    from benchapp.screens.training.debrief_page import DebriefPage

    practise(pilot, "Too much poured")
    m = pilot.until(lambda m: m.act_view.stage == "remedy")
    assert pilot.page.header.place.text.startswith("Simulated  ")
    pilot.press(next(c.label for c in m.act_view.choices if c.word == "remove"))
    page = pilot.until_page(DebriefPage)
    line, events = the_events(journal)
    assert judge(OVER_POUR, events).reached
    assert words(page).startswith("Too much poured: goal reached")
    assert "A remedy that keeps the formula was chosen" in words(page)
    assert (line.rehearsal, events[0].scenario, events[0].maker) == (True, OVER_POUR.text, "Mara Lind")
    pilot.press("To the bench")
    pilot.press("Past batches")
    assert "Nothing has been made here yet." in words(pilot.page)
    pilot.press("Past practice")
    (row,) = pilot.page.rows_shown
    assert (row.label, row.detail) == ("Too much poured", "goal reached · Oat hand lotion")
    row.act()
    pilot.arrive()
    assert words(pilot.page).startswith("Too much poured: goal reached")
    assert "Release" not in pilot.presses()
    pilot.press("Back")
    assert words(pilot.page).startswith("Past practice")
    assert pilot.shop.reached() == {"Too much poured"}


def test_a_scenario_practised_by_touch_with_a_hand_that_errs(pilot, journal):
    from benchapp.screens.training.debrief_page import DebriefPage

    practise(pilot, "Too much poured")
    m = pilot.until(lambda m: m.act_view.stage == "remedy")
    pilot.press(next(c.label for c in m.act_view.choices if c.word == "accept"))
    pilot.give_reason()
    page = pilot.until_page(DebriefPage)
    _, events = the_events(journal)
    assert not judge(OVER_POUR, events).reached
    said = words(page)
    assert said.startswith("Too much poured: goal not reached")
    assert "You kept the wrong weight: now every share of the formula is wrong." in said
    assert page.texts[1].text == "Glycerin: 5.78\u00a0%, not 4.00\u00a0%.", "what came of it, before all else"
    assert OVER_POUR.master in said
    assert "min" not in said, "nothing is said of what was over within a minute"
    assert "You did not choose a remedy that keeps the formula." in said
    assert "deviation" not in said, "it was only practice"
    pilot.press("What happened")
    assert OVER_POUR.happens[0].says in words(pilot.page)
    assert words(pilot.page).count("You kept the wrong weight") == 1
    assert "Glycerin: accepted as it was" not in words(pilot.page), "each fact once"
    assert not [text for text in pilot.presses() if "page" in text], "it stops at the end"
    pilot.press("Back")
    pilot.press("Once more")
    assert OVER_POUR.goal in words(pilot.page)
    assert not pilot.shop.reached()


def test_given_up_in_the_middle_it_is_told_as_that(pilot, journal):
    from benchapp.screens.training.debrief_page import DebriefPage

    practise(pilot, "Too much poured")
    pilot.until(lambda m: m.act_view.stage == "remedy")
    pilot.app.make.input.abandon("No time to finish it safely")
    page = pilot.until_page(DebriefPage)
    assert "The rehearsal was not walked to the end of its last step." in words(page)


def test_dropped_after_it_had_happened_the_glass_says_that_it_cannot_be_taken_up(pilot, journal):
    from benchapp.screens.training.debrief_page import DebriefPage

    practise(pilot, "Too much poured")
    pilot.until(lambda m: m.act_view.stage == "remedy")
    pilot.app.bench.home()  # the loop and the bench are let go of, and the next one knows nothing of what stood there
    pilot.arrive()
    said = words(pilot.page)
    assert "Unfinished, practised: Too much poured" in said
    pilot.press(next(text for text in pilot.presses() if text.startswith("Unfinished")))
    page = pilot.until_page(DebriefPage)
    assert words(page).startswith("Too much poured: broken off")
    assert "begin it again" in words(page)
    assert [e.reason for e in the_events(journal)[1] if isinstance(e, ev.MakeAbandoned)] == [BROKEN_OFF]


def test_stopped_on_the_way_to_where_it_begins_it_is_told_as_that(pilot, journal):
    from benchapp.screens.bench.home_page import HomePage
    from benchapp.screens.make.lead_in_page import LeadInPage

    practise(pilot, "Too hot for what goes in")
    assert isinstance(pilot.page, LeadInPage)
    pilot.press("Stop practising")
    pilot.until_page(HomePage)
    pilot.arrive()
    pilot.press("Past batches")
    pilot.press("Past practice")
    (row,) = pilot.page.rows_shown
    assert (row.label, row.detail) == (
        "Too hot for what goes in",
        "ended before it began · Oat hand lotion",
    )


# --- without a window ----------------------------------------------------------------------------------------


def every_page(glass):
    """What all pages of a list say together, and every press on them; "On" goes round."""
    said, presses = glass.words(), set(glass.labels())
    for _ in range(glass.page.count - 1):
        glass.turn_page()
        said, presses = f"{said} {glass.words()}", presses | set(glass.labels())
    return said, presses


def test_every_shipped_scenario_and_the_makers_own_can_be_picked_and_a_broken_file_is_named(glass, tmp_path):
    own = tmp_path / "scenarios"
    own.mkdir()
    (own / "slippery.toml").write_text(OVER_POUR.text.replace("Too much poured", "A slippery bottle"))
    (own / "wrong.toml").write_text(OVER_POUR.text.replace('what = "pour on"', 'what = "set fire"'))
    glass.practices.practices()
    said, presses = every_page(glass)
    assert {find_scenario(name).title for name in scenarios()} | {
        "A slippery bottle",
        "A whole batch",
    } <= presses
    assert "wrong.toml:16:8: " in said
    assert str(tmp_path) not in said
    while "A slippery bottle" not in glass.labels():
        glass.turn_page()
    glass.press("A slippery bottle")
    glass.press("Begin")
    assert glass.begun == ("slippery", "")


def test_practising_leaves_a_real_bench_alone(journal, tmp_path):
    """The bench's ports do not exist: opening one would fail, and nothing of it is in the record."""
    from benchapp.service.bench_service import BenchService
    from benchapp.service.makes import Simulation
    from drivers.settings import Bench
    from drivers.simulated import DEFAULT_DEVICES

    real = replace(DEFAULT_DEVICES[0], port="/dev/none")
    shop = BenchService(
        journal, Bench((real,), "bench.toml"), "Mara Lind", Simulation(practice_pace=0.0), tmp_path
    )
    try:
        runner = shop.practise("over-pour")
        runner.beat()
        started = the_events(journal)[1][0]
        assert started.rehearsal
        assert started.scenario == OVER_POUR.text
        assert [d.name for d in started.devices] == ["bench scale", "fine scale", "thermometer"]
        assert shop.leading_in().title == "Too much poured"
    finally:
        shop.end()


def test_a_makers_own_file_is_practised_from_the_text_that_was_there(journal, tmp_path):
    from benchapp.service.bench_service import BenchService
    from benchapp.service.makes import Simulation

    own = tmp_path / "scenarios"
    own.mkdir()
    text = Path(SHIPPED / "over-pour.toml").read_text().replace("Too much poured", "A slippery bottle")
    (own / "slippery.toml").write_text(text)
    shop = BenchService(journal, None, "Mara Lind", Simulation(practice_pace=0.0), tmp_path)
    try:
        shop.practise("slippery")
    finally:
        shop.end()
    (own / "slippery.toml").unlink()
    (one,) = shop.practised(shop.batches()).values()
    assert one == ("A slippery bottle", "unfinished", None)


def test_what_was_practised_is_told_in_the_language_that_is_read_now(journal, tmp_path):
    """Also where it was told in another before, and nothing of the rehearsal has changed since."""
    from benchapp.service.bench_service import BenchService

    journal.append("b1", [
        ev.MakeStarted(at_s=0.0, batch="b1", maker="Jo Tern", procedure="oat-hand-lotion", procedure_sha256="",
                       procedure_text="", batch_g=500.0, devices=(), rehearsal=True, scenario=OVER_POUR.text),
        ev.ActBegan(at_s=1.0, step=STEP, act="pour glycerin"),
        ev.MakeAbandoned(at_s=2.0, reason="over"),
    ])  # fmt: skip
    shop = BenchService(journal, None, "Mara Lind", folder=tmp_path)
    said = []
    for code in ("en", "de", "fr"):
        with speaking(language_of(code)):
            said.append(shop.practised(shop.batches())["b1"].said)
    assert said == [
        "Too much poured, goal not reached",
        "Zu viel gegossen, Ziel nicht erreicht",
        "Trop versé, but non atteint",
    ]


def test_a_real_make_is_gone_on_with_before_any_rehearsal(glass, journal):
    for batch, rehearsal in (("b1", False), ("b2", True)):
        journal.append(batch, [
            ev.MakeStarted(at_s=0.0, batch=batch, maker="Jo Tern", procedure="oat-hand-lotion", procedure_sha256="",
                           procedure_text="", batch_g=500.0, devices=(), rehearsal=rehearsal,
                           scenario=OVER_POUR.text if rehearsal else ""),
        ])  # fmt: skip
    assert glass.shop.facts().unfinished.batch == "b1"
    journal.append("b1", [ev.MakeAbandoned(at_s=1.0, reason="over")])
    facts = glass.shop.facts()
    assert (facts.unfinished.batch, facts.practised) == ("b2", "Too much poured, unfinished")


def test_nobody_is_spoken_to_on_the_way_to_where_a_scenario_begins():
    from benchapp.runtime.runner import spoken_by

    class Voice(list):
        hear = list.append

    quiet, voice = [True], Voice()
    hook = spoken_by(voice, lambda: quiet[0])
    assert hook("a moment") == "a moment"
    assert voice == []
    quiet[0] = False
    hook("a moment")
    assert voice == ["a moment"]


def test_who_practises_is_asked_where_there_are_several_and_stands_in_the_record(glass, enrolled, journal):
    glass.practices.practices()
    while "Too cold to combine" not in glass.labels():
        glass.turn_page()
    glass.press("Too cold to combine")
    glass.press("Begin")
    glass.press("Jo Tern")
    assert glass.begun == ("too-cold-to-combine", "Jo Tern")
    try:
        glass.shop.practise(*glass.begun)
    finally:
        glass.shop.end()
    assert the_events(journal)[1][0].maker == "Jo Tern"
