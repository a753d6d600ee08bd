"""The make's own loop and the glass: a new reading ends the wait for the next frame, and while the journal's disk stalls it
goes on, and what was pressed says that it is being written."""

from __future__ import annotations

import threading

import pytest

from benchapp.make.inputs import Hold, Press
from benchapp.make.view_model import LiveValue
from benchapp.record.journal import Journal
from benchapp.runtime.runner import Runner
from benchapp.runtime.session_start import BatchOrder, begin, facts_of
from benchapp.screens.make.loop import Loop
from benchapp.screens.make.make_screen import NOT_WRITTEN, WRITING
from drivers.readings import Quantity, Reading
from drivers.simulated import DEFAULT_DEVICES
from procedures.reading import read_procedure
from procedures.shelf import find

#: The longest anything may take here, in seconds.
LIMIT_S = 20.0
#: What the empty water pot weighs, in grams.
POT_G = 420.0

#: What holds a make, on the sheet that stops it.
HOLD = "I have to go away"


class StallingJournal(Journal):
    """A journal whose disk can be made to answer no more until it is let."""

    def __init__(self, folder):
        super().__init__(folder, lambda: "2026-03-01T09:00:00.000+01:00")
        self.stalls, self.stalled, self.free = False, threading.Event(), threading.Event()

    def append(self, batch, events, taken_up=None):
        if self.stalls:
            self.stalled.set()
            assert self.free.wait(LIMIT_S)
        return super().append(batch, events, taken_up)


class Clock:
    def __init__(self):
        self.now = 0.0

    def __call__(self):
        return self.now


@pytest.fixture
def stalled(tmp_path):
    """A make at its first pour on a real session, whose loop is caught in the journal; and its clock."""
    journal, clock = StallingJournal(tmp_path), Clock()
    procedure = read_procedure(find("oat-hand-lotion")).procedure
    facts = [facts_of(d) for d in DEFAULT_DEVICES]
    session = begin(
        journal, BatchOrder(procedure, procedure.default_batch_g, facts, "Mara Lind", "b1"), clock
    )
    tell = weigher(session, clock)
    walk_to_the_pour(session, tell)
    loop = Loop(Runner(session), float("inf"))
    loop.start()
    wait_until(loop, lambda: loop.view is not None and loop.view.act_view.live[0].value == 10.0)
    yield loop, session, journal, tell
    journal.free.set()
    loop.stop()
    journal.close()


def weigher(session, clock):
    """Says a mass on the bench scale, as its driver would."""

    def tell(grams):
        clock.now += 0.2
        session.post(Reading("bench scale", "mass", Quantity.MASS, grams, clock.now, True, None, 0.1))

    return tell


def walk_to_the_pour(session, tell):
    """Through cautions and tasks by pressing the first choice, the pot put on, 10 g poured."""
    for _ in range(200):
        view = session.view()
        prompt = view.prompt.partition("#")[0]
        if prompt.endswith("pour purified-water"):
            break
        if view.act_view.choices:
            session.put(Press(session.clock(), view.prompt, view.act_view.choices[0].key))
        tell(POT_G if "vessel" in prompt else 0.0)
        session.poll()
    else:
        raise AssertionError(f"stands at {view.prompt}: {view.act_view.instruction}")
    for _ in range(20):
        tell(POT_G)
        session.poll()
    tell(POT_G + 10.0)


def wait_until(loop, condition):
    """Wait for the loop's own turn, without asking the clock."""
    for _ in range(2000):
        if condition():
            return
        turn = threading.Event()
        loop.do(lambda session, turn=turn: turn.set())
        turn.wait(LIMIT_S)
    raise AssertionError(f"never came to it: {loop.view}")


