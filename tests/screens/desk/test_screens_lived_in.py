"""The desk of a workshop that has been at work for two months: what it shows first, and that a trace loses nothing."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

import pytest
from lived_in import BATCHES, LOTION, RELEASED, WAITING_LONGEST, live_in

from benchapp.service.open_matters import open_matters
from procedures.reading import read_procedure
from procedures.shelf import find, shipped

NOW = "2026-03-01T13:00:00.000+01:00"


@pytest.fixture
def told(journal):
    """Its journal with everything in it."""
    journal.wall = lambda: NOW
    return live_in(journal, NOW)


def every_page(glass):
    """What all pages of a list say together."""
    said = glass.words()
    for _ in range(glass.page.count - 1):
        glass.turn_page()
        said += glass.words()
    return said


def test_what_may_not_be_used_and_what_is_short_of_time_comes_first(told, glass):
    glass.lots.lots()
    rows = glass.page.rows_shown
    assert [row.mark for row in rows[:3]] == ["bad", "bad", "soon"]
    assert rows[0].detail == "SU-90 · 9 days past its date: set it aside"
    assert rows[1].detail == "SU-91 · in quarantine: judge it first"
    assert [row.share is None for row in rows[:3]] == [True, True, False], (
        "nothing is left of what must not be used"
    )


def test_past_batches_say_how_they_stand(told, glass):
    glass.batches.past()
    seen = []
    for _ in range(glass.page.count):
        seen += [row.mark for row in glass.page.rows_shown]
        if glass.page.count > 1:
            glass.turn_page()
    decided = Counter(b.decision for b in BATCHES)
    assert Counter(seen) == {"good": decided["released"], "bad": decided["rejected"], "open": 2, "later": 1}


def test_past_batches_are_read_line_by_line_as_every_other_list(told, glass):
    from benchapp.screens.widgets.row_button import RowButton

    glass.batches.past()
    rows = [w for w in glass.page.children[::-1] if isinstance(w, RowButton)]
    by_place = sorted(rows, key=lambda w: (-w.y, w.x))
    assert [w._spec for w in by_place] == glass.page.rows_shown


def test_what_waits_longest_is_the_filled_press_of_what_is_to_be_released(told, glass):
    glass.releases.undecided()
    (press,) = [w for w in glass.labels().values() if w.kind == "main"]
    assert press.caption.text.replace("\u00a0", " ") == "Check the batch of 19 Feb"
    press.act()
    assert "9 days late" in glass.words()


def test_beside_each_who_may_sign_stands_what_they_are_here(told, glass):
    glass.navigator.ask_signature(("Mara Lind", "Jo Tern"), "release check", print, print)
    said = {w._spec.label: w._spec.figure for w in glass.labels().values() if hasattr(w, "_spec")}
    assert said == {"Mara Lind": "maker, releaser", "Jo Tern": "helper"}


def test_over_where_a_lot_went_stands_whether_it_may_be_used(told, glass):
    from benchapp.screens.desk.lot_controller import usable

    glass.lots.trace("GL-3")
    said = glass.words()
    assert said.startswith(
        "Lot GL-3: usable, a batch rejected Do not sell bottles 1 to 6 of Winter shore cream,"
    ), "one verdict, the gravest; then what is to be done about it"
    lots = glass.shop.desk().lots()
    assert usable("SU-90", lots) == ("bad", "9 days past its date: set it aside")
    assert usable("SU-91", lots) == ("bad", "in quarantine: judge it first")
    assert usable("BI-27", lots) == ("soon", "12 days left")
    assert usable("nowhere", lots)[0] == "later"


def test_the_next_thing_of_a_batch_is_the_filled_press(told, glass):
    def filled():
        return [words for words, press in glass.labels().items() if press.kind == "main"]

    glass.batches.batch(told.batches[WAITING_LONGEST])
    assert filled() == ["Do the checks"]
    glass.batches.batch(told.batches[RELEASED])
    assert filled() == ["Make this again"]
    assert "3 still here" in glass.words()
    glass.releases.release(told.batches[RELEASED])
    assert glass.words().startswith("Released: Oat hand lotion")
    assert "pH after a day: 5.4" in glass.words()


def test_what_is_open_of_a_batch_is_counted_and_its_release_leads_to_the_first_of_it(told, glass):
    waits = told.batches[WAITING_LONGEST]
    glass.batches.batch(waits)
    assert "2 checks and 1 deviation open" in glass.words()
    glass.releases.release(waits)
    assert "2 checks and 1 deviation open" in glass.words()
    assert "to be judged" in glass.words()
    assert "right if" not in glass.words(), "it is asked where it is written down"
    assert "9 days late" in glass.words()
    matter = next(one for one in open_matters(glass.shop.desk()) if one.batch == waits)
    assert (matter.said, matter.late) == ("2 checks, 9 days late", True)
    glass.press("Do the checks")
    assert glass.words().startswith("Appearance after a day")


def test_of_the_shelf_most_can_be_made_and_that_comes_first(told):
    from benchapp.service.desk import Desk

    desk = Desk(told.journal)
    short = [key for key in shipped() if desk.short_of(read_procedure(find(key)).procedure)]
    assert (len(short), len(shipped())) == (2, 8)


def test_of_two_batches_what_differs_is_said_first_and_what_is_the_same_once(told, glass):
    first, second = told.batches[0], told.batches[WAITING_LONGEST]
    glass.batches.compare(first, second)
    said = glass.words()
    assert "Oat hand lotion: less came out on 19 Feb 2026" in said.replace("\u00a0", " "), (
        "the finding is the headline"
    )
    assert ("94.6 %" in said, "88.4 %" in said) == (True, True), "drawn as two bars"
    assert "Not accounted for: 26.2 g on 29 Dec 2025, 58.1 g on 19 Feb 2026" in said.replace("\u00a0", " ")
    assert "weighed in 499.24 g 500.09 g +0.85 g came out 473.00 g 442.00 g" in said, "the difference adds up"
    assert "minor deviations 0 1 +1" in said
    assert "Glycerin 4.02 % 4.18 % +0.16 %" in said
    assert "The same: 12 ingredients, samples, left in vessels, water lost" in said
    assert "weighed:" not in said
    assert "29\u00a0Dec 2025" in said
    glass.batches.compare(first, told.batches[1])
    assert re.search(r"Purified water 75\.\d+ % 87\.\d+ % \+1[12]\.\d+ % ", every_page(glass))
    glass.batches.compare_with(second, LOTION)
    assert glass.page.rows_shown[0].label == "Oat hand lotion"
    glass.press("Oat hand lotion")
    assert "difference" in glass.words()


def test_a_batch_is_drawn_from_its_lots_to_whoever_has_it_and_stands_in_a_list_too(told, glass):
    glass.batches.contents(told.batches[0])
    drawn = glass.words().replace("\u00a0", " ")
    assert drawn.startswith("What is in Oat hand lotion")
    materials = {lot.name for lot in glass.shop.desk().lots() if lot.name in drawn}
    assert "Pier Shop bottles 1 to 3, 8 Jan 2026" in drawn
    assert "still here bottle 5" in drawn
    glass.press("As a list")
    listed = every_page(glass)
    assert len(materials) == 14
    assert all(name in listed for name in materials)
    while "As a list" not in glass.labels():
        glass.press("Back")


def test_a_trace_that_takes_words_is_a_list(told, glass, journal):
    """A weighing without a lot cannot be left out, and a drawing has no place for it."""
    from benchapp import events as ev

    weighed = next(
        e for e in journal.events(told.batches[0]) if isinstance(e, ev.WeightTaken) and e.line == "glycerin"
    )
    started = replace(journal.events(told.batches[0])[0], batch="b9")
    journal.append("b9", [started, replace(weighed, lot="")])
    glass.lots.trace("GL-3")
    assert "As a list" not in glass.labels()
    assert "cannot be left out: b9 has" in every_page(glass)


def test_a_trend_names_each_batch_by_its_day(told, glass):
    glass.batches.trend(LOTION, told.batches[0])
    said = glass.words()
    assert "29 Dec 2025" in said
    assert all(f"{b.yield_percent:.1f}" in said for b in BATCHES if b.procedure == LOTION)


def test_a_person_stands_once_in_the_table_of_levels(told, glass):
    from benchapp.record.competence import STEP_KINDS
    from benchapp.screens.display.phrases import step_kinds

    glass.competence.person("Jo Tern")
    words = [label.text for label in glass.page.texts]
    assert words[0] == "What Jo Tern may do"
    heads = ["Alone", "With help", "Only practised", "Not yet learnt"]
    assert words[1:9:2] == heads, "a line each, the most first"
    lines = glass.page.texts[2:10:2]
    assert len({line.font_size for line in glass.page.texts[1:9]}) == 1, "what is not on record, too"
    kinds = [kind for line in lines for kind in line.text.split(", ")]
    said = [kind.removesuffix(" (a second person signs)") for kind in kinds]
    assert sorted(said) == sorted(step_kinds((kind,)) for kind in STEP_KINDS), "each once"
    assert said != kinds, "beside the kinds it holds for"
    assert any(text.endswith("granted by Mara Lind.") for text in words)


def test_rows_that_take_a_whole_line_come_first(window):
    from benchapp.screens.widgets.row_button import RowSpec
    from benchapp.screens.widgets.rows_page import parted

    rows = [RowSpec(f"{n}", print, broad=n in (3, 5)) for n in range(9)]
    pages = [[row.label for row in page] for page in parted(rows, 2, 3)]
    assert pages == [["3", "5", "0", "1"], ["2", "4", "6", "7", "8"]]


def test_a_trend_of_few_batches_says_so_and_ends_where_all_came_out(told, glass):
    """Four yields, one plainly low: nothing is called usual, the lowest is named, and no limit is drawn or said."""
    trend = glass.shop.desk().trend(LOTION)
    assert trend.chart.provisional
    assert trend.chart.upper > 100.0
    glass.batches.trend(LOTION, told.batches[0])
    said = glass.words().replace("\u00a0", " ")
    assert "The lowest: 88.4 % on 19 Feb 2026." in said
    assert "Thick line: the average, 93.3 %. No limits yet: they need 20 batches." in said
    assert "86 %" in said, "the scale says where it begins"
    assert f"{trend.chart.lower:.1f} %" not in said
    assert f"{trend.chart.upper:.1f} %" not in said
    assert "Within what is usual" not in said


def test_the_year_is_said_of_past_batches_only_where_they_are_not_all_of_one(told, glass):
    from benchapp.screens.desk.batch_pages import PastBatches, PastTurns, past_page

    every = told.journal.batches()
    of_this_year = [b for b in every if b.wall[:4] == NOW[:4]]
    assert 1 < len(of_this_year) < len(every)

    def days(batches):
        page = past_page(
            glass.navigator.sizes,
            PastBatches(batches, {}),
            0,
            PastTurns(print, print),
            glass.navigator.routes,
        )
        return [row.day for row in page.rows_shown]

    assert days(of_this_year)[0] == ("1", "Mar")
    assert not [month for _, month in days(of_this_year) if any(c.isdigit() for c in month)]
    assert days(every)[0] == ("1", "Mar 2026")
    assert all(month.endswith(("2025", "2026")) for _, month in days(every))


def test_on_the_smallest_glass_a_lot_has_its_batches_on_three_pages_and_the_store_stands_on_seven(
    told, glass
):
    from benchapp.screens.display.sizes import SEVEN_INCH_COARSE, Sizes

    glass.navigator.sizes = Sizes.of(SEVEN_INCH_COARSE)
    reached = glass.shop.desk().lot_traced("GL-3").reached
    glass.lots.trace("GL-3")
    assert (len(reached), glass.page.count) == (8, 3)
    seen = []
    for number in range(3):
        assert glass.page.number == number
        assert "Do not sell" in glass.words(), "on each of them"
        assert min(label.font_size for label in glass.page.texts) >= glass.navigator.sizes.small
        seen += re.findall(r"\d+ \w+ \d{4}, (?:released|rejected|waits|unfinished)", glass.words())
        if number < 2:
            glass.turn_page()
    assert len(seen) == len(reached), "each once"
    glass.lots.lots()
    assert glass.page.count == 7
