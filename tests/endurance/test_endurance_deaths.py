"""Sudden death, a short form. The long one: ``python tests/endurance/deaths.py 500``."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.skipif(os.name != "posix", reason="SIGKILL and fork are POSIX")


def test_six_kills_at_random_instants_lose_nothing_that_was_told():
    # A process of its own: it forks, and this one may have threads.
    long_run = Path(__file__).with_name("deaths.py")
    done = subprocess.run([sys.executable, str(long_run), "6"], capture_output=True, text=True, timeout=240)
    assert done.returncode == 0, done.stdout + done.stderr[-2000:]
    kills, events = re.search(r"(\d+) kills, (\d+) events on disk", done.stdout).groups()
    assert int(kills) == 6
    assert int(events) > 50, "the kills met makes that were under way"


def test_documents_are_whole_or_not_there_and_an_old_journal_is_old_or_new():
    long_run = Path(__file__).with_name("deaths_of_files.py")
    done = subprocess.run([sys.executable, str(long_run), "5"], capture_output=True, text=True, timeout=240)
    assert done.returncode == 0, done.stdout + done.stderr[-2000:]
    assert "5 exports and 5 old journals killed: 0 wrong" in done.stdout
