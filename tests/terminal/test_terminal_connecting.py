"""Connecting a scale question by question, on a real pty: what is found, what is written, what is refused."""

from __future__ import annotations

import re
import threading

import pytest
from hid_bus import hid_bus
from one_command import command
from pty_scale import Scale

from benchapp.service.connecting import Connecting
from benchapp.service.connecting_steps import ConnectingSteps
from benchapp.service.errors import CommandError
from benchapp.terminal.connecting_dialogue import ConnectingDialogue
from drivers.bench_file import read_bench
from drivers.finding import Search
from drivers.formats import read_format


class Maker:
    """Does with the scale what the question asks for, and answers it."""

    def __init__(self, scale, answers: dict[str, str] | None = None) -> None:
        self.scale, self.answers = scale, answers or {}
        self.asked: list[str] = []
        self.said: list[str] = []

    def ask(self, question: str) -> str:
        self.asked.append(question)
        assert len(self.asked) < 40, self.asked[-3:]
        scale = self.scale
        scale.moves = scale.unit_pressed = False
        if question.startswith(("Empty", "Take it off")):
            scale.grams = 0.0
        elif found := re.search(r"How much is it\? Enter: ([0-9]+) g", question):
            scale.grams = float(found[1])
        elif question.startswith("Press on its pan"):
            scale.grams, scale.moves = 150.0, True
        elif "press its unit key" in question:
            scale.grams, scale.unit_pressed = 100.0, True
        return next((answer for start, answer in self.answers.items() if question.startswith(start)), "")


@pytest.fixture
def connect(tmp_path, monkeypatch):
    monkeypatch.setattr("drivers.finding.list_ports.comports", list)
    scales = []

    def run(still: str, moving: str = "", factor: float = 1.0, **answers: str) -> Maker:
        scale = Scale(still, moving, factor)
        scales.append(scale)
        maker = Maker(
            scale,
            {"How much does it weigh": "3000 g", **{k.replace("_", " "): v for k, v in answers.items()}},
        )
        work = Connecting(tmp_path / "bench.toml", Search((9600,), 0.5, sysfs_root=tmp_path / "no sys"))
        steps = ConnectingSteps(work, lambda kind: "big scale", maker.said.append, scale.port)
        ConnectingDialogue(steps, maker.ask, maker.said.append).connect()
        return maker

    yield run
    for scale in scales:
        scale.close()


def test_a_known_format_is_found_weighed_and_written(connect, tmp_path) -> None:
    maker = connect("ST,GS,{:+010.1f},g", "US,GS,{:+010.1f},g")
    (device,) = read_bench(tmp_path / "bench.toml").devices
    assert (device.format, device.baud, device.readability_g, device.capacity_g) == (
        "status-headed",
        9600,
        0.1,
        3000.0,
    )
    assert device.port == maker.scale.port
    assert "It reads 100 g." in maker.said
    assert any("its lines tell when it is at rest" in line for line in maker.said)
    assert maker.said[-1] == f"big scale stands in {tmp_path / 'bench.toml'} now."


def test_lines_without_a_unit_get_the_one_the_known_weight_proves(connect, tmp_path) -> None:
    maker = connect("{:.2f}", factor=28.349523125, Its_lines_do_not="scale")
    assert "Its lines name no unit; by that weight it is oz." in maker.said
    (device,) = read_bench(tmp_path / "bench.toml").devices
    assert device.options == {"unit": "oz"}
    assert device.readability_g == pytest.approx(0.28349523125)
    assert any("does not show in its lines" in line for line in maker.said)


def test_a_shape_nobody_knows_becomes_a_format_of_its_own_that_reads_the_next_lines(
    connect, tmp_path
) -> None:
    maker = connect("#* {:.1f} Gr;", "#~ {:.1f} Gr;")
    assert "The format big-scale reads its lines now." in maker.said
    file = tmp_path / "formats" / "big-scale.toml"
    made = read_format(file)
    assert [reads for _, reads, _ in made.examples] == ["0 g, stable", "100 g, stable", "200 g, stable", *(
        reads for _, reads, _ in made.examples[3:]
    )]  # fmt: skip
    assert made.examples[3][1].endswith("g, moving")
    bench = read_bench(tmp_path / "bench.toml")
    assert bench.formats_folder == str(tmp_path / "formats")
    assert bench.devices[0].format == "big-scale"


def test_a_scale_that_shows_another_weight_is_not_written_down(connect, tmp_path) -> None:
    with pytest.raises(CommandError, match="It reads 90 g where 100 g lie"):
        connect("{:.1f} g", factor=100 / 90)
    assert not (tmp_path / "bench.toml").exists()


def test_at_any_question_it_can_be_stopped_and_nothing_is_written(connect, tmp_path) -> None:
    with pytest.raises(CommandError, match="Nothing was written"):
        connect("{:.1f} g", Take_it_off="stop")
    assert not (tmp_path / "bench.toml").exists()


def test_the_port_is_the_one_that_was_not_there_before(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr("drivers.finding.list_ports.comports", list)
    over = threading.Event()
    with hid_bus() as bus:
        lies, threads = {"grams": 0.0}, []

        def speak(scale) -> None:
            scale.near.setblocking(False)
            while not over.wait(0.02):
                try:
                    scale.show(lies["grams"])
                except BlockingIOError:
                    continue  # nobody reads

        def ask(question: str) -> str:
            if question.startswith("Plug it in"):
                threads.append(threading.Thread(target=speak, args=(bus.plug_in(),), daemon=True))
                threads[0].start()
            lies["grams"] = 100.0 if question.startswith(("Put a known", "Leave 100 g")) else 0.0
            if "unit key" in question:
                return "none"
            return "5000 g" if question.startswith("How much does it weigh at most") else ""

        work = Connecting(tmp_path / "bench.toml", Search((9600,), 0.5, sysfs_root=tmp_path))
        steps = ConnectingSteps(work, lambda kind: "parcel scale")
        try:
            ConnectingDialogue(steps, ask, lambda said: None).connect()
        finally:
            over.set()
            threads[0].join()
    (device,) = read_bench(tmp_path / "bench.toml").devices
    assert (device.port, device.format) == ("hid:1a2b:00c8:A1", "hid-report")
    assert device.capacity_g == 5000.0


def test_a_thermometer_without_a_unit_gets_the_one_of_its_display(connect, tmp_path) -> None:
    maker = connect("70.7,147.2", Does_its_display="F")
    (device,) = read_bench(tmp_path / "bench.toml").devices
    assert (device.kind, device.channels, device.options) == (
        "thermometer", ("probe 1", "probe 2"), {"unit": "F"},
    )  # fmt: skip
    assert not any("pan" in question for question in maker.asked)


def test_a_port_of_the_bench_is_refused_before_anything_is_asked(connect, tmp_path) -> None:
    scale = connect("70.7,147.2").scale
    steps = ConnectingSteps(Connecting(tmp_path / "bench.toml"), lambda kind: "other scale", port=scale.port)
    with pytest.raises(CommandError, match=f"{scale.port} is the big scale of the bench already: check"):
        steps.begin()


def test_the_command_wants_a_name_and_a_file_and_somebody_who_answers(tmp_path) -> None:
    assert command("listen", "--guide").returncode == 3
    said = command(
        "listen", "--guide", "--write", str(tmp_path / "bench.toml"), "--name", "big scale", keyed=""
    )
    assert (said.returncode, said.stdout.splitlines()) == (
        3,
        ["Unplug the device if it is plugged in. Then press Enter."],
    )
    assert "Nobody answers here" in said.stderr
