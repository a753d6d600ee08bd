"""The screens around a make at four sizes and two text sizes, and a bench check that later makes know of."""

from __future__ import annotations

import functools
import itertools
from dataclasses import replace

import pytest
from conftest import CASES, NAMES, broken

from benchapp import events as ev
from benchapp.record.journal import BatchLine, Journal
from benchapp.runtime.device_checks import Check, checks_in, keep, passed_at, weight_allowed_g
from benchapp.runtime.settings import Preferences, preferences_in
from benchapp.screens.panel import Sizes


@pytest.fixture
def journal(tmp_path):
    journal = Journal(tmp_path, lambda: "2026-03-01T09:00:00.000+01:00")
    yield journal
    journal.close()


class Anywhere:
    def __getattr__(self, name):
        return lambda *_: None


def desk_pages(panel, sizes, ways):
    """The desk's pages with a batch that has everything wrong and one that has nothing wrong."""
    from benchapp.screens import desk
    from benchapp.screens.signing import SignSheet
    from benchapp.service.desk_facts import BatchFacts, CheckFacts, Trend, Undecided

    name = "20260301-winter-shore-cream-12"
    checks = (
        CheckFacts("pH after a day", "Still within the limits", 5.0, 5.8, "due", "2026-03-02 09:00"),
        CheckFacts(
            "Warm and cold storage",
            "Looks and smells like the first day",
            None,
            None,
            "waiting",
            "2026-03-08 09:00",
        ),
    )
    batch = BatchFacts(
        name, "winter-shore-cream", 600.0, "finished", "", False, 11, checks, ("1, minor, open: Glycerin: 22 g, band 19 to 21 g.",),
        ("Deviation 1 (minor) is open: Glycerin: 22 g, band 19 to 21 g.", "pH after a day is due and not done."), ("Mara Lind",),
    )  # fmt: skip
    fine = replace(batch, against=(), checks=(), deviations=(), decision="released")
    trend = Trend(
        "yield", "%", (94.2, 95.1, 93.8, 96.0, 88.2), 93.5, 89.0, 98.0, True, (f"{name}: beyond a limit",)
    )
    for one in (batch, fine, replace(batch, releasers=())):
        yield desk.batch_page(panel, sizes, one, ways)
        yield desk.release_page(panel, sizes, one, ways)
    yield desk.due_page(
        panel, sizes, (Undecided(name, checks), Undecided("20260302-tide-pool-gel-1", ())), ways
    )
    yield desk.due_page(panel, sizes, (), ways)
    yield desk.choice_page(
        panel, sizes, "Why rejected?", ("It separates or has grains", "Its pH left the limits"), print, print
    )
    rows = [(f"Sunflower oil, lot S{n}: 1 250.0 g. Use by 2027-01-31.", print) for n in range(20)]
    yield desk.list_page(panel, sizes, "Lots in the store", rows, print, print, 0, "None.")
    yield desk.text_page(panel, sizes, "Where lot S1 went", [said for said, _ in rows], print, print, 0)
    yield desk.trend_page(panel, sizes, "winter-shore-cream", trend, print)
    yield desk.trend_page(panel, sizes, "winter-shore-cream", None, print)
    for people in (("Mara Lind", "Ina Voss", "Ole Brandt"), ("Mara Lind",), ()):
        yield SignSheet(panel, sizes, people, "batch released", print, print)


@functools.cache
def shipped_practices():
    from benchapp.service.practice import practices

    return practices(None)


def training_pages(panel, sizes, ways):
    """The training pages with everything that ships, a broken file, a long debrief, and people at every level."""
    from benchapp.screens import training

    broken_file = 'slippery.toml:16:8: "set fire" cannot be that. One of pour on, tare. And 2 more.'
    found = replace(shipped_practices(), broken=(broken_file,))
    for number in range(4):
        yield training.PracticePage(panel, sizes, found, ways, number)
    longest = max(found.found, key=lambda p: len(p.goal))
    yield training.goal_page(panel, sizes, longest, ways)
    yield training.LeadInPage(panel, sizes, longest, print)
    for how, number in debriefs(longest):
        back = ("To the bench", print, "plain")
        yield training.DebriefPage(panel, sizes, how, "over-pour", ways, back, number)
    yield from people_pages(panel, sizes, ways)


