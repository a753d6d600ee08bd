"""Sudden death: a make killed with SIGKILL again and again, and resumed until it is done, losing nothing it showed."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from benchapp.record.chain import GENESIS, link
from benchapp.record.drawing_up import record_of
from benchapp.record.journal import Journal

pytestmark = pytest.mark.skipif(os.name != "posix", reason="SIGKILL is POSIX")
KILLS = 4  # tests/endurance kills at random instants, by the hundred by hand


def start(folder: Path, *args: str) -> subprocess.Popen[str]:
    command = [sys.executable, "-u", "-m", "benchapp.cli", *args, "--data", str(folder), "--pace", "0"]
    env = {k: v for k, v in os.environ.items() if k != "SDL_VIDEODRIVER"}  # no window: the terminal is meant
    return subprocess.Popen(
        command, env=env, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )


def read_recorded(process: subprocess.Popen[str], lines: int) -> list[str]:
    """Up to so many lines that were shown as recorded; fewer when the process ends first."""
    shown: list[str] = []
    assert process.stdout is not None
    for line in process.stdout:
        if line.startswith("  = "):
            shown.append(line)
            if len(shown) >= lines:
                break
    return shown


@pytest.mark.by_hand  # tests/endurance kills commands at random instants in every run
def test_a_command_killed_again_and_again_loses_nothing(tmp_path):
    chance = random.Random(20260301)
    folder = tmp_path / "data"
    process = start(folder, "rehearse", "tide-pool-gel")
    shown: list[str] = []
    kept: list[str] = []
    for _ in range(KILLS):
        shown += read_recorded(process, chance.randint(1, 4))
        process.send_signal(signal.SIGKILL)
        process.communicate()
        kept = texts(folder, kept)
        process = start(folder, "resume")
    _, errors = process.communicate(timeout=60)
    assert process.returncode == 0, errors
    texts(folder, kept)

    journal = Journal(folder, lambda: "")
    (line,) = journal.batches()
    stored = journal.stored(line.batch)
    journal.close()
    assert line.end == "finished"
    assert sum(type(s.event).__name__ == "MakeResumed" for s in stored) == KILLS
    grams = {f"{w.what}: {w.value:g} g" for w in record_of(stored).weighings}
    said = {s.strip().removeprefix("= ").partition(" g ")[0] + " g" for s in shown if "(target" in s}
    assert said, "some weighings were shown before a kill"
    assert said <= grams, "what was shown as recorded is in the record"


def texts(folder: Path, before: list[str]) -> list[str]:
    """All stored texts; what was there before is still there, and the chain holds."""
    import sqlite3

    raw = sqlite3.connect(folder / "journal.sqlite")
    rows = raw.execute("SELECT text, prev, hash FROM event ORDER BY seq").fetchall()
    raw.close()
    prev = GENESIS
    for text, stored_prev, stored_hash in rows:
        assert stored_prev == prev
        assert link(prev, text) == stored_hash
        prev = stored_hash
    now = [text for text, _, _ in rows]
    assert now[: len(before)] == before
    return now
