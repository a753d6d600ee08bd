"""A workshop of several benches: its server prepared, a bench joined to it, and how that bench stands. What speaks to the
server is loaded only where there is one."""

from __future__ import annotations

import contextlib
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_noop
from benchapp.record.bench_identity import identity_in
from benchapp.record.elsewhere import Elsewhere
from benchapp.record.errors import RecordError
from benchapp.record.journal import Journal
from benchapp.record.people import people_in
from benchapp.record.pin_file import SEALED
from benchapp.replication.errors import ReplicationError
from benchapp.runtime.settings import keep_server, server_in
from benchapp.service.errors import CommandError

if TYPE_CHECKING:
    from benchapp.replication.others import OthersFile
    from benchapp.replication.replicator import Replicator
    from benchapp.replication.seals import Comparison
    from benchapp.replication.server_address import ServerAddress
    from benchapp.replication.server_connection import Connection

ALONE = tr_noop("This bench stands alone: no other is joined to it.")
#: What is typed so that it is.
JOIN = tr_noop("Join one: benchapp workshop join SERVER.")


#: So long a bench that joins waits for what the others made; the rest comes while the program runs.
JOINING_S = 10.0


@contextlib.contextmanager
def replicating(journal: Journal, folder: Path) -> Iterator[Callable[[], str]]:
    """Exchange with the workshop's server meanwhile, where there is one; gives what says how that stands, "" on a bench
    alone. Nothing of it keeps anything from being made: what is wrong is said in that sentence."""
    given = server_in(folder)
    if not given:
        yield lambda: ""
        return
    with contextlib.ExitStack() as opened:
        try:
            replicator = _replicator(journal, folder, given, opened)
        except (CommandError, ReplicationError, RecordError) as error:
            why = tr("Workshop: nothing is sent or received. {error}", error=error)
            yield lambda: why
            return
        replicator.start()
        opened.callback(replicator.stop)
        yield replicator.sentence


def _replicator(journal: Journal, folder: Path, given: str, opened: contextlib.ExitStack) -> Replicator:
    address = _address(given)
    from benchapp.replication.replicator import Replicator
    from benchapp.replication.together import Together

    others = opened.enter_context(_received(folder))
    together = journal.elsewhere
    if not isinstance(together, Together):
        return Replicator(journal, others, address)
    together.bit_by_bit()
    return Replicator(journal, others, address, arrived=together.look)


@contextlib.contextmanager
def knowing_others(journal: Journal, folder: Path) -> Iterator[None]:
    """Let the journal answer with what the other benches of its workshop know, where there is one."""
    if not server_in(folder):
        yield
        return
    from benchapp.replication.out_of_reach import OutOfReach
    from benchapp.replication.seals import bench_of
    from benchapp.replication.together import Together

    with contextlib.ExitStack() as opened:
        try:
            others = opened.enter_context(_received(folder))
            together = opened.enter_context(contextlib.closing(Together(journal, others, bench_of(journal))))
            journal.elsewhere, journal.all_chains = together, together.everywhere
        except RecordError as error:
            journal.elsewhere = OutOfReach(str(error))
        try:
            yield
        finally:
            journal.elsewhere, journal.all_chains = Elsewhere(), None


def _received(folder: Path) -> contextlib.closing[OthersFile]:
    """The file of what the other benches sent, closed again behind it. Raises RecordError."""
    from benchapp.replication.others import OthersFile

    return contextlib.closing(OthersFile(folder))


def _address(given: str) -> ServerAddress:
    """Raises ServerRefuses."""
    from benchapp.replication.server_address import server_address

    return server_address(given)


@contextlib.contextmanager
def _plainly() -> Iterator[None]:
    try:
        yield
    except ReplicationError as error:
        raise CommandError(str(error)) from error


@contextlib.contextmanager
def _connected(given: str) -> Iterator[Connection]:
    """Raises CommandError."""
    with _plainly():
        address = _address(given)
        from benchapp.replication.server_connection import connected

        with connected(address) as connection:
            yield connection


# --- who looks after the server ------------------------------------------------------------------------


def prepare_server(given: str) -> str:
    """Make the workshop's tables and rights, or put back what of them is missing; the sentence that says so."""
    with _connected(given) as connection:
        from benchapp.replication.preparing import prepare

        prepare(connection)
    return tr("The server is ready. Add each bench: benchapp workshop add BENCH --short NAME.")


@dataclass(frozen=True, slots=True)
class BenchToAdd:
    """A bench that is added on the server ``at``: its id and short name, the dead bench it ``replaces``, and the ``host``
    it knows the server by, "" for the one in the address."""

    bench: str
    short: str
    at: str
    replaces: str = ""
    host: str = ""


def add_to_server(new: BenchToAdd) -> bytes:
    """Add a bench, or give it a new password; the line for its password file."""
    with _connected(new.at) as connection:
        from benchapp.replication.preparing import NewBench, add_bench

        password = add_bench(connection, NewBench(new.bench, new.short, new.replaces))
        info = connection.info
        return f"{new.host or info.host}:{info.port}:{info.dbname}:{new.bench}:{password}\n".encode()