def debriefs(p):
    """Every verdict, and the pages of the longest."""
    from benchapp.rehearsal.debrief import Debrief, Line
    from benchapp.rehearsal.scoring import CriterionResult, Verdict

    signs = tuple(CriterionResult(f"Something was seen, number {n}", True, 60.0 * n) for n in range(3))
    lines = tuple(
        Line(30.0 * n, "Far more ran in than was wanted, and somebody took it out again.", mark)
        for n, mark in enumerate(("", "good", "bad", "") * 3)
    )
    reached, missed = Verdict(5.0, True, signs, ()), Verdict(5.0, True, (), signs)
    broken_off = Verdict(5.0, False, signs, (), True)
    for verdict, number in ((reached, 0), (missed, 1), (missed, 9), (broken_off, 0)):
        effects, master = ("10.0 g of waste.",) * 5, "Stop pouring. " * 12
        yield Debrief("b1", "Jo Tern", p.title, p.goal, verdict, lines, effects, master), number


def people_pages(panel, sizes, ways):
    from benchapp.screens import training
    from benchapp.screens.leaves import LeavesPage, Told
    from benchapp.screens.letters import LetterSheet
    from benchapp.service.training_facts import Competent, Held

    kinds = ("weigh", "combine", "add", "measure ph", "fill", "clean up", "premix", "heat", "look", "density")
    why = "rehearsal 20260301-winter-shore-cream-12"
    held = tuple(Held(k, training.LEVELS[n % 3], "2026-03-01", why) for n, k in enumerate(kinds))
    helper = Competent("Jo Tern", ("helper",), held, kinds[:3], (*kinds, "finish"))
    for one, granters, number in ((helper, ("Mara Lind",), 0), (helper, (), 1), (Competent("Mara Lind", (), (), ()), (), 0)):  # fmt: skip
        yield training.PersonPage(panel, sizes, one, granters, ways, number)
    for name in (True, False):
        yield LetterSheet(panel, sizes, "Who is it", print, print, name)
    digits = LetterSheet(panel, sizes, "The lot's name", print, print, False)
    digits._other()
    yield digits
    told = [Told("Sunflower oil: 125.4 g (123 to 127), measured")] * 40
    yield LeavesPage(panel, sizes, "b1", told, print, 2, [("Back", print, "plain")])


@pytest.fixture
def pages(journal, tmp_path):
    from benchapp.make.moment import Ask
    from benchapp.runtime.bench_monitor import ChannelStatus
    from benchapp.screens import check_page, home, settings_page
    from benchapp.screens.overlays import (
        ABANDON_REASONS,
        SKIP_REASONS,
        Keypad,
        LockSheet,
        ReasonSheet,
    )
    from benchapp.service.bench_service import BenchService
    from drivers.finding import PortReport
    from drivers.format_fit import Fit
    from drivers.readings import Quantity, Reading

    shop, ways = BenchService(journal, None, "Mara Lind", folder=tmp_path), Anywhere()
    recipe = shop.recipes()[2]
    check = Check(
        "bench scale", "weight 100 g", 100.0, 103.0, 0.1, "g", "2026-03-01T09:00:00+01:00", "Mara Lind"
    )
    devices = shop.devices()
    quantity = {"scale": Quantity.MASS, "thermometer": Quantity.TEMPERATURE, "ph meter": Quantity.PH}
    seen = [
        ChannelStatus(d, c, Reading(d.name, c, quantity[d.kind], 1234.56, 0.0, resolution=0.01), 0.1, 1234.56, "")
        for d in devices for c in d.channels
    ]  # fmt: skip
    trouble = "There is no /dev/ttyUSB7. Plug the device in, or run benchapp listen and correct the port."
    broken_ones = [replace(one, reading=None, rest=None, trouble=trouble) for one in seen]
    fit = Fit("number and unit", "scale", 1, ("123.4 g",), 0.1, (1.0,))
    past = [
        BatchLine(f"20260301-winter-shore-cream-{n}", "winter-shore-cream", "Jo Tern", 600.0, "", True, "abandoned", None)
        for n in range(12)
    ]  # fmt: skip
    heard = (
        PortReport("/dev/ttyUSB0", fits=(fit,)),
        PortReport("/dev/ttyUSB1", trouble="/dev/ttyUSB1 said nothing."),
    )

    def of(panel, sizes, training=True):
        subjects = [check_page.Subject(d, d.channels[-1], "Mara Lind", lambda: "") for d in devices]
        yield home.home_page(panel, sizes, None, (), ways)
        yield home.home_page(panel, sizes, shop.facts(), seen, ways)
        yield home.home_page(panel, sizes, shop.facts(), broken_ones, ways)
        yield home.home_page(panel, sizes, replace(shop.facts(), unfinished=past[0]), seen, ways)
        yield home.wait_page(panel, sizes, "Reading the shelf.")
        yield home.choose_page(panel, sizes, shop.recipes(), ways)
        yield home.size_page(
            panel, sizes, *shop.plan(recipe.key, recipe.usual_g), ways, recipe, recipe.usual_g
        )
        yield home.past_page(
            panel, sizes, past, {past[0].batch: "Too cold to combine, goal not reached"}, ways, 0
        )
        yield settings_page.settings_page(panel, sizes, Preferences(), ways)
        yield settings_page.listening_page(panel, sizes)
        yield settings_page.heard_page(panel, sizes, heard, ways)
        yield settings_page.added_page(panel, sizes, "scale", "bench.toml", ways)
        yield check_page.check_page(panel, sizes, devices, {("bench scale", ""): check}, ways)
        for subject in subjects:
            yield check_page.device_page(panel, sizes, ways, subject)
        for subject, state in itertools.product(subjects, (seen, broken_ones, ())):
            page = check_page.AgainstPage(panel, sizes, ways, subject, check_page.boiling_at_height(1200.0))
            page.live(state)
            yield page
        yield check_page.verdict_page(panel, sizes, ways, check)
        yield Keypad(panel, sizes, Ask("temperature of the batch", "°C", -10, 110, 1, True), print, print)
        yield ReasonSheet(panel, sizes, "Leave it as it is", print, print)
        yield ReasonSheet(panel, sizes, "Leave it out", print, print, SKIP_REASONS)
        yield ReasonSheet(panel, sizes, "Abandon the batch", print, print, ABANDON_REASONS)
        yield LockSheet(panel, sizes, print)
        yield from desk_pages(panel, sizes, ways)
        if training:
            yield from training_pages(panel, sizes, ways)

    return of


