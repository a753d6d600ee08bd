"""After the make, on the glass: a check that is due, a release signed by PIN, a lot followed, the same made again."""

from __future__ import annotations

from dataclasses import replace

import pytest
from page_glass import PIN

from benchapp import events as ev
from benchapp.record import stock
from benchapp.record.batch_line import BatchLine
from benchapp.record.deviations import Deviation
from benchapp.record.pins import hashed
from benchapp.record.workshop import Workshop

TEXT = "tide-pool-gel"
NOT_SO = "Reject or rework".replace(" ", "\u00a0")


@pytest.fixture
def journal(journal):
    """A finished batch of a gel, weighed from a lot; a releaser. Invented for the demo."""
    from procedures.reading import read_procedure
    from procedures.shelf import find

    shop = Workshop(journal)
    procedure = read_procedure(find(TEXT)).procedure
    salt = b"0123456789abcdef"
    shop.add(
        ev.PersonEnrolled(
            at_s=0.0,
            who="Mara Lind",
            roles=("maker", "releaser"),
            pin=hashed(PIN, lambda n: salt[:n]),
            by="Mara Lind",
        )
    )
    stock.receive(shop,
        ev.LotReceived(at_s=0.0, lot="W1", material="purified-water", name="Purified water", supplier="Harbour Supplies",
                       supplier_lot="H-1", quantity=5000.0, unit="g", received="2026-01-10")
    )  # fmt: skip
    started = ev.MakeStarted(
        at_s=0.0, batch="b1", maker="Mara Lind", procedure=TEXT, procedure_sha256=procedure.sha256, procedure_text=procedure.text,
        batch_g=500.0, devices=(),
    )  # fmt: skip
    line = procedure.formula.lines[0].key
    journal.append("b1", [
        started,
        ev.WeightTaken(at_s=1.0, step="02-weigh", act="pour", line=line, vessel="gel-pot", target_g=250.0, low_g=245.0, high_g=255.0,
                       net_g=250.0, gross_g=None, source=ev.Source.STATED, device="", checked=False, lot="W1"),
        ev.DeviationNoted(at_s=2.0, number=1, grade=ev.Grade.NOTE, kind="held", step="02-weigh", text="Held for 2 min."),
        ev.MakeFinished(at_s=3.0, product_g=290.0, yield_percent=96.7),
    ])  # fmt: skip
    return journal


def test_a_batch_that_is_not_yet_due_is_not_released(glass):
    glass.releases.release("b1")
    assert "Release this batch" not in glass.labels()
    assert glass.words().startswith("Not before ")


def test_it_is_rejected_with_a_reason_and_a_pin(glass, journal):
    glass.releases.release("b1")
    glass.press(NOT_SO)
    glass.press("Reject it")
    glass.press("Its pH left the limits")
    assert PIN not in glass.words()
    glass.type_pin()
    assert glass.words().startswith("b1 is rejected.")
    (decided,) = [e for e in journal.events("b1") if isinstance(e, ev.BatchDecided)]
    assert (decided.decision, decided.by) == ("rejected", "Mara Lind")
    assert "Its pH left the limits" in decided.reason


def test_a_wrong_pin_decides_nothing(glass, journal):
    glass.releases.release("b1")
    glass.press(NOT_SO)
    glass.press("Reject it")
    glass.press("Its pH left the limits")
    glass.type_pin("4827")
    assert not [e for e in journal.events("b1") if isinstance(e, ev.BatchDecided)]
    glass.press("Back")
    assert NOT_SO in glass.labels()


def test_the_pin_is_never_on_the_glass_and_a_short_one_is_not_sent(glass, journal):
    glass.releases.release("b1")
    glass.press(NOT_SO)
    glass.press("Rework it")
    glass.press("Its pH is set anew")
    glass.press("4")
    glass.press("8")
    glass.press("Sign")
    assert "••" in glass.words()
    assert not [e for e in journal.of_kinds([ev.PinRefused], ev.WORKSHOP)]


