"""A workshop in which a batch was finished long ago, for the commands of its desk. Invented for the demo."""

from __future__ import annotations

import shutil
from dataclasses import replace
from functools import partial

import pytest
from desk_commands import BATCH, THEN, run_in
from workshop_days import FINISHED, filled, in_hand, started, weight

from benchapp import events as ev
from benchapp.record.journal import Journal


@pytest.fixture
def desk(tmp_path):
    """Commands in a folder of their own, in which nothing ever happened."""
    return partial(run_in, tmp_path)


@pytest.fixture(scope="session")
def template(tmp_path_factory, lotion):
    """Mara may release, Jonas helps; a lot was received, and a batch from it finished long ago with a deviation."""
    folder = tmp_path_factory.mktemp("workshop")
    for args, keyed in (
        (("person", "enrol", "Mara", "--role", "releaser", "--role", "maker"), "4711\n4711\n"),
        (("person", "enrol", "Jonas", "--role", "helper", "--by", "Mara"), "4711\n8203\n8203\n"),
        (("lot", "receive", "oil-1", "sunflower-oil", "2 kg", "--supplier", "Harbour Oils", "--expires",
          "2099-01-31", "--by", "Mara"), "4711\n"),
    ):  # fmt: skip
        code, said = run_in(folder, *args, keyed=keyed)
        assert code == 0, said
    journal = Journal(folder, lambda: THEN)
    late = ev.DeviationNoted(
        at_s=2.0, number=1, grade=ev.Grade.MINOR, kind="late", step="04-heat", text="held 4 min too long"
    )
    begun = replace(started(BATCH, maker="Jonas"), procedure_text=lotion.text)
    events = [begun, in_hand("oil-1"), weight("oil-1", 35.0), late, filled(1), filled(2), filled(3), FINISHED]
    journal.append(BATCH, events)
    journal.close()
    return folder


@pytest.fixture
def finished(template, tmp_path):
    """Commands in a copy of that workshop."""
    for file in template.iterdir():
        shutil.copy(file, tmp_path)
    return partial(run_in, tmp_path)
