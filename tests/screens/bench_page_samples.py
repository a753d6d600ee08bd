"""The pages of the bench, its devices, settings and upkeep, with as much on them as there can be: made up for the tests of their layout."""

from __future__ import annotations

import itertools
from dataclasses import replace
from functools import partial
from pathlib import Path

from benchapp.record.batch_line import BatchLine
from benchapp.runtime.device_checks import Check
from benchapp.runtime.settings import Preferences

OFFLINE = (
    "37 entries of this bench wait for the network since 10:45. The other benches are shown as of 10:45."
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
        trouble = "There is no /dev/ttyUSB7. Plug the device in, or run benchapp listen and correct the port."
        self.broken = [replace(one, reading=None, rest=None, trouble=trouble) for one in self.seen]

    def home_pages(self, sizes, links):
        from benchapp.rehearsal.evidence import Practised
        from benchapp.screens.bench.home_page import HomePage
        from benchapp.screens.bench.matter_rows import matter_rows, matters_page
        from benchapp.screens.bench.recipe_pages import (
            SizeActions,
            SizedRecipe,
            shelf_page,
            size_page,
            sizes_page,
        )
        from benchapp.screens.desk.batch_pages import PastBatches, PastTurns, past_page
        from benchapp.screens.widgets.page_base import wait_page
        from benchapp.screens.widgets.pager import Paging
        from benchapp.service.open_matters import OpenMatter, SettledAt
        from benchapp.service.wording import NOT_APPROVED

        facts, recipe = self.shop.facts(), self.shop.recipes()[2]
        past = [
            BatchLine(f"20260301-winter-shore-cream-{n}", "winter-shore-cream", "Jo Tern", 600.0, "", True, "abandoned", None)
            for n in range(12)
        ]  # fmt: skip
        matters = (
            OpenMatter("20260301-winter-shore-cream-12", "2 checks due", SettledAt.BATCH, past[0].batch),
            OpenMatter("Copies of all records", "The newest copy in /media/mara/STICK/copies of the bench is 8 days old, and 41 events came since.", SettledAt.COPIES),
            OpenMatter("bench scale: calibration", "due since 2026-02-20", SettledAt.BENCH_CHECK),
            OpenMatter("3 expiring lots", "1 past its date, 2 to be used by 2026-03-09", SettledAt.LOTS),
            OpenMatter("Too little for Oat and sea-buckthorn hand lotion", "Sea-buckthorn oil, Preservative blend", SettledAt.LOTS, grave=False),
        )  # fmt: skip
        busy = replace(facts, unfinished=past[0], matters=matters)
        yield HomePage(sizes, None, (), links)
        for known, seen in (
            (facts, self.seen), (facts, self.broken), (busy, self.broken), (replace(facts, unfinished=past[0]), self.seen),
            (replace(busy, unfinished=None), self.seen), (replace(facts, workshop=OFFLINE), self.seen),
            (replace(busy, workshop=OFFLINE), self.seen), (busy, ()),
        ):  # fmt: skip
            yield HomePage(sizes, known, seen, links)
        yield matters_page(sizes, matter_rows(busy, self.broken, links), Paging(print, print))
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
        yield sizes_page(sizes, recipe, print, print, Paging(print))
        instead = replace(sized, replaced="Rapeseed oil in place of Sunflower oil")
        yield size_page(sizes, instead, SizeActions(print, print, print), links)
        practised = {past[0].batch: Practised("Too cold to combine", "goal not reached", False)}
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
        for some in (sold, ()):
            yield past_page(sizes, PastBatches(some, practised), 0, PastTurns(print, print), links)

    def search_pages(self, sizes, links):
        from benchapp.screens.bench.device_search_pages import (
            HeardActions,
            ListeningPage,
            added_page,
            heard_page,
        )
        from benchapp.screens.bench.settings_pages import SettingsLeads, languages_page, settings_page
        from benchapp.screens.widgets.pager import Paging
        from drivers.finding import PortReport
        from drivers.format_fit import Fit

        fit = Fit("number and unit", "scale", 1, ("123.4 g",), 0.1, (1.0,))
        heard = (
            PortReport("/dev/ttyUSB0", fits=(fit,)),
            PortReport("/dev/ttyUSB1", trouble="/dev/ttyUSB1 said nothing."),
        )
        yield settings_page(
            sizes,
            Preferences(bath="thermostat"),
            print,
            SettingsLeads(print, print, print, print, print),
            Paging(print, print),
        )
        yield languages_page(sizes, Preferences(), print, print)
        yield ListeningPage(sizes, [("Back", print, "plain"), ("Step by step", print, "plain")])
        yield heard_page(sizes, heard, print, HeardActions(print, print), Paging(print, print))
        yield added_page(sizes, "scale", "bench.toml", print, links)

    def upkeep_pages(self, sizes):
        """All in order, and everything wrong that can be; copies nowhere, and on a stick that was pulled out."""
        from benchapp.record.backups import NAME_A_PLACE
        from benchapp.runtime.removable_disks import Disk
        from benchapp.screens.bench.upkeep_controller import copies_page, findings_page
        from benchapp.screens.widgets.pager import Paging
        from benchapp.service.open_matters import SettledAt
        from benchapp.service.safekeeping import NO_PLACE, CopyPlaces
        from benchapp.service.upkeep import UpkeepFinding

        place, more = "/media/mara/STICK/copies of the bench", [("Look again", print, "plain")]
        found = (
            UpkeepFinding("disk", True, "118.2 GB are free."),
            UpkeepFinding("clock", False, "It says 2026-03-01 09:00, and nobody on the network has confirmed that since the start. Connect the network, or compare it with another clock."),
            UpkeepFinding("privacy", False, "Other users of this machine can read your records."),
            UpkeepFinding("big scale", False, "There is no /dev/ttyUSB7: plug it in."),
            UpkeepFinding("copies", False, NO_PLACE, NAME_A_PLACE),
            UpkeepFinding("devices", True, "No bench with devices was used here yet.", unused=True),
            UpkeepFinding("20260301-winter-shore-cream-12", False, "2 checks due", settled_at=SettledAt.BATCH, batch="20260301-winter-shore-cream-12"),
            UpkeepFinding("big scale: calibration", False, "due since 2026-02-20", settled_at=SettledAt.BENCH_CHECK),
            UpkeepFinding("versions", True, "Program 0.1.0, journal 3, Python 3.11.2, SQLite 3.40.1."),
        )  # fmt: skip
        copies = [("Keep others out of the records", print, "main")]
        yield findings_page(sizes, found, Paging(print, print), print, copies)
        yield findings_page(sizes, [one for one in found if one.fine], Paging(print, print), print, copies)
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
            typed = ("Type the temperature", print, "plain")
            page = ComparisonPage(sizes, subject, boiling_at_height(1200.0), print, typed, print)
            page.live(state)
            yield page
        yield verdict_page(sizes, check, "", links)
