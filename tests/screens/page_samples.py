"""Every page that is no make, with as much on it as there can be: made up for the tests of their layout."""

from __future__ import annotations

import functools
from dataclasses import replace
from types import SimpleNamespace

from bench_page_samples import BenchSamples
from laid_out import Nobody
from lived_in_pages import lived_in_pages
from recipe_page_samples import recipe_pages, recipe_samples

from benchapp.foundation.language import tr, translated
from benchapp.record.batch_line import BatchLine


def desk_pages(sizes, links):
    """The desk's pages with a batch that has everything wrong and one that has nothing wrong."""
    from benchapp.calculations.control_chart import ControlChart
    from benchapp.events import Grade
    from benchapp.record.deviations import Deviation
    from benchapp.record.facts import ReleaseFacts
    from benchapp.record.release import DueCheck
    from benchapp.screens.desk import batch_page, release_pages, trend_page
    from benchapp.screens.widgets.pager import Paging
    from benchapp.service.desk_facts import BatchFacts, Trend, Undecided

    name = "20260301-winter-shore-cream-12"
    checks = (
        DueCheck(
            name,
            ReleaseFacts("pH after a day", "Still within the limits", 0.0, 5.0, 5.8),
            "2026-03-02T09:00",
            "due",
        ),
        DueCheck(
            name,
            ReleaseFacts("Warm and cold storage", "Looks and smells like the first day", 0.0),
            "2026-03-08T09:00",
            "waiting",
        ),
    )
    line = BatchLine(
        name, "winter-shore-cream", "Mara Lind", 600.0, "", False, "finished", None, containers=11
    )
    batch = BatchFacts(
        line, checks, (Deviation(1, Grade.MINOR, "weight", "Glycerin: 22 g, band 19 to 21 g."),),
        ("Deviation 1 (minor) is open: Glycerin: 22 g, band 19 to 21 g.", "pH after a day is due and not done."), ("Mara Lind",),
        unknown_in_short="No limit is known here for 3 of its substances. Check your own market's current law.",
        unknown="No ceiling known for: Glycerin, Cetearyl Alcohol, Glyceryl Stearate. The market's current law decides (EU, UK).",
    )  # fmt: skip
    fine = replace(batch, against=(), checks=(), deviations=(), line=replace(line, decision="released"),
                   decided=("released", "Mara Lind", "2026-03-09T16:00", "decided by the person who made it"), gone=frozenset((1, 2)))  # fmt: skip
    trend = Trend(
        (94.2, 95.1, 93.8, 96.0, 88.2),
        ControlChart(93.5, 1.7, 89.0, 98.0, 5.5, True),
        (f"{name}: beyond a limit",),
    )
    ready = replace(batch, against=(), checks=(), deviations=())
    for one in (
        batch,
        fine,
        ready,
        replace(batch, releasers=(), against_otherwise=("The make is unfinished.",)),
    ):
        yield batch_page.BatchPage(sizes, one, links)
        yield release_pages.release_page(sizes, one, links)
        yield release_pages.wrong_page(sizes, one, print, print)
    waiting = (
        Undecided(name, "winter-shore-cream", checks),
        Undecided("20260302-tide-pool-gel-1", "tide-pool-gel", ()),
    )
    for some in (waiting * 9, ()):
        yield release_pages.undecided_page(sizes, some, print, Paging(print, print))
    yield from lived_in_pages(sizes, links)
    yield from overview_pages(sizes)
    yield trend_page.trend_page(sizes, "winter-shore-cream", trend, print, print)
    yield trend_page.trend_page(sizes, "winter-shore-cream", None, print, print)
    yield from list_pages(sizes)


#: How a workshop stands whose server answers.
SENT = "This bench has sent and received everything."


