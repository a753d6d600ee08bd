"""The thread on which a bench speaks to its workshop's server; whatever becomes of that, nothing that is made waits."""

from __future__ import annotations

import math
import threading
import time
from collections.abc import Callable
from dataclasses import replace

from benchapp.record.errors import RecordError
from benchapp.record.journal import Journal
from benchapp.replication.contact import Contact
from benchapp.replication.errors import ReplicationError, ServerUnavailable
from benchapp.replication.exchange import Exchange
from benchapp.replication.others import OthersFile
from benchapp.replication.own_chain import own_head
from benchapp.replication.seals import Sealer
from benchapp.replication.server import Server
from benchapp.replication.server_address import ServerAddress
from benchapp.replication.server_connection import connected


class Intervals:
    """How often, in seconds: the own journal is looked at, the server asked without having told anything, said that this
    bench is there, the others' heads written into the own chain, a server that does not answer tried again, and one that
    refuses."""

    look_s = 0.2
    ask_s = 5.0
    heartbeat_s = 60.0
    seal_s = 600.0
    again_s = 5.0
    refused_again_s = 60.0


class Replicator:
    """Sends and receives until it is stopped. ``clock`` gives seconds that never run backwards; ``arrived`` is called on
    this thread whenever everything there was has been received, and again as long as it says that there is more to do."""

    def __init__(
        self,
        journal: Journal,
        others: OthersFile,
        address: ServerAddress,
        clock: Callable[[], float] = time.monotonic,
        pace: Intervals | None = None,
        arrived: Callable[[], object] = lambda: None,
    ) -> None:
        self._journal, self._others, self._address = journal, others, address
        self._clock, self._pace = clock, pace or Intervals()
        self._arrived, self._behind = arrived, True
        self._contact = others.contact()
        self._stopping = threading.Event()
        self._server: Server | None = None
        self._thread = threading.Thread(target=self._run, name="replication", daemon=True)

    def start(self) -> None:
        """Begin, on a thread of its own."""
        self._thread.start()

    def stop(self, wait_s: float = 2.0) -> None:
        """End; what is not sent is sent the next time."""
        self._stopping.set()
        server = self._server
        if server is not None:
            server.cut()
        self._thread.join(wait_s)

    def contact(self) -> Contact:
        """How it stands just now; any thread."""
        return self._contact

    def sentence(self) -> str:
        """The same as one sentence. Raises RecordError where the journal cannot be read."""
        return self._contact.sentence(own_head(self._journal).seq, self._journal.wall())

    def _run(self) -> None:
        while not self._stopping.is_set():
            try:
                with connected(self._address) as connection:
                    self._attend(Server(connection))
            except (ReplicationError, RecordError) as error:
                if not self._stopping.is_set():
                    self._note_offline(str(error))
                mends_itself = isinstance(error, ServerUnavailable)
                while self._behind and not self._stopping.is_set():
                    self._behind = bool(self._arrived())
                self._stopping.wait(self._pace.again_s if mends_itself else self._pace.refused_again_s)
            finally:
                self._server = None

    def _attend(self, server: Server) -> None:
        """Exchange on one connection until it breaks or this is stopped."""
        self._server = server
        exchange = Exchange(self._journal, self._others, server)
        server.listen()
        sealer = Sealer(self._journal, self._others)
        asked_s = beat_s = sealed_s = -math.inf
        told, received = True, False
        while not self._stopping.is_set():
            now_s = self._clock()
            if now_s - beat_s >= self._pace.heartbeat_s:
                exchange.heartbeat()
                beat_s = now_s
            more = exchange.send()
            if told or now_s - asked_s >= self._pace.ask_s:
                told = exchange.receive()
                asked_s = now_s
                if not told:
                    self._behind = received = True
                    self._note(exchange, as_of=self._journal.wall())
            else:
                self._note(exchange)
            if self._behind and not told:
                self._behind = bool(self._arrived())
            if received and not self._behind:  # what is not worked out is not known
                received = False
                if now_s - sealed_s >= self._pace.seal_s and sealer.seal():
                    sealed_s = now_s
            told |= server.told(0.0 if told or more or self._behind else self._pace.look_s)

    def _note(self, exchange: Exchange, as_of: str = "") -> None:
        """How it stands; written down when something else than the minute changed."""
        refused = tuple(why for _, why in self._others.refused().values())
        slow = self._server.slow if self._server is not None else ""
        now = Contact(exchange.sent.seq, as_of or self._contact.as_of, why=slow, refused=refused)
        before, self._contact = self._contact, now
        if replace(now, as_of=now.as_of[:16]) != replace(before, as_of=before.as_of[:16]):
            self._others.keep_contact(now)

    def _note_offline(self, why: str) -> None:
        since = self._contact.offline_since or self._journal.wall()
        self._contact = replace(self._contact, offline_since=since, why=why)
        self._others.keep_contact(self._contact)


def exchange_once(
    journal: Journal, others: OthersFile, address: ServerAddress, patience_s: float = math.inf
) -> Contact:
    """Send and receive everything there is, or as much as comes in about so long, and come back. Raises ReplicationError and RecordError;
    how it stands is written down either way."""
    began_s = time.monotonic()

    def late() -> bool:
        return time.monotonic() - began_s >= patience_s

    try:
        with connected(address) as connection:
            server = Server(connection)
            exchange = Exchange(journal, others, server)
            exchange.heartbeat()
            behind = exchange.receive()
            while behind and not late():
                behind = exchange.receive()
            if not behind:
                Sealer(journal, others).seal()
            while exchange.send() and not late():
                pass
    except ReplicationError as error:
        was = others.contact()
        others.keep_contact(replace(was, offline_since=was.offline_since or journal.wall(), why=str(error)))
        raise
    as_of = others.contact().as_of if behind else journal.wall()
    others.keep_contact(Contact(exchange.sent.seq, as_of, why=server.slow))
    return others.contact()
