"""A PostgreSQL cluster of a test's own: made in a folder of its own, on a port of its own on 127.0.0.1, gone afterwards."""

from __future__ import annotations

import contextlib
import itertools
import os
import shutil
import signal
import socket
import subprocess
import tempfile
from pathlib import Path

import psycopg
from in_memory import MEMORY

#: Nothing is synced, little memory is shared, nobody tidies up.
QUICK = ("-F", "-c", "shared_buffers=8MB", "-c", "autovacuum=off", "-c", "jit=off")
#: Who owns the workshop's database.
OWNER = "workshop_owner"
_NAMES = itertools.count(1)


def free_port() -> int:
    """A port nobody has just now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def quick_folder() -> Path:
    """A folder in which syncing costs nothing, where the system has room for one: what is durable is tried elsewhere."""
    return Path(tempfile.mkdtemp(prefix="workshop-", dir=MEMORY))


class Cluster:
    """One server. ``options`` are those of its start, ``home`` an empty folder for it."""

    def __init__(self, programs: Path, options: tuple[str, ...] = QUICK, home: Path | None = None) -> None:
        self.programs, self.options, self.port = programs, options, free_port()
        self.home = home or quick_folder()
        self.data = self.home / "data"
        self.process: subprocess.Popen[bytes] | None = None
        self.own(self.home)

    def own(self, path: Path) -> None:
        """Give a file to the user the server runs as; root may not run it."""
        if os.geteuid() == 0:
            shutil.chown(path, "postgres", "postgres")

    def run(self, program: str, *words: str) -> None:
        """One of the server's programs, to its end."""
        subprocess.run(
            [self.programs / program, *words], check=True, capture_output=True, cwd=self.home, **_as()
        )

    def make(self) -> Cluster:
        """An empty cluster, running."""
        self.run(
            "initdb",
            "-A",
            "trust",
            "-E",
            "UTF8",
            "--locale=C",
            "--no-sync",
            "-U",
            "postgres",
            "-D",
            str(self.data),
        )
        return self.start()

    def follow(self, primary: Cluster) -> None:
        """Be a standby of another: a copy of it that gets what it writes as it comes."""
        self.run(
            "pg_basebackup",
            "-R",
            "-c",
            "fast",
            "-X",
            "stream",
            "-D",
            str(self.data),
            "-d",
            primary.url("postgres", "postgres"),
        )
        self.start()

    def caught_up(self, primary: Cluster) -> None:
        """Wait until it has everything the primary has."""
        with psycopg.connect(primary.url("postgres", "postgres"), autocommit=True) as c:
            there = c.execute("select pg_current_wal_lsn()").fetchone()
        with psycopg.connect(self.url("postgres", "postgres"), autocommit=True) as c:
            while c.execute("select pg_last_wal_replay_lsn() < %s", there).fetchone() == (True,):
                select_a_moment()

    def follow_no_more(self) -> None:
        """The line to the primary is cut, and the primary does not wait for it."""
        with psycopg.connect(self.url("postgres", "postgres"), autocommit=True) as c:
            c.execute("alter system set primary_conninfo = ''")
            c.execute("select pg_reload_conf()")
            while c.execute("select count(*) from pg_stat_wal_receiver").fetchone() != (0,):
                select_a_moment()

    def promote(self) -> None:
        """From now on it is the primary."""
        with psycopg.connect(self.url("postgres", "postgres"), autocommit=True) as c:
            c.execute("select pg_promote(true, 30)")

    def start(self) -> Cluster:
        """Start it, and return when it answers."""
        log = (self.home / "log").open("ab")
        self.process = subprocess.Popen(
            [self.programs / "postgres", "-D", self.data, "-p", str(self.port), "-h", "127.0.0.1", "-k", "",
             "-c", "max_connections=60", *self.options],
            stdout=log, stderr=log, cwd=self.home, **_as(),
        )  # fmt: skip
        log.close()
        for _ in range(500):
            try:
                psycopg.connect(self.url("postgres", "postgres"), connect_timeout=2).close()
            except psycopg.OperationalError:
                assert self.process.poll() is None, self.log()
                select_a_moment()
            else:
                return self
        raise AssertionError(self.log())

    def log(self) -> str:
        """The last of what it said."""
        return (self.home / "log").read_text()[-2000:]

    def stop(self, how: signal.Signals = signal.SIGINT) -> None:
        """Stop it."""
        if self.process is not None:
            self.process.send_signal(how)
            self.process.wait(30)
            self.process = None

    def die(self) -> None:
        """A power cut: the server and all its processes at once."""
        assert self.process is not None
        pid = self.process.pid
        os.kill(pid, signal.SIGSTOP)  # so that it makes no more of them
        children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
        for child in children:
            with contextlib.suppress(ProcessLookupError):
                os.kill(int(child), signal.SIGKILL)
        os.kill(pid, signal.SIGKILL)
        self.process.wait(30)
        while any(_alive(child) for child in children):  # as long as they hold its memory, no other begins
            select_a_moment()
        self.process = None

    def gone(self) -> None:
        """Stop it and take its files away."""
        self.stop(signal.SIGQUIT)
        shutil.rmtree(self.home, ignore_errors=True)

    def url(self, role: str, database: str) -> str:
        """Where a role connects."""
        return f"postgresql://{role}@127.0.0.1:{self.port}/{database}"

    def new_database(self) -> Database:
        """A database without anything in it; the same each time, as making one takes longer than most tests."""
        with psycopg.connect(self.url("postgres", "postgres"), autocommit=True) as c:
            if not c.execute("select 1 from pg_database where datname = 'workshop'").fetchone():
                c.execute(f"create role {OWNER} login createrole")
                c.execute(f"create database workshop owner {OWNER}")
        with psycopg.connect(self.url("postgres", "workshop"), autocommit=True) as c:
            c.execute("drop schema if exists workshop cascade")
        return Database(self, f"w{next(_NAMES)}")


class Database:
    """A workshop's database; its owner may make roles and is no superuser. Roles belong to the whole cluster: those of
    each test begin with a name of its own."""

    def __init__(self, cluster: Cluster, name: str) -> None:
        self.cluster, self.name = cluster, name
        self.owner = cluster.url(OWNER, "workshop")
        self.superuser = cluster.url("postgres", "workshop")

    def at(self, cluster: Cluster) -> Database:
        """The same on another server."""
        return Database(cluster, self.name)

    def role(self, bench: str) -> str:
        """The id of a bench called so in this test."""
        return f"{self.name}_{bench}"

    def url(self, bench: str) -> str:
        """Where that bench connects."""
        return self.cluster.url(self.role(bench), "workshop")

    def execute(self, query: str, *values: object, role: str = "") -> list[tuple]:
        """Ask as a bench, or as the superuser."""
        with psycopg.connect(self.url(role) if role else self.superuser, autocommit=True) as c:
            asked = c.execute(query, values or None)
            return asked.fetchall() if asked.description else []


def select_a_moment() -> None:
    """Let the server get on; there is nothing else to wait for that it could tell us by."""
    import select

    select.select([], [], [], 0.02)


def _alive(pid: str) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False


def _as() -> dict[str, object]:
    return {"user": "postgres", "group": "postgres", "extra_groups": []} if os.geteuid() == 0 else {}