def overview_pages(sizes):
    """Benches on which everything goes wrong, and a workshop that is asleep."""
    from benchapp.screens.desk.alarms_page import AlarmsPage
    from benchapp.screens.desk.overview_pages import BetweenBenches, OverviewPage, bench_page, rooms_of
    from benchapp.screens.matter_row import matter_row
    from benchapp.screens.widgets.pager import Paging

    benches, standing = benches_now()
    more = [("Lots", print, "plain"), ("To release", print, "plain")]
    links = Nobody()
    rows = [matter_row(one, links) for one in standing]
    many = tuple(nine_that_call(benches))
    calling = [one for one in many if one.alarms]
    yield OverviewPage(sizes, benches, BetweenBenches(rows, SENT), print, Paging(print, print), ())
    yield AlarmsPage(sizes, calling, print, Paging(print, print), print)
    alone = Paging(print, back_label="Settings")  # an office: from a bench alone nothing leads here
    yield OverviewPage(sizes, (), BetweenBenches(), print, alone, (), rooms=rooms_of(links))
    yield bench_page(sizes, benches[0], links, Paging(print, print), more[1:])
    yield AlarmsPage(sizes, calling, print, Paging(print, print, 1), print)
    yield OverviewPage(sizes, many, BetweenBenches(rows, SENT), print, Paging(print, print), ())


#: What a make says of a pot that is too hot, and of one that does not warm.
LIFT_IT_OUT = "Turn the heat down and lift it out with a dry cloth."
STALLED = "The oil pot has not warmed for 15 minutes and stands at 64.0 °C. Switch the heat off, then look whether the bath has run dry."


def nine_that_call(benches):
    """Nine benches on which something is too hot or may have run dry, the most dangerous first, and the others beside them."""
    for n in range(9):
        hot, dry = (f"The water pot is at {92.4 - n / 2:.1f} °C, over 85 °C. {LIFT_IT_OUT}", STALLED)
        west, *others = benches
        wrong, alarm = (hot, "too hot") if n < 5 else (dry, "not warming")
        pot, temp_c = ("water pot", 92.4 - n / 2) if n < 5 else ("oil pot", 64.0)
        make = replace(west.makes[0], wrong=(wrong,), alarm=alarm, pot=pot, temp_c=temp_c)
        yield replace(
            west, bench=f"west {(n * 4) % 9 + 1}", makes=(make,), ago=("just now", "3 min ago")[n % 2]
        )
        yield from (replace(one, bench=f"{one.bench} {n + 1}") for one in others[: 1 if n else 3])


def benches_now():
    """Benches of the demo workshop as the office sees them, and what two of them did at once."""
    from benchapp.calculations.until_done import UntilDone
    from benchapp.record.facts import ReleaseFacts
    from benchapp.record.release import DueCheck
    from benchapp.service.open_matters import OpenMatter, SettledAt
    from benchapp.service.overview import BenchNow, MakeNow

    make = MakeNow(
        "20260301-winter-shore-cream-W-13", "winter-shore-cream", "Winter shore cream", 600.0, "Mara Lind", False,
        "Heat the water and the oil", 5, 14, UntilDone(2_280.0, 2_520.0, 3_300.0, 3), "2026-03-01T10:41:20.000+01:00",
    )  # fmt: skip
    alarm = f"The water pot is at 91.2 °C, over 85 °C. {LIFT_IT_OUT}"
    due = DueCheck(
        "20260228-tide-pool-gel-W-2",
        ReleaseFacts("pH after a day", "5.0 to 5.8", 0.0),
        "2026-03-01T09:00",
        "due",
    )
    waiting = ("20260228-tide-pool-gel-W-2", "20260227-oat-hand-lotion-W-1")
    benches = (
        BenchNow("west", "W", False, "last heard 3 min ago, 10:42", (replace(make, wrong=(alarm,)), replace(make, product="Oat hand lotion", held="the supplier rang")), waiting, (due,), ago="3 min ago"),
        BenchNow("south", "S", False, "last heard 3 days ago, 2026-02-26 18:03", (), (), (), (), 41, ago="3 days ago", silent=True),
        BenchNow("east", "E", False, "last heard just now, 10:45", (make, replace(make, procedure="oat-hand-lotion")), (), (), ago="just now"),
        BenchNow("office", "O", True, "this bench", (), (), ()),
    )  # fmt: skip
    counted = OpenMatter(
        "Lot E-oil-1",
        "400 g more went out than came in. Count it: used on east, west.",
        SettledAt.LOTS,
        calls=True,
    )
    return benches, (counted,)


