"""Every page that is no make, with as much on it as there can be: made up for the tests of their layout."""

from __future__ import annotations

import functools
import itertools
import tempfile
from dataclasses import replace
from functools import partial
from pathlib import Path

from laid_out import Nobody

from benchapp.record.journal import BatchLine
from benchapp.runtime.device_checks import Check
from benchapp.runtime.settings import Preferences

OFFLINE = "Workshop: 37 of 1204 events wait to be sent; the others as of 2026-11-27 10:42. Offline since 2026-11-27 10:42."


def desk_pages(sizes, links):
    """The desk's pages with a batch that has everything wrong and one that has nothing wrong."""
    from benchapp.calculations.control_chart import ControlChart
    from benchapp.record.facts import ReleaseFacts
    from benchapp.record.journal import BatchLine
    from benchapp.record.release import DueCheck
    from benchapp.screens.desk import batch_pages, release_pages, trend_page
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
        line, checks, ("1, minor, open: Glycerin: 22 g, band 19 to 21 g.",),
        ("Deviation 1 (minor) is open: Glycerin: 22 g, band 19 to 21 g.", "pH after a day is due and not done."), ("Mara Lind",),
        unknown_in_short="No ceiling known for 3 of its substances (benchapp release names them). Check your own market's current law.",
        unknown="No ceiling known for: Glycerin, Cetearyl Alcohol, Glyceryl Stearate. The market's current law decides (EU, UK).",
    )  # fmt: skip
    fine = replace(batch, against=(), checks=(), deviations=(), line=replace(line, decision="released"))
    trend = Trend(
        (94.2, 95.1, 93.8, 96.0, 88.2),
        ControlChart(93.5, 1.7, 89.0, 98.0, 5.5, True),
        (f"{name}: beyond a limit",),
    )
    for one in (batch, fine, replace(batch, releasers=())):
        yield batch_pages.batch_page(sizes, one, links)
        yield release_pages.release_page(sizes, one, print, print, print)
    waiting = (
        Undecided(name, "winter-shore-cream", checks),
        Undecided("20260302-tide-pool-gel-1", "tide-pool-gel", ()),
    )
    for some in (waiting, waiting * 9, ()):
        yield release_pages.undecided_page(sizes, some, print, Paging(print, print))
    yield from overview_pages(sizes)
    yield trend_page.trend_page(sizes, "winter-shore-cream", trend, print)
    yield trend_page.trend_page(sizes, "winter-shore-cream", None, print)
    yield from list_pages(sizes)


def overview_pages(sizes):
    """Benches on which everything goes wrong, and a workshop that is asleep."""
    from benchapp.screens.desk.overview_pages import OverviewPage, bench_page
    from benchapp.screens.widgets.pager import Paging

    benches, conflicts = benches_now()
    more = [("Lots", print, "plain"), ("To release", print, "plain")]
    for some, standing in (
        (benches, [(text, True) for text in conflicts] + [(OFFLINE, False)]),
        (benches * 9, [(OFFLINE, False)]),
        ((), []),
    ):
        yield OverviewPage(sizes, some, standing, print, Paging(print, print), more)
    lines = (
        "Heard of at 10:42.",
        *benches[0].wrong,
        "20260301-winter-shore-cream-W-12 waits for a decision.",
    )
    yield bench_page(sizes, benches[0], lines, Paging(print, print), more)


def benches_now():
    """Benches of the demo workshop as the office sees them, and what two of them did at once."""
    from benchapp.record.facts import ReleaseFacts
    from benchapp.record.release import DueCheck
    from benchapp.service.overview import BenchNow, MakeNow

    make = MakeNow(
        "20260301-winter-shore-cream-W-13", "winter-shore-cream", "Winter shore cream", 600.0, "Mara Lind", False,
        "Heat the water and the oil", 5, 14, 2_520.0, "2026-03-01T10:41:20.000+01:00",
    )  # fmt: skip
    alarm = "The water pot is at 91.2 °C, far above its band. Take it off the heat."
    due = DueCheck(
        "20260228-tide-pool-gel-W-2",
        ReleaseFacts("pH after a day", "5.0 to 5.8", 0.0),
        "2026-03-01T09:00",
        "due",
    )
    waiting = ("20260228-tide-pool-gel-W-2", "20260227-oat-hand-lotion-W-1")
    benches = (
        BenchNow("west", "W", False, "heard of at 10:42", (replace(make, wrong=(alarm,), held="the supplier rang"),), waiting, (due,)),
        BenchNow("east", "E", False, "heard of at 10:42", (make, replace(make, procedure="oat-hand-lotion")), (), ()),
        BenchNow("south", "S", False, "heard of at 2026-02-27 18:03", (), (), (), ("41 events of it are not here yet.",)),
        BenchNow("office", "O", True, "this bench", (), (), ()),
    )  # fmt: skip
    conflict = (
        "Lot E-oil-1 was drawn below nothing: 400 g more than there was, on east, west together. Count it."
    )
    return benches, (conflict,)


