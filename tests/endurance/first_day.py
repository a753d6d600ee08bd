"""A first day in a workshop, from the unpacked checkout to a customer's question, through what a user types and touches.

    python tests/endurance/first_day.py [FOLDER]

By hand: the make runs in real time (about six minutes), and a wheel is built. Every command is a process of the installed
program; the scale and the thermometer speak on real ptys, and what lies on the scale is moved by what the program says. Nothing
of the program's own simulated bench is used. Only the next day comes early: its clock is moved on by 25 hours.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import sysconfig
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

from first_day_hands import Maker, Scale, Stumble, Talk, Thermometer

ROOT = Path(__file__).parents[2]
RECIPE = "harbour-skin-oil"
MARA, KEES = "Mara Lind", "Kees Brandt"
PINS = {MARA: "4711", KEES: "2580"}
#: The workshop's list of materials, as a sheet; invented for the demo.
MATERIALS = """Name,INCI,Role,Supplier
Sunflower oil,Helianthus Annuus Seed Oil,oil,Quay Oils
Jojoba oil,Simmondsia Chinensis Seed Oil,oil,Quay Oils
Vitamin E,Tocopherol,antioxidant,Quay Oils
"""
LOTS = (("SU-1", "Sunflower oil", "1 kg"), ("JO-1", "Jojoba oil", "250 g"), ("VE-1", "Vitamin E", "50 g"))
#: Runs a command with the wall's clock moved on, in seconds: the world's business, not the program's.
LATER = (
    "import sys; from datetime import datetime, timedelta; import benchapp.commands.opening as o; was = o.wall_now; "
    "o.wall_now = lambda: (datetime.fromisoformat(was()) + timedelta(seconds={s})).isoformat(timespec='milliseconds'); "
    "from benchapp.cli import main; sys.exit(main(sys.argv[1:]))"
)


@dataclass
class Day:
    """The workshop, and how long each part took."""

    folder: Path
    python: Path
    scale: Scale = field(default_factory=Scale)
    thermometer: Thermometer = field(default_factory=Thermometer)
    took: list[tuple[str, float]] = field(default_factory=list)
    batch: str = ""
    said: str = ""

    @property
    def data(self) -> list[str]:
        return ["--data", str(self.folder / "data")]

    @property
    def bench(self) -> list[str]:
        return ["--bench", str(self.folder / "bench.toml")]

    def command(self, *words: str, keyed: str = "", expect: int = 0, later_s: float = 0.0) -> str:
        """One command, typed and answered; its words."""
        run = ["-c", LATER.format(s=later_s)] if later_s else ["-m", "benchapp.cli"]
        done = subprocess.run(
            [self.python, *run, *words], input=keyed, capture_output=True, text=True, cwd=self.folder, env=self.env(), timeout=120
        )  # fmt: skip
        self.said = done.stdout + done.stderr
        if done.returncode != expect:
            raise Stumble(f"benchapp {' '.join(words)}: exit {done.returncode}, not {expect}\n{self.said}")
        return self.said

    def env(self) -> dict[str, str]:
        kept = {
            k: v
            for k, v in os.environ.items()
            if k not in ("PYTHONPATH", "DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER")
        }
        return {**kept, "HOME": str(self.folder), "PYTHONUNBUFFERED": "1"}

    def talk(self, *words: str) -> Talk:
        """A command that asks while it runs."""
        return Talk([str(self.python), "-m", "benchapp.cli", *words], self.folder, self.env())


# --- the parts of the day ---------------------------------------------------------------------------------


def unpack_and_install(folder: Path) -> Path:
    """The wheel and the install script into a root of its own; the program's Python. The libraries are those of this
    environment, so that nothing is fetched twice."""
    subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", folder / "wheel", ROOT], check=True, timeout=300
    )  # fmt: skip
    (wheel,) = (folder / "wheel").glob("*.whl")
    install = [
        "sh",
        ROOT / "install/install.sh",
        "--root",
        folder / "root",
        "--user",
        "mara",
        "--maker",
        MARA,
        "--wheel",
        wheel,
    ]
    env = {**os.environ, "PIP_NO_DEPS": "1", "PIP_NO_INDEX": "1"}
    subprocess.run(install, check=True, timeout=300, env=env, stdout=subprocess.DEVNULL)
    (site,) = (folder / "root/opt/bench/lib").glob("python*/site-packages")
    (site / "libraries.pth").write_text(sysconfig.get_path("purelib"))
    return folder / "root/opt/bench/bin/python"


def connect(day: Day) -> None:
    """The scale question by question, the thermometer in one line."""
    talk = day.talk(
        "listen", day.scale.port, "--guide", "--baud", "9600", "--write", "bench.toml", "--name", "big scale"
    )
    scale = day.scale
    while (line := talk.hear(30.0)) is not None:
        scale.unit_pressed = False
        if line.startswith(("Empty its pan", "Take it off")):
            scale.weight_g = 0.0
        elif line.startswith("Put a known weight"):
            scale.weight_g = 100.0
        elif line.startswith("Put the weight on again"):
            scale.weight_g, scale.unit_pressed = 100.0, True
        if line.endswith(("Enter.", "type none.", "100 g.")) or "press enter once" in line.lower():
            time.sleep(
                0.5
            )  # a real program reads a real port: its display comes to rest before anybody presses
            talk.say("")
        elif line.startswith("How much does it weigh at most"):
            talk.say("3000 g")
        elif line == "":
            raise Stumble(f"nothing was asked any more; last: {talk.lines[-3:]}")
    scale.weight_g = 0.0
    if talk.process.wait(30) != 0:
        raise Stumble("\n".join(talk.lines[-6:]))
    words = ["--baud", "9600", "--write", "bench.toml", "--name", "thermometer", "--kind", "thermometer"]
    day.command("listen", day.thermometer.port, *words)


def people(day: Day) -> None:
    """Two of them; the second is enrolled by the first."""
    day.command(
        "person",
        "enrol",
        MARA,
        "--role",
        "maker",
        "--role",
        "releaser",
        *day.data,
        keyed=f"{PINS[MARA]}\n" * 2,
    )
    keyed = f"{PINS[MARA]}\n{PINS[KEES]}\n{PINS[KEES]}\n"
    day.command("person", "enrol", KEES, "--role", "maker", "--by", MARA, *day.data, keyed=keyed)


def lots(day: Day) -> None:
    """What the recipe needs, and bottles."""
    for lot, material, quantity in LOTS:
        day.command("lot", "receive", lot, material, quantity, "--expires", "2099-01-31", "--supplier", "Quay Oils",
                    "--by", KEES, *day.data, keyed=f"{PINS[KEES]}\n")  # fmt: skip


def recipe(day: Day) -> None:
    """The materials from the workshop's list, then the recipe by touches on the glass."""
    (day.folder / "materials.csv").write_text(MATERIALS, encoding="utf-8")
    day.command("material", "import", "materials.csv", *day.data)
    touched = subprocess.run(
        [day.python, Path(__file__).with_name("recipe_by_touch.py"), day.folder / "data"], capture_output=True, text=True, cwd=day.folder,
        env={**day.env(), "SDL_VIDEODRIVER": "offscreen"}, timeout=120,
    )  # fmt: skip
    if touched.returncode != 0:
        raise Stumble(touched.stdout + touched.stderr)
    print(f"          {touched.stdout.strip()}")
    day.command("plan", RECIPE, *day.bench, *day.data)