def list_pages(sizes):
    from benchapp.screens.bench.recipe_controller import WHY_CHANGED
    from benchapp.screens.desk.lot_controller import lots_page
    from benchapp.screens.desk.sheet_table import sheet_table
    from benchapp.screens.widgets.list_pages import choice_page, list_page
    from benchapp.screens.widgets.pager import Paging, text_page
    from benchapp.screens.widgets.signature_pad import SignaturePad, SignatureText
    from benchapp.service.desk_facts import StoredLot
    from benchapp.service.matter import Sheet

    yield choice_page(
        sizes, "Why rejected?", ("It separates or has grains", "Its pH left the limits"), print, Paging(print)
    )
    changed = (
        "Against version 2: Glycerin percent 4 to 5; step 6, Heat both phases together hold 10 min to 12 min; step 9, "
        "Blend in bursts bursts 4 to 5 and 6 more."
    )
    yield choice_page(sizes, "Why is it changed?", WHY_CHANGED, print, Paging(print), changed)
    gone = "Lot S0 of Sunflower oil expired on 2026-01-31. Take another lot."
    lots = [StoredLot(f"S{n}", "Sunflower oil, cold-pressed and filtered", 1250.0, "g", "2027-01-31", "Harbour Supplies", not n, "" if n else gone, share=1.0, came_in=1250.0)
            for n in range(20)]  # fmt: skip
    more = [("Only near their date", print, "plain"), ("Receive a lot", print, "main")]
    for some in (lots, ()):
        yield lots_page(sizes, some, print, Paging(print, print), more)
    yield list_page(
        sizes, "b1 beside …", [(f"20260301-gel-{n}", print) for n in range(20)], Paging(print, print)
    )
    yield from record_pages(sizes)
    went = [(f"20260301-winter-shore-cream-{n}", "250.0 g as Sunflower oil", "released", "1–4 went to Pier Shop on 2026-03-09", "5, 6 still here")
            for n in range(20)]  # fmt: skip
    head = "Lot S1: Sunflower oil from Harbour Supplies, their lot H-1, 5 000.0 g received 2026-01-05, 1 250.0 g left, usable"
    sheet = Sheet(
        (head,),
        ("batch", "drawn", "", "containers sent", ""),
        tuple(went),
        ("cannot be left out: b9 has 40.0 g of sunflower-oil, lot unknown",),
    )
    for number in (0, 9):
        yield sheet_table(sizes, "Where lot S1 went", sheet, Paging(print, print, number))
    yield text_page(sizes, "Written", ["/home/mara/sheets/kelp-lotion 2026-03-01.xlsx"], Paging(print, print))
    for people in (("Mara Lind", "Ina Voss", "Ole Brandt"), ("Mara Lind",), ()):
        yield SignaturePad(
            sizes,
            people,
            SignatureText("batch released", "Oat hand lotion of 29 November 2026"),
            print,
            print,
        )


def record_pages(sizes):
    """A long record: every kind of row, outside its band too."""
    from benchapp.screens.desk.record_table import record_page
    from benchapp.screens.widgets.pager import Paging

    for number in (0, 1, 9):
        yield record_page(sizes, long_record(), Paging(print, print, number))


