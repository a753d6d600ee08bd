"""The commands as a user meets them: whole processes, exit codes, one sentence for every mistake."""

from __future__ import annotations

import argparse
import io
import json
import os
import re
import subprocess
import sys
from gettext import NullTranslations
from pathlib import Path

import pytest
from one_command import command

from benchapp.cli import parser
from benchapp.foundation.language import Language, speaking
from procedures.shelf import LIBRARY, shipped

#: Nothing here opens a window, whatever the other rooms have set up.
ENV = {k: v for k, v in os.environ.items() if k not in ("SDL_VIDEODRIVER", "DISPLAY", "WAYLAND_DISPLAY")} | {
    "PYTHONUTF8": "1"
}


def run(*args, stdin="", cwd=None):
    return command(*args, keyed=stdin, cwd=cwd)


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """One whole rehearsal in a process of its own, nobody answering."""
    folder = tmp_path_factory.mktemp("data")
    done = run("rehearse", "tide-pool-gel", "--data", str(folder), "--maker", "Mara Lind")
    assert done.returncode == 0, done.stderr
    return folder, done.stdout


def test_a_rehearsal_nobody_answers_walks_to_the_end(made):
    _, out = made
    assert "Finished:" in out
    assert "pour" in out.lower()


def test_the_batch_is_listed_and_its_record_can_be_read(made):
    folder, _ = made
    listed = run("batches", "--data", str(folder))
    assert "tide-pool-gel" in listed.stdout
    assert "Mara Lind" in listed.stdout
    batch = next(w for w in listed.stdout.split() if w.endswith("tide-pool-gel-1"))
    record = json.loads(run("record", batch, "--as", "json", "--data", str(folder)).stdout)
    assert record["outcome"] == "finished"
    assert {w["source"] for w in record["weighings"]} == {"measured"}
    text = run("record", batch, "--data", str(folder)).stdout
    assert record["head"] in text


def test_another_program_can_drive_a_make_line_by_line(tmp_path):
    """Two lines from a pipe decide; then the batch is given up and the exit code says so."""
    out = run(
        "rehearse",
        "--data",
        str(tmp_path),
        stdin="understood\nyes\nnonsense\nabandon: only a test\nabandon: only a test\n",
    )
    assert out.returncode == 4
    assert "is not offered here" in out.stdout
    assert "Say it once more if it is meant." in out.stdout
    assert "Abandoned: only a test" in out.stdout


def test_check_accepts_all_that_is_shipped():
    out = run("check", *shipped())
    assert out.returncode == 0
    assert out.stdout.count("can be made") == len(shipped())


@pytest.mark.parametrize("command", ["check", "plan"])
def test_what_no_ceiling_is_known_for_is_said_and_that_the_law_decides(command, tmp_path):
    out = run(command, "oat-hand-lotion", "--data", str(tmp_path))
    said = " ".join(out.stdout.split())
    assert "No ceiling known for: Tetrasodium Glutamate Diacetate, Glycerin" in said
    assert "The market's current law decides (EU:" in said


def test_a_workshops_own_limits_are_checked_with_the_plan(tmp_path):
    law = 'markets = ["EU"]\nby = "Ines Tern"\ndate = 2026-11-03\nlimit = [{ inci = "Glycerin", percent = 1.0 }]\n'
    (tmp_path / "law.toml").write_text(law)
    said = " ".join(run("plan", "oat-hand-lotion", "--data", str(tmp_path)).stdout.split())
    assert "ABOVE 1 % (own limit, Ines Tern, 2026-11-03)" in said
    assert "UK" not in said
    (tmp_path / "law.toml").write_text("limit = 3")
    out = run("plan", "oat-hand-lotion", "--data", str(tmp_path))
    assert out.returncode == 3
    assert "until then no ceiling is checked" in " ".join((out.stdout + out.stderr).split())


def test_check_says_every_mistake_with_its_line(tmp_path):
    file = tmp_path / "bad.toml"
    file.write_text(
        (LIBRARY / "oat-hand-lotion.toml").read_text().replace("percent = 4.5", 'percent = "4 g"', 1)
    )
    out = run("check", str(file))
    assert out.returncode == 3
    assert f"{file}:" in out.stdout
    assert "Traceback" not in out.stderr