def check_scale(day: Day) -> None:
    """Against a weight, read by the program itself."""
    day.scale.weight_g = 500.0
    day.command(
        "bench-check",
        "big scale",
        "--against",
        "500 g",
        "--by",
        MARA,
        *day.bench,
        *day.data,
        keyed=f"{PINS[MARA]}\n",
    )
    day.scale.weight_g = 0.0


def make_it(day: Day) -> None:
    """Approved as it stands, so that it may leave; with a power cut between two oils."""
    day.command("master", "approve", RECIPE, "--by", MARA, *day.data, keyed=f"{PINS[MARA]}\n")
    maker = Maker(day.scale, f"{MARA} {PINS[MARA]}")
    talk = day.talk("guide", RECIPE, "--maker", MARA, "--batch-size", "200g", *day.bench, *day.data)
    finished = maker.make(talk, interrupted_at="= sunflower-oil")
    talk.process.kill()
    talk.process.wait(30)
    if finished:
        raise Stumble("it was over before the power failed")
    maker.done = maker.text = ""
    talk = day.talk("resume", *day.bench, *day.data)
    if not maker.make(talk):
        raise Stumble("\n".join(talk.lines[-8:]))
    (day.batch,) = re.findall(r"^(\S*harbour-skin-oil\S*)", day.command("batches", *day.data), re.MULTILINE)