def test_a_lot_is_followed_to_its_batch_and_back(glass):
    glass.batches.past()
    glass.press("Lots")
    assert "4 750 of 5 000 g" in glass.words().replace("\u00a0", " ")
    glass.press("Purified water")
    assert "Tide pool gel 1 Mar 2026, waits for a decision 250.0 g" in glass.words()
    glass.press("As a list")
    assert "250.0 g as" in glass.words()
    glass.batches.contents("b1")
    assert "Purified water W1 250.0 g" in glass.words()
    glass.press("As a list")
    assert "Purified water 250.0 g of lot W1 Harbour Supplies H-1" in glass.words()


def test_the_same_is_planned_again_in_the_same_size(glass):
    glass.batches.batch("b1")
    glass.press("Make this again")
    assert "500 g" in glass.words()
    glass.press("Begin")
    assert glass.begun == (TEXT, 500.0)


def test_a_chart_wants_three_batches(glass):
    glass.batches.batch("b1")
    glass.press("Compare it")
    glass.press("Its yields so far")
    assert "at least three finished batches" in glass.words()


def test_what_waits_for_release_names_what_is_missing(glass):
    glass.batches.past()
    glass.press("1 to release")
    (row,) = glass.page.rows_shown
    assert (row.label, row.day) == ("Tide pool gel", ("1", "Mar 2026"))
    assert row.detail.startswith(("due: ", "pH after a day from "))


def test_no_way_is_lost_where_there_is_much_to_read(glass):
    """On every panel, at the largest text, with more checks and deviations than fit."""
    from laid_out import Nobody

    from benchapp.screens.desk.batch_page import BatchPage
    from benchapp.screens.display.sizes import PANELS, Sizes

    facts = glass.shop.desk().batch("b1")
    said = "something that takes a line or two"
    facts = replace(facts, deviations=tuple(Deviation(n, ev.Grade.NOTE, "weight", said) for n in range(30)))
    for panel in PANELS:
        glass.navigator.page = BatchPage(Sizes.of(panel, True), facts, Nobody())
        assert {"Compare it", "Its record", "What is in it", "Release it", "Make this again"} <= set(
            glass.labels()
        )


@pytest.mark.parametrize("count", [1, 4, 30])
def test_no_deviation_and_no_reason_is_dropped_in_silence(glass, count):
    """On every panel and in both text sizes: each stands on one of the pages, or the last line counts it."""
    from itertools import product

    from laid_out import Nobody

    from benchapp.screens.desk.batch_page import BatchPage
    from benchapp.screens.desk.release_pages import release_page
    from benchapp.screens.display.sizes import PANELS, Sizes

    said = tuple(f"{n}: something that takes a line or two to say on any glass" for n in range(count))
    deviations = tuple(Deviation(n, ev.Grade.MINOR, "weight", text) for n, text in enumerate(said))
    silent = "No limit is known here for 16 of its substances. Check your own market's current law."
    facts = replace(
        glass.shop.desk().batch("b1"), deviations=deviations, against=said, unknown_in_short=silent
    )
    ready = replace(facts, deviations=(), against=(), checks=())
    for panel, large in product(PANELS, (False, True)):
        sizes = Sizes.of(panel, large)
        page = release_page(sizes, ready, Nobody())
        assert silent in [label.text for label in page.texts], (
            "where it is decided, the law's silence is said"
        )
        first = BatchPage(sizes, facts, Nobody())
        pages = [BatchPage(sizes, facts, Nobody(), n) for n in range(first.count)]
        rows = [row.label for page in pages for row in page.rows_shown]
        named = [f"Deviation {n}, minor" for n in range(count)] + [c.check.name for c in facts.checks]
        assert sorted(rows) == sorted(named)
        page = release_page(sizes, facts, Nobody())
        pages = [release_page(sizes, facts, Nobody(), n) for n in range(page.count)]
        assert sorted(row.label for page in pages for row in page.rows_shown) == sorted(named)
        for page in pages:
            assert all(label.y >= page.low - 1 for label in page.texts), (panel.name, large)


