"""What the program writes is its user's own: nobody else on the machine reads who made what, or a PIN's hash."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from benchapp.runtime.settings import open_to_others

pytestmark = pytest.mark.skipif(os.name != "posix", reason="other systems keep rights otherwise")


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def run(*args: str) -> None:
    subprocess.run(
        [sys.executable, "-m", "benchapp.cli", *args], stdin=subprocess.DEVNULL, capture_output=True, timeout=120,
        check=True, umask=0o022,
    )  # fmt: skip


def begin_a_rehearsal(folder: Path) -> None:
    """Whoever reads along goes away after the first line, and the make stops."""
    words = ["rehearse", "tide-pool-gel", "--data", str(folder), "--terminal", "--pace", "0"]
    with subprocess.Popen(
        [sys.executable, "-m", "benchapp.cli", *words],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        umask=0o022,
    ) as make:
        assert make.stdout is not None
        assert make.stdout.readline()
        make.stdout.close()
        assert make.wait(120) == 5


def test_the_folder_the_journal_and_an_export_are_for_their_user_alone(tmp_path):
    folder, export = tmp_path / "data", tmp_path / "record.json"
    begin_a_rehearsal(folder)
    batch = sorted(p.name for p in folder.iterdir())
    assert batch, "something was written"
    assert mode(folder) == 0o700
    assert {p.name: oct(mode(p)) for p in folder.rglob("*") if p.is_file() and mode(p) & 0o077} == {}
    (name,) = _batches(folder)
    run("record", name, "--as", "json", "--out", str(export), "--data", str(folder))
    assert mode(export) == 0o600


def _batches(folder: Path) -> list[str]:
    from benchapp.record.journal import Journal

    journal = Journal(folder, lambda: "2026-03-01T09:00:00.000+01:00")
    try:
        return [line.batch for line in journal.batches(5)]
    finally:
        journal.close()


def test_what_an_older_version_left_open_is_said_in_one_sentence_with_what_mends_it(tmp_path):
    folder = tmp_path / "my data"
    run("batches", "--data", str(folder))
    assert warnings(folder) == []
    folder.chmod(0o755)
    (folder / "journal.sqlite").chmod(0o644)
    (folder / "preferences.json").write_text("{}")
    (folder / "preferences.json").chmod(0o640)
    (said,) = warnings(folder)
    assert said.startswith("Others on this machine can get at ")
    assert all(name in said for name in ("my data,", "journal.sqlite", "preferences.json"))
    subprocess.run(said.partition("to mend that: ")[2], shell=True, check=True)
    assert warnings(folder) == []


def warnings(folder: Path) -> list[str]:
    done = subprocess.run(
        [sys.executable, "-m", "benchapp.cli", "batches", "--data", str(folder)], capture_output=True, text=True,
        timeout=120, check=True,
    )  # fmt: skip
    return [line for line in done.stderr.splitlines() if line.startswith("Others")]


@pytest.mark.parametrize("seen_first", [True, False])
def test_what_another_program_takes_away_while_it_is_looked_at_stops_no_command(
    tmp_path, monkeypatch, seen_first
):
    """The journal's log goes when the last program closes it: two commands at once, and one of them was refused."""
    log = tmp_path / "journal.sqlite-wal"
    log.touch(0o600)
    look = Path.stat

    def stat_of(place, **how):
        if place == log and not seen_first:
            log.unlink(missing_ok=True)
        found = look(place, **how)
        if place == log:
            log.unlink()
        return found

    monkeypatch.setattr(Path, "stat", stat_of)
    tmp_path.chmod(0o700)
    assert open_to_others(tmp_path) == ()
    assert not log.exists()
