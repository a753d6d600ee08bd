"""How fast the glass is: from the last byte on a wire to the frame that shows it, and how long frames take.

Run by hand: ``python tests/benchmarks/bench_screen.py [wire|start|make]``. Offscreen, software GL, 1280×800.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
FRAME_S = 1 / 60
#: The empty pot on the scale, in grams.
POT_G = 182.4
HERE = Path(__file__).resolve()
sys.path.insert(0, str(HERE.parents[2]))
sys.path.insert(0, str(HERE.parents[1] / "screens"))


def _tame() -> None:
    from benchapp.screens.environment import tame

    tame(Path(tempfile.mkdtemp(prefix="display-")))


def wire(lines: int = 400) -> None:
    """Four devices at 20 Hz on ptys, read by the real drivers into a real session, drawn by the real make screen.

    Measured: from the return of the write of a line with a new value to the end of the first frame whose huge
    reading shows it.
    """
    _tame()
    import threading
    import tty
    from dataclasses import replace

    from kivy.base import EventLoop
    from kivy.core.window import Window

    from benchapp.record.journal import Journal
    from benchapp.runtime.clocks import make_clock
    from benchapp.runtime.runner import Runner
    from benchapp.runtime.session_start import BatchOrder, begin, facts_of
    from benchapp.screens.app import BenchApp
    from benchapp.screens.make.loop import Loop
    from benchapp.service.bench_service import BenchService
    from drivers.devices import open_bench
    from drivers.settings import Bench
    from drivers.simulated import BENCH_SCALE, FINE_SCALE, PH_METER, THERMOMETER
    from procedures.reading import read_procedure
    from procedures.shelf import find

    ends, devices = {}, []
    for device in (BENCH_SCALE, FINE_SCALE, THERMOMETER, PH_METER):
        mine, theirs = os.openpty()
        tty.setraw(mine)
        tty.setraw(theirs)
        ends[device.name] = mine
        devices.append(replace(device, port=os.ttyname(theirs), period_s=0.05))
    journal = Journal(Path(tempfile.mkdtemp()), lambda: "2026-03-01T09:00:00.000+01:00")
    procedure = read_procedure(find("oat-hand-lotion")).procedure
    clock = make_clock(0.0)
    order = BatchOrder(procedure, procedure.default_batch_g, [facts_of(d) for d in devices], "M", "b")
    session = begin(journal, order, clock)
    session.attach(open_bench(Bench(tuple(devices)), clock, session.post))
    app = BenchApp(lambda: BenchService(journal, None, "M"))
    app.root = app.build()
    Window.add_widget(app.root)
    while app.navigator.background.busy or app.bench.facts is None:
        EventLoop.idle()
    app.make.run(Loop(Runner(session), float("inf")))
    written: dict[str, float] = {}
    stop = threading.Event()

    def speak() -> None:
        net = 0.0
        while not stop.wait(0.05):
            view = app.make.loop.view if app.make.loop else None
            if view is not None and view.act_view.instruction.startswith("Pour"):
                net += 0.1
            for name, line in (
                ("fine scale", b"ST,GS,+   0.00 g\r\n"), ("thermometer", b"21.0,21.0\r\n"), ("ph meter", b"pH 7.00\r\n"),
            ):  # fmt: skip
                os.write(ends[name], line)
            os.write(ends["bench scale"], f"ST,GS,{POT_G + net:+9.1f} g\r\n".encode())
            written.setdefault(f"{net:.1f}", time.perf_counter())

    threading.Thread(target=speak, daemon=True).start()
    waits, frames = _watched(app, written, lines)
    stop.set()
    print(f"stands at {app.make.loop.view.prompt}: {app.make.loop.view.act_view.instruction}")
    _tell("wire to frame", waits)
    _tell("frame", frames)
    os._exit(0)


def _watched(app, written: dict[str, float], lines: int) -> tuple[list[float], list[float]]:
    """Draw until so many new values were seen; how long each took from the wire, and how long each frame."""
    from kivy.base import EventLoop

    waits: list[float] = []
    frames: list[float] = []
    seen: set[str] = set()
    end = time.perf_counter() + 60
    while len(waits) < lines and time.perf_counter() < end:
        start = time.perf_counter()
        EventLoop.idle()
        now = time.perf_counter()
        frames.append(now - start)
        m = getattr(app.navigator.page, "view", None)
        if m is None:
            continue
        if not m.act_view.instruction.startswith("Pour"):
            for choice in m.act_view.choices[:1]:
                app.make.input.press(m.prompt, choice.word)
        for reading in app.navigator.page.work.readouts.all:
            text = reading.number.text
            if text in written and text not in seen and text != "0.0":
                seen.add(text)
                waits.append(now - written[text])
    return waits, frames


def start() -> None:
    """First usable frame of the bench against a window with one label, each in a process of its own, in turn."""
    took: dict[str, list[float]] = {"label": [], "bench": [], "command": [], "read": []}
    for _ in range(7):
        for which in took:
            begun = time.perf_counter()
            subprocess.run([sys.executable, str(HERE), f"first-{which}"], check=True, capture_output=True)
            took[which].append(time.perf_counter() - begun)
    label, bench, command, read = (statistics.median(took[w]) for w in ("label", "bench", "command", "read"))
    print(f"first frame: one label {label:.2f} s, the bench {bench:.2f} s, ratio {bench / label:.2f}")
    print(
        f"through the whole command line {command:.2f} s; until journal and devices stand on the page {read:.2f} s"
    )


def first(which: str) -> None:
    """Draw one frame and leave; "read": as many as it takes until the page shows the journal and the devices."""
    if which == "command":
        _command()
    _tame()
    from kivy.base import EventLoop
    from kivy.core.window import Window

    if which == "label":
        from kivy.uix.label import Label

        Window.add_widget(Label(text="bench"))
    else:
        from benchapp.screens.app import BenchApp

        app = BenchApp(_open_shop)
        Window.add_widget(app.build())
        while which == "read" and app.bench.facts is None:
            EventLoop.idle()
    EventLoop.idle()
    os._exit(0)


def _open_shop() -> object:
    from benchapp.record.journal import Journal
    from benchapp.service.bench_service import BenchService

    return BenchService(Journal(Path(tempfile.mkdtemp()), lambda: "2026-03-01T09:00:00.000+01:00"), None, "M")


def _command() -> None:
    """The command as a maker starts it; leaves when the first frame has been drawn."""
    from benchapp import cli
    from benchapp.commands import glass

    tame = glass.tame

    def tame_and_watch(home: Path, **more: bool) -> None:
        tame(home, **more)
        from kivy.core.window import Window

        Window.bind(on_flip=lambda *_: os._exit(0))

    glass.tame = tame_and_watch
    sys.exit(cli.main(["screen", "--data", tempfile.mkdtemp()]))


def make() -> None:
    """Two whole rehearsals as fast as they go, one after the other: the longest frames, and how much memory grew.

    A frame is measured in the time of its own thread (what else the machine does is left out) and from the press on
    "Begin" to the end; what is chosen before it, by itself.
    """
    _tame()
    from kivy.base import EventLoop
    from pilot import Pilot

    from benchapp.record.journal import Journal

    pilot = Pilot(Journal(Path(tempfile.mkdtemp()), lambda: "2026-03-01T09:00:00.000+01:00"))
    frames: list[tuple[float, str]] = []
    choosing: list[float] = []
    memory: list[float] = []

    def frame() -> None:
        began = time.thread_time()
        EventLoop.idle()
        took = time.thread_time() - began
        memory.append(_resident_mb())
        if pilot.view or "Begin" not in pilot.presses():
            frames.append((took, pilot.view.prompt if pilot.view else "before the first prompt"))
        else:  # what was chosen, up to the page that begins it
            choosing.extend([*(s for s, _ in frames), took])
            frames.clear()

    for number in (1, 2, 3):
        pilot.frame = frame
        for seen in (frames, choosing, memory):
            seen.clear()
        pilot.begin()
        m = pilot.until(lambda m: m.over, 20_000)
        print(f"make {number}: {m.over} after {m.at_s / 60:.0f} min, {len(frames)} frames")
        _tell("frame, time of its own thread", [s for s, _ in frames])
        print(f"longest frame of the pages before it: {max(choosing) * 1e3:.0f} ms")
        print(
            "longest: " + ", ".join(f"{s * 1e3:.0f} ms at {at}" for s, at in sorted(frames, reverse=True)[:4])
        )
        tenth, third = memory[len(memory) // 10], memory[len(memory) // 3]
        print(
            f"memory {tenth:.0f} MB after a tenth, {third:.0f} MB after a third, {memory[-1]:.0f} MB at the end"
        )
        pilot.press("Back to the bench")
    print(f"most ever {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB", flush=True)
    os._exit(0)


def _resident_mb() -> float:
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 2**20


def _tell(what: str, seconds: list[float]) -> None:
    if len(seconds) < 20:
        print(f"{what}: only {len(seconds)} seen")
        return
    s = sorted(seconds)
    median, p99 = s[len(s) // 2], s[int(len(s) * 0.99)]
    print(f"{what}: n {len(s)}, median {median * 1e3:.1f} ms ({median / FRAME_S:.2f} frames), "
          f"p99 {p99 * 1e3:.1f} ms ({p99 / FRAME_S:.2f}), longest {s[-1] * 1e3:.1f} ms", flush=True)  # fmt: skip


if __name__ == "__main__":
    what = sys.argv[1] if len(sys.argv) > 1 else "wire"
    if what.startswith("first-"):
        first(what.removeprefix("first-"))
    else:
        {"wire": wire, "start": start, "make": make}[what]()
