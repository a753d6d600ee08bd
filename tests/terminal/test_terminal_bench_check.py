"""bench-check: a device read on a port or typed, held against a known value, kept for the makes that follow."""

from __future__ import annotations

import io
import os
import sys
import threading

import pytest

from benchapp.cli import main
from benchapp.runtime.device_checks import checks_in, passed_at

pytestmark = pytest.mark.skipif(os.name != "posix", reason="ptys are POSIX")


class Scale(threading.Thread):
    """A scale with 200.1 g on it that says so ten times a second."""

    def __init__(self) -> None:
        super().__init__(daemon=True)
        self.master, self.slave = os.openpty()
        self.over = threading.Event()

    def run(self) -> None:
        while not self.over.wait(0.1):
            os.write(self.master, b"    200.1 g\r\n")


@pytest.fixture
def scale():
    one = Scale()
    yield one
    one.over.set()
    if one.is_alive():
        one.join()
    os.close(one.master)
    os.close(one.slave)


@pytest.fixture
def check(tmp_path, scale, capsys, monkeypatch):
    """Runs the command on a bench of a scale, a thermometer of two probes and a pH meter; exit code and all it said."""
    port = os.ttyname(scale.slave)
    file = tmp_path / "bench.toml"
    file.write_text(
        f'[[device]]\nname = "big scale"\nkind = "scale"\nport = "{port}"\nformat = "number-unit"\nperiod = "0.2 s"\n'
        'capacity = "3000 g"\nreadability = "0.1 g"\n'
        '[[device]]\nname = "thermo"\nkind = "thermometer"\nport = "/dev/nowhere-1"\nformat = "multi-channel"\n'
        'probes = ["probe 1", "probe 2"]\n'
        '[[device]]\nname = "ph"\nkind = "ph meter"\nport = "/dev/nowhere-2"\nformat = "ph-line"\n'
    )
    monkeypatch.setattr(sys, "stdin", io.StringIO())

    def run(*args, by=("--by", "Mara")):
        code = main(["bench-check", *args, "--bench", str(file), *by, "--data", str(tmp_path)])
        said = capsys.readouterr()
        return code, said.out + said.err

    return run


def test_a_scale_is_read_when_it_is_at_rest_and_the_result_is_kept(check, scale, tmp_path):
    scale.start()
    code, said = check("big scale", "--against", "200 g")
    assert code == 0, said
    assert said.startswith("Passed. big scale, weight 200 g: 200.1 g (measured), off by +0.1, allowed 0.1.")
    (kept,) = checks_in(tmp_path)
    assert (kept.found, kept.source, kept.maker, kept.simulated) == (200.1, "measured", "Mara", False)
    assert list(passed_at(tmp_path)) == ["big scale"]
    assert "200.1 g for 200" in check()[1]


def test_at_a_terminal_it_says_what_to_do_with_what_was_named(check, scale, monkeypatch):
    class Typed(io.StringIO):
        def isatty(self) -> bool:
            return True

    scale.start()
    monkeypatch.setattr(sys, "stdin", Typed("\n"))
    code, said = check("big scale", "--against", "200 g")
    assert code == 0, said
    assert said.startswith("Put the weight on the empty pan.\nEnter reads it.")


def test_a_scale_that_says_nothing_is_not_waited_for_without_end(check, tmp_path):
    code, said = check("big scale", "--against", "200 g", "--seconds", "0.2")
    assert (code, "Nothing was kept" in said) == (3, True)
    assert checks_in(tmp_path) == []


@pytest.mark.parametrize(
    ("args", "code", "words"),
    [
        (("big scale", "--against", "123.4 g", "--reads", "123.4"), 0, "weight 123.4 g: 123.4 g (stated)"),
        (("Big Scale", "--against", "200 g", "--reads", "201"), 3, "Not passed"),
        (("thermo", "--channel", "probe 1", "--against", "ice", "--reads", "0.4"), 0, "thermo, probe 1, ice in water"),
        (("thermo", "--channel", "probe 2", "--against", "boiling water, by height", "--known", "20", "--reads", "99.6"), 0, "boiling at 20 m"),
        (("ph", "--against", "buffer 7.00", "--known", "25", "--reads", "7.3"), 3, "off by +0.3, allowed 0.1"),
    ],
    ids=["any mass", "not passed", "ice", "boiling", "buffer"],
)  # fmt: skip
def test_what_its_display_shows_can_be_typed(check, args, code, words):
    found, said = check(*args)
    assert (found, words in said) == (code, True), said


def test_two_buffers_say_how_the_electrode_is(check):
    check("ph", "--against", "buffer 7.00", "--known", "25", "--reads", "7.02")
    assert (
        "Electrode: slope"
        in check("ph", "--against", "Buffer phthalate", "--known", "25", "--reads", "4.03")[1]
    )


@pytest.mark.parametrize(
    "written", ["buffer 4.01", "Buffer 4.01 (phthalate)", "phthalate", "buffer phthalate"]
)
def test_a_buffer_is_called_as_its_bottle_is(check, written):
    code, said = check("ph", "--against", written, "--known", "25", "--reads", "4.03")
    assert (code, "buffer 4.01 (phthalate) at 25 °C: 4.03 pH (stated), off by +0.025" in said) == (0, True), (
        said
    )


@pytest.mark.parametrize(
    ("args", "sentence"),
    [
        (("small scale", "--against", "200 g"), "No device is called 'small scale'. There are: big scale, thermo, ph."),
        (("big scale", "--against", "heavy"), "'heavy' is no known mass"),
        (("big scale", "--against", "5 kg"), "does not go onto a scale that ends at 3000 g"),
        (("thermo", "--against", "ice"), "Which probe? Say --channel with one of: probe 1, probe 2."),
        (("thermo", "--channel", "probe 1", "--against", "boiling"), "names no one thing"),
        (("ph", "--against", "buffer 7.00"), "Say it with --known"),
    ],
)  # fmt: skip
def test_what_cannot_be_meant_is_refused_with_a_way_out(check, tmp_path, args, sentence):
    code, said = check(*args)
    assert (code, sentence in said) == (3, True), said
    assert checks_in(tmp_path) == []


def test_nobody_checks_without_a_name_and_a_device_alone_says_what_it_can_be_held_against(check):
    assert (
        "Say who checks it: --by NAME."
        in check("big scale", "--against", "200 g", "--reads", "200", by=())[1]
    )
    said = check("thermo", by=())[1]
    assert '--against "Ice in water"' in said
    assert "--known N (how high above the sea is the bench?, m)" in said
