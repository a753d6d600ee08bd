"""What ``verify`` says to each way of meddling with a journal: the table of docs/entry.md, tried line by line."""

from __future__ import annotations

import re
import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from one_command import command

from benchapp import events as ev
from benchapp.record.chain import link, text_of
from benchapp.record.journal import JOURNAL, Journal

PAGE = Path(__file__).parents[2] / "docs" / "entry.md"
WALL = "2026-03-01T09:00:00.000+01:00"
FIRST, SECOND = "20260301-oat-hand-lotion-1", "20260301-oat-hand-lotion-2"


class Bench:
    """One data folder and the settings of one user beside it."""

    def __init__(self, place: Path) -> None:
        self.folder, self.config, self.backup = place / "data", place / "config", place / "backup.sqlite"
        self.file = self.folder / JOURNAL

    def run(self, *words: str) -> tuple[int, str]:
        """One command: its exit code and all it said, on one line."""
        done = command(*words, "--data", str(self.folder), env={"XDG_CONFIG_HOME": str(self.config)})
        return done.returncode, " ".join((done.stdout + done.stderr).split())

    def write(self, batch: str, *events: ev.Event) -> None:
        """Events as a make writes them, and the head is kept as after any command."""
        journal = Journal(self.folder, lambda: WALL)
        journal.append(batch, events)
        journal.close()

    def behind_its_back(self, *statements: str, guards_back: bool = True) -> None:
        """Alter the file as its owner can: guards off, statements, guards on again."""
        raw = sqlite3.connect(self.file, isolation_level=None)
        guards = raw.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in guards:
            raw.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            raw.execute(statement)
        for _, sql in guards if guards_back else ():
            raw.execute(sql)
        raw.close()


def started(batch: str) -> ev.Event:
    return ev.MakeStarted(
        at_s=0.0, batch=batch, maker="Mara Lind", procedure="oat-hand-lotion", procedure_sha256="0" * 64,
        procedure_text="", batch_g=500.0, devices=(),
    )  # fmt: skip


def watched(count: int) -> list[ev.Event]:
    return [ev.Watched(at_s=float(n), step="06-cool") for n in range(count)]


def signed(at_s: float = 99.0) -> ev.Event:
    return ev.Signed(
        at_s=at_s, step="", who="Mara Lind", meaning="batch released", role="releaser", proof="pin"
    )


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """Two batches made, a backup of the first, and heads kept after each command."""
    one = Bench(tmp_path)
    one.write(
        FIRST, started(FIRST), *watched(5), ev.MakeFinished(at_s=9.0, product_g=480.0, yield_percent=96.0)
    )
    assert one.run("backup", str(one.backup))[0] == 0
    one.write(SECOND, started(SECOND), *watched(60))
    assert one.run("batches")[0] == 0, "which keeps the head"
    return one


def end_cut_off(one: Bench) -> None:
    one.behind_its_back("DELETE FROM event WHERE seq > (SELECT max(seq) FROM event) - 50")


def end_cut_off_unknown(one: Bench) -> None:
    end_cut_off(one)
    shutil.rmtree(one.config)


def batch_cut_off_unknown(one: Bench) -> None:
    one.behind_its_back(f"DELETE FROM event WHERE batch = '{SECOND}'")
    shutil.rmtree(one.config)


