"""A first day in a workshop, from the unpacked checkout to a customer's question, through what a user types and touches.

    python tests/endurance/first_day.py [FOLDER]

By hand: the make runs in real time (about six minutes), and a wheel is built. Every command is a process of the installed
program; the scale and the thermometer speak on real ptys, and what lies on the scale is moved by what the program says. Nothing
of the program's own simulated bench is used. Only the next day comes early: its clock is moved on by 25 hours.
"""

from __future__ import annotations

import json
import os
import queue
import re
import shutil
import subprocess
import sys
import sysconfig
import tempfile
import threading
import time
import tty
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).parents[2]
RECIPE = Path(__file__).with_name("harbour-skin-oil.toml")
MARA, KEES = "Mara Lind", "Kees Brandt"
PINS = {MARA: "4711", KEES: "2580"}
LOTS = (("SU-1", "Sunflower oil", "1 kg"), ("JO-1", "Jojoba oil", "250 g"), ("VE-1", "Vitamin E", "50 g"))
#: What a vessel weighs empty, in grams; bottles are all alike.
EMPTY_G = {"oil pot": 213.4, "bottle": 21.7}
#: A hand pours so fast, in grams a second, and leaves so much in the pot.
POUR_G_S, CLINGS_G = 25.0, 1.2
#: Runs a command with the wall's clock moved on, in seconds: the world's business, not the program's.
LATER = (
    "import sys; from datetime import datetime, timedelta; import benchapp.commands.opening as o; was = o.wall_now; "
    "o.wall_now = lambda: (datetime.fromisoformat(was()) + timedelta(seconds={s})).isoformat(timespec='milliseconds'); "
    "from benchapp.cli import main; sys.exit(main(sys.argv[1:]))"
)


class Stumble(Exception):
    """The day does not go on; the text says where."""


class Instrument:
    """Sends a line ten times a second on a pty."""

    def __init__(self) -> None:
        self.master, self.slave = os.openpty()
        tty.setraw(self.slave)
        os.set_blocking(self.master, False)
        self.port = os.ttyname(self.slave)
        self._over = threading.Event()
        threading.Thread(target=self._speak, daemon=True).start()

    def _speak(self) -> None:
        while not self._over.wait(0.1):
            try:
                os.write(self.master, self.line())
            except BlockingIOError:
                continue  # nobody reads

    def line(self) -> bytes:
        raise NotImplementedError

    def close(self) -> None:
        self._over.set()


class Thermometer(Instrument):
    """One probe in the room."""

    def line(self) -> bytes:
        return b"T1= 21.3 C\r\n"


class Scale(Instrument):
    """What lies on it; a hand may be pouring into that."""

    def __init__(self) -> None:
        self.lock = threading.Lock()
        self.on = ""
        self.contents_g: dict[str, float] = {}
        self.weight_g = 0.0
        self.pouring_g = 0.0
        self.unit_pressed = False
        self._shown = 0.0
        super().__init__()

    def line(self) -> bytes:
        with self.lock:
            poured = min(self.pouring_g, POUR_G_S * 0.1)
            if self.on and poured:
                self.contents_g[self.on] = self.contents_g.get(self.on, 0.0) + poured
                self.pouring_g -= poured
            true_g = self.gross_g()
        moving = abs(true_g - self._shown) > 0.05
        self._shown = true_g
        if self.unit_pressed:
            return f"{'US' if moving else 'ST'},GS,{true_g / 28.349523125:+010.3f},oz\r\n".encode()
        return f"{'US' if moving else 'ST'},GS,{true_g:+010.1f},g\r\n".encode()

    def gross_g(self) -> float:
        empty = EMPTY_G.get(self.on.split(" ")[0] if self.on.startswith("bottle") else self.on, 0.0)
        return self.weight_g + (empty + self.contents_g.get(self.on, 0.0) if self.on else 0.0)


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


class Talk:
    """A process whose lines are heard as they come, and that is answered."""

    def __init__(self, command: list[str], folder: Path, env: dict[str, str]) -> None:
        self.process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, cwd=folder, env=env
        )  # fmt: skip
        self.lines: list[str] = []
        self._queue: queue.SimpleQueue[str | None] = queue.SimpleQueue()
        threading.Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self._queue.put(line.rstrip("\n"))
        self._queue.put(None)

    def hear(self, wait_s: float) -> str | None:
        """The next line; "" where none came in time, None at the end."""
        try:
            line = self._queue.get(timeout=wait_s)
        except queue.Empty:
            return ""
        if line is not None:
            self.lines.append(line)
        return line

    def say(self, text: str) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(text + "\n")
        self.process.stdin.flush()


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
        day.command("lot", "receive", lot, material, quantity, "--new-material", "--expires", "2099-01-31", "--supplier", "Quay Oils",
                    "--by", KEES, *day.data, keyed=f"{PINS[KEES]}\n")  # fmt: skip