@pytest.mark.parametrize(("panel", "large"), CASES, ids=NAMES)
def test_presses_are_large_apart_and_on_the_glass(pages, panel, large):
    from benchapp.screens.parts import Press

    least, gap = panel.action_mm * panel.px_per_mm, 2.0 * panel.px_per_mm
    for page in pages(panel, Sizes.of(panel, large)):
        presses = [w for w in page.children if isinstance(w, Press)]
        assert (*page.pos, *page.size) == (0, 0, panel.width, panel.height)
        for p in presses:
            assert min(p.size) >= least, p.words.text
            assert p.x >= 0, p.words.text
            assert p.y >= 0, p.words.text
            assert p.right <= panel.width + 0.5, p.words.text
            assert p.top <= panel.height + 0.5, p.words.text
            assert p.words.height <= p.height, p.words.text
            assert not broken(p.words), p.words.text
        for a, b in itertools.combinations(presses, 2):
            apart = max(b.x - a.right, a.x - b.right, b.y - a.top, a.y - b.top)
            assert apart >= gap - 0.5, (a.words.text, b.words.text)


@pytest.mark.parametrize(("panel", "large"), CASES, ids=NAMES)
def test_words_lie_over_nothing(pages, panel, large):
    from benchapp.screens.parts import Press, Words

    for page in pages(panel, Sizes.of(panel, large)):
        words = [w for w in page.children if isinstance(w, Words) and w.text.strip()]
        for w, other in itertools.product(words, page.children):
            if w is not other and isinstance(other, Press | Words):
                clear = (
                    w.y >= other.top - 3
                    or w.top <= other.y + 3
                    or w.x + w.texture_size[0] <= other.x + 3
                    or w.x >= other.right - 3
                )
                assert clear, (w.text, getattr(other, "text", "") or other.words.text)


@pytest.mark.parametrize(("panel", "large"), CASES, ids=NAMES)
def test_the_words_of_a_device_stand_apart_and_within_its_row(pages, panel, large):
    some = pages(panel, Sizes.of(panel, large), training=False)
    rows = [row for page in some for row in getattr(page, "rows", ())]
    assert len(rows) >= 2
    for row in rows:
        assert not broken(row.name), row.name.text
        name, state = (t.texture_size[0] + t.x for t in (row.name, row.state))
        assert row.value.right <= row.name.x, row.value.text
        assert max(name, state) <= row.right, (row.name.text, row.state.text)
        assert row.state.top <= row.name.y + 1
        assert row.y - 2 <= row.state.y, row.state.text
        assert row.name.top <= row.top + 2


