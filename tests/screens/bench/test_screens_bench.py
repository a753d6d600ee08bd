"""The bench page, the settings and the size of a batch, by touch."""

from __future__ import annotations

from dataclasses import replace

import pytest

from benchapp.record.batch_line import BatchLine
from benchapp.service.errors import CommandError


def test_the_bench_page_shows_what_the_devices_read(pilot):
    for _ in range(200):
        pilot.frame()
        shown = {row.key[0]: row.value.text for row in pilot.page.rows}
        if len(shown) >= 3 and "–" not in shown.values():
            break
        with pilot.app.bench.monitor.heard:
            pilot.app.bench.monitor.heard.wait(0.2)
    assert shown["bench scale"] == "0.0 g"
    assert shown["fine scale"] == "0.00 g"
    assert shown["thermometer"].endswith(" °C")
    assert "No pH meter is here: pH will be typed." in [w.text for w in pilot.page.texts]


def test_a_press_before_anything_is_open_is_done_when_it_is(window, journal):
    from threading import Event

    from benchapp.screens.app import BenchApp
    from benchapp.screens.widgets.button import TouchButton
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
        make = next(
            w for w in app.navigator.page.children if isinstance(w, TouchButton) and w.label == "Make a batch"
        )
        make.act()
        EventLoop.idle()
        assert app.navigator.page.texts[1].text == "Reading the shelf."
        slow.set()
        while app.navigator.background.busy:
            app.navigator.background.wait(20.0)
            EventLoop.idle()
        assert app.navigator.page.texts[0].text == "What will you make?"
    finally:
        slow.set()
        Window.remove_widget(app.root)
        app.on_stop()


def test_a_card_says_how_much_and_when_it_was_last_made(glass):
    glass.navigator.routes.recipes()
    rows = list(glass.page.rows_shown)
    while len(rows) < len(glass.shop.recipes()):
        glass.turn_page()
        rows += glass.page.rows_shown
    assert len({row.label for row in rows}) == len(rows)
    details = [row.detail.replace("\u00a0", " ") for row in rows]
    assert all(" ingredients" in said for said in details)
    assert {said.partition(" · ")[0] for said in details} >= {"500 g", "6000 g"}


def test_a_version_is_approved_on_the_glass_before_it_makes_what_may_leave(
    window, journal, enrolled, tmp_path
):
    """On a bench of real devices: a trial, until a releaser approves the text."""
    from page_glass import PageGlass

    from benchapp.screens.display.sizes import PANELS, Sizes
    from benchapp.service.bench_service import BenchService
    from drivers.bench_file import read_bench

    file = tmp_path / "bench.toml"
    file.write_text('[[device]]\nname = "scale"\nkind = "scale"\nport = "/dev/nowhere"\nformat = "labelled"\n'
                    'capacity = "3000 g"\nreadability = "0.1 g"\n')  # fmt: skip
    shop = BenchService(journal, read_bench(str(file)), "Mara Lind", folder=tmp_path)
    glass = PageGlass(shop, Sizes.of(PANELS[0], False))
    glass.navigator.routes.recipes()
    glass.press("Oat and sea-buckthorn hand lotion")
    assert "Begin a trial" in glass.labels()
    glass.press("Sign it")
    glass.type_pin()
    assert "Version 1 of oat-hand-lotion is approved by Mara Lind." in glass.words()
    glass.navigator.routes.size(shop.procedure("oat-hand-lotion"), 500.0)
    assert "Begin" in glass.labels()
    assert "Sign it" not in glass.labels()
    assert "Version 1, approved by Mara Lind" in glass.words()


@pytest.mark.parametrize(("rehearsal", "taken_up"), [(False, ["b7"]), (True, [])])
def test_after_a_power_cut_a_real_make_is_taken_up_by_itself(window, journal, rehearsal, taken_up):
    from pilot import Pilot

    pilot = Pilot(journal)
    asked = []

    def resume(batch):
        asked.append(batch)
        raise CommandError(
            "Its bench file is not here."
        )  # nothing has to be opened to see what was asked for

    pilot.shop.resume = resume
    pilot.shop.makes.unfinished = lambda: BatchLine(
        "b7", "p", "Mara Lind", 500.0, "2026-03-01T09:00:00+01:00", rehearsal, "", None
    )
    pilot.app.go_on = True
    pilot.app._first_frame()
    for _ in range(3):
        pilot.arrive()
    assert asked == taken_up
    words = [getattr(w, "text", "") for w in pilot.page.walk()]
    assert any(
        ("Its bench file is not here." if taken_up else "on a simulated bench") in text for text in words
    )
    pilot.close()