def release(day: Day) -> None:
    """A day later, by whoever may."""
    later, pin = 25 * 3600.0, f"{PINS[MARA]}\n"
    by = ["--by", MARA, *day.data]
    day.command("due", *day.data, later_s=later)
    day.command(
        "batch-check",
        day.batch,
        "Appearance after a day",
        "--passed",
        "--words",
        "clear",
        *by,
        keyed=pin,
        later_s=later,
    )
    day.command(
        "retain",
        day.batch,
        "1",
        "--where",
        "shelf 3",
        "--until",
        "2099-06-30",
        *by,
        keyed=pin,
        later_s=later,
    )
    said = subprocess.run(
        [day.python, "-c", LATER.format(s=later), "release", day.batch, *day.data], capture_output=True, text=True, env=day.env(), cwd=day.folder
    ).stdout  # fmt: skip
    for number in re.findall(r"Deviation (\d+) ", said):
        day.command(
            "close-deviation",
            day.batch,
            number,
            "--reason",
            "looked into: the oil is as it has to be",
            *by,
            keyed=pin,
            later_s=later,
        )
    day.command("release", day.batch, "--decision", "released", *by, keyed=pin, later_s=later)


def labels(day: Day) -> None:
    """Drafted, filled in, approved, printed."""
    day.command("approve-label", RECIPE, "--draft", "label.json", *day.data)
    file = day.folder / "label.json"
    told = {
        "durability_months": 12,
        "responsible": ["Low Tide Bench", "Quay 1"],
        "function": "Skin oil",
        "after_opening_months": 6,
    }
    file.write_text(json.dumps(json.loads(file.read_text(encoding="utf-8")) | told), encoding="utf-8")
    by = ["--by", MARA, *day.data]
    day.command("approve-label", RECIPE, "--text", "label.json", *by, keyed=f"{PINS[MARA]}\n")
    day.command("label", day.batch, "--out", "labels.pdf", *by, keyed=f"{PINS[MARA]}\n")
    if not (day.folder / "labels.pdf").read_bytes().startswith(b"%PDF"):
        raise Stumble("the labels are no PDF")


def customer(day: Day) -> None:
    """Two bottles leave; somebody asks what is in one of them, and whether theirs is safe."""
    by = ["--by", MARA, *day.data]
    day.command(
        "dispatch",
        day.batch,
        "1-2",
        "Pier Shop",
        "--note",
        "N-1",
        *by,
        keyed=f"{PINS[MARA]}\n",
        later_s=26 * 3600.0,
    )
    said = day.command("trace", f"{day.batch}/2", *day.data)
    for lot, _, _ in LOTS:
        if lot not in said:
            raise Stumble(f"the trace of bottle 2 does not name {lot}: {said}")
    day.command("complaint", "receive", day.batch, "It smells of rope.", "--container", "2", "--from", "Pier Shop", *by,
                keyed=f"{PINS[MARA]}\n")  # fmt: skip
    day.command("verify", *day.data)


def look_after(day: Day) -> None:
    """Copies from now on; here they lie on the same disk, and that has to be said."""
    day.command("backup", "--into", str(day.folder / "stick"), *day.data)
    said = day.command("upkeep", *day.data, expect=7)
    if "on the same disk as the journal" not in said or "big scale" not in said:
        raise Stumble(said)


PARTS = (
    ("connect a scale and a thermometer", connect), ("enrol two people", people), ("write a recipe by touch", recipe),
    ("receive lots", lots), ("check the scale", check_scale),
    ("make it, with a power cut", make_it), ("release it next day", release), ("print labels", labels),
    ("answer a customer", customer), ("look after it", look_after),
)  # fmt: skip


def main() -> int:
    """The whole day; how long each part took."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(tempfile.mkdtemp(prefix="first-day-"))
    folder.mkdir(parents=True, exist_ok=True)
    began = time.monotonic()
    day = Day(folder, unpack_and_install(folder))
    day.took.append(("unpack and install", time.monotonic() - began))
    try:
        for name, part in PARTS:
            began = time.monotonic()
            part(day)
            day.took.append((name, time.monotonic() - began))
            print(f"{day.took[-1][1]:7.1f} s  {name}", flush=True)
    except Stumble as stumble:
        print(f"STUMBLED at: {name}\n{stumble}")
        return 1
    finally:
        day.scale.close()
        day.thermometer.close()
        if len(sys.argv) < 2:
            shutil.rmtree(folder, ignore_errors=True)
    print(f"{sum(seconds for _, seconds in day.took):7.1f} s  the whole day")
    return 0


if __name__ == "__main__":
    sys.exit(main())