@pytest.mark.usefixtures("window")
def test_a_new_reading_ends_the_wait_for_the_next_frame(stalled):
    """Without it a reading waits for the rest of a sixtieth of a second; here that is longer than the test would wait."""
    from kivy.clock import Clock as Frames

    from benchapp.screens.app import BenchApp
    from benchapp.service.bench_service import BenchService

    loop, session, journal, tell = stalled
    app = BenchApp(lambda: BenchService(journal, None, "Mara Lind"))
    app.root = app.build()
    loop.stop()
    app.make.run(Loop(Runner(session), float("inf")))
    given_up = threading.Event()

    def give_up():
        given_up.set()
        Frames._event.set()

    limit = threading.Timer(LIMIT_S, give_up)
    a_second = Frames._max_fps
    try:
        Frames.tick()
        Frames._max_fps = 0.1 / LIMIT_S
        limit.start()
        tell(POT_G + 17.6)
        while app.make.loop.view is None or app.make.loop.view.act_view.live[0].value != 17.6:
            Frames.tick()
            assert not given_up.is_set()
    finally:
        limit.cancel()
        Frames._max_fps = a_second
        app.on_stop()


@pytest.mark.usefixtures("window")
def test_the_reading_goes_on_and_the_press_says_that_it_is_being_written(stalled, monkeypatch):
    from benchapp.screens.display.sizes import TEN_INCH, Sizes
    from benchapp.screens.make.make_screen import MakeScreen

    loop, _, journal, tell = stalled

    class MakeActions:
        def hold(self):
            loop.do(lambda s: s.put(Hold(s.clock(), "")))

    screen = MakeScreen(Sizes.of(TEN_INCH), MakeActions())
    screen.show(loop.view)
    assert screen.work.readouts.all[0].number.text == "10.0"
    monkeypatch.setattr(
        "benchapp.screens.make.loop.SLOW_S", 0.0
    )  # said at once, so that nothing here takes time
    journal.stalls = True
    stop = next(press for press in screen.buttons if press.label == "Stop")
    stop.act()
    next(w for w in screen.overlay.children if getattr(w, "label", "") == HOLD).act()
    screen.bar.act()
    assert journal.stalled.wait(LIMIT_S)
    assert loop.writing
    for grams, shown in ((POT_G + 17.6, "17.6"), (POT_G + 48.0, "48.0")):
        tell(grams)
        screen.writing(loop.writing, loop.meanwhile())
        assert screen.work.readouts.all[0].number.text == shown
        assert screen.work.readouts.all[0].word.text == NOT_WRITTEN
    assert stop.caption.text == WRITING
    assert loop.view.trouble is None  # nothing has happened that is not on the disk

    journal.stalls = False
    journal.free.set()
    wait_until(loop, lambda: loop.view.trouble is not None)
    assert loop.view.trouble.kind == "held"
    screen.show(loop.view)
    screen.writing(False, ())
    assert screen.work.readouts.all[0].number.text == "48.0"
    assert screen.work.readouts.all[0].word.text != NOT_WRITTEN


def test_an_unexpected_failure_behind_the_glass_is_said(stalled, monkeypatch):
    loop, _, _, _ = stalled
    told = threading.Event()
    monkeypatch.setattr(threading, "excepthook", lambda args: told.set())

    def fails(session):
        raise ZeroDivisionError("made up for the test")

    loop.do(fails)
    assert told.wait(LIMIT_S)
    assert loop.trouble.startswith("Something failed.")


def test_several_probes_are_told_apart_though_they_read_the_same():
    from benchapp.events import Source
    from benchapp.screens.make.loop import _moved

    def read(channel, value):
        return Reading("thermometer", channel, Quantity.TEMPERATURE, value, 0.0)

    live = LiveValue("oil pot", 64.1, "°C", 1, Source.MEASURED, "thermometer", channel="probe 2")
    given = {
        ("thermometer", "probe 1"): read("probe 1", 64.1),
        ("thermometer", "probe 2"): read("probe 2", 64.1),
    }
    latest = {
        ("thermometer", "probe 1"): read("probe 1", 70.0),
        ("thermometer", "probe 2"): read("probe 2", 64.6),
    }
    assert _moved(live, given, latest).value == pytest.approx(64.6)