def test_what_presses_most_stands_first_on_the_bench_and_leads_where_it_is_settled(glass):
    from benchapp.screens.bench.matter_rows import matter_rows
    from benchapp.service.open_matters import OpenMatter, SettledAt

    rehearsed = replace(glass.shop.facts(), unfinished=None)
    facts = replace(
        rehearsed, unfinished=BatchLine("20260302-gel-1", "gel", "Jo Tern", 500.0, "", False, "", None),
        matters=(
            OpenMatter("20260301-gel-1", "2 checks due", SettledAt.BATCH, "20260301-gel-1"),
            OpenMatter("Too little for Gel", "Glycerin", SettledAt.LOTS, grave=False),
        ),
        devices=tuple(replace(x, port="/dev/ttyUSB0") for x in rehearsed.devices),
    )  # fmt: skip
    went = []

    class Routes:
        def __getattr__(self, name):
            return lambda *told: went.append((name, *told))

    rows = matter_rows(facts, (), Routes())
    said = [(row.label, row.detail.replace("\u00a0", " ")) for row in rows]
    unchecked = ("3 devices not checked", "bench scale, fine scale, thermometer")
    assert said == [
        ("Unfinished, 500 g", "Gel of 2 Mar"),
        ("2 checks due", "Gel of 1 Mar"),
        unchecked,
        ("Too little for Gel", "Glycerin"),
    ]
    for row in rows:
        row.act()
    assert went == [("resume", "20260302-gel-1"), ("batch", "20260301-gel-1"), ("checks",), ("lots",)]
    alone = replace(facts, unfinished=None, matters=())
    assert [row.label for row in matter_rows(alone, (), Routes())] == [unchecked[0]]
    checked = replace(alone, checked={x.name: "2026-03-01T09:00:00.000+01:00" for x in facts.devices})
    assert matter_rows(checked, (), Routes()) == []
    assert matter_rows(rehearsed, (), Routes()) == [], "nothing simulated can be checked"


def test_the_bench_counts_what_is_to_be_done_and_the_first_of_it_is_larger(glass):
    """On the smallest glass at least the first stands there, and how many more there are."""
    from bench_page_samples import BenchSamples
    from laid_out import Nobody

    from benchapp.screens.bench.home_page import HomePage
    from benchapp.screens.display.sizes import PANELS, TEN_INCH, Sizes
    from benchapp.screens.widgets.row_button import RowButton
    from benchapp.service.open_matters import OpenMatter, SettledAt

    late = [
        OpenMatter(f"b{n}", "2 checks, 9 days late", SettledAt.BATCH, f"b{n}", late=True) for n in range(6)
    ]
    facts = replace(glass.shop.facts(), unfinished=None, matters=tuple(late))

    def said(row):
        return row.caption.text.replace("\u00a0", " ")

    for panel in PANELS:
        page = HomePage(Sizes.of(panel), facts, BenchSamples(glass.shop).seen, Nobody())
        assert page.texts[0].text == "To do"
        first, *others, last = [w for w in page.children[::-1] if isinstance(w, RowButton)]
        assert said(first).startswith("2 checks")
        assert said(last) == f"2 checks and {6 - 2 - len(others)} more", "what is late is named"
        if panel is TEN_INCH:
            assert all(first.caption.font_size > row.caption.font_size for row in others)
            assert all(first.width > row.width for row in others)


def test_what_is_unfinished_is_the_one_filled_press(glass):
    """Something is late: none is filled. Nobody checked: the check is. What has no room is named."""
    from bench_page_samples import BenchSamples
    from laid_out import Nobody

    from benchapp.record.batch_line import BatchLine
    from benchapp.screens.bench.home_page import HomePage
    from benchapp.screens.display.sizes import TEN_INCH, Sizes
    from benchapp.screens.widgets.button import TouchButton
    from benchapp.screens.widgets.row_button import RowButton
    from benchapp.service.open_matters import OpenMatter, SettledAt

    samples, shown = BenchSamples(glass.shop), glass.shop.facts()
    late = tuple(
        OpenMatter(f"b{n}", f"{n + 2} checks due", SettledAt.BATCH, f"b{n}", late=True) for n in range(6)
    )
    unfinished = BatchLine("20260302-gel-1", "gel", "Mara Lind", 500.0, "", False, "", None)

    def filled(**changed):
        page = HomePage(Sizes.of(TEN_INCH), replace(shown, **changed), samples.seen, Nobody())
        rows = [w for w in page.children[::-1] if isinstance(w, RowButton)]
        main = [w.caption.text for w in page.children if isinstance(w, TouchButton) and w.kind == "main"]
        hidden = next((row._said for row in rows if row.caption.text.endswith(" more")), "")
        return [row.caption.text for row in rows if row._spec.filled], main, hidden.replace("\u00a0", " ")

    rows, presses, hidden = filled(unfinished=unfinished, matters=late)
    assert (rows, presses) == (["Unfinished, 500\u00a0g"], [])
    assert hidden.endswith("6 checks due; 7 checks due")
    assert filled(unfinished=None, matters=late)[:2] == ([], [])
    assert filled(unfinished=None, matters=())[1] in (["Check the bench"], ["Make a batch"])


def test_a_device_that_does_not_read_takes_no_room_until_it_does(glass):
    from bench_page_samples import BenchSamples
    from laid_out import Nobody

    from benchapp.screens.bench.home_page import HomePage
    from benchapp.screens.display.sizes import TEN_INCH, Sizes

    bench = BenchSamples(glass.shop)
    silent = [replace(one, reading=None) for one in bench.seen]
    page = HomePage(Sizes.of(TEN_INCH), glass.shop.facts(), silent, Nobody())
    assert page.rows == []
    assert "No reading yet: bench scale, fine scale, probe 1, probe 2." in [w.text for w in page.texts]
    page.live([bench.seen[0], *silent[1:]])
    assert [tile.key[0] for tile in page.rows] == ["bench scale"]
    page.live(bench.seen)
    assert len(page.rows) == len(bench.seen)
    assert not any(w.text.startswith("No reading yet") for w in page.texts)
    page.live([bench.broken[0], *bench.seen[1:]])
    assert [row.label for row in page.matters] == ["Bench scale"]
    assert len(page.rows) == len(bench.seen) - 1