def long_record():
    """Twelve weighings in two phases, of which one lies outside its band, a pH, a look, deviations, a signature."""
    from benchapp.record.batch_record import Record
    from benchapp.record.lines import RecordLine

    lines = tuple(
        RecordLine("2026-03-01T09:05:00+01:00", 60.0 * n, f"0{1 + n // 6}-weigh", "Emulsifying wax with a long name", 22.5, "g",
                   "measured", 22.0, 23.0, target=22.5, now=22.5 + (n == 3), lot_now=f"20260110-{n}", outside=n == 3)
        for n in range(12)
    )  # fmt: skip
    ph = RecordLine(
        "2026-03-01T10:05:00+01:00",
        3600.0,
        "09-ph",
        "pH of the lotion",
        5.31,
        "pH",
        "stated",
        5.0,
        5.5,
        now=5.31,
    )
    look = RecordLine(
        "2026-03-01T10:09:00+01:00", 3700.0, "10-look", "Thickness: as described", None, "", "stated"
    )
    deviation = {"number": 1, "grade": "minor", "text": "Emulsifying wax: 23.5 g, band 22 to 23 g. " * 2}
    signed = {"who": "Mara Lind", "meaning": "made as recorded", "wall": "2026-03-01T10:20:00+01:00"}
    return Record(
        "b1", "winter-shore-cream", "0" * 64, "Mara Lind", 600.0, False, "2026-03-01T09:00:00+01:00", "2026-03-01T10:20:00+01:00",
        "finished", 571.2, 95.2, (), "0" * 64, lines, (ph,), (look,), deviations=(deviation,) * 3, signatures=(signed,),
        step_titles={"01-weigh": "Weigh the fats", "02-weigh": "Weigh the water"},
    )  # fmt: skip


@functools.cache
def shipped_practices():
    from benchapp.service.practice import practices

    return practices(None)


def training_pages(sizes, links):
    """The training pages with everything that ships, a broken file, a long debrief, and people at every level."""
    from benchapp.screens.make.lead_in_page import LeadInPage
    from benchapp.screens.training.debrief_page import DebriefPage, TimelinePage
    from benchapp.screens.training.practice_pages import PracticeLeads, goal_page, practice_page
    from benchapp.screens.widgets.pager import Paging

    broken_file = 'slippery.toml:16:8: "set fire" cannot be that. One of pour on, tare. And 2 more.'
    found = replace(shipped_practices(), broken=(broken_file,))
    for number in range(4):
        yield practice_page(sizes, found, PracticeLeads(print, print, print), Paging(print, print, number))
    longest = max(found.found, key=lambda p: len(translated(p.goal)))
    yield goal_page(sizes, longest, print, print)
    yield LeadInPage(sizes, longest, print)
    begun = LeadInPage(
        sizes, replace(longest, begins_at=12, begins_with="Pour the cool-down boat into the lotion"), print
    )
    begun.show(
        SimpleNamespace(
            progress=0.42, step_count=16, step_number=7, step_title="Replace the water that steamed off"
        )
    )
    yield begun
    for how, number in debriefs():
        more = [("What happened", print, "plain"), ("Once more", print, "main")]
        yield DebriefPage(sizes, how, Paging(print, print, number, "To the bench"), more)
        yield TimelinePage(sizes, how, Paging(print, print, number))
    yield from people_pages(sizes)


@functools.cache
def shipped_scenarios():
    from benchapp.rehearsal.scenario_reading import find_scenario, scenarios

    return tuple(find_scenario(name) for name in scenarios())


def longest_words(of):
    """The three longest of what the signs of all scenarios say, as they are read here."""
    signs = (sign for x in shipped_scenarios() for sign in (*x.good, *x.bad))
    return sorted({of(sign) for sign in signs}, key=lambda words: len(translated(words)))[-3:]


