"""A scale brought onto the bench by touches, question by question: a real window, a real pty as the scale."""

from __future__ import annotations

import os
from types import SimpleNamespace

import pytest
from pty_scale import Scale

from drivers.bench_file import read_bench
from drivers.formats import read_format

FRAMES = 4_000


@pytest.fixture
def plugs(monkeypatch):
    """What the system lists as its serial ports, and nothing of its own."""
    there = []
    monkeypatch.setattr("drivers.finding.list_ports.comports", lambda: list(there))
    monkeypatch.setattr("drivers.finding.message_ports", lambda root: ((), ""))
    return there


@pytest.fixture
def scale():
    one = Scale("ST,GS,{:+010.1f},g", "US,GS,{:+010.1f},g", other_unit="oz")
    yield one
    one.close()


@pytest.fixture
def odd_scale():
    one = Scale("#* {:.1f} Gr;", "#~ {:.1f} Gr;")
    yield one
    one.close()


@pytest.fixture
def silent_port():
    mine, theirs = os.openpty()
    yield os.ttyname(theirs)
    os.close(mine)
    os.close(theirs)


@pytest.fixture
def pilot(plugs, pilot):
    return pilot


def until(pilot, title: str, words: str = "") -> None:
    """Draw, and touch nothing, until the glass asks that, and shows these words."""
    from page_glass import words_on

    for _ in range(FRAMES):
        if asked(pilot) == title and words in words_on(pilot.page):
            return
        pilot.arrive()
        wait(pilot)
    raise AssertionError(f"never came to {title!r}; the glass asks {asked(pilot)!r}")


def wait(pilot) -> None:
    """Until the scale has spoken again, where it is open."""
    steps = pilot.shop._connecting
    monitor = steps._work._monitor if steps is not None else None
    if monitor is not None:
        with monitor.heard:
            monitor.heard.wait_for(lambda: False, 0.1)


def asked(pilot) -> str:
    page = pilot.page
    return page.ask.what if hasattr(page, "ask") else page.texts[0].text


def press_when_ready(pilot, words: str) -> None:
    """Draw until that can be pressed, and press it."""
    for _ in range(FRAMES):
        if words in pilot.presses():
            pilot.press(words)
            return
        pilot.frame()
        wait(pilot)
    raise AssertionError(f"{words!r} never came, only {list(pilot.presses())}")


def listed(port: str) -> SimpleNamespace:
    """A port as the system lists it."""
    return SimpleNamespace(device=port, description="", vid=None, pid=None, serial_number=None)


def keyed(pilot, digits: str) -> None:
    """On the keypad, which is empty at first."""
    assert pilot.page.typed == ""
    for digit in digits:
        pilot.press(digit)
    pilot.press("Enter")


def begin(pilot, plugs, scale, first: str = "Empty its pan.") -> None:
    """From the bench to the first question about what it says."""
    pilot.press("Settings")
    pilot.press("Find devices")
    pilot.press("Step by step")
    assert asked(pilot) == "Unplug the device if it is plugged in."
    pilot.press("Next")
    assert asked(pilot) == "Plug it in, switch it on and set it to send."
    plugs.append(listed(scale.port))
    until(pilot, first)  # nobody pressed anything


def test_a_scale_is_brought_onto_the_bench_by_touches(pilot, plugs, scale, tmp_path):
    begin(pilot, plugs, scale)
    press_when_ready(pilot, "Next")
    assert asked(pilot) == "Put a known weight on it. How much is it?"
    keyed(pilot, "100")
    assert asked(pilot) == "Leave 100 g on it, and keep your hands off."
    scale.grams = 100.0
    until(pilot, "Take it off.")  # by itself, as the three below
    scale.grams = 0.0
    until(pilot, "Put the weight on again, and press its unit key once.")
    scale.grams, scale.unit_pressed = 100.0, True
    until(pilot, "Set it back to the unit it had.")
    assert "A pressed unit key is noticed." in [words.text for words in pilot.page.texts]
    scale.unit_pressed = False
    until(pilot, "How much does it weigh at most? It stands on its plate.")
    assert not (tmp_path / "bench.toml").exists()
    keyed(pilot, "3000")
    assert asked(pilot) == "Add the scale to the bench?"
    found = [words.text for words in pilot.page.texts]
    assert f"{scale.port}, 9600 baud, status-headed, a line every 0.1 s." in found
    assert "Last digit 0.1 g, up to 3000 g; its lines tell when it is at rest." in found
    pilot.press("Add it")
    assert pilot.page.texts[0].text == "The scale is on the bench."
    (device,) = read_bench(tmp_path / "bench.toml").devices
    assert (device.port, device.format, device.readability_g, device.capacity_g) == (
        scale.port, "status-headed", 0.1, 3000.0,
    )  # fmt: skip
    pilot.press("To the bench")
    assert [(one.name, one.channels) for one in pilot.app.bench.facts.devices] == [("scale", ("mass",))]


def test_a_weight_that_is_another_is_refused_with_what_to_do_and_nothing_is_written(
    pilot, plugs, scale, tmp_path
):
    begin(pilot, plugs, scale)
    press_when_ready(pilot, "Next")
    keyed(pilot, "100")
    press_when_ready(pilot, "Next")  # too early
    until(pilot, "Leave 100 g on it, and keep your hands off.", "with nothing on it. Put the weight on.")
    scale.grams = 90.0
    press_when_ready(pilot, "Next")
    assert pilot.page.texts[1].text == (
        "It reads 90 g where 100 g lie. Check it against another weight first; nothing was written."
    )
    assert not (tmp_path / "bench.toml").exists()
    pilot.press("Begin again")
    assert asked(pilot) == "Unplug the device if it is plugged in."
    pilot.press("Stop")
    assert "Find devices" in pilot.presses()


def test_lines_that_no_format_reads_become_one_by_three_known_weights(pilot, plugs, odd_scale, tmp_path):
    begin(pilot, plugs, odd_scale, "Which unit does its display show?")
    pilot.press("g")
    assert asked(pilot) == "Empty its pan."
    until(pilot, "Empty its pan.", "#* 0.0 Gr;")
    pilot.press("Next")
    for grams in (100, 200):
        keyed(pilot, str(grams))
        assert asked(pilot) == f"Leave {grams} g on it, and keep your hands off."
        odd_scale.grams = float(grams)
        pilot.press("Next")
    assert asked(pilot) == "Press on its pan with a finger, to and fro."
    odd_scale.moves = True
    pilot.press("Next")
    assert asked(pilot) == "Empty its pan."
    assert "The format scale reads its lines now." in [words.text for words in pilot.page.texts]
    made = read_format(tmp_path / "formats" / "scale.toml")
    assert [reads for _, reads, _ in made.examples][:3] == ["0 g, stable", "100 g, stable", "200 g, stable"]
    pilot.press("Stop")
    assert not (tmp_path / "bench.toml").exists()


def test_listening_on_every_port_need_not_be_waited_for(pilot, plugs, silent_port):
    plugs.append(listed(silent_port))
    pilot.press("Settings")
    pilot.touch(*pilot.presses()["Find devices"].center)
    assert asked(pilot) == "Listening on every port"
    assert pilot.app.navigator.background.busy
    pilot.press("Step by step")
    assert asked(pilot) == "Unplug the device if it is plugged in."
