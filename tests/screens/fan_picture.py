"""The fan over an emulsion that sets as it is stirred cool, at a quarter, a half and three quarters of its wait, as one
picture: ``python tests/screens/fan_picture.py [FILE]``.

The oat hand lotion's step of cooling is given what the probe shows in a pot of ``vessel_families``, its formula what the
family's procedure says of melting, and is drawn as the app draws it. Nobody told it the room, nor the heat of setting.
"""

from __future__ import annotations

import os
import sys
import tempfile
from dataclasses import replace
from itertools import count
from pathlib import Path
from random import Random

os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
TESTS = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(TESTS.parent), *(str(TESTS / room) for room in ("screens", "make", "calculations", "."))]

from bench_by_hand import Bench  # noqa: E402
from family_waits import followed  # noqa: E402
from PIL import Image  # noqa: E402
from procedure_edits import edited  # noqa: E402
from vessel_families import FAMILIES, Drawn  # noqa: E402

from benchapp import events as ev  # noqa: E402
from benchapp.make.inputs import Degrees, Tick  # noqa: E402
from benchapp.make.view_building import view_model_of  # noqa: E402
from benchapp.make.view_model import ViewModel  # noqa: E402
from benchapp.screens.environment import tame  # noqa: E402
from procedures.model import Procedure  # noqa: E402
from procedures.reading import read_text  # noqa: E402
from procedures.steps import Cool  # noqa: E402

WIDE, HIGH = 800, 1280
#: Of each page the instruction, the reading and the curve; and how much smaller the picture is.
LOWEST, SHARE = 1010, 0.6
PLACES = (0.25, 0.5, 0.75)
#: The first pot of the family that holds what the lotion weighs, within this share.
FAMILY, ABOUT = "emulsion kept stirred, setting", 0.1
LOTION, BATCH_G = "oat-hand-lotion", 500.0
VESSEL, PROBE = "water-pot", "probe 1"


def emulsion() -> Drawn:
    """The pot."""
    pots = (FAMILIES[FAMILY](Random(f"{FAMILY}/{seed}")) for seed in count(1))
    return next(d for d in pots if abs(d.pot.stuff.mass_g / BATCH_G - 1.0) < ABOUT)


def lotion_with(melts: tuple[tuple[float, float], ...]) -> Procedure:
    """The lotion with so much of its wax and its alcohol, melting there, and nothing else that melts."""
    (wax, wax_c), (other, other_c) = melts
    text = edited(
        LOTION,
        ('melts = "40 degC"\nmelting_heat = "60 J/g" # from memory\n', ""),
        ('melts = "60 degC" # the heat band has to lie above this\nphase = "oil"\npercent = 4.5',
         f'melts = "{wax_c:g} degC"\nphase = "oil"\npercent = {100 * wax:.2f}'),
        ('melts = "52 degC"\nmelting_heat = "230 J/g" # published: 225 to 235\nphase = "oil"\npercent = 2.0', f'melts = "{other_c:g} degC"\nphase = "oil"\npercent = {100 * other:.2f}'),
    )  # fmt: skip
    return read_text(text, LOTION).procedure


class CoolingLotion:
    """The lotion's make, standing at its step of cooling with everything in one pot."""

    def __init__(self, procedure: Procedure) -> None:
        step = next(s for s in procedure.steps if isinstance(s, Cool))
        self.below_c = step.below_c
        self.bench = Bench(procedure=procedure, batch_g=BATCH_G)
        self.bench.make.watch.draws = True
        self.bench.weigh_everything(VESSEL)
        self.bench.jump(step.key)
        self.bench.commit([ev.ProbeMoved(at_s=0.0, probe=PROBE, vessel=VESSEL)])
        self.bench.give(Tick(0.0))

    def read(self, at_s: float, temp_c: float) -> None:
        """One reading."""
        self.bench.give(Degrees(at_s, "thermo", PROBE, temp_c))
        self.bench.give(Tick(at_s))

    def view(self) -> ViewModel:
        """The moment, as the screen gets it."""
        return view_model_of(self.bench.make, self.bench.now)


def photograph(view: ViewModel, file: Path) -> Image.Image:
    """The page of a moment, as much of it as tells of the wait."""
    from kivy.base import EventLoop
    from kivy.core.window import Window
    from laid_out import Nobody

    from benchapp.screens.display.sizes import PANELS, Sizes
    from benchapp.screens.make.make_screen import MakeScreen

    panel = next(p for p in PANELS if (p.width, p.height) == (WIDE, HIGH))
    screen = MakeScreen(Sizes.of(panel, False), Nobody())
    Window.add_widget(screen)
    screen.show(view)
    EventLoop.idle()
    screen.export_to_png(str(file))
    Window.remove_widget(screen)
    page = Image.open(file).convert("RGB").crop((0, 0, WIDE, LOWEST))
    return page.resize((round(WIDE * SHARE), round(LOWEST * SHARE)), Image.Resampling.LANCZOS)


def main(file: Path) -> None:
    """Three moments beside each other."""
    folder = Path(tempfile.mkdtemp(prefix="display-"))
    tame(folder, size=(WIDE, HIGH))
    drawn = emulsion()
    lotion = CoolingLotion(lotion_with(drawn.melts))
    readings, there = followed(replace(drawn, target_c=lotion.below_c))
    assert there is not None
    pages, marks = [], [place * there for place in PLACES]
    for at, temp in readings:
        if marks and at > marks[0]:
            marks.pop(0)
            view = lotion.view()
            pages.append(photograph(view, folder / "page.png"))
            waits = view.act_view.forecast
            assert waits is not None
            print(
                f"{waits.early_s / 60:.1f} to {waits.late_s / 60:.1f} min; in truth {(there - at) / 60:.1f}"
            )
        lotion.read(at, temp)
    wide, high = pages[0].size
    whole = Image.new("RGB", (wide * len(pages), high))
    for n, page in enumerate(pages):
        whole.paste(page, (wide * n, 0))
    whole.quantize(96, dither=Image.Dither.NONE).save(file, optimize=True)


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "docs/screens/fan-setting.png"))