def log_cut(one: Bench) -> None:
    """The file written beside the journal holds what came last; it is cut as a lost write would."""
    copy = one.folder / "copy"
    reader = sqlite3.connect(one.file)
    reader.execute(
        "SELECT count(*) FROM event"
    ).fetchone()  # held open, so that nothing is brought over on closing
    one.write(SECOND, *watched(3))
    assert one.run("batches")[0] == 0
    shutil.copy(one.file, copy)
    log = one.file.with_name(f"{JOURNAL}-wal")
    kept = log.read_bytes()[: log.stat().st_size // 2]
    reader.close()
    for rest in one.folder.glob(f"{JOURNAL}*"):
        rest.unlink()
    copy.rename(one.file)
    log.write_bytes(kept)


def backup_put_back(one: Bench) -> None:
    for rest in one.folder.glob(f"{JOURNAL}*"):
        rest.unlink()
    shutil.copy(one.backup, one.file)


def another_journal(one: Bench) -> None:
    for rest in one.folder.glob(f"{JOURNAL}*"):
        rest.unlink()
    one.write(SECOND, started(SECOND), *watched(60))


def another_machine(one: Bench) -> None:
    shutil.rmtree(one.config)


def signature_in_the_middle(one: Bench) -> None:
    text = text_of(FIRST, 4, WALL, signed())
    one.behind_its_back(
        f"UPDATE event SET kind = 'Signed', text = '{text}' WHERE batch = '{FIRST}' AND n = 4"
    )


def signature_at_the_end(one: Bench) -> None:
    raw = sqlite3.connect(one.file, isolation_level=None)
    seq, prev = raw.execute("SELECT seq, hash FROM event ORDER BY seq DESC LIMIT 1").fetchone()
    text = text_of(FIRST, 8, WALL, signed())
    raw.execute("INSERT INTO event VALUES (?, ?, 8, 'Signed', ?, ?, ?)",
                [seq + 1, FIRST, text, prev, link(prev, text)])  # fmt: skip
    raw.close()


def batches_exchanged(one: Bench) -> None:
    one.behind_its_back(
        f"UPDATE event SET batch = 'x' WHERE batch = '{FIRST}' AND n = 3",
        f"UPDATE event SET batch = '{FIRST}' WHERE batch = '{SECOND}' AND n = 3",
        f"UPDATE event SET batch = '{SECOND}' WHERE batch = 'x'",
    )


def index_changed(one: Bench) -> None:
    one.behind_its_back(f"UPDATE batch_index SET decision = 'released' WHERE batch = '{FIRST}'")


def trigger_added(one: Bench) -> None:
    one.behind_its_back("CREATE TRIGGER quiet AFTER INSERT ON batch_index BEGIN DELETE FROM lot_index; END")


def view_added(one: Bench) -> None:
    one.behind_its_back("CREATE VIEW mine AS SELECT * FROM event")


def table_added(one: Bench) -> None:
    one.behind_its_back("CREATE TABLE mine (x)")


def column_added(one: Bench) -> None:
    one.behind_its_back("ALTER TABLE event ADD COLUMN mine TEXT")


def guard_taken_off(one: Bench) -> None:
    one.behind_its_back("SELECT 1", guards_back=False)


#: Each attack of the table by its words there.
ATTACKS: dict[str, Callable[[Bench], None]] = {
    "the last 50 events deleted": end_cut_off,
    "the same, and the heads kept on this machine deleted too": end_cut_off_unknown,
    "a whole batch deleted off the end, and the heads too": batch_cut_off_unknown,
    "the write-ahead log cut short": log_cut,
    "an older backup put back": backup_put_back,
    "another journal put in its place": another_journal,
    "the journal on another machine": another_machine,
    "a signature written over an event": signature_in_the_middle,
    "a signature added at the end, rightly chained": signature_at_the_end,
    "rows of two batches exchanged": batches_exchanged,
    "an index changed": index_changed,
    "a trigger added": trigger_added,
    "a view added": view_added,
    "a table added": table_added,
    "a column added to the chain": column_added,
    "the guards taken off": guard_taken_off,
}


def told() -> dict[str, tuple[str, int]]:
    """The table: each attack, what is said to it, and the exit code."""
    text = PAGE.read_text(encoding="utf-8").partition(
        "## What verify says when the journal was meddled with"
    )[2]
    rows = re.findall(r"^\| ([^|]+) \| `([^`]+)` \| (\d) \|", text, re.MULTILINE)
    return {what: (says, int(code)) for what, says, code in rows}


def test_the_table_and_the_attacks_are_the_same():
    assert set(told()) == set(ATTACKS)


@pytest.mark.parametrize("what", ATTACKS)
def test_verify_says_what_the_table_says(bench, what):
    says, code = told()[what]
    ATTACKS[what](bench)
    got, said = bench.run("verify")
    pattern = ".*".join(re.escape(part.strip()) for part in says.split("…"))
    assert re.search(pattern, said), said
    assert got == code


def test_an_untouched_journal_is_sound_and_says_which_heads_it_knows(bench):
    code, said = bench.run("verify")
    assert code == 0
    assert "2 heads are kept in" in said
    assert "0 events came after the last" in said
    bench.write(SECOND, *watched(7))
    assert "7 events came after the last" in bench.run("verify")[1]


def test_the_head_beside_a_backup_is_one_that_verify_takes(bench):
    head = bench.backup.with_name("backup.sqlite.head").read_text().strip()
    assert bench.run("verify", "--head", head)[0] == 0
    another_journal(bench)
    code, said = bench.run("verify", "--head", head)
    assert (code, "the head given is not in this chain" in said) == (6, True)


def test_heads_that_cannot_be_kept_or_read_are_said_and_stop_no_other_command(bench):
    shutil.rmtree(bench.config)
    bench.config.write_text("a file where the folder ought to be")
    code, said = bench.run("batches")
    assert (code, "head is not kept" in said) == (0, True)
    bench.config.unlink()
    assert bench.run("batches")[0] == 0
    (heads,) = bench.config.rglob("heads.jsonl")
    heads.write_bytes(heads.read_bytes() + b'\n{"seq": 3\n[]\n\xff\xfe\n')
    code, said = bench.run("verify")
    assert (code, "3 lines of" in said) == (0, True)