def test_the_weigh_sheet_adds_up_and_cuts_no_name_short_on_a_narrow_terminal():
    from rich.console import Console

    from benchapp.commands.planning import run_plan

    out = io.StringIO()
    given = argparse.Namespace(
        procedure="oat-hand-lotion", batch_size="500 g", bench=None, substitute="", data=None
    )
    run_plan(given, Console(file=out, width=80, force_terminal=True, color_system=None))
    sheet = out.getvalue()
    assert "…" not in sheet
    assert "Preservative blend" in sheet
    assert re.search(r"in all +500\.0", sheet)


def test_the_weigh_sheet_names_no_weight_that_the_make_refuses():
    """Limits between two numbers of the display are rounded inwards: 9 g to 2 % is 8.82 to 9.18, so 8.8 is too little."""
    rows = {
        cells[1]: cells[2:5]
        for line in run("plan", "oat-hand-lotion", "--batch-size", "450g").stdout.splitlines()
        if len(cells := re.split(r" {2,}", line.strip())) > 5
    }
    assert rows["Vitamin E"] == ["1.35", "1.29", "1.41"]  # 1.2825 to 1.4175
    assert rows["Cetyl alcohol"] == ["9.0", "8.9", "9.1"]  # 8.82 to 9.18, on a display of 0.1 g


def test_the_plan_is_a_weigh_sheet():
    out = run("plan", "dune-rose-emulsion", "--batch-size", "150g")
    assert out.returncode == 0
    assert "fine scale" in out.stdout


@pytest.mark.parametrize(
    ("args", "sentence", "code"),
    [
        (("rehearse", "no-such-lotion"), "There is no procedure", 3),
        (("rehearse", "--batch-size", "lots"), "Write one number", 3),
        (("rehearse", "--batch-size", "9 kg"), "outside what this procedure allows", 3),
        (("rehearse", "--batch-size", "10 C"), "C", 3),
        (("needs", "oat-hand-lotion:0 g"), '"0 g" is nothing', 3),
        (("guide", "oat-hand-lotion", "--bench", "none.toml", "--maker", "M"), "no such file", 3),
        (("record", "b9"), "There is no batch", 3),
        (("resume",), "No make is unfinished", 3),
        (("resume", "b9"), "There is no batch", 3),
        (("check", "none.toml"), "There is no file", 3),
        (("plan", "../../etc/passwd"), "There is no file", 3),
        (("listen", "/dev/no-such-port", "--seconds", "0.1"), "no-such-port", 3),
        (("listen", "--write", "b.toml"), "name one port", 3),
        (("rehearse", "--pace", "-4"), "no number between 0 and", 2),
        (("nonsense",), 'no command "nonsense". benchapp --help', 2),
        (("rehears",), "Did you mean benchapp rehearse?", 2),
    ],
)
def test_every_mistake_is_one_sentence_and_an_exit_code(args, sentence, code, tmp_path):
    data = [] if args[0] in ("check", "plan", "listen", "nonsense", "rehears") else ["--data", str(tmp_path)]
    out = run(*args, *data, cwd=tmp_path)
    assert sentence in out.stdout + out.stderr
    assert out.returncode == code
    assert "Traceback" not in out.stderr


def test_a_folder_nobody_can_write_in_is_said_before_anything_is_lost(tmp_path):
    (tmp_path / "file").write_text("")
    out = run("rehearse", "--data", str(tmp_path / "file" / "x"))
    assert out.returncode == 6
    assert "Choose another with --data" in out.stderr
    assert "Traceback" not in out.stderr


def test_no_command_is_undocumented():
    """Every command stands in the README or in a page of docs/."""
    from benchapp.cli import parser

    root = Path(__file__).parents[2]
    pages = (root / "README.md").read_text() + "".join(p.read_text() for p in (root / "docs").glob("*.md"))
    (commands,) = [a for a in parser()._actions if hasattr(a, "choices") and a.choices]
    for name in commands.choices:
        assert f"benchapp {name}" in pages, name


def listened(line: bytes, *args: str):
    """The listen command at a device that speaks on a real pty."""
    import threading

    master, slave = os.openpty()
    over = threading.Event()

    def speak():
        while not over.wait(0.1):
            os.write(master, line)

    speaker = threading.Thread(target=speak, daemon=True)
    speaker.start()
    out = run("listen", os.ttyname(slave), "--baud", "9600", "--seconds", "2", *args)
    over.set()
    speaker.join()
    os.close(master)
    os.close(slave)
    return out