@pytest.mark.parametrize(
    ("load_g", "readability_g", "capacity_g", "allowed_g"),
    [(200.0, 0.1, 3000.0, 0.1), (1000.0, 0.1, 3000.0, 0.2), (2500.0, 0.1, 3000.0, 0.3),
     (100.0, 0.01, 200.0, 0.02), (100.0, 1.0, 5000.0, 1.0), (1000.0, 1.0, 5000.0, 2.0)],
)  # fmt: skip
def test_what_a_scale_in_service_may_be_off(load_g, readability_g, capacity_g, allowed_g):
    """OIML R 76-1: 0.5 e up to 5,000 e (II) or 500 e (III), 1 e up to 20,000 e or 2,000 e, 1.5 e above; twice in service."""
    assert weight_allowed_g(load_g, readability_g, capacity_g) == pytest.approx(allowed_g)


def test_only_the_newest_check_of_a_device_counts(tmp_path):
    good = Check(
        "fine scale", "weight 100 g", 100.0, 100.01, 0.02, "g", "2026-03-01T09:00:00+01:00", "Mara Lind"
    )
    bad = Check(
        "fine scale", "weight 100 g", 100.0, 100.09, 0.02, "g", "2026-03-02T09:00:00+01:00", "Mara Lind"
    )
    keep(tmp_path, good)
    assert passed_at(tmp_path) == {"fine scale": good.at}
    keep(tmp_path, bad)
    assert passed_at(tmp_path) == {}


def test_half_a_line_after_a_power_cut_is_left_out(tmp_path):
    good = Check(
        "fine scale", "weight 100 g", 100.0, 100.01, 0.02, "g", "2026-03-01T09:00:00+01:00", "Mara Lind"
    )
    keep(tmp_path, good)
    with (tmp_path / "bench-checks.json").open("a") as file:
        file.write('{"device": "fine sc')
    assert passed_at(tmp_path) == {"fine scale": good.at}


def test_a_checked_scale_is_checked_in_the_make_that_follows(journal, tmp_path):
    from pilot import Pilot

    pilot = Pilot(journal, folder=tmp_path)
    try:
        pilot.press("Check the bench")
        pilot.press("bench scale: not checked")
        pilot.press("500 g")
        pilot.press("Type it")
        for key in "500.1":
            pilot.press(key)
        pilot.press("Enter")
        assert pilot.app.screen.words[0].text == "Passed"
        pilot.press("To the bench")
        pilot.begin()
        (line,) = journal.batches()
        started = journal.events(line.batch)[0]
        assert isinstance(started, ev.MakeStarted)
        assert {f.name: bool(f.checked) for f in started.devices} == {
            "bench scale": True, "fine scale": False, "thermometer": False,
        }  # fmt: skip
    finally:
        pilot.close()


def test_a_device_is_checked_by_what_it_reads_when_it_is_at_rest(journal, tmp_path):
    from pilot import Pilot

    pilot = Pilot(journal, folder=tmp_path)
    try:
        pilot.press("Check the bench")
        pilot.press("bench scale: not checked")
        pilot.press("20 g")
        for _ in range(400):  # the simulated pan is empty, and comes to rest by itself
            pilot.frame()
            if "Take this reading" in pilot.presses():
                break
            with pilot.app.watching.heard:
                pilot.app.watching.heard.wait(0.2)
        pilot.press("Take this reading")
        assert pilot.app.screen.words[0].text == "Not passed"
        (check,) = checks_in(tmp_path, simulated=True)
        assert (check.found, check.expected, check.source) == (0.0, 20.0, "measured")
    finally:
        pilot.close()


def test_each_probe_is_checked_by_itself(tmp_path):
    def check(probe, found, day):
        at = f"2026-03-{day:02d}T09:00:00+01:00"
        keep(
            tmp_path,
            Check("thermometer", "ice in water", 0.0, found, 1.0, "°C", at, "Mara Lind", "stated", probe),
        )

    both = {"thermometer": ("probe 1", "probe 2")}
    check("probe 1", 0.2, 1)
    assert passed_at(tmp_path, both) == {}
    check("probe 2", 0.4, 2)
    assert passed_at(tmp_path, both) == {"thermometer": "2026-03-01T09:00:00+01:00"}
    check("probe 1", 2.4, 3)
    assert passed_at(tmp_path, both) == {}


def buffer_check(expected, found, day="01", device="ph meter"):
    return Check(
        device,
        f"buffer {expected:g}",
        expected,
        found,
        0.1,
        "pH",
        f"2026-03-{day}T09:00:00+01:00",
        "Mara Lind",
    )


