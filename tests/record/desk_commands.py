"""The desk's commands given in a folder, as a person would."""

from __future__ import annotations

import io
import sys

import pytest

from benchapp.cli import main

BATCH = "20240301-oat-hand-lotion-1"
THEN = "2024-03-01T12:00:00.000+01:00"


def run_in(folder, *args, keyed=""):
    """Run one command; ``keyed`` is what is typed where a PIN is asked for. Its exit code and all it said."""
    said = io.StringIO()
    with pytest.MonkeyPatch.context() as patch:
        for name in ("stdout", "stderr"):
            patch.setattr(sys, name, said)
        patch.setattr(sys, "stdin", io.StringIO(keyed))
        return main([*args, "--data", str(folder)]), said.getvalue()


def sign(desk, *args, pin="4711"):
    return desk(*args, "--by", "Mara", keyed=f"{pin}\n")


def release_it(desk):
    """Every check written down, the deviation accepted, and released."""
    for check in (("pH after a day", "--value", "5.4"), ("Appearance after a day", "--passed"),
                  ("Warm and cold storage", "--passed", "--words", "as on the first day")):  # fmt: skip
        code, said = sign(desk, "batch-check", BATCH, *check)
        assert code == 0, said
    assert sign(desk, "close-deviation", BATCH, "1", "--reason", "well within what it was tried for")[0] == 0
    return sign(desk, "release", BATCH, "--decision", "released")