def test_listen_shows_the_bytes_where_nothing_fits():
    out = listened(b"\x02hello\x03\r\n")
    assert out.returncode == 3
    assert r"its bytes: \x02hello\x03" in out.stdout


def test_listen_writes_no_guess(tmp_path):
    """A bare number may be anything: it is written only once the maker says what it is."""
    write = ("--write", str(tmp_path / "bench.toml"), "--name", "bath")
    out = listened(b"71.3\r\n", *write)
    assert (out.returncode, "Say which with --kind" in out.stderr) == (3, True)
    assert not (tmp_path / "bench.toml").exists()
    assert "Say with --unit" in listened(b"71.3\r\n", *write, "--kind", "thermometer").stderr
    out = listened(b"71.3\r\n", *write, "--kind", "thermometer", "--unit", "F")
    assert out.returncode == 0, out.stderr
    assert '"unit" = "F"' in (tmp_path / "bench.toml").read_text()


def test_listen_says_in_plain_words_what_a_port_reads():
    """A scale that speaks on a real pty, heard through the command."""
    out = listened(b"ST,GS,+0012.34,g\r\n")
    assert out.returncode == 0, out.stderr
    assert "it says: ST,GS,+0012.34,g" in out.stdout
    assert "fits best: status-headed, a scale, reading" in out.stdout
    assert "Fit(" not in out.stdout


def test_a_batch_of_nobody_is_refused(tmp_path):
    out = run("rehearse", "--maker", "  ", "--data", str(tmp_path))
    assert out.returncode == 3
    assert "need a name" in out.stderr


def test_a_bench_file_is_checked_as_one(tmp_path):
    good = tmp_path / "bench.toml"
    good.write_text(
        '[[device]]\nname = "big scale"\nkind = "scale"\nport = "/dev/ttyUSB0"\nformat = "number-unit"\n'
        'period = "0.2 s"\ncapacity = "3000 g"\nreadability = "0.1 g"\n'
    )
    done = run("check", str(good))
    assert (done.returncode, done.stdout.strip()) == (0, f"{good}: a bench of 1 devices, big scale.")
    good.write_text(good.read_text().replace("number-unit", "no-such-format"))
    done = run("check", str(good))
    assert done.returncode == 3
    assert "bench.toml:" in done.stderr


@pytest.mark.skipif(os.name != "posix", reason="a pipe whose reader goes away")
def test_a_reader_that_goes_away_leaves_the_make_in_order(tmp_path):
    process = subprocess.Popen(
        [sys.executable, "-m", "benchapp.cli", "rehearse", "tide-pool-gel", "--data", str(tmp_path)],
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=ENV,
    )  # fmt: skip
    process.stdout.readline()
    process.stdout.close()
    assert process.wait(120) == 5
    assert process.stderr.read() == ""
    process.stderr.close()
    assert run("verify", "--data", str(tmp_path)).returncode == 0
    assert "unfinished" in run("batches", "--data", str(tmp_path)).stdout


def test_how_a_rehearsed_batch_stands_is_said_in_words(made):
    """No device was checked, and none could be: on a simulated bench that is no deviation."""
    folder, walked = made
    batch = next(w for w in run("batches", "--data", str(folder)).stdout.split() if w.endswith("gel-1"))
    out = run("release", batch, "--data", str(folder)).stdout
    assert "Deviations: none." in walked
    kept = "1 kept back: on the shelf of retained samples, with the batch's code on it, until the date on its own label"
    assert kept in out
    assert not re.search(r"\w+\(\w+=", out), "nothing that is only data is put into a sentence"


class _Marking(NullTranslations):
    """A catalogue that has every sentence, between marks."""

    def gettext(self, message):
        return f"«{message}»"


def _helps(one, path="benchapp"):
    """Every sentence of a command's help and of those under it: (where it stands, the sentence)."""
    yield from ((path, text) for text in (one.description, one.epilog) if text)
    for action in one._actions:
        if isinstance(action, argparse._SubParsersAction):
            yield from ((f"{path} {c.dest}", c.help) for c in action._choices_actions)
            for name, under in action.choices.items():
                yield from _helps(under, f"{path} {name}")
        elif action.help and action.dest != "help":  # that one is argparse's own
            yield f"{path} {action.dest}", action.help


def test_every_sentence_of_the_help_is_looked_up_in_the_language_spoken():
    with speaking(Language("xx", _Marking())):
        said = list(_helps(parser()))
    assert len(said) > 200
    assert [(path, text) for path, text in said if "«" not in text] == []
