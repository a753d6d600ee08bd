"""verify, backup and correct: keeping the record, and saying openly what in it was wrong."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from itertools import chain
from pathlib import Path

from rich.console import Console

from benchapp.commands.opening import answers, desk_in
from benchapp.commands.options import Parser, runs, signs
from benchapp.commands.output import ask_secret, say
from benchapp.events import GuardsRestored
from benchapp.foundation.language import tr, tr_n, tr_noop
from benchapp.foundation.text_files import said_as
from benchapp.record.backups import KEEP, back_up, head_beside
from benchapp.record.chain import GENESIS
from benchapp.record.documents.plain_text import minute
from benchapp.record.heads import Head, parsed
from benchapp.record.stored_event import StoredEvent
from benchapp.record.verifying import Verification
from benchapp.record.verifying import verify as verify_journal
from benchapp.runtime.settings import data_folder, head_file
from benchapp.service.errors import DONE, NO_RECORD, CommandError
from benchapp.service.safekeeping import begin_copies, end_copies
from benchapp.service.several_benches import held_against_others


def verify(one: Parser) -> None:
    """benchapp verify"""
    one.add_argument("batch", nargs="?", help=tr("only this one; everything if none is named"))
    one.add_argument("--rebuild", action="store_true", help=tr("make the indexes anew from the chain first"))
    one.add_argument(
        "--head",
        default="",
        metavar="N:HASH",
        help=tr("a head printed on paper or kept elsewhere; the hash alone will do"),
    )
    runs(one, run_verify)


def backup(one: Parser) -> None:
    """benchapp backup"""
    one.add_argument("file", type=Path, nargs="?", help=tr("one copy, here; never over a file that is there"))
    one.add_argument(
        "--into",
        type=Path,
        metavar="FOLDER",
        help=tr("from now on a copy there each day and after each batch"),
    )
    one.add_argument(
        "--keep", type=int, default=KEEP, metavar="N", help=tr("of those, how many of the newest stay")
    )
    one.add_argument(
        "--no-more", action="store_true", help=tr("no more copies by themselves; what is there stays")
    )
    runs(one, run_backup)


def correct(one: Parser) -> None:
    """benchapp correct"""
    one.add_argument("batch", help=tr('the batch, or "workshop" for what belongs to none'))
    one.add_argument("event", type=int, help=tr("its number, as in the column event of the record as CSV"))
    one.add_argument("field", help=tr("such as net_g; one it does not have is answered with those it has"))
    one.add_argument("new", help=tr("what it is"))
    one.add_argument("--reason", required=True)
    signs(
        one,
        answers(lambda desk, g: desk.correct(g.batch, g.event, (g.field, g.new), g.reason, g.by, ask_secret)),
    )


def run_verify(args: argparse.Namespace, console: Console) -> int:
    """Exit 0 where everything is as it was written, 6 where it isn't."""
    if args.head and parsed(args.head) is None:
        raise CommandError(
            tr(
                "A head is 64 signs of 0 to 9 and a to f, with the number of its event and a colon "
                "before it or without. Copy the one you kept whole: nothing was held against it."
            )
        )
    kept, unread, file = _heads_kept()
    with desk_in(args, existing=True) as desk:
        own = desk.journal.own
        found = verify_journal(own, args.batch, args.head, kept)
        if args.rebuild:
            own.rebuild_indexes(differed=bool(found.indexes or found.schema))
        put_back = own.of_kinds([GuardsRestored])
        for line in chain(
            _altered(found), _put_back(put_back), _rebuilt(found, args.rebuild), _heads(found, file)
        ):
            say(console, line)
        # last, since it cannot be told where the others' file cannot be read
        others = held_against_others(own, data_folder(args.data))
    if others is not None:
        for line in others.altered:
            say(console, tr("ALTERED {line}", line=line))
        say(console, others.confirmed)
    if unread:
        say(
            console,
            tr(
                "{unread} lines of {path} cannot be read: what they said was not compared.",
                unread=unread,
                path=file,
            ),
        )
    for line in _sound(found, args):
        say(console, line)
    return DONE if found.sound and (others is None or others.sound) else NO_RECORD


def _heads_kept() -> tuple[tuple[Head, ...], int, Path]:
    """What is kept of every journal's heads, how many lines of it nobody can read, and where. Raises CommandError."""
    file = head_file()
    not_read = tr_noop("The heads in {path} cannot be read ({strerror}): nothing was verified.")
    with said_as(CommandError, not_read, path=file.path):
        kept, unread = file.known()
    return kept, unread, file.path


def _put_back(put_back: Sequence[StoredEvent]) -> Iterator[str]:
    for s in put_back:
        assert isinstance(s.event, GuardsRestored)
        names, day = ", ".join(s.event.guards), minute(s.wall)
        yield tr(
            "Something had been taken off or changed and was put back on {day}: {names}.",
            day=day,
            names=names,
        )


