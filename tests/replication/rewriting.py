"""Forgers: a history written anew so that it holds by itself, on a bench or on the server."""

from __future__ import annotations

import sqlite3

from benches import TestBench
from postgres_cluster import Database

from benchapp.record.chain import link
from benchapp.record.tables import EVENT


def rewrite_bench(bench: TestBench, old: str, new: str) -> None:
    """Its owner changes a word in the journal and binds everything after it anew, the guards put back."""
    raw = sqlite3.connect(bench.folder / "journal.sqlite")
    guards = raw.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    for name, _ in guards:
        raw.execute(f"DROP TRIGGER {name}")
    prev = "0" * 64
    for seq, text in raw.execute("SELECT seq, text FROM event ORDER BY seq").fetchall():
        text = text.replace(old, new)
        digest = link(prev, text)
        raw.execute("UPDATE event SET text = ?, prev = ?, hash = ? WHERE seq = ?", (text, prev, digest, seq))
        prev = digest
    for _, sql in guards:
        raw.execute(sql)
    raw.commit()
    raw.close()


def cut_off(bench: TestBench, after: int) -> None:
    """Its owner takes events off its end, the guards put back."""
    raw = sqlite3.connect(bench.folder / "journal.sqlite")
    guards = raw.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    for name, _ in guards:
        raw.execute(f"DROP TRIGGER {name}")
    raw.execute("DELETE FROM event WHERE seq > ?", (after,))
    for _, sql in guards:
        raw.execute(sql)
    raw.commit()
    raw.close()


def rewrite_server(workshop: Database, bench: TestBench, count: int) -> None:
    """The server's owner writes the chain of a bench anew from its second event on, ``count`` events long."""
    name = bench.folder.name
    other = TestBench(bench.folder.with_name("forged"), workshop.url(name))
    with bench.journal.reading() as c, other.journal.writing() as o:
        o.execute(EVENT.insert(), [dict(c.execute(EVENT.select().where(EVENT.c.seq == 1)).one()._mapping)])
    other.note(*(f"forged {n}" for n in range(count - 1)))
    lose(workshop, name)
    other.send()
    other.close()


def lose(workshop: Database, name: str, after: int = 0) -> None:
    """The server loses the events of a bench behind a place."""
    workshop.execute("alter table workshop.event disable trigger never")
    workshop.execute("delete from workshop.event where bench = %s and seq > %s", workshop.role(name), after)
    workshop.execute("alter table workshop.event enable always trigger never")