def debriefs():
    """Every verdict, and the pages of the longest: of the scenario that has most to say, with the longest signs of all."""
    from benchapp.rehearsal.debrief import Debrief, DebriefLine
    from benchapp.rehearsal.scoring import CriterionResult, Verdict

    one = max(shipped_scenarios(), key=lambda x: len(translated(x.master)))
    good = tuple(CriterionResult(words, True, 60.0) for words in longest_words(lambda sign: sign.says))
    missing = tuple(
        CriterionResult("", False, None, words) for words in longest_words(lambda sign: sign.missed)
    )
    lines = tuple(
        DebriefLine(30.0 * n, good[n % 3].told, mark) for n, mark in enumerate(("", "good", "bad", "") * 3)
    )
    reached, missed = Verdict(5.0, True, good, ()), Verdict(5.0, True, missing, good)
    broken_off = Verdict(5.0, False, good, (), True)
    for verdict, number in ((reached, 0), (missed, 0), (missed, 1), (missed, 9), (broken_off, 0)):
        effects = (tr("{waste_g:.1f} g of waste.", waste_g=10.0),) * 5
        yield Debrief("b1", "Jo Tern", one.title, one.goal, verdict, lines, effects, one.master), number


def people_pages(sizes):
    from benchapp.record.competence import LEVELS
    from benchapp.screens.training.person_page import PersonPage
    from benchapp.screens.widgets.letter_pad import LetterPad
    from benchapp.screens.widgets.pager import PagedText, Paging
    from benchapp.screens.widgets.text_line import TextLine
    from benchapp.service.training_facts import Competent, Held

    kinds = ("weigh", "combine", "add", "measure ph", "fill", "clean up", "premix", "heat", "look", "density")
    why = "rehearsal 20260301-winter-shore-cream-12"
    held = tuple(Held(k, LEVELS[n % 3], "2026-03-01", why) for n, k in enumerate(kinds))
    helper = Competent("Jo Tern", ("helper",), held, kinds[:3])
    for one, granters, number in ((helper, ("Mara Lind",), 0), (helper, (), 1), (Competent("Mara Lind", (), (), ()), (), 0)):  # fmt: skip
        yield PersonPage(sizes, one, granters, Paging(print, print, number), print)
    for name in (True, False):
        yield LetterPad(sizes, "Who is it", print, print, name)
    digits = LetterPad(sizes, "The lot's name", print, print, False)
    digits._other()
    yield digits
    told = [TextLine("Sunflower oil: 125.4 g (123 to 127), measured")] * 40
    yield PagedText(sizes, "b1", told, Paging(print, print, 2))


def every_page(journal, folder):
    """A function from sizes to every page with much on it."""
    from benchapp.service.bench_service import BenchService

    shop, links = BenchService(journal, None, "Mara Lind", folder=folder), Nobody()
    bench = BenchSamples(shop)

    def of(sizes):
        yield from bench.home_pages(sizes, links)
        yield from bench.search_pages(sizes, links)
        yield from bench.connecting_pages(sizes)
        yield from bench.upkeep_pages(sizes)
        yield from bench.check_pages(sizes, links)
        yield from sheets(sizes)
        yield from desk_pages(sizes, links)
        yield from recipe_pages(sizes, recipe_samples())
        yield from training_pages(sizes, links)

    return of


def sheets(sizes):
    from benchapp.make.view_model import NumberRequest
    from benchapp.screens.make.lock_sheet import LockSheet
    from benchapp.screens.make.reason_sheets import ABANDON_REASONS, SKIP_REASONS, RanOutSheet, ReasonSheet
    from benchapp.screens.widgets.keypad import Keypad

    yield Keypad(sizes, NumberRequest("temperature of the batch", "°C", -10, 110, 1, True), print, print)
    yield ReasonSheet(sizes, "Leave it as it is", print, print)
    yield ReasonSheet(sizes, "Leave it out", print, print, SKIP_REASONS)
    yield ReasonSheet(sizes, "Abandon the batch", print, print, ABANDON_REASONS)
    yield RanOutSheet(sizes, ("Another lot", print), print, print)
    yield LockSheet(sizes, print)