def test_a_deviation_is_judged_on_the_glass(glass, journal):
    """By its own row, with the reason why it may stay, signed by a releaser; afterwards it is open no more."""
    noted = ev.DeviationNoted(
        at_s=4.0, number=2, grade=ev.Grade.MINOR, kind="weight", step="02-weigh", text="Glycerin: 22 g."
    )
    journal.append("b1", [noted])
    glass.releases.release("b1")
    glass.press("Deviation 2, minor")
    glass.press("It was made good in the make")
    glass.type_pin()
    (closed,) = [e for e in journal.events("b1") if isinstance(e, ev.DeviationClosed)]
    assert (closed.number, closed.reason, closed.by) == (2, "It was made good in the make", "Mara Lind")
    glass.releases.release("b1")
    assert "Deviation 2, minor" not in glass.labels()


def test_what_is_released_is_one_plain_picture(glass, journal):
    """Who and when, and no press but the way back, that which calls it back, and its record."""
    glass.batches.batch("b1")
    decided = ev.BatchDecided(at_s=0.0, decision="released", reason="", by="Mara Lind", role="releaser")
    journal.append("b1", [decided])
    glass.releases.release("b1")
    assert "Mara Lind released it on " in glass.words()
    assert set(glass.labels()) == {"Back", "Take back from sale".replace(" ", "\u00a0"), "Its record"}
    glass.press("Take back from sale".replace(" ", "\u00a0"))
    assert "Rework it" not in glass.labels()


def test_a_rehearsal_says_why_it_has_no_lots(glass, journal):
    started = journal.events("b1")[0]
    journal.append("b2", [replace(started, batch="b2", rehearsal=True)])
    glass.batches.contents("b2")
    assert "A rehearsal draws from no lot" in glass.words()


def test_every_past_batch_can_be_reached(glass, journal):
    """As many as make the last one stand alone on the next page, on every panel."""
    from laid_out import Nobody

    from benchapp.screens.desk.batch_pages import BatchKind, PastBatches, PastTurns, past_page
    from benchapp.screens.display.sizes import PANELS, Sizes
    from benchapp.screens.widgets.rows_page import rows_a_page

    for panel in PANELS:
        sizes = Sizes.of(panel, False)
        rows = rows_a_page(sizes, BatchKind.MADE.title)
        lines = [
            BatchLine(f"b{n}", "gel", "Jo Tern", 500.0, "", False, "finished", None) for n in range(rows + 1)
        ]
        seen, routes = [], Nobody()
        for number in (0, 1):
            turns = PastTurns(print, print)
            glass.navigator.page = page = past_page(sizes, PastBatches(lines, {}), number, turns, routes)
            seen += [row.detail.rpartition(" · ")[2] for row in page.rows_shown]
            assert ("Next page", "First page")[number] in glass.labels()
            assert f"page\u00a0{number + 1}\u00a0of\u00a02" in glass.words()
        assert seen == [line.batch for line in lines]


@pytest.mark.parametrize("language", ["en", "de"])
def test_whether_a_goal_was_reached_is_known_in_every_language(glass, journal, language):
    """What was said of it in one language stands beside its mark in another."""
    from benchapp.foundation.catalogues import language_of
    from benchapp.foundation.language import speaking
    from benchapp.rehearsal.evidence import Practised
    from benchapp.screens.desk.batch_pages import BatchKind, PastBatches, PastTurns, past_page

    line = replace(journal.batches()[0], rehearsal=True)
    turns, routes, sizes = PastTurns(print, print), glass.navigator.routes, glass.navigator.sizes
    routes.debrief = print
    for reached, mark in ((True, "good"), (False, "bad"), (None, "")):
        practised = {line.batch: Practised("Too much poured", "goal reached", reached)}
        with speaking(language_of(language)):
            page = past_page(sizes, PastBatches([line], practised, BatchKind.REHEARSED), 0, turns, routes)
        assert [row.mark for row in page.rows_shown] == [mark]
        assert page.rows_shown[0].label == ("Too much poured" if language == "en" else "Zu viel gegossen")


