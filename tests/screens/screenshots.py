"""Pictures of every screen at the four panel sizes: ``python tests/screens/screenshots.py [FOLDER] [SIZE ...]``."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from dataclasses import replace
from pathlib import Path

os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
HERE = Path(__file__).resolve()
sys.path.insert(0, str(HERE.parents[2]))
SIZES = ("1280x800", "800x1280", "1024x600", "800x480")


def value(moment) -> float:
    """The first live value, 0 where there is none."""
    return (moment.face.live[0].value or 0.0) if moment.face.live else 0.0


#: What is photographed of a make, in the order in which it comes.
WANTED = (
    ("caution", lambda m: m.face.cautions),
    ("task", lambda m: "task 3" in m.prompt),
    ("which", lambda m: m.face.instruction.startswith("Is this the empty")),
    ("weigh", lambda m: "pour purified" in m.prompt and value(m) > 150),
    ("in-band", lambda m: "pour sunflower" in m.prompt and m.face.live and m.face.live[0].word == "in band"),
    ("taking", lambda m: m.face.taking is not None and m.face.taking > 0.4),
    ("offer", lambda m: any(c.key.startswith("ahead:") for c in m.face.choices)),
    ("meanwhile", lambda m: m.meanwhile is not None and "pour preservative" in m.prompt and value(m) > 1),
    ("heat", lambda m: m.step_kind == "heat" and value(m) > 64),
    ("combine", lambda m: m.step_kind == "combine" and "pour" in m.prompt),
    ("emptied", lambda m: m.face.instruction.startswith("Is this the emptied")),
    ("blend", lambda m: m.step_kind == "blend" and m.face.stage == "rest"),
    ("cool", lambda m: m.step_kind == "cool" and 0 < value(m) < 52),
    ("look", lambda m: m.step_kind == "look"),
    ("fill", lambda m: m.step_kind == "fill" and value(m) > 40),
    ("finish", lambda m: m.step_kind == "finish"),
)


def settle(app) -> None:
    """Let the bench be read until every device has spoken and is at rest."""
    from kivy.base import EventLoop

    with app.bench.monitor.heard:
        app.bench.monitor.heard.wait_for(lambda: False, 4.0)
    EventLoop.idle()


def photograph(folder: Path, width: int, height: int) -> None:
    """One size, in a process of its own: a window keeps the size it was opened with."""
    from benchapp.screens.environment import tame

    tame(Path(tempfile.mkdtemp(prefix="display-")), size=(width, height))
    from kivy.base import EventLoop

    sys.path.insert(0, str(HERE.parent))
    from pilot import Pilot

    from benchapp.record.journal import Journal
    from benchapp.screens.bench.check_controller import CheckController
    from benchapp.screens.desk.batch_controller import BatchController

    data = Path(tempfile.mkdtemp(prefix="demo-"))
    journal = Journal(data, lambda: "2026-03-01T09:00:00.000+01:00")
    pilot = Pilot(journal, folder=data)

    def shoot(name: str) -> None:
        for _ in range(3):
            EventLoop.idle()
        pilot.app.navigator.page.export_to_png(str(folder / f"{name}-{width}x{height}.png"))

    app, go = pilot.app, pilot.app.navigator.routes
    checks, batches = CheckController(app.navigator), BatchController(app.navigator)
    recipe = next(r for r in pilot.shop.recipes() if "hand lotion" in r.name)
    scale, _, thermometer = pilot.shop.devices()[:3]
    for name, show in (("bench", app.bench.home), ("choose", go.recipes), ("size", lambda: go.size(recipe, recipe.usual_g)),
                     ("check", go.checks), ("check-scale", lambda: checks.device(scale, "mass")),
                     ("check-probe", lambda: checks.device(thermometer, thermometer.channels[0])),
                     ("settings", go.settings)):  # fmt: skip
        show()
        pilot.arrive()
        settle(app)
        shoot(name)
    checks.device(scale, "mass")
    pilot.arrive()
    pilot.press("100 g")
    settle(app)
    shoot("against")
    app.bench.home()
    pilot.arrive()
    pilot.begin()
    for name, condition in WANTED:
        app.navigator.page.show(pilot.until(condition))
        app.navigator.page.export_to_png(str(folder / f"{name}-{width}x{height}.png"))
        sheets = {"weigh": (("more", app.navigator.page.show_details), ("stop", app.navigator.page.show_stop), ("wipe", app.navigator.page.show_lock)),
                  "task": (("bar", lambda: app.navigator.page.confirm("Done", print)),
                           ("bar-filling", lambda: (app.navigator.page.confirm("Done", print), app.navigator.page.bar.fill(0.6)))),
                  "heat": (("keypad", app.navigator.page.show_keypad),)}  # fmt: skip
        if name == "meanwhile":
            calls = "The water pot is at 76.4 °C, above its band."
            app.navigator.page.show(
                replace(pilot.moment, meanwhile=replace(pilot.moment.meanwhile, calls=calls))
            )
            app.navigator.page.show = lambda m: None  # what is made up stands still
            shoot("calls")
            del app.navigator.page.show
        pilot.shop.runner.awaited = lambda m: True  # the make waits until the sheets are photographed
        for sheet, opens in sheets.get(name, ()):
            opens()
            shoot(sheet)
            app.navigator.page.close_overlay()
        pilot.shop.runner.awaited = None
    pilot.until(lambda m: m.over)
    shoot("over")
    pilot.press("Back to the bench")
    batch = pilot.shop.batches()[0].batch
    people = ("Mara Lind", "Ina Voss", "Ole Brandt")
    for name, show in (("past", go.batches), ("record", lambda: batches.record(batch)), ("batch", lambda: go.batch(batch)),
                     ("release", lambda: go.release(batch)), ("trace", lambda: batches.contents(batch)),
                     ("waiting", go.undecided), ("lots", go.lots),
                     ("sign", lambda: app.navigator.ask_signature(people, "batch released", print, go.batches)),
                     ("pin", lambda: app.navigator.ask_signature(people[:1], "batch released", print, go.batches))):  # fmt: skip
        show()
        pilot.arrive()
        shoot(name)
    training(pilot, journal, shoot)
    pilot.close()


def training(pilot, journal, shoot) -> None:
    """Practising with a hand that errs, how it went, who may do what, and a make with full guidance."""
    from benchapp.record.workshop import Workshop
    from benchapp.screens.bench.settings_controller import SettingsController
    from benchapp.screens.training.competence_controller import CompetenceController
    from benchapp.screens.training.debrief_page import DebriefPage

    app = pilot.app
    app.bench.home()
    pilot.arrive()
    pilot.press("Practise")
    shoot("practise")
    while "Too much poured" not in pilot.presses():
        pilot.press(next(text for text in pilot.presses() if text.startswith("On, ")))
    pilot.press("Too much poured")
    shoot("goal")
    pilot.press("Begin")
    shoot("lead-in")
    pilot.until(lambda m: m.face.news)
    shoot("struck")
    m = pilot.until(lambda m: m.face.stage == "remedy")
    pilot.press(next(c.label for c in m.face.choices if c.key == "accept"))
    pilot.give_reason()
    page = pilot.until_page(DebriefPage)
    shoot("debrief")
    while page.number < page.count - 1:
        pilot.press(f"On, {page.number + 1} of {page.count}")
        page = app.navigator.page
        shoot(f"debrief-{page.number + 1}")
    pilot.press("To the bench")
    app.navigator.routes.batches()
    pilot.arrive()
    shoot("past-practised")
    app.navigator.routes.batch(pilot.shop.batches()[0].batch)
    pilot.arrive()
    shoot("practised")
    people_of_the_demo(Workshop(journal))
    app.navigator.routes.competence()
    pilot.arrive()
    shoot("competence")
    CompetenceController(app.navigator).person("Jo Tern")
    pilot.arrive()
    shoot("person")
    SettingsController(app.navigator).change(guidance="full")
    pilot.arrive()
    shoot("settings-full")
    app.bench.home()
    pilot.arrive()
    pilot.begin()
    for name in ("weigh", "heat"):
        app.navigator.page.show(pilot.until(dict(WANTED)[name]))
        shoot(f"coaching-{name}")


def people_of_the_demo(shop) -> None:
    """Three people of the invented workshop and what they hold, invented for the demo."""
    from benchapp import events as ev
    from benchapp.record.pins import hashed

    salt = b"0123456789abcdef"
    for who, roles in (
        ("Mara Lind", ("maker", "releaser")),
        ("Jo Tern", ("helper",)),
        ("Ole Brandt", ("helper",)),
    ):
        shop.add(ev.PersonEnrolled(at_s=0.0, who=who, roles=roles, pin=hashed("4826", lambda n: salt[:n]), by="Mara Lind"))  # fmt: skip
    for kind, level in (("weigh", "independent"), ("combine", "supervised"), ("add", "supervised"),
                        ("measure ph", "rehearsed"), ("heat", "rehearsed"), ("fill", "rehearsed")):  # fmt: skip
        shop.add(
            ev.CompetenceGranted(
                at_s=0.0, who="Jo Tern", step_kind=kind, level=level, by="Mara Lind", reason=""
            )
        )


if __name__ == "__main__":
    where = Path(sys.argv[1] if len(sys.argv) > 1 else "docs/screens")
    where.mkdir(parents=True, exist_ok=True)
    sizes = sys.argv[2:] or SIZES
    if len(sizes) == 1:
        photograph(where, *(int(v) for v in sizes[0].split("x")))
    else:
        for size in sizes:
            subprocess.run([sys.executable, str(HERE), str(where), size], check=True)
