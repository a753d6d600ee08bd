"""A make that goes on with another bench file: a scale more, one that is gone, one that shows other steps."""

from __future__ import annotations

import os
import tty

import pytest

from benchapp import events as ev
from benchapp.make.inputs import Press, Skip, TypeValue
from benchapp.runtime.session_start import BatchOrder, begin, facts_of, reopen
from drivers.devices import open_bench
from drivers.settings import Bench, DeviceSettings


class Line:
    """A scale's end of a serial line; it shows what the test says."""

    def __init__(self) -> None:
        self.master, self.slave = os.openpty()
        tty.setraw(self.slave)
        self.name, self.sent = os.ttyname(self.slave), 0

    def show(self, text: str) -> None:
        self.sent += os.write(self.master, f"G {text} g\r\n".encode())

    def close(self) -> None:
        os.close(self.master)
        os.close(self.slave)


@pytest.fixture
def lines():
    made = {name: Line() for name in ("big", "small", "third")}
    yield made
    for line in made.values():
        line.close()


def scale(lines, name, readability_g):
    return DeviceSettings(
        name, "scale", lines[name].name, "labelled", ("mass",), period_s=0.5, capacity_g=3000.0,
        readability_g=readability_g,
    )  # fmt: skip


class OnBench:
    """A session on those devices, and time under the test's thumb."""

    def __init__(self, session, lines, settings, clock) -> None:
        self.session, self.lines, self.clock = session, lines, clock
        self.devices = open_bench(Bench(tuple(settings)), lambda: clock[0], session.post)
        session.attach(self.devices)

    def show(self, name, text, seconds=4.0):
        """The scale of that name shows that for so long, as far as somebody listens to it."""
        device = next(d for d in self.devices if d.name == name)
        heard = device in self.session._devices
        assert not heard or device.port.wait_open(5.0)
        for _ in range(int(seconds * 5)):
            self.clock[0] = round(self.clock[0] + 0.2, 3)
            before = device.bytes_received
            self.lines[name].show(text)
            assert not heard or device.wait_received(before + len(f"G {text} g\r\n"), 5.0)
            self.view = self.session.poll()

    def press(self, choice):
        self.session.put(Press(self.clock[0], self.session.view().prompt, choice))


def test_it_goes_on_with_what_it_was_begun_on_and_says_what_of_it_is_not_here(journal, lotion, lines):
    """A scale that the make did not know ended the program at its first reading; one of other steps was taken for the old."""
    clock = [0.0]
    old = (scale(lines, "big", 0.1), scale(lines, "small", 0.01))
    facts = [facts_of(d, checked="2026-03-01T08:00:00+01:00") for d in old]
    order = BatchOrder(lotion, 500.0, facts, "Mara Lind", "moved")
    bench = OnBench(begin(journal, order, lambda: clock[0]), lines, old, clock)
    while bench.session.make.state.step != "02-weigh":
        bench.session.put(Skip(clock[0], bench.session.view().prompt, "not part of this test"))
    bench.show("big", "0.0")
    assert bench.view.trouble is None
    bench.session.close()

    now = (scale(lines, "big", 1.0), scale(lines, "third", 0.1))
    again = OnBench(reopen(journal, journal.stored("moved"), 10.0, lambda: clock[0]), lines, now, clock)
    again.show("third", "420.0")
    again.show("big", "420")
    lost = {e.device: e.text for e in journal.events("moved") if isinstance(e, ev.DeviceLost)}
    assert lost.keys() == {"big", "small"}
    assert lost["big"].startswith(
        "The big this batch was begun on is not on this bench, or is another one now."
    )
    assert again.view.trouble.text == lost["big"]
    assert again.session.make.state.ledger.of("water-pot").empty_g is None
    again.session.put(TypeValue(clock[0], again.session.view().prompt, 420.0))
    assert again.session.make.state.ledger.of("water-pot").empty_g == 420.0, "the batch goes on by hand"
    again.session.close()

    back = OnBench(reopen(journal, journal.stored("moved"), 10.0, lambda: clock[0]), lines, old, clock)
    back.show("big", "0.0")
    assert "big" not in back.session.make.state.lost
    back.session.close()


def test_a_journal_that_did_not_say_in_which_steps_goes_on_with_the_scale_of_that_name(
    journal, lotion, lines
):
    clock = [0.0]
    now = (scale(lines, "big", 0.1),)
    facts = [ev.DeviceFacts("big", "scale", ("mass",), capacity_g=3000.0)]
    order = BatchOrder(lotion, 500.0, facts, "Mara Lind", "older")
    bench = OnBench(begin(journal, order, lambda: clock[0]), lines, now, clock)
    bench.show("big", "0.0", 1.0)
    assert bench.session.make.state.lost == {}
    bench.session.close()
