"""Pictures of every screen at the four panel sizes: ``python tests/screens/screenshots.py [FOLDER] [SIZE ...]``."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
HERE = Path(__file__).resolve()
sys.path.insert(0, str(HERE.parents[2]))
sys.path.insert(1, str(HERE.parents[1]))
from lived_in import LOTION, RELEASED, WAITING_LONGEST, live_in, made_before, procedure_of  # noqa: E402

from benchapp.runtime.clocks import wall_now  # noqa: E402

#: So long before the others the whole make was begun.
EARLIER = timedelta(hours=1, minutes=52)
SIZES = ("1280x800", "800x1280", "1024x600", "800x480")


def value(view) -> float:
    """The first live value, 0 where there is none."""
    return (view.act_view.live[0].value or 0.0) if view.act_view.live else 0.0


#: What is photographed of a make, in the order in which it comes.
WANTED = (
    ("caution", lambda m: m.act_view.cautions),
    ("task", lambda m: "task 3" in m.prompt),
    ("which", lambda m: m.act_view.instruction.startswith("Is this the empty")),
    ("weigh", lambda m: "pour purified" in m.prompt and value(m) > 150),
    (
        "in-band",
        lambda m: "pour sunflower" in m.prompt and m.act_view.live and m.act_view.live[0].word == "in band",
    ),
    ("taking", lambda m: m.act_view.taking is not None and m.act_view.taking > 0.4),
    ("away", lambda m: "heat/away" in m.prompt),
    ("offer", lambda m: any(c.word.startswith("ahead:") for c in m.act_view.choices)),
    ("meanwhile", lambda m: m.meanwhile is not None and "pour preservative" in m.prompt and value(m) > 1),
    ("heat", lambda m: m.step_kind == "heat" and value(m) > 64),
    ("combine", lambda m: m.step_kind == "combine" and "pour" in m.prompt),
    ("emptied", lambda m: m.act_view.instruction.startswith("Is this the emptied")),
    ("blend", lambda m: m.step_kind == "blend" and m.act_view.stage == "rest"),
    ("cool", lambda m: m.step_kind == "cool" and 0 < value(m) < 52),
    ("ph", lambda m: m.step_kind == "measure ph" and m.act_view.ask is not None),
    ("look", lambda m: m.step_kind == "look"),
    ("fill", lambda m: m.step_kind == "fill" and value(m) > 40),
    ("finish", lambda m: m.step_kind == "finish"),
)


class Photographer:
    """A pilot with a camera, in one size."""

    def __init__(self, folder: Path, width: int, height: int) -> None:
        from pilot import Pilot

        from benchapp.record.journal import Journal

        data = Path(tempfile.mkdtemp(prefix="demo-"))
        self.journal = Journal(data, wall_now)  # batches are named by the day, too
        self.pilot = Pilot(self.journal, folder=data)
        self.navigator, self.routes = self.pilot.app.navigator, self.pilot.app.navigator.routes
        self._folder, self._size = folder, f"{width}x{height}"

    def shoot(self, name: str, frames: int = 3) -> None:
        """What is on the glass."""
        for _ in range(frames):
            self.pilot.frame()
        self.pilot.page.export_to_png(str(self._folder / f"{name}-{self._size}.png"))

    def shoot_each(self, pages, settled: bool = False) -> None:
        """Each of (name, what shows it); ``settled``: once every device has spoken and is at rest."""
        for name, show in pages:
            show()
            self.pilot.arrive()
            if settled:
                self._settle()
            self.shoot(name)

    def _settle(self, seconds: float = 4.0) -> None:
        monitor = self.pilot.app.bench.monitor
        with monitor.heard:
            monitor.heard.wait_for(lambda: False, seconds)
        self.pilot.frame()

    def bench(self) -> None:
        """Before a make."""
        from benchapp.screens.bench.check_controller import CheckController
        from benchapp.screens.bench.settings_controller import SettingsController

        go, checks = self.routes, CheckController(self.navigator)
        recipe = next(r for r in self.pilot.shop.recipes() if "hand lotion" in r.name)
        scale, _, thermometer = self.pilot.shop.devices()[:3]
        pages = (
            ("bench", go.home), ("size", lambda: go.size(recipe, recipe.default_batch_g)), ("check", go.checks),
            ("check-scale", lambda: checks.device(scale, "mass")),
            ("check-probe", lambda: checks.device(thermometer, thermometer.channels[0])), ("settings", go.settings),
        )  # fmt: skip
        self.shoot_each(pages, settled=True)
        checks.device(scale, "mass")
        self.pilot.arrive()
        self.shoot_each([("against", lambda: self.pilot.press("100 g"))], settled=True)
        settings = SettingsController(self.navigator)
        self.shoot_each((("upkeep", settings.upkeep), ("language", settings.languages)))
        go.size(recipe, recipe.default_batch_g)
        self.pilot.arrive()
        self.shoot_each((("sizes", lambda: self.pilot.press("Another size")),))
        go.size(recipe, recipe.default_batch_g)
        self.pilot.arrive()
        self.shoot_each((("replace", lambda: self.pilot.press("Replace an ingredient")),))
        go.home()
        self.pilot.arrive()

    def make(self) -> None:
        """A make from its first caution to its end, with the sheets over it."""
        pilot = self.pilot
        self.journal.wall = lambda: (datetime.fromisoformat(wall_now()) - EARLIER).isoformat()
        pilot.begin()
        session = pilot.shop.makes.rehearsal.session
        before = made_before(procedure_of(LOTION), Path(tempfile.mkdtemp(prefix="demo-")))
        session.learn(session.make.watch.past, before)
        for name, condition in WANTED:
            pilot.page.show(pilot.until(condition))
            self.shoot(name, frames=0)
            if name == "meanwhile":
                self._calling()
            pilot.shop.runner.awaited = lambda m: True  # the make waits until the sheets are photographed
            for sheet, opens in self._sheets(name):
                opens()
                self.shoot(sheet)
                pilot.page.close_overlay()
            pilot.shop.runner.awaited = None
        pilot.until(lambda m: m.over)
        self.shoot("over")
        pilot.press("Back to the bench")
        self.journal.wall = wall_now

    def _sheets(self, name: str):
        page = self.pilot.page
        if name == "weigh":
            return ("more", page.show_details), ("stop", page.show_stop), ("wipe", page.show_lock)
        if name == "task":
            return ("bar", self._picked), ("bar-filling", self._half_held)
        return (("keypad", page.show_keypad),) if name == "heat" else ()

    def _picked(self) -> None:
        """Where a thumb has just pressed: the bar keeps away from there."""
        self.pilot.touch(*self.pilot.presses()["Done"].center)

    def _half_held(self) -> None:
        self._picked()
        self.pilot.page.bar.fill(0.6)

    def _calling(self) -> None:
        """The wait beside calls: made up, so it has to stand still."""
        m = self.pilot.view
        calls = "The water pot is at 76.4 °C, too hot: turn its heat down now."
        self._shoot_still("calls", replace(m, meanwhile=replace(m.meanwhile, calls=calls)))

    def _shoot_still(self, name: str, m) -> None:
        """This view, although the make goes on."""
        page = self.pilot.page
        page.show(m)
        page.show = lambda m: None
        self.shoot(name)
        del page.show

    def desk(self) -> None:
        """After a make."""
        from benchapp import events as ev
        from benchapp.foundation.language import tr
        from benchapp.screens.desk.batch_controller import BatchController
        from benchapp.screens.desk.lot_controller import LotController
        from benchapp.screens.display.dates import batches_in_words

        go, batches, lots = self.routes, BatchController(self.navigator), LotController(self.navigator)
        self.shoot_each((("past-first", go.batches), ("lots-none", go.lots), ("waiting-none", go.undecided)))
        told = live_in(self.journal, self.journal.wall())
        batch, gone = told.batches[WAITING_LONGEST], told.batches[0]
        settled = tr("{name}: all checks passed, nothing open", name=batches_in_words(told.batches[RELEASED]))
        people = ("Mara Lind", "Ina Voss")

        def sign(*who: str) -> None:
            self.navigator.ask_signature(who, "batch released", print, go.batches, settled)

        self.shoot_each((
            ("choose", go.recipes), ("past", go.batches), ("record", lambda: batches.record(batch)), ("batch", lambda: go.batch(batch)),
            ("batch-gone", lambda: go.batch(gone)), ("release", lambda: go.release(batch)), ("release-fine", lambda: go.release(told.batches[RELEASED])),
            ("trace", lambda: batches.contents(gone)), ("lot", lambda: lots.trace("GL-3")), ("trend", lambda: batches.trend(LOTION, batch)),
            ("beside", lambda: batches.compare(gone, batch)), ("waiting", go.undecided), ("lots", go.lots),
        ))  # fmt: skip
        add = self.pilot.shop.desk().records.add
        add(ev.PersonEnrolled(at_s=0.0, who=people[1], roles=("releaser",), pin="", by=people[0]))
        self.shoot_each((("sign", lambda: sign(*people)), ("pin", lambda: sign(people[0]))))
        add(ev.PersonRetired(at_s=0.0, who=people[1], by=people[0], reason=""))
        self.shoot_each((("bench-busy", go.home),), settled=True)

    def practice(self) -> None:
        """Practising with a hand that errs, and how it went."""
        from benchapp.make.view_model import STOP_POURING
        from benchapp.screens.training.debrief_page import DebriefPage

        pilot = self.pilot
        self.routes.practices()
        pilot.arrive()
        self.shoot("practise")
        while "Too much poured" not in pilot.presses():
            pilot.turn_page()
        pilot.press("Too much poured")
        self.shoot("goal")
        pilot.press("Begin")
        pilot.press("Mara Lind")
        leading = pilot.page
        while pilot.page is leading and leading.done < 1.5:
            pilot.frame()
        self.shoot("lead-in", frames=0)
        seen = []
        pilot.shop.runner.when(lambda m: m.act_view.move == STOP_POURING, seen.append)
        pilot.until(lambda m: bool(seen) and pilot.app.make.screen() is not None)
        self._shoot_still("struck", seen[0])
        m = pilot.until(lambda m: m.act_view.stage == "remedy")
        self._shoot_still("remedy", m)
        pilot.press(next(c.label for c in m.act_view.choices if c.word == "accept"))
        pilot.give_reason()
        pilot.until_page(DebriefPage)
        self.shoot("debrief")
        pilot.press("What happened")
        self.shoot("debrief-2")
        pilot.press("Back")
        pilot.press("To the bench")

    def recipes(self) -> None:
        """A recipe that is being written."""
        from benchapp.recipes.draft import BatchSizes
        from benchapp.recipes.questions import LIQUID
        from benchapp.screens.recipes.draft_controller import DraftController

        pilot, desk = self.pilot, self.pilot.shop.recipe_desk()
        for key in ("oat-hand-lotion", "driftwood-conditioner"):
            desk.materials.take_over(key)
        for one in desk.materials.known()[:-1]:  # the sheets of most are in
            if not one.hazards_known:
                desk.materials.put(one.name, {"sheet_revised": "2025-03-10"})
        desk.materials.put("Kelp wax", {"role": "wax", "inci": "Laminaria Digitata Wax"})
        desk.begin("Kelp lotion", "leave-on", BatchSizes("500 g", "400 g", "1000 g"))
        for name, share in (
            ("Purified water", "rest"), ("Glycerin", "4"), ("Sunflower oil", "7.5"), ("Shea butter", "2"), ("Emulsifying wax", "5.6"),
            ("Kelp wax", "0.8"), ("Preservative blend", "1.3"), ("Tide-line fragrance", "0.3"), ("Citric acid solution 10 %", "as needed, 0.5 %"),
        ):  # fmt: skip
            desk.add_line("kelp-lotion", name, share)
        drafts, key = DraftController(self.navigator), "kelp-lotion"
        drafts.lines.add(key)
        pilot.arrive()
        pilot.press("C")
        self.shoot("recipe-pick")
        pilot.press("Cetyl alcohol")
        self.shoot("recipe-share")
        self.shoot_each((
            ("recipe-line", lambda: drafts.lines.line(key, 6)),
            ("recipe-formula", lambda: drafts.formula(key)), ("recipe-materials", drafts.materials.shelf),
            ("recipe-material", lambda: drafts.materials.material("Kelp wax")), ("recipe-initials", lambda: drafts.lines.add(key)),
            ("recipe-question", lambda: drafts.method.propose(key)),
        ))  # fmt: skip
        desk.set_share(key, 6, "0.9")
        for answer in (LIQUID, "5.0 to 5.8", "100 ml"):
            desk.answer(key, desk.questions(key)[0], answer)
        desk.propose(key)
        heat = next(x.number for x in desk.draft(key).steps if x.kind == "heat")
        desk.set_step(key, heat, "band", "55 to 60 degC")
        self.shoot_each((
            ("recipe-method", lambda: drafts.method.method(key)), ("recipe-step", lambda: drafts.method.step(key, heat)),
            ("recipe-about", lambda: drafts.about(key)), ("recipe-checks", lambda: drafts.checks(key)), ("recipe-new", drafts.new),
        ))  # fmt: skip
        for shipped, name in (
            ("oat-hand-lotion", "Dune hand lotion"), ("winter-shore-cream", "Morning fog cream"), ("tide-pool-gel", "Rock pool gel"),
        ):  # fmt: skip
            desk.save(desk.start_from(shipped, name).key)
        self.shoot_each((("recipes", drafts.drafts),))
        self._sheet_of_the_demo(desk.sheets_folder)
        drafts.sheets.files()
        pilot.arrive()
        pilot.press("kelp-notebook.csv")
        self.shoot("recipe-sheet")

    @staticmethod
    def _sheet_of_the_demo(folder: Path) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        rows = ("Kelp lotion;;", ";;", "Phase;Ingredient;Percent", "A;Purified water;ad 100", ";Glycerin;4,0", "B;Sunflower oil;7-8",
                ";Emulsifying wax;5,6", "C;Preservative blend;0,9")  # fmt: skip
        (folder / "kelp-notebook.csv").write_text("\n".join(rows), encoding="utf-8")

    def office(self) -> None:
        """The benches of a workshop, made up: here is one alone."""
        from page_samples import overview_pages

        names = ("benches", "benches-many", "benches-none", "bench-of-many")
        for name, page in zip(names, overview_pages(self.navigator.sizes), strict=False):
            self.navigator.show(page)
            self.shoot(name)

    def training(self) -> None:
        """Who may do what, and a make with full guidance."""
        from benchapp.screens.bench.settings_controller import SettingsController
        from benchapp.screens.training.competence_controller import CompetenceController

        pilot, go = self.pilot, self.routes
        self.shoot_each((("past-practised", go.practised),))
        settings, competence = SettingsController(self.navigator), CompetenceController(self.navigator)
        self.shoot_each((
            ("competence", go.competence), ("person", lambda: competence.person("Jo Tern")),
        ))  # fmt: skip
        settings.change(guidance="full")
        go.home()
        pilot.arrive()
        pilot.begin()
        for name in ("weigh", "heat"):
            pilot.page.show(pilot.until(dict(WANTED)[name]))
            self.shoot(f"coaching-{name}")


def photograph(folder: Path, width: int, height: int) -> None:
    """One size, in a process of its own: a window keeps the size it was opened with."""
    from benchapp.screens.environment import tame

    tame(Path(tempfile.mkdtemp(prefix="display-")), size=(width, height))
    sys.path.insert(0, str(HERE.parent))
    camera = Photographer(folder, width, height)
    for part in (
        camera.bench,
        camera.make,
        camera.desk,
        camera.practice,
        camera.training,
        camera.recipes,
        camera.office,
    ):
        part()
    camera.pilot.close()


if __name__ == "__main__":
    where = Path(sys.argv[1] if len(sys.argv) > 1 else "docs/screens")
    where.mkdir(parents=True, exist_ok=True)
    sizes = sys.argv[2:] or SIZES
    if len(sizes) == 1:
        photograph(where, *(int(v) for v in sizes[0].split("x")))
    else:
        for size in sizes:
            subprocess.run([sys.executable, str(HERE), str(where), size], check=True)