def test_past_batches_of_a_kind(glass, journal):
    started = journal.events("b1")[0]
    journal.append("b2", [replace(started, batch="b2", rehearsal=True)])

    def shown():
        return {row.mark for row in glass.page.rows_shown}

    glass.batches.past()
    assert shown() == {"soon"}
    glass.press("Past practice")
    assert shown() == {""}
    assert "Lots" not in glass.labels()
    glass.press("Past batches")
    assert shown() == {"soon"}


def test_a_record_is_a_table_by_phase_with_each_place_in_its_band(window):
    """Figures end on one line at the right; what lies outside its band is drawn in the colour of trouble, the rest is not."""
    from kivy.graphics import Color
    from laid_out import words_in_order
    from page_samples import long_record

    from benchapp.screens.desk.record_table import record_page
    from benchapp.screens.display import design as d
    from benchapp.screens.display.sizes import TEN_INCH, Sizes
    from benchapp.screens.widgets.pager import Paging

    pages = [record_page(Sizes.of(TEN_INCH), long_record(), Paging(print, print, n)) for n in range(9)]
    pages = pages[: pages[0].count]
    said = [w for page in pages for w in words_in_order(page)]
    assert "One of 13 values is outside its limits." in said
    assert said.index("Weigh the fats") < said.index("Weigh the water") < said.index("Measured")
    assert "1 March 2026, 09:00 to 10:20" in said
    taken = [
        label
        for page in pages
        for label in page.texts
        if label.text in ("22.5\u00a0g", "23.5\u00a0g") and label.halign == "right"
    ]
    assert len(taken) == 24
    assert len({round(label.right) for label in taken}) == 2  # wanted, and taken
    red = [tuple(c.rgb) == d.CORAL for page in pages for c in page.canvas.children if isinstance(c, Color)]
    assert red.count(True) == 1


def test_the_record_alone_decides_what_lies_outside_its_limits(window):
    """0.1 + 0.2 g are 0.3 g on the record's grid, and more than that as the machine reckons."""
    from laid_out import words_in_order
    from page_samples import long_record

    from benchapp.screens.desk.record_table import record_page
    from benchapp.screens.display.sizes import TEN_INCH, Sizes
    from benchapp.screens.widgets.pager import Paging

    long = long_record()
    line = replace(long.weighings[0], low=0.1, high=0.3, now=0.1 + 0.2, outside=False)
    page = record_page(
        Sizes.of(TEN_INCH), replace(long, weighings=(line,) * 2, readings=()), Paging(print, print)
    )
    assert "All 2 values are within their limits." in words_in_order(page)


def test_what_is_signed_at_a_release_is_a_sentence_of_whoever_signs(glass):
    from benchapp.screens.desk.release_controller import _meaning

    facts = glass.shop.desk().batch("b1")
    assert _meaning(facts, "released").startswith("I release ")
    assert "Tide pool gel, batch b1" in _meaning(facts, "rejected")


def test_what_is_not_due_reads_as_a_demand_and_not_as_a_result(glass):
    glass.batches.batch("b1")
    (row,) = [row for row in glass.page.rows_shown if row.label == "pH after a day"]
    assert row.figure == "due now" or row.figure.startswith("from ") or row.figure.endswith(" late")
    assert row.detail == "allowed: 5 to 6"


def test_a_result_stands_by_itself_with_its_limits_and_who_found_it(glass, journal):
    """Not in one line with semicolons: the number, what is allowed with as many decimals on either side, who and when."""
    from benchapp.record.facts import ReleaseFacts
    from benchapp.record.release import DueCheck
    from benchapp.screens.desk.batch_rows import check_row

    found = ev.CheckRecorded(
        at_s=0.0, check="pH", expect="", value=5.4, words="as it has to be", passed=True, by="Mara Lind"
    )
    check = ReleaseFacts("pH after a day", "Still within the limits", 0.0, 5.0, 5.8)
    row = check_row(DueCheck("b1", check, "2026-03-02T09:00", "passed", found, "2026-03-02T10:00"), print)
    assert (row.figure, row.mark) == ("5.4", "good")
    assert row.detail == "allowed: 5.0 to 5.8 · Mara Lind, 2 March 2026"
