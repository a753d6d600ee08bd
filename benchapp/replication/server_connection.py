"""A connection to the workshop's server, and what its errors mean in one sentence."""

from __future__ import annotations

import contextlib
import socket
import threading
import time
from collections.abc import Iterator

import psycopg
from psycopg import Connection as Connection

from benchapp.foundation.language import tr, tr_noop
from benchapp.replication.errors import ChainRefused, ReplicationError, ServerRefuses, ServerUnavailable
from benchapp.replication.server_address import ServerAddress

#: The longest the server may take over one question, in seconds, and, as a line may acknowledge and never answer, after
#: which the line is cut from here.
ANSWER_S, CUT_S = 20, 30.0
#: From so many seconds on an answer is slow, and it is said.
SLOW_S = 1.0
#: So much of what a server says is told, in characters.
LONGEST = 160
#: What the server raises where its disk is full (PostgreSQL's class 53).
DISK_FULL = "53100"
#: What the server raises where an event does not follow the one before (see schema.sql).
NOT_FOLLOWING = "BN001"
#: Words of libpq for what waiting mends by itself not at all, and what to do.
REFUSALS = {
    "no password supplied": tr_noop(
        "Put the password into ~/.pgpass, and let nobody else read that file (chmod 600 ~/.pgpass)."
    ),
    "password authentication failed": tr_noop("Check the name of the bench and its line in ~/.pgpass."),
    "certificate verify failed": tr_noop(
        "Its certificate is not one the workshop's authority signed: check sslrootcert."
    ),
    "root certificate file": tr_noop("Name the workshop's authority: sslrootcert=FILE."),
    "does not match host name": tr_noop("Its certificate is another host's: use the name that stands in it."),
    "does not support SSL": tr_noop(
        "It takes no TLS: give it a certificate (ssl = on), or do not use it over a network."
    ),
    "no pg_hba.conf entry": tr_noop("Let this bench in there: a line in pg_hba.conf."),
    "does not exist": tr_noop("Prepare the server first: benchapp workshop prepare."),
    "is not permitted to log in": tr_noop("The bench was shut out there."),
}


@contextlib.contextmanager
def connected(address: ServerAddress) -> Iterator[Connection]:
    """A connection that commits each statement by itself, closed afterwards. Raises ReplicationError, also for whatever
    the database raises meanwhile."""
    with translated(address):
        connection = psycopg.connect(address.conninfo, autocommit=True)
        try:
            connection.execute("select set_config('statement_timeout', %s, false)", (f"{ANSWER_S}s",))
            yield connection
        finally:
            connection.close()


class Watchdog:
    """Cuts the line when an answer takes too long: one that acknowledges and never answers would keep a thread for ever.
    A thread of its own looks every ``tick_s``, as long as the connection is open."""

    def __init__(self, connection: Connection, seconds: float = CUT_S, tick_s: float = 1.0) -> None:
        self._connection, self._seconds, self._tick_s = connection, seconds, tick_s
        self._since: float | None = None
        self.took_s = 0.0  # the last answer
        threading.Thread(target=self._run, name="watchdog", daemon=True).start()

    @contextlib.contextmanager
    def asking(self) -> Iterator[None]:
        """While an answer is waited for."""
        began_s = self._since = time.monotonic()
        try:
            yield
        finally:
            self._since = None
            self.took_s = time.monotonic() - began_s

    def _run(self) -> None:
        pause = threading.Event()
        while not self._connection.closed:
            pause.wait(self._tick_s)
            since = self._since
            if since is not None and time.monotonic() - since > self._seconds:
                cut(self._connection)
                return


def cut(connection: Connection) -> None:
    """Cut the line of a connection that another thread is waiting on."""
    with contextlib.suppress(OSError, psycopg.Error):
        line = socket.fromfd(connection.fileno(), socket.AF_INET, socket.SOCK_STREAM)
        try:
            line.shutdown(socket.SHUT_RDWR)
        finally:
            line.close()


@contextlib.contextmanager
def translated(address: ServerAddress) -> Iterator[None]:
    """Every error of the database as one sentence. Raises ReplicationError."""
    try:
        yield
    except psycopg.Error as error:
        raise _meant(error, address) from error


def _meant(error: psycopg.Error, address: ServerAddress) -> ReplicationError:
    words = " ".join(str(error).split()) or type(error).__name__
    if error.sqlstate == NOT_FOLLOWING:
        return ChainRefused(
            tr(
                "The server refused what was sent: {words}. Verify this journal: benchapp verify.",
                words=words,
            )
        )
    if error.sqlstate == DISK_FULL:
        return ServerUnavailable(
            tr(
                "The disk of the server {given} is full: make room there. Nothing is lost, and what waits is sent by itself then.",
                given=address.given,
            )
        )
    for key, hint in REFUSALS.items():
        if key in words:
            return ServerRefuses(
                tr(
                    "The server {given} refuses ({short}). {hint}",
                    given=address.given,
                    short=_short(words),
                    hint=hint,
                )
            )
    if isinstance(error, psycopg.OperationalError | psycopg.InterfaceError):
        return ServerUnavailable(
            tr("The server {given} does not answer ({short}).", given=address.given, short=_short(words))
        )
    return ServerRefuses(
        tr(
            "The server {given} refuses ({short}). Ask who looks after it.",
            given=address.given,
            short=_short(words),
        )
    )


def _short(words: str) -> str:
    return words if len(words) <= LONGEST else f"{words[:LONGEST]}…"