def list_pages(sizes):
    from benchapp.screens.bench.recipe_controller import WHY_CHANGED
    from benchapp.screens.desk.lot_controller import lots_page
    from benchapp.screens.desk.sheet_table import sheet_table
    from benchapp.screens.widgets.list_pages import choice_page, list_page
    from benchapp.screens.widgets.pager import Paging, text_page
    from benchapp.screens.widgets.signature_pad import SignaturePad
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
    lots = [StoredLot(f"S{n}", "Sunflower oil, cold-pressed and filtered", "1 250.0 g", "2027-01-31", "Harbour Supplies", not n, "" if n else gone)
            for n in range(20)]  # fmt: skip
    more = [("Show: near their date", print, "plain"), ("Receive a lot", print, "main")]
    for some in (lots, ()):
        yield lots_page(sizes, some, print, Paging(print, print), more)
    yield list_page(
        sizes, "b1 beside …", [(f"20260301-gel-{n}", print) for n in range(20)], Paging(print, print), "None."
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
        yield SignaturePad(sizes, people, "batch released", print, print)


def record_pages(sizes):
    """A long record: every kind of row, outside its band too."""
    from benchapp.screens.desk.record_table import record_page
    from benchapp.screens.widgets.pager import Paging

    for number in (0, 1, 9):
        yield record_page(sizes, "Record of b1", long_record(), Paging(print, print, number))


def long_record():
    """Twelve weighings in two phases, of which one lies outside its band, a pH, a look, deviations, a signature."""
    from benchapp.record.batch_record import Record
    from benchapp.record.lines import RecordLine

    lines = tuple(
        RecordLine("2026-03-01T09:05:00+01:00", 60.0 * n, f"0{1 + n // 6}-weigh", "Emulsifying wax with a long name", 22.5, "g",
                   "measured", 22.0, 23.0, target=22.5, now=22.5 + (n == 3), lot_now=f"20260110-{n}")
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
    from benchapp.screens.training.debrief_page import DebriefPage
    from benchapp.screens.training.practice_pages import PracticeLeads, goal_page, practice_page
    from benchapp.screens.widgets.pager import Paging

    broken_file = 'slippery.toml:16:8: "set fire" cannot be that. One of pour on, tare. And 2 more.'
    found = replace(shipped_practices(), broken=(broken_file,))
    for number in range(4):
        yield practice_page(sizes, found, PracticeLeads(print, print, print), Paging(print, print, number))
    longest = max(found.found, key=lambda p: len(p.goal))
    yield goal_page(sizes, longest, print, print)
    yield LeadInPage(sizes, longest, print)
    for how, number in debriefs(longest):
        yield DebriefPage(sizes, how, Paging(print, print, number, "To the bench"), print)
    yield from people_pages(sizes)


def debriefs(p):
    """Every verdict, and the pages of the longest."""
    from benchapp.rehearsal.debrief import Debrief, DebriefLine
    from benchapp.rehearsal.scoring import CriterionResult, Verdict

    signs = tuple(CriterionResult(f"Something was seen, number {n}", True, 60.0 * n) for n in range(3))
    lines = tuple(
        DebriefLine(30.0 * n, "Far more ran in than was wanted, and somebody took it out again.", mark)
        for n, mark in enumerate(("", "good", "bad", "") * 3)
    )
    reached, missed = Verdict(5.0, True, signs, ()), Verdict(5.0, True, (), signs)
    broken_off = Verdict(5.0, False, signs, (), True)
    for verdict, number in ((reached, 0), (missed, 1), (missed, 9), (broken_off, 0)):
        effects, master = ("10.0 g of waste.",) * 5, "Stop pouring. " * 12
        yield Debrief("b1", "Jo Tern", p.title, p.goal, verdict, lines, effects, master), number


def people_pages(sizes):
    from benchapp.record.competence import LEVELS
    from benchapp.screens.training.person_page import PersonPage
    from benchapp.screens.widgets.letter_pad import LetterPad
    from benchapp.screens.widgets.pager import PagedText, Paging, TextLine
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


@functools.cache
def recipe_samples():
    from benchapp.service.recipes import RecipeDesk

    return RecipeSamples(RecipeDesk(Path(tempfile.mkdtemp(prefix="recipes-"))))


def _trace(n):
    """A minute of a channel: something put on a scale, or a pot that warms."""
    curves = (
        lambda x: 0.0 if x < 0.6 else 1234.56,
        lambda x: 1200 + 34 * x,
        lambda x: 21.0,
        lambda x: 60 - 8 * x,
    )
    return tuple((60.0 - half / 2, curves[n % 4](half / 120)) for half in range(121))


class RecipeSamples:
    """A recipe in which everything is wrong, and a sheet like a notebook's."""

    def __init__(self, desk):
        from benchapp.service.recipe_sheets import SheetReading, columns_in, look_into

        self.wrong = desk.start_from("oat-hand-lotion", "A lotion in which everything is wrong")
        for n, share in ((0, "99"), (8, "5"), (10, "1.3")):
            self.wrong = desk.set_share(self.wrong.key, n, share)
        heat = next(x.number for x in self.wrong.steps if x.kind == "heat")
        desk.set_step(self.wrong.key, heat, "band", "40 to 45")
        self.wrong = desk.move_step(self.wrong.key, 0, 4)
        self.fields = [(x.field.name, x.value) for x in desk.step_fields(self.wrong.key, heat)]
        for key in ("oat-hand-lotion", "winter-shore-cream"):
            desk.materials.take_over(key)
        self.known = desk.materials.known()
        desk.sheets_folder.mkdir(exist_ok=True)
        path = desk.sheets_folder / "notebook.csv"
        lines = [f"{name.name};{n},5" for n, name in enumerate(self.known)]
        path.write_text("Ingredient;Percent\n" + "\n".join(lines) + "\nSand;7-8\n", encoding="utf-8")
        self.sheet, self.columns = look_into(path), columns_in(path, SheetReading())


def recipe_pages(sizes, samples):
    """A recipe in which everything is wrong, on each of its pages."""
    from benchapp.screens.recipes import recipe_rows as rows
    from benchapp.screens.recipes.share_pad import SharePad, ShareRequest
    from benchapp.screens.recipes.sheet_controller import ColumnsShown, columns_page, sheet_page
    from benchapp.screens.widgets.pager import Paging
    from benchapp.screens.widgets.text_pad import TextPad
    from benchapp.service.recipe_sheets import SheetReading

    undo, remove, add = ("Undo", print, "plain"), ("Remove", print, "serious"), ("Add", print, "plain")
    facts, paging = samples.wrong, Paging(print, print)
    yield rows.formula_page(sizes, facts, print, print, paging, (undo, ("Method", print, "main"), add))
    yield rows.method_page(sizes, facts, print, print, paging, (undo, add, ("Save", print, "main")))
    yield rows.materials_page(
        sizes, "What goes in?", samples.known, print, paging, [("New material", print, "plain")]
    )
    moves = (("Earlier", print, "plain"), ("Later", print, "plain"), remove)
    heat = rows.FieldRows("4. Heat both phases together", samples.fields, facts.lines[8].faults)
    yield rows.fields_page(sizes, heat, print, paging, moves)
    right = (("Put it right", print, "plain"), ("It is right", print, "main"))
    yield sheet_page(sizes, samples.sheet, Paging(print, print, 1), right)
    wrong = 'In the sheet "Formula" it has to be said which column holds the names and which the amounts.'
    for more, why in (((("Other sheet", print, "plain"), ("In percent", print, "plain")), ""), ((), wrong)):
        shown = ColumnsShown(Path("notebook.csv"), SheetReading(), samples.columns * 4, print, more, why)
        yield columns_page(sizes, shown, print, paging)
    more = [("Into cool-down", print, "plain"), ("The rest", print, "plain"), ("As needed", print, "plain")]
    yield SharePad(
        sizes, ShareRequest("Sodium hydroxide solution 10 %", facts.sum.sentence), print, print, more
    )
    yield TextPad(
        sizes, "What is it called on its container?", print, print, "Winter cream of the long shore"
    )


class BenchSamples:
    """A bench that reads and one on which nothing does."""

    def __init__(self, shop):
        from benchapp.runtime.bench_monitor import ChannelStatus
        from drivers.readings import Quantity, Reading

        self.shop, self.devices = shop, shop.devices()
        quantity = {"scale": Quantity.MASS, "thermometer": Quantity.TEMPERATURE, "ph meter": Quantity.PH}
        self.seen = [
            ChannelStatus(d, c, Reading(d.name, c, quantity[d.kind], 1234.56, 0.0, resolution=0.01), 0.1, 1234.56, "")
            for d in self.devices for c in d.channels
        ]  # fmt: skip
        self.seen = [replace(one, trace=_trace(n)) for n, one in enumerate(self.seen)]
        trouble = "There is no /dev/ttyUSB7. Plug the device in, or run benchapp listen and correct the port."
        self.broken = [replace(one, reading=None, rest=None, trouble=trouble) for one in self.seen]

    def home_pages(self, sizes, links):
        from benchapp.screens.bench.home_page import HomePage
        from benchapp.screens.bench.recipe_pages import SizeActions, SizedRecipe, shelf_page, size_page
        from benchapp.screens.desk.batch_pages import PastBatches, PastTurns, past_page
        from benchapp.screens.widgets.page_base import wait_page
        from benchapp.screens.widgets.pager import Paging
        from benchapp.service.wording import NOT_APPROVED

        facts, recipe = self.shop.facts(), self.shop.recipes()[2]
        past = [
            BatchLine(f"20260301-winter-shore-cream-{n}", "winter-shore-cream", "Jo Tern", 600.0, "", True, "abandoned", None)
            for n in range(12)
        ]  # fmt: skip
        due = (
            "The newest copy in /media/mara/STICK/copies of the bench is 8 days old, and 41 events came since.",
            "Due: Warm and cold storage, of 20260301-winter-shore-cream-12.", "Due: calibration of bench scale, since 2026-02-20.",
        )  # fmt: skip
        running_out = (
            "Too little for Oat and sea-buckthorn hand lotion: Sea-buckthorn oil, Preservative blend.",
            "Shea butter, lot SB-1: to be used by 2026-03-09.",
        )
        busy = replace(facts, unfinished=past[0], due=due, running_out=running_out)
        yield HomePage(sizes, None, (), links)
        for known, seen in (
            (facts, self.seen), (facts, self.broken), (busy, self.broken), (replace(facts, unfinished=past[0]), self.seen),
            (replace(busy, unfinished=None), self.seen), (replace(facts, workshop=OFFLINE), self.seen),
            (replace(busy, workshop=OFFLINE), self.seen),
        ):  # fmt: skip
            yield HomePage(sizes, known, seen, links)
        yield wait_page(sizes, "Reading the shelf.")
        first, *rest = self.shop.shelf()
        short = ("Sea-buckthorn oil", "Preservative blend", "Shea butter")
        cards = (replace(first, last="2026-03-01T09:00:00+01:00", takes_s=8100.0, short=short), *rest)
        yield shelf_page(sizes, cards, print, links, Paging(print, print))
        yield shelf_page(sizes, [*cards] * 4, print, links, Paging(print, print, 1))
        sized = SizedRecipe(
            recipe, recipe.default_batch_g, *self.shop.plan(recipe.key, recipe.default_batch_g)
        )
        for version in ("", "Version 2, approved by Mara Lind on 2026-03-01.", NOT_APPROVED):
            one = replace(sized, version=version, releasers=("Mara Lind",))
            yield size_page(sizes, one, SizeActions(print, print, print), links)
        instead = replace(sized, replaced="Rapeseed oil in place of Sunflower oil")
        yield size_page(sizes, instead, SizeActions(print, print, print), links)
        practised = {past[0].batch: "Too cold to combine, goal not reached"}
        sold = [
            replace(
                b,
                rehearsal=False,
                end="finished",
                product_g=564.2,
                decision="released",
                wall="2026-03-01T09:00:00+01:00",
            )
            for b in past
        ]
        for some in (past, sold, ()):
            yield past_page(sizes, PastBatches(some, practised), 0, PastTurns(print, print), links)

    def search_pages(self, sizes, links):
        from benchapp.screens.bench.device_search_pages import (
            HeardActions,
            ListeningPage,
            added_page,
            heard_page,
        )
        from benchapp.screens.bench.settings_pages import SettingsLeads, languages_page, settings_page
        from drivers.finding import PortReport
        from drivers.format_fit import Fit

        fit = Fit("number and unit", "scale", 1, ("123.4 g",), 0.1, (1.0,))
        heard = (
            PortReport("/dev/ttyUSB0", fits=(fit,)),
            PortReport("/dev/ttyUSB1", trouble="/dev/ttyUSB1 said nothing."),
        )
        yield settings_page(sizes, Preferences(), print, SettingsLeads(print, print, print, print))
        yield languages_page(sizes, Preferences(), print, print)
        yield ListeningPage(sizes, [("Back", print, "plain"), ("Step by step", print, "plain")])
        yield heard_page(sizes, heard, print, HeardActions(print, print), links)
        yield added_page(sizes, "scale", "bench.toml", print, links)

    def upkeep_pages(self, sizes):
        """All in order, and everything wrong that can be; copies nowhere, and on a stick that was pulled out."""
        from benchapp.record.backups import NAME_A_PLACE
        from benchapp.runtime.removable_disks import Disk
        from benchapp.screens.bench.upkeep_controller import copies_page, findings_page
        from benchapp.screens.widgets.pager import Paging
        from benchapp.service.safekeeping import CopyPlaces
        from benchapp.service.upkeep import UpkeepFinding

        place, more = "/media/mara/STICK/copies of the bench", [("Look again", print, "plain")]
        found = (
            UpkeepFinding("disk", True, "118.2 GB are free."),
            UpkeepFinding("clock", False, "It says 2026-03-01 09:00, and nobody on the network has confirmed that since the start. Connect the network, or compare it with another clock."),
            UpkeepFinding("rights", True, "Only you can get at /home/mara/.local/share/benchapp."),
            UpkeepFinding("big scale", False, "There is no /dev/ttyUSB7: plug it in."),
            UpkeepFinding("copies", False, f"No copy is made by itself. {NAME_A_PLACE}"),
            UpkeepFinding("due", False, "calibration of big scale was due on 2026-02-20"),
            UpkeepFinding("versions", True, "Program 0.1.0, journal 3, Python 3.11.2, SQLite 3.40.1."),
        )  # fmt: skip
        copies = [("Copies", print, "plain")]
        yield findings_page(sizes, found, Paging(print, print), copies)
        yield findings_page(sizes, [one for one in found if one.fine], Paging(print, print), copies)
        sticks = (
            Disk("STICK", Path("/media/mara/STICK"), 14.2),
            Disk("stick-sdb1", Path("/media/stick-sdb1"), 0.6),
        )
        pulled = f"The place for copies, {place}, is not there. Plug its disk or stick in; if it was emptied, begin it anew. {NAME_A_PLACE}"
        for places in (
            CopyPlaces("", "", ()),
            CopyPlaces(place, "", sticks),
            CopyPlaces(place, pulled, sticks),
        ):
            ending = [("No more copies", print, "plain")] if places.now else []
            yield copies_page(sizes, places, Paging(print, print), print, [*more, *ending])

    def connecting_pages(self, sizes):
        """Every kind of question, the longest of what can come out before it, and the device as it reads or does not."""
        from benchapp.screens.bench.connecting_pages import QuestionActs, question_page, refused_page
        from benchapp.screens.bench.device_search_pages import ONE_PORT, ListeningPage
        from benchapp.service.connecting_questions import (
            NEXT,
            ConnectingAnswer,
            ConnectingStep,
            Sight,
            StepKey,
        )
        from benchapp.service.references import CAPACITY

        acts, port = QuestionActs(print, print, print), "sysfs:/sys/bus/w1/devices/28-0316a2795ff1/w1_slave"
        scale, broken = self.seen[0], self.broken[0]
        scale = replace(scale, reading=replace(scale.reading, unit="g"))
        settings = scale.device
        back = (
            "It does not come back to where it was: 0.1 g before, 1234.5 g now. Check its feet and its pan."
        )
        again, none = ConnectingAnswer("", "Plug it in again"), ConnectingAnswer("none", "It has none")
        found = (
            "A pressed unit key does not show in its lines: it is only noticed by a number that jumps. Keep it set to g.",
            f"{port}, 9600 baud, status-headed, a line every 0.2 s.",
            "Last digit 0.01 g, up to 30000 g; its lines do not tell rest from motion.",
        )
        steps = (
            ConnectingStep(StepKey.UNPLUG, "Unplug the device if it is plugged in."),
            ConnectingStep(StepKey.PORT, "Which is its port?", (*(ConnectingAnswer(str(n), port) for n in range(9)), again)),
            ConnectingStep(StepKey.KIND, "Its lines do not say. What is it?", (ConnectingAnswer("scale", "A scale"), ConnectingAnswer("thermometer", "A thermometer"))),
            ConnectingStep(StepKey.DISPLAY, "Does its display show the same?", (ConnectingAnswer("", "Yes, the same"), ConnectingAnswer("F", "It shows °F")), found=("It reads 71.3 °C.",)),
            ConnectingStep(StepKey.MASS, CAPACITY.what, (), CAPACITY),
            ConnectingStep(StepKey.REST, "Leave 100 g on it, and keep your hands off.", device=settings, found=("It is not at rest yet. Keep your hands off it and wait until its display stands.",)),
            ConnectingStep(StepKey.UNIT_KEY, "Put the weight on again, and press its unit key once.", (NEXT, none), device=settings, found=("It reads 1234.5 g.", back)),
            ConnectingStep(StepKey.ADD, "Add the scale to the bench?", (ConnectingAnswer("", "Add it"),), found=found),
        )  # fmt: skip
        for step in steps:
            for one in (scale, broken) if step.device else (None,):
                yield question_page(
                    sizes, step, partial(Sight, one, one is scale or step.key is not StepKey.REST), acts
                )
        line = ConnectingStep(
            StepKey.LINE,
            "Leave 1000 g on it, and keep your hands off.",
            found=(f"It says {'#* 1000.0 Gr;' * 4!r}.",),
        )
        page = question_page(sizes, line, partial(Sight, line="#* 1000.0 Gr;" * 4), acts)
        page.live(())
        yield page
        yield ListeningPage(sizes, [("Stop", print, "plain")], ONE_PORT)
        why = (
            "It reads 1234.5 g where 1000 g lie. Check it against another weight first; nothing was written."
        )
        yield refused_page(sizes, why, print, print)

    def check_pages(self, sizes, links):
        from benchapp.screens.bench.check_pages import ComparisonPage, checks_page, device_page, verdict_page
        from benchapp.screens.widgets.pager import Paging
        from benchapp.service.references import CheckSubject, boiling_at_height

        at = "2026-03-01T09:00:00+01:00"
        check = Check("bench scale", "weight 100 g", 100.0, 103.0, 0.1, "g", at, "Mara Lind")
        subjects = [CheckSubject(d, d.channels[-1], "Mara Lind", lambda: "") for d in self.devices]
        yield checks_page(sizes, self.devices, {("bench scale", ""): check}, print, Paging(print, print))
        for subject in subjects:
            yield device_page(sizes, subject, print, print)
        for subject, state in itertools.product(subjects, (self.seen, self.broken, ())):
            page = ComparisonPage(sizes, subject, boiling_at_height(1200.0), print, print, print)
            page.live(state)
            yield page
        yield verdict_page(sizes, check, "", links)


def sheets(sizes):
    from benchapp.make.view_model import NumberRequest
    from benchapp.screens.make.lock_sheet import LockSheet
    from benchapp.screens.make.reason_sheets import ABANDON_REASONS, SKIP_REASONS, ReasonSheet
    from benchapp.screens.widgets.keypad import Keypad

    yield Keypad(sizes, NumberRequest("temperature of the batch", "°C", -10, 110, 1, True), print, print)
    yield ReasonSheet(sizes, "Leave it as it is", print, print)
    yield ReasonSheet(sizes, "Leave it out", print, print, SKIP_REASONS)
    yield ReasonSheet(sizes, "Abandon the batch", print, print, ABANDON_REASONS)
    yield LockSheet(sizes, print)