# --- a bench -------------------------------------------------------------------------------------------


def join_workshop(journal: Journal, folder: Path, given: str) -> str:
    """Make the journal a bench of the workshop, and send and receive what there is; a long history goes on coming while the program runs."""
    with _connected(given) as connection:
        from benchapp.replication.joining import join
        from benchapp.replication.server import Server

        server, was = Server(connection), identity_in(journal)
        brought = join(journal, server)
        member = server.member()
    fresh = identity_in(journal) != was
    if fresh:
        with _received(folder) as others:
            others.forget()  # it may be another workshop's; it is received anew
    keep_server(folder, given)
    said = tr(
        "This journal is the bench {bench} ({short}) from now on.", bench=member.bench, short=member.short
    )
    if brought:
        said += tr(
            " {brought} events that it lacked were brought back. Where another machine still writes as {bench}, stop that one: of two only "
            "one can send.",
            brought=brought,
            bench=member.bench,
        )
    if fresh and any(
        person.pin and not person.pin.startswith(SEALED) for person in people_in(journal).signing()
    ):
        said += tr(
            " PINs set before stand as hashes in the journal that is sent: let everybody set a new one."
        )
    return f"{said} {sync_workshop(journal, folder, JOINING_S)}"


def leave_workshop(journal: Journal, folder: Path) -> str:
    """Leave, once everything is sent where that is possible. The journal stays whole."""
    from benchapp.replication.joining import leave

    given = server_in(folder)
    with _plainly():
        leave(journal)
    keep_server(folder, "")
    sent = _said_last(journal, folder, given)
    return tr("This bench is alone again; its journal holds everything it made. {sent}", sent=sent)


def _said_last(journal: Journal, folder: Path, given: str) -> str:
    """Send the last events, the leaving among them; where that cannot be, the sentence says so."""
    try:
        with _connected(given) as connection:
            from benchapp.replication.joining import send_last
            from benchapp.replication.server import Server

            send_last(journal, Server(connection))
    except CommandError as error:
        return tr("The server does not have the last of it: {error}", error=error)
    return tr("The server has all of it.")


def rebuild_server(journal: Journal, folder: Path, given: str) -> str:
    """Put every chain that is on this bench back onto a server that lost them; asked as the server's owner."""
    with _connected(given) as connection, contextlib.ExitStack() as opened:
        from benchapp.replication.preparing import prepare
        from benchapp.replication.rebuilding import give_back

        others = opened.enter_context(_received(folder))
        prepare(connection)
        found = give_back(journal, others, connection)
    counts = ", ".join(
        tr("{count} of {bench}", count=count, bench=bench) for bench, count in found.events.items()
    )
    said = tr(
        "Given back: {counts}. Do so on every bench, and give each a new password: benchapp workshop add.",
        counts=counts,
    )
    if not found.differ:
        return said
    raise CommandError(
        tr(
            "{said} Of {names} the server has another chain than this bench: nothing of it was "
            "given. Verify both.",
            said=said,
            names=", ".join(found.differ),
        )
    )


def sync_workshop(journal: Journal, folder: Path, patience_s: float = math.inf) -> str:
    """Send and receive everything there is, now, or as much as comes in about so long; how the bench stands then. Raises CommandError."""
    given = server_in(folder)
    if not given:
        raise CommandError(f"{tr(ALONE)} {tr(JOIN)}")
    with _plainly(), contextlib.ExitStack() as opened:
        address = _address(given)
        from benchapp.replication.replicator import exchange_once

        others = opened.enter_context(_received(folder))
        exchange_once(journal, others, address, patience_s)
        return _standing(journal, folder)


def workshop_status(journal: Journal, folder: Path) -> str:
    """How the bench stood to its workshop's server last, how far it knows the others, and what does not go together, a line
    each."""
    if not server_in(folder):
        return f"{tr(ALONE)} {tr(JOIN)}"
    conflicts = (one.said for one in journal.elsewhere.conflicts())
    return "\n".join((_standing(journal, folder), *_others_heard(journal, folder), *conflicts))


def held_against_others(journal: Journal, folder: Path) -> Comparison | None:
    """The own chain and the received ones held against what every bench wrote down of the others; None on a bench that
    has received none. Raises RecordError."""
    from benchapp.replication.others import OTHERS

    if not (folder / OTHERS).is_file():
        return None
    from benchapp.replication.seals import compare

    with _received(folder) as others:
        return compare(journal, others)


def _others_heard(journal: Journal, folder: Path) -> Iterator[str]:
    """How much of each other bench is here, and when the server heard of it last."""
    from benchapp.replication.contact import heard_of
    from benchapp.replication.seals import bench_of

    own = bench_of(journal)
    with _received(folder) as others:
        for bench, member in others.members().items():
            if bench != own:
                yield heard_of(member, others.known(member, own), journal.wall())


def _standing(journal: Journal, folder: Path) -> str:
    from benchapp.replication.own_chain import own_head

    with _received(folder) as others:
        return others.contact().explained(own_head(journal).seq, journal.wall())
