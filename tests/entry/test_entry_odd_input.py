"""Whatever is given on the command line, in a file or as a place to write to: a sentence and an exit code, never a trace."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from one_command import command

from benchapp import events as ev
from benchapp.record.journal import Journal
from benchapp.record.pins import hashed
from procedures.shelf import find

BATCH = "20240301-tide-pool-gel-1"
SCALE = '[[device]]\nname = "big"\nkind = "scale"\nport = "{port}"\nformat = "number-unit"\n'
MODBUS = (
    '[[device]]\nname = "bath"\nkind = "thermometer"\nport = "/dev/ttyUSB0"\nformat = "modbus-register"\n'
    'probes = ["probe 1"]\noptions = {{ unit = "C", scale = "{scale}" }}\n'
)


def run(*words: str, keyed: str = "") -> subprocess.CompletedProcess[str]:
    """One command, which is not to end by an error of the program."""
    done = command(*words, keyed=keyed)
    assert done.returncode in (0, 2, 3, 4, 5, 6), done.returncode
    return done


def started(*words: str, keyed: str = "", **more: object) -> subprocess.CompletedProcess[str]:
    """The same in a process of its own."""
    env = os.environ | more.pop("env", {})
    usual = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE} | more
    done = subprocess.run(
        [sys.executable, "-m", "benchapp.cli", *words], input=keyed, encoding="utf-8", errors="replace", timeout=60,
        env=env, **usual,
    )  # fmt: skip
    assert "Traceback" not in (done.stderr or ""), done.stderr[-2000:]
    assert done.returncode in (0, 2, 3, 4, 5, 6), done.returncode
    return done


def procedure(text: str) -> str:
    """The shipped gel with something in front of it."""
    return text + find("tide-pool-gel").read_text(encoding="utf-8")


FILES = {
    "brackets": "x = " + "[" * 20_000,
    "brackets closed": "x = " + "[" * 20_000 + "]" * 20_000,
    "brackets that are read": "x = " + "[" * 200 + "]" * 200,
    "braces": "x = " + "{a=" * 20_000 + "1" + "}" * 20_000,
    "a long number": "x = " + "9" * 5000,
    "a long hexadecimal number": "x = 0x" + "f" * 5000,
    "a long number where one is known": SCALE.format(port="/dev/ttyS0") + "baud = 0x" + "f" * 5000,
    "headings": "[" + ".".join("a" * 5000) + "]\nx = 1",
    "a heading under a known one": "[formula." + ".".join("a" * 5000) + "]\nx = 1",
    "a device's headings": SCALE.format(port="/dev/ttyS0") + "[device.options." + ".".join("a" * 5000) + "]",
    "dotted keys": ".".join("a" * 5000) + " = 1",
    "unknown keys": "\n".join(f"key{n} = 1" for n in range(300_000)),
    "unknown tables": "\n".join(f"[table{n}]" for n in range(30_000)),
    "unknown keys of a device": SCALE.format(port="/dev/ttyS0") + "\n".join(f"key{n} = 1" for n in range(60_000)),
    "nothing": "",
    "zeros": "\0" * 1000,
    "half a sign": "name = \"\udcff\"",
    "infinite": SCALE.format(port="/dev/ttyS0") + 'capacity = "inf g"\nbaud = inf',
}  # fmt: skip


@pytest.mark.parametrize("what", FILES)
def test_a_file_is_refused_in_a_few_sentences(tmp_path, what):
    file = tmp_path / "odd.toml"
    file.write_bytes(FILES[what].encode(errors="surrogateescape"))
    for words in (["check", str(file)], ["plan", "tide-pool-gel", "--bench", str(file)]):
        done = run(*words)
        said = (done.stdout + done.stderr).splitlines()
        assert done.returncode == 3, words
        assert 1 <= len(said) <= 25, words
        assert max(map(len, said)) < 1500, words


def test_twenty_of_very_many_problems_are_named_and_the_rest_counted(tmp_path):
    file = tmp_path / "odd.toml"
    file.write_text(FILES["unknown keys of a device"])
    said = run("plan", "tide-pool-gel", "--bench", str(file)).stderr
    assert "odd.toml:6: device.1.key0 is not known here" in said
    assert "and 59980 more" in said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (SCALE.format(port="/dev/ttyS0") + 'capacity = "100 g"\nreadability = "200 g"\n', "readability"),
        (SCALE.format(port="/dev/ttyS0") + 'capacity = "100 g"\nreadability = "100 g"\n', "readability"),
        (MODBUS.format(scale="0"), "scale"),
        (MODBUS.format(scale="nan"), "scale"),
        (MODBUS.format(scale="0.0"), "scale"),
        (SCALE.format(port="/dev/ttyUSB0") + SCALE.format(port="/dev/../dev/ttyUSB0").replace("big", "small"),
         "stands on line"),
        (SCALE.format(port="/dev/ttyUSB0") + SCALE.format(port="//dev/./ttyUSB0").replace("big", "small"),
         "stands on line"),
        (SCALE.format(port="socket://Bench:4001") + SCALE.format(port="socket://bench:4001/").replace("big", "small"),
         "stands on line"),
        (SCALE.format(port="COM3") + SCALE.format(port="com3").replace("big", "small"), "stands on line"),
    ],
)  # fmt: skip
def test_a_bench_that_cannot_work_is_refused(tmp_path, text, said):
    file = tmp_path / "bench.toml"
    file.write_text(text)
    done = run("check", str(file))
    assert (done.returncode, said in done.stderr) == (3, True), done.stderr


@pytest.mark.parametrize("readability", ["1 g", "5 g", "100 g"])
@pytest.mark.parametrize("name", ["tide-pool-gel", "shingle-lotion-bars"])
def test_a_scale_far_too_coarse_for_a_batch_is_said_to_be(tmp_path, name, readability):
    bench = tmp_path / "kitchen.toml"
    bench.write_text(f'{SCALE.format(port="/dev/ttyS0")}capacity = "5000 g"\nreadability = "{readability}"\n')
    said = run("plan", name, "--batch-size", "400g", "--bench", str(bench))
    assert "well enough" in said.stdout + said.stderr


def test_a_port_and_a_link_to_it_are_one(tmp_path):
    real, link = tmp_path / "port", tmp_path / "by-id"
    real.touch()
    link.symlink_to(real)
    file = tmp_path / "bench.toml"
    file.write_text(SCALE.format(port=real) + SCALE.format(port=link).replace("big", "small"))
    assert "stands on line" in run("check", str(file)).stderr


def test_a_byte_order_mark_before_a_bench_is_no_mistake(tmp_path):
    file = tmp_path / "bench.toml"
    file.write_text("\ufeff" + SCALE.format(port="/dev/ttyS0"), encoding="utf-8")
    assert run("check", str(file)).returncode == 0
    file = tmp_path / "gel.toml"
    file.write_text("\ufeff" + procedure(""), encoding="utf-8")
    assert run("check", str(file)).returncode == 0


@pytest.mark.skipif(os.name != "posix", reason="other systems have no such files")
def test_only_plain_files_are_read_and_no_more_than_one_needs(tmp_path):
    pipe = tmp_path / "pipe.toml"
    os.mkfifo(pipe)
    for odd in (str(pipe), "/dev/zero", "/dev/null", str(tmp_path)):
        assert run("plan", "tide-pool-gel", "--bench", odd).returncode == 3
        assert run("plan", odd).returncode == 3
        assert run("check", odd).returncode == 3
    huge = tmp_path / "huge.toml"
    with huge.open("wb") as file:
        file.truncate(1 << 34)
    assert "too large" in run("plan", "tide-pool-gel", "--bench", str(huge)).stderr
    done = run("check", str(huge))
    assert "too large" in done.stdout + done.stderr


@pytest.fixture
def data(tmp_path, lotion) -> Path:
    """A finished batch of long ago that waits for its checks."""
    folder = tmp_path / "data"
    journal = Journal(folder, lambda: "2024-03-01T12:00:00.000+01:00")
    pin = hashed("4711", lambda n: b"s" * n)
    journal.append(
        ev.WORKSHOP,
        [ev.PersonEnrolled(at_s=0.0, who="Mara", roles=("maker", "releaser"), pin=pin, by="Mara")],
    )
    journal.append(
        BATCH,
        [
            ev.MakeStarted(
                at_s=0.0, batch=BATCH, maker="Zoë Łuk", procedure=lotion.key, procedure_sha256=lotion.sha256,
                procedure_text=lotion.text, batch_g=500.0, devices=(),
            ),
            ev.MakeFinished(at_s=4.0, product_g=480.0, yield_percent=96.0),
        ],
    )  # fmt: skip
    journal.close()
    return folder


@pytest.mark.parametrize("value", ["nan", "1e999", "9" * 5000])
@pytest.mark.parametrize(
    "words",
    [
        ("batch-check", BATCH, "pH after a day", "--by", "Mara", "--value"),
        ("lot", "receive", "oil-1", "oil", "--by", "Mara"),
        ("rehearse", "--terminal", "--pace"),
        ("rehearse", "--terminal", "--seed"),
        ("rehearse", "--terminal", "--batch-size"),
        ("close-deviation", BATCH, "--reason", "x", "--by", "Mara"),
        ("retain", BATCH, "--where", "x", "--until", "2027-01-01", "--by", "Mara"),
        ("dispatch", BATCH, "--by", "Mara", "Pier"),
        ("correct", BATCH, "1", "batch_g", "--reason", "x", "--by", "Mara"),
        ("correct", BATCH, "2", "product_g", "--reason", "x", "--by", "Mara"),
    ],
    ids=" ".join,
)
def test_numbers_that_are_none_are_refused(data, words, value):
    assert run(*words, value, "--data", str(data), keyed="4711\n").returncode in (2, 3)


@pytest.mark.parametrize("seconds", ["nan", "inf", "-1", "1e999"])
def test_listening_takes_a_time(seconds):
    assert run("listen", "/dev/null", "--seconds", seconds).returncode == 2


@pytest.mark.parametrize(
    "env",
    [{"PYTHONIOENCODING": "ascii"}, {"PYTHONIOENCODING": "latin-1"}, {"LC_ALL": "C", "PYTHONUTF8": "0"}],
)
def test_any_encoding_of_the_output_will_do(data, env):
    for words in (["record", BATCH], ["batches"]):
        done = started(*words, "--data", str(data), env=env)
        assert done.returncode in (0, 3)
        assert done.stdout + done.stderr
    done = started("plan", "oat-hand-lotion", env=env)
    assert done.returncode == 0
    assert "Zo" in started("batches", "--data", str(data), env=env).stdout


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here")
def test_an_output_that_takes_no_more_is_one_sentence(data):
    for words in (["record", BATCH], ["batches"], ["verify"], ["record", BATCH, "--as", "json"]):
        with Path("/dev/full").open("w") as full:
            done = started(*words, "--data", str(data), stdout=full)
        assert done.returncode != 0, words
        assert "No space left" in done.stderr, words
    with Path("/dev/full").open("w") as full:
        started("batches", "--data", str(data), stdout=full, stderr=full)


@pytest.mark.skipif(os.name != "posix", reason="other systems have no such signal")
def test_sigterm_leaves_a_make_that_can_be_gone_on_with(tmp_path):
    words = ["rehearse", "tide-pool-gel", "--terminal", "--pace", "1", "--data", str(tmp_path)]
    env = {k: v for k, v in os.environ.items() if k != "SDL_VIDEODRIVER"}
    with subprocess.Popen(
        [sys.executable, "-m", "benchapp.cli", *words], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
        stderr=subprocess.PIPE, text=True, env=env,
    ) as make:  # fmt: skip
        assert make.stdout is not None
        assert any(line.startswith("[0:00:") for line in make.stdout), "the make has begun"
        make.send_signal(signal.SIGTERM)
        _, errors = make.communicate(timeout=60)
    assert "Traceback" not in errors
    assert (make.returncode, "resume" in errors) == (5, True), errors
    assert run("verify", "--data", str(tmp_path)).returncode == 0
    assert "unfinished" in run("batches", "--data", str(tmp_path)).stdout


def test_sigterm_has_its_exit_code_wherever_it_comes(tmp_path):
    """In the middle of code that is made and run by the interpreter itself, as classes are while they are loaded."""
    inner = "import os, signal; os.kill(os.getpid(), signal.SIGTERM); [None for _ in range(10**6)]"
    (tmp_path / "stopped.py").write_text(
        f"import sys\nfrom benchapp import cli\ncli._run = lambda _: exec({inner!r})\nsys.exit(cli.main([]))\n"
    )
    paths = os.pathsep.join((str(tmp_path), str(Path(__file__).parents[2])))
    done = subprocess.run(
        [sys.executable, "-m", "stopped"], capture_output=True, text=True, check=False,
        env=os.environ | {"PYTHONPATH": paths},
    )  # fmt: skip
    assert done.returncode == 5
    assert done.stderr == "Stopped here. What was recorded is on the disk.\n"