def _rebuilt(found: Verification, done: bool) -> Iterator[str]:
    if done:
        yield tr("The indexes were made anew from the chain. What differed stands above.")
    elif found.indexes or found.schema:
        yield tr("To make the indexes anew from the chain: benchapp verify --rebuild. Before that, "
                 "see whether events were taken off the end: hold the journal against a head on paper "
                 "or a backup.")  # fmt: skip


def _sound(found: Verification, args: argparse.Namespace) -> Iterator[str]:
    """That it is as it was written, its head, and where to keep that."""
    if found.sound:
        what = tr("Batch {batch}", batch=args.batch) if args.batch else tr("The journal")
        yield tr(
            "{what}: {events} events, each as it was written and bound to the one before.",
            what=what,
            events=found.events,
        )
    yield tr("head {length}:{head}", length=found.length, head=found.head)
    if not args.head:
        yield tr("Whoever owns this machine can write the whole chain anew. Keep this head elsewhere, "
                 "on paper or with somebody else, and hold the journal against it: benchapp verify "
                 "--head N:HASH.")  # fmt: skip


def _altered(found: Verification) -> Iterator[str]:
    for x in found.findings:
        yield tr(
            "ALTERED {batch}, event {n} (place {seq}): {what}.", batch=x.batch, n=x.n, seq=x.seq, what=x.what
        )
    for guard in found.guards:
        yield tr(
            "ALTERED the guard {guard} against alteration was taken off this file or changed.", guard=guard
        )
    if found.pages:
        yield tr("DAMAGED {pages}. Restore a backup.", pages=found.pages)
    for line in found.schema:
        yield tr("ALTERED {line}: somebody changed the file's own form.", line=line)
    for line in found.indexes:
        yield tr("ALTERED an index says something else than the chain: {line}. Either the index was "
                 "changed, or events were taken off the chain's end.", line=line)  # fmt: skip


def _heads(found: Verification, file: Path) -> Iterator[str]:
    """What the head that was given says of the chain, and those that are kept."""
    if found.head_at is not None:
        at = found.head_at
        yield tr("The head given is in the chain: event {n} of {batch}, place {seq}, {what}.", n=at.n, batch=at.batch, seq=at.seq, what=at.what)  # fmt: skip
    elif found.asked:
        yield tr("ALTERED the head given is not in this chain: the journal was written anew, cut off or put back "
                 "to an older copy since, or the head is another journal's.")  # fmt: skip
    if found.others:
        last = found.others[-1]
        yield tr("ALTERED another journal lay in this folder on {day}, its head {last}. Put it back, "
                 "or, if it was taken away on purpose, take its lines out of {file}.", day=minute(last.wall), last=str(last), file=file)  # fmt: skip
    if found.missing:
        last = max(found.missing, key=lambda h: h.seq)
        yield tr("ALTERED {count} of {count_2} heads kept in {file} are not in this chain, the "
                 "furthest of them event {seq}, kept on {day}: events were taken off the end, an "
                 "older copy was put back, or the chain was written anew.", count=len(found.missing), count_2=len(found.known), file=file, seq=last.seq, day=minute(last.wall))  # fmt: skip
    elif found.known:
        last = max(found.known, key=lambda h: h.seq)
        yield tr_n("One head is kept in {file}, of {day_2}; it is in this chain, and {length} events came after it.",
                   "{n} heads are kept in {file}, from {day} to {day_2}; each is in this chain, and {length} events came after the last.", n=len(found.known), file=file, day=minute(found.known[0].wall), day_2=minute(last.wall), length=found.length - last.seq)  # fmt: skip
    else:
        yield tr("No head of this journal is kept on this machine ({file}): nothing here would show "
                 "that events were taken off its end before today.", file=file)  # fmt: skip


def run_backup(args: argparse.Namespace, console: Console) -> int:
    """One copy, or copies by themselves from now on."""
    if sum((args.file is not None, args.into is not None, args.no_more)) != 1:
        raise CommandError(
            tr("Name a file for one copy, or --into FOLDER for copies from now on, or --no-more.")
        )
    if args.no_more:
        say(console, end_copies(data_folder(args.data)))
        return DONE
    if args.into is not None:
        into = args.into.expanduser().resolve()
        with desk_in(args, existing=True) as desk:
            say(console, begin_copies(desk.journal.own, data_folder(args.data), into, args.keep))
        return DONE
    if args.file.exists():
        raise CommandError(
            tr("{file} is there already; a backup is never written over another.", file=args.file)
        )
    with desk_in(args, existing=True) as desk:
        head = back_up(desk.journal.own, args.file)
    say(
        console,
        tr(
            "{file} is written. It holds the head {head}, or a later one.",
            file=args.file,
            head=str(head or GENESIS),
        ),
    )
    if head is not None:
        say(console, tr("Written: {head_beside}", head_beside=head_beside(args.file)))
    say(
        console,
        tr(
            "To restore: put it as journal.sqlite into an empty folder and name that with "
            "--data; then verify."
        ),
    )
    return DONE
