"""What is written to a disk that has no more room, and what a stop in the middle leaves: the old whole file or none, and never
half of one in the way of what comes after. A file that may grow no further fails as one on a full disk does, in the middle of a
write."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import asdict

import pytest
from full_disk import UNREADABLE, room_for

from benchapp.foundation.json_lines import append_line
from benchapp.foundation.text_files import replace_text_file, write_whole
from benchapp.recipes.draft import Draft
from benchapp.recipes.draft_store import DraftStore
from benchapp.record.heads import Head, HeadFile
from benchapp.runtime.device_checks import FILE, Check, checks_in, keep
from benchapp.runtime.settings import (
    Preferences,
    keep_preferences,
    last_bench,
    preferences_in,
    remember_bench,
)

pytest.importorskip("resource")  # there is none on Windows
CHECK = Check("große Waage", "200 g", 200.0, 200.0, 0.1, "g", "2026-03-01T08:00:00+01:00", "Mara Lind")
HEAD = Head(3, "a" * 64, "b" * 64, "2026-03-01T08:00:00+01:00", "/bench")


@pytest.mark.parametrize(
    "write", [lambda p: write_whole(p, b"x" * 999), lambda p: replace_text_file(p, "x" * 999)]
)
def test_what_does_not_fit_leaves_nothing_behind_and_names_its_file(tmp_path, write):
    with room_for(100), pytest.raises(OSError) as failed:
        write(tmp_path / "record.pdf")
    assert failed.value.filename == str(tmp_path / "record.pdf")
    assert list(tmp_path.iterdir()) == []
    write(tmp_path / "record.pdf")
    assert (tmp_path / "record.pdf").stat().st_size == 999


def test_the_old_settings_stand_where_the_new_ones_do_not_fit(tmp_path):
    keep_preferences(tmp_path, Preferences(volume=33))
    remember_bench(tmp_path, tmp_path / "old.toml")
    with room_for(5):
        with pytest.raises(OSError):
            keep_preferences(tmp_path, Preferences(volume=44))
        with pytest.raises(OSError):
            remember_bench(tmp_path, tmp_path / "new.toml")
        remember_bench(tmp_path, tmp_path / "old.toml")  # the same again needs no room
    assert preferences_in(tmp_path).volume == 33
    assert last_bench(tmp_path) == (tmp_path / "old.toml").resolve()
    assert {p.name for p in tmp_path.iterdir()} == {"preferences.json", "last-bench.json"}


@pytest.mark.skipif(not UNREADABLE.exists(), reason="no file here refuses to be read")
def test_how_things_look_stands_as_it_comes_where_the_disk_gives_it_back_no_more(tmp_path):
    for name in ("preferences.json", "last-bench.json"):
        (tmp_path / name).symlink_to(UNREADABLE)
        with pytest.raises(OSError):
            (tmp_path / name).read_bytes()
    assert preferences_in(tmp_path) == Preferences()
    assert last_bench(tmp_path) is None
    keep_preferences(tmp_path, Preferences(volume=33))
    assert preferences_in(tmp_path).volume == 33


def test_a_line_that_does_not_fit_leaves_the_lines_before_it(tmp_path):
    place = tmp_path / "lines.jsonl"
    append_line(place, {"n": 1})
    with room_for(20), pytest.raises(OSError):
        append_line(place, {"n": "2" * 99})
    append_line(place, {"n": 3})
    assert place.read_bytes() == b'{"n": 1}\n{"n": 3}\n'


def test_a_first_line_that_does_not_fit_leaves_no_file(tmp_path):
    with room_for(20), pytest.raises(OSError):
        append_line(tmp_path / "new" / "lines.jsonl", {"n": "2" * 99})
    assert not (tmp_path / "new" / "lines.jsonl").exists()


@pytest.mark.parametrize("cut", range(1, len(b'{"device": "gro\xc3\xbf') + 12))
def test_a_check_torn_anywhere_spoils_neither_the_one_before_nor_the_one_after(tmp_path, cut):
    keep(tmp_path, CHECK)
    whole = (tmp_path / FILE).read_bytes()
    (tmp_path / FILE).write_bytes(whole + whole[:cut])
    assert checks_in(tmp_path) == [CHECK]
    keep(tmp_path, CHECK)
    assert checks_in(tmp_path) == [CHECK, CHECK]


def test_a_draft_torn_within_a_letter_opens_as_it_was_before(tmp_path):
    drafts = DraftStore(tmp_path)
    key = drafts.begin(Draft('[formula]\nname = "Dünencreme"\n', {}), "begun")
    history = tmp_path / f"{key}.undo.jsonl"
    line = history.read_bytes()
    history.write_bytes(line + line[: line.index("ü".encode()) + 1])
    assert drafts.open(key).draft.text == '[formula]\nname = "Dünencreme"\n'


def test_a_draft_that_did_not_fit_is_none_and_its_name_is_free(tmp_path):
    drafts = DraftStore(tmp_path)
    draft = Draft('[formula]\nname = "Balm"\n', {})
    with room_for(5), pytest.raises(OSError):
        drafts.begin(draft, "begun")
    (tmp_path / "balm.undo.jsonl").touch()  # stopped before the first byte
    assert drafts.on_disk() == ()
    assert drafts.begin(draft, "begun") == drafts.on_disk()[0]


def test_heads_of_an_older_program_and_a_torn_one_are_followed_by_whole_ones(tmp_path):
    file = HeadFile(tmp_path / "heads.jsonl")
    file.path.write_text("\n" + json.dumps(asdict(HEAD)) + '\n{"seq": 4, "ha')
    file.keep(Head(5, "c" * 64, "b" * 64, "2026-03-02T08:00:00+01:00", "/bench"))
    known, unread = file.known()
    assert [h.seq for h in known] == [3, 5]
    assert unread == 1


KILLED = """
import os, sys, signal
from pathlib import Path
from benchapp.foundation import text_files
os.fsync = lambda n: os.kill(os.getpid(), signal.SIGKILL)
{write}
"""


@pytest.mark.parametrize(
    "write",
    [
        "text_files.write_whole(Path(sys.argv[1]) / 'new', b'new')",
        "text_files.replace_text_file(Path(sys.argv[1]) / 'old', 'new')",
    ],
)
def test_a_stop_in_the_middle_leaves_the_old_whole_file_or_none(tmp_path, write):
    (tmp_path / "old").write_text("old")
    ended = subprocess.run([sys.executable, "-c", KILLED.format(write=write), str(tmp_path)], check=False)
    assert ended.returncode == -9
    assert (tmp_path / "old").read_text() == "old"
    assert not (tmp_path / "new").exists()
    write_whole(tmp_path / "new", b"after")
    replace_text_file(tmp_path / "old", "after")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["new", "old"]