def recipe(day: Day) -> None:
    """Written with a slip, corrected where the program says."""
    file = day.folder / RECIPE.name
    text = RECIPE.read_text(encoding="utf-8")
    file.write_text(text.replace("percent = 20\n", 'percent = "20,0"\n'), encoding="utf-8")
    said = day.command("check", RECIPE.name, expect=3)
    if f"{RECIPE.name}:" not in said:
        raise Stumble(f"the slip was not shown with its line: {said}")
    file.write_text(text, encoding="utf-8")
    day.command("check", RECIPE.name)
    day.command("plan", RECIPE.name, *day.bench)


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


class Maker:
    """Does what ``guide`` writes, and nothing else."""

    def __init__(self, day: Day) -> None:
        self.day, self.scale = day, day.scale
        self.text, self.offers, self.done = "", set[str](), ""
        self.poured = set[str]()

    def make(self, talk: Talk, interrupted_at: str = "") -> bool:
        """To the end, or until a line holds ``interrupted_at``; whether it is finished."""
        silent = 0
        while (line := talk.hear(1.5)) is not None:
            silent = 0 if line else silent + 1
            if silent > 40:
                raise Stumble(f"stands at: {talk.lines[-6:]}")
            if interrupted_at and interrupted_at in line:
                return False
            found = re.match(r"\[[0-9:]+\] \d+/\d+ [^:]+: (.+)", line)
            if found:
                self.text, self.offers = found[1], set()
            offer = re.match(r"  > ([a-z ]+?)(?::| =)", line)
            if offer:
                self.offers.add(offer[1])
            if not line:  # nothing more is said just now: act
                self.act(talk)
        return any(line.startswith("Finished") for line in talk.lines)

    def act(self, talk: Talk) -> None:
        """The hands first; then what is said, once."""
        before = self.scale.on
        self.hands()
        if self.scale.on != before:
            return  # the display comes to rest before anybody says what it shows
        again = (self.text, tuple(sorted(self.offers)))
        if str(again) == self.done or self.scale.pouring_g > 0:
            return
        self.done = str(again)
        if "sign" in self.offers:
            talk.say(f"sign: {MARA} {PINS[MARA]}")
        elif "last" in self.offers and self.left_g() < 40.0:
            talk.say("last")
        else:
            for word in ("understood", "it is", "pan is empty", "yes", "take"):
                if word in self.offers:
                    talk.say(word)
                    return

    def hands(self) -> None:
        """What lies on the scale, and what flows."""
        scale, text = self.scale, self.text
        if re.search(r"(Take (the|everything) .*off|^Clear the|Empty the pan)", text):
            scale.on = ""
        elif found := re.search(
            r"Put (?:the )?(?:empty, dry |emptied |empty )?(.+?)(?: back)? on the big scale", text
        ):
            scale.on = found[1]
        elif found := re.search(r"(?:Pour|Fill bottle \d+ to) ([\d.]+) g", text):
            self.pour(float(found[1]), text)

    def pour(self, wanted_g: float, text: str) -> None:
        scale = self.scale
        if text in self.poured:
            return
        self.poured.add(text)
        if text.startswith("Fill"):
            wanted_g = min(wanted_g, self.left_g())
            scale.contents_g["oil pot"] -= wanted_g
        with scale.lock:
            scale.pouring_g = wanted_g

    def left_g(self) -> float:
        return self.scale.contents_g.get("oil pot", 0.0) - CLINGS_G


def make_it(day: Day) -> None:
    """Approved as it stands, so that it may leave; with a power cut between two oils."""
    day.command("master", "approve", RECIPE.name, "--by", MARA, *day.data, keyed=f"{PINS[MARA]}\n")
    maker = Maker(day)
    talk = day.talk("guide", RECIPE.name, "--maker", MARA, "--batch-size", "200g", *day.bench, *day.data)
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
    day.command("approve-label", RECIPE.name, "--draft", "label.json")
    file = day.folder / "label.json"
    told = {
        "durability_months": 12,
        "responsible": ["Low Tide Bench", "Quay 1"],
        "function": "Skin oil",
        "after_opening_months": 6,
    }
    file.write_text(json.dumps(json.loads(file.read_text(encoding="utf-8")) | told), encoding="utf-8")
    by = ["--by", MARA, *day.data]
    day.command("approve-label", RECIPE.name, "--text", "label.json", *by, keyed=f"{PINS[MARA]}\n")
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
    ("connect a scale and a thermometer", connect), ("enrol two people", people), ("receive lots", lots),
    ("write a recipe, and mend its slip", recipe), ("check the scale", check_scale),
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
