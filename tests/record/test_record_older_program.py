"""A make that an older program left unfinished, in the bytes it wrote: opened, gone on with to its end, and verified."""

from __future__ import annotations

import gzip
import json
import math
from pathlib import Path

import pytest
from one_command import command

from benchapp import events as ev
from benchapp.record.documents.as_json import as_json
from benchapp.record.errors import JournalTooNew
from benchapp.record.journal import Journal
from benchapp.record.verifying import verify
from benchapp.service.desk import Desk

#: Written before a make named the version that began it: a rehearsal of the gel, in its fifth step.
BYTES = Path(__file__).with_name("journal-of-an-older-program.sqlite.gz")
BATCH = "20261129-tide-pool-gel-1"


@pytest.fixture
def folder(tmp_path) -> Path:
    (tmp_path / "journal.sqlite").write_bytes(gzip.decompress(BYTES.read_bytes()))
    return tmp_path


def test_it_is_gone_on_with_to_its_end_and_each_program_is_named(folder, monkeypatch):
    monkeypatch.setattr("benchapp.runtime.session_start.program_version", lambda: "9.9.9")
    said = command("resume", BATCH, "--pace", "0", "--data", str(folder))
    assert said.returncode == 0, said.stderr
    journal = Journal(folder, lambda: "2026-11-29T12:00:00.000+01:00")
    try:
        events = journal.events(BATCH)
        assert sum(isinstance(e, ev.MakeFinished) for e in events) == 1
        assert events[0].program == "", "an older one did not say"
        assert [e.program for e in events if isinstance(e, ev.MakeResumed)] == ["9.9.9"]
        found = verify(journal)
        assert found.sound
        assert found.indexes == ()
        record = Desk(journal).record(BATCH)
        assert json.loads(as_json(record))["program"] == ""
        assert "by version 9.9.9" in {line.note for line in record.waits}
    finally:
        journal.close()


def test_what_a_newer_program_wrote_is_refused_in_a_sentence(folder, monkeypatch):
    journal = Journal(folder, lambda: "2026-11-29T12:00:00.000+01:00")
    monkeypatch.setitem(ev.KINDS, "CarePlanned", ev.CarePlanned)
    journal.append(
        ev.WORKSHOP, [ev.CarePlanned(at_s=0.0, equipment="x", task="cleaning", every_days=1, by="y")]
    )
    monkeypatch.delitem(ev.KINDS, "CarePlanned")  # as a program would be that does not know it yet
    with pytest.raises(JournalTooNew, match="a newer version of the program wrote it"):
        journal.newest()
    journal.close()


SCALE = {"name": "bench scale", "kind": "scale", "channels": ["mass"]}
BEGUN = {
    "at_s": 0.0, "batch": "b", "maker": "Mara Lind", "procedure": "oat-hand-lotion", "procedure_sha256": "",
    "procedure_text": "", "batch_g": 500.0, "devices": [SCALE],
}  # fmt: skip
LOGGED = {"at_s": 1.0, "step": "s", "source": "measured", "temps_c": [["pot", 71.5]]}


@pytest.mark.parametrize(
    ("kind", "fields", "error", "said"),
    [
        ("MakeStarted", BEGUN | {"mood": "fine"}, ValueError, "unknown field mood; a newer"),
        (
            "MakeStarted",
            BEGUN | {"devices": [SCALE | {"colour": 1}]},
            ValueError,
            "devices.0.colour; a newer",
        ),
        ("TemperaturesLogged", LOGGED | {"source": "guessed"}, ValueError, "unknown word in source; a newer"),
        ("TemperaturesLogged", LOGGED | {"temps_c": [["pot", 71.5, 1]]}, TypeError, "temps_c.0"),
        ("TemperaturesLogged", LOGGED | {"step": None}, TypeError, "step"),
        ("TemperaturesLogged", LOGGED | {"at_s": math.inf}, TypeError, "at_s"),
        ("TemperaturesLogged", LOGGED | {"temps_c": [["pot", math.nan]]}, TypeError, "temps_c.0.1"),
        ("TemperaturesLogged", {"at_s": 1.0}, TypeError, "step: Field required"),
        ("TemperaturesLogged", [], TypeError, "."),
        ("TemperaturesLogged", {"colour": 1}, ValueError, "a newer"),
    ],
)
def test_what_this_program_cannot_read_it_says_whose_it_is(kind, fields, error, said):
    with pytest.raises(error, match=said):
        ev.from_fields(kind, fields)
