"""The commands of the desk about the journal itself: altered, meddled with, compared with a head kept elsewhere, copied."""

from __future__ import annotations

import sqlite3

from desk_commands import BATCH

from benchapp.cli import main


def test_an_altered_journal_is_said_so_with_exit_6(finished, tmp_path):
    raw = sqlite3.connect(tmp_path / "journal.sqlite")
    raw.execute("DROP TRIGGER event_no_update")
    raw.execute("UPDATE event SET text = replace(text, '35.0', '34.0') WHERE batch = ? AND n = 3", [BATCH])
    raw.commit()
    raw.close()
    code, said = finished("verify", BATCH)
    assert code == 6
    assert f"ALTERED {BATCH}, event 3" in said
    assert "the guard event_no_update" in said
    assert "was put back on" in finished("verify", "workshop")[1], "and that stays in the record"


def test_indexes_that_were_meddled_with_are_made_anew(finished, tmp_path):
    raw = sqlite3.connect(tmp_path / "journal.sqlite")
    raw.execute('UPDATE lot_index SET "left" = 1')
    raw.commit()
    raw.close()
    code, said = finished("verify")
    assert (code, "lot_index: lot oil-1" in said, "verify --rebuild" in said) == (6, True, True)
    assert finished("verify", "--rebuild")[0] == 6, "what differed is said before it is made anew"
    code, said = finished("verify")
    assert (code, "was put back on" in said, "the indexes" in said) == (0, True, True)
    assert "1 965.0 g" in finished("lot", "list")[1]


def test_a_table_in_another_form_is_made_anew_as_well(finished, tmp_path):
    raw = sqlite3.connect(tmp_path / "journal.sqlite")
    raw.execute("DROP TABLE dispatch_index")
    raw.execute("CREATE TABLE dispatch_index AS SELECT 1 AS batch, 1 AS n")
    raw.commit()
    raw.close()
    code, said = finished("verify", "--rebuild")
    assert (code, "the table dispatch_index is not as this program makes it" in said) == (6, True)
    assert finished("verify")[0] == 0


def test_a_head_kept_elsewhere_is_compared(finished):
    head = finished("verify")[1].split("\nhead ")[1].split()[0]
    number, hashed = head.split(":")
    assert finished("verify", "--head", head)[0] == 0
    assert finished("verify", "--head", hashed)[0] == 0
    assert finished("verify", "--head", f"{int(number) + 1}:{hashed}")[0] == 6
    code, said = finished("verify", "--head", "0" * 64)
    assert (code, "not in this chain" in said) == (6, True)
    code, said = finished("verify", "--head", head[:12])
    assert code not in (0, 6)
    assert "Copy the one you kept whole" in said, "a slip of the pen is no alteration"


def test_a_backup_is_one_command_and_never_overwrites(finished, tmp_path):
    (tmp_path / "copy").mkdir()
    file = tmp_path / "copy" / "journal.sqlite"
    assert finished("backup", str(file))[0] == 0
    assert finished("backup", str(file))[0] == 3
    assert main(["verify", "--data", str(tmp_path / "copy")]) == 0