@pytest.mark.parametrize(
    ("checks", "said"),
    [
        ([buffer_check(7.0, 7.0)], ""),
        ([buffer_check(7.0, 7.0), buffer_check(7.0, 7.02)], ""),
        ([buffer_check(7.0, 7.0, "01"), buffer_check(4.0, 4.0, "02")], ""),  # not of one day
        ([buffer_check(7.0, 7.0), buffer_check(4.0, 4.0)], "Electrode: slope 100 %, offset 0 mV (computed from two buffers)."),
        ([buffer_check(7.0, 7.0), buffer_check(4.0, 4.6)], "slope 80 %, usual is 90 to 105 %"),
    ],
)  # fmt: skip
def test_two_buffers_of_one_day_say_how_the_electrode_is(checks, said):
    """A slope of 80 %: three pH apart, shown as 2.4 apart (Nernst; the limits are usual acceptance, secondary source)."""
    from benchapp.runtime.device_checks import electrode

    found = electrode(checks, "ph meter")
    assert said.lower() in found.lower()
    assert bool(said) == bool(found)


def test_boiling_water_at_known_pressures():
    """Against the iapws library's own saturation line (IAPWS-IF97)."""
    from iapws.iapws97 import _TSat_P

    from benchapp.screens.check_page import boiling_at_height, boiling_at_pressure

    for hpa in (1013.25, 1000.0, 800.0, 650.0):
        assert boiling_at_pressure(hpa).expected == pytest.approx(_TSat_P(hpa / 1e4) - 273.15, abs=0.005)
    assert boiling_at_height(0.0).expected == pytest.approx(99.97, abs=0.02)


def test_a_choice_in_the_settings_is_shown_at_once_and_kept(journal, tmp_path):
    from pilot import Pilot

    pilot = Pilot(journal, folder=tmp_path)
    try:
        pilot.app.chosen = Preferences()
        pilot.press("Settings")
        for words in ("Text: normal", "Numbers: 12.5", "Sound: on", "Softer, now 70\u00a0%"):
            pilot.press(words)
        assert {"Text: large", "Numbers: 12,5", "Sound: off", "Softer, now 50\u00a0%"} <= set(pilot.presses())
        assert preferences_in(tmp_path) == Preferences(large_text=True, comma=True, sound=False, volume=50)
    finally:
        pilot.close()


def test_the_bench_page_shows_what_the_devices_read(journal, tmp_path):
    from pilot import Pilot

    pilot = Pilot(journal, folder=tmp_path)
    try:
        for _ in range(200):
            pilot.frame()
            shown = {row.key[0]: row.value.text for row in pilot.app.screen.rows}
            if "–" not in shown.values():
                break
            with pilot.app.watching.heard:
                pilot.app.watching.heard.wait(0.2)
        assert shown["bench scale"] == "0.0 g"
        assert shown["fine scale"] == "0.00 g"
        assert shown["thermometer"].endswith(" °C")
        assert "No pH meter is here: pH will be typed." in [w.text for w in pilot.app.screen.words]
    finally:
        pilot.close()


def test_a_press_before_anything_is_open_is_done_when_it_is(journal):
    from threading import Event

    from benchapp.screens.app import BenchApp
    from benchapp.screens.parts import Press
    from benchapp.service.bench_service import BenchService

    slow = Event()

    def open_shop():
        slow.wait(20.0)
        return BenchService(journal, None, "Mara Lind")

    from kivy.base import EventLoop
    from kivy.core.window import Window

    app = BenchApp(open_shop)
    app.root = app.build()
    Window.add_widget(app.root)
    try:
        EventLoop.idle()
        EventLoop.idle()
        make = next(w for w in app.screen.children if isinstance(w, Press) and w.label == "Make a batch")
        make.act()
        EventLoop.idle()
        assert app.screen.words[1].text == "Reading the shelf."
        slow.set()
        while app.errands.busy:
            app.errands.wait(20.0)
            EventLoop.idle()
        assert app.screen.words[0].text == "What will you make?"
    finally:
        slow.set()
        Window.remove_widget(app.root)
        app.on_stop()


def test_the_size_by_bottles(journal):
    """10 bottles of 50 g and 5 % left in pots: 500 / 0.95 = 526.3, rounded up to whole grams."""
    from pilot import Pilot

    pilot = Pilot(journal)
    try:
        pilot.press("Make a batch")
        pilot.press("Oat and sea-buckthorn hand lotion")
        pilot.press("By bottles")
        for keys in ("50", "10"):
            for key in keys:
                pilot.press(key)
            pilot.press("Enter")
        assert pilot.app.screen.words[0].text.endswith(": 527 g")
    finally:
        pilot.close()
