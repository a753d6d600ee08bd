"""Heads of the chain kept outside the journal: how many events it had at a time, and the hash of the last of them.

The chain by itself cannot show that its end was cut off, that an older copy was put back, or that another journal
lies in its place; a head that was written down elsewhere before does.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from pathlib import Path

from sqlalchemy import Connection, select

from benchapp.foundation.json_lines import append_line, lines_in
from benchapp.record.tables import EVENT

#: The name of the file, beside the settings of the system's user and not in the data folder.
HEADS = "heads.jsonl"
#: So many bytes at the end of the file are looked at for what was kept last.
TAIL = 4096
#: Heads looked up in one query.
PART = 500


@dataclass(frozen=True, slots=True)
class Head:
    """The end of a journal at a time. ``seq`` counts the events, ``chain`` is the hash of the first of them and
    tells one journal from another, ``wall`` says when it was kept, ``folder`` where the journal lay."""

    seq: int
    hash: str
    chain: str
    wall: str
    folder: str

    def __str__(self) -> str:
        return f"{self.seq}:{self.hash}"


class HeadFile:
    """The heads kept on this machine, one a line; only ever added to."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def keep(self, head: Head) -> None:
        """Add it, unless it is what was kept last of that journal. Raises OSError where that is impossible."""
        same = (h for h in _heads(self._tail()) if h and (h.chain, h.folder) == (head.chain, head.folder))
        last = list(same)[-1:]
        if last and (last[0].seq, last[0].hash) == (head.seq, head.hash):
            return
        append_line(self.path, asdict(head))

    def known(self) -> tuple[tuple[Head, ...], int]:
        """Every head in the file in the order in which they were kept, and how many lines cannot be read. Raises
        OSError."""
        if not self.path.exists():
            return (), 0
        found = list(_heads(self.path.read_bytes()))
        return tuple(h for h in found if h), found.count(None)

    def _tail(self) -> bytes:
        if not self.path.exists():
            return b""
        with self.path.open("rb") as file:
            file.seek(max(file.seek(0, os.SEEK_END) - TAIL, 0))
            return file.read()


def _heads(lines: bytes) -> Iterator[Head | None]:
    """One for each line that is not empty; None where it is no head."""
    return map(_head, lines_in(lines))


def _head(said: Mapping[str, object] | None) -> Head | None:
    if said is None or not isinstance(seq := said.get("seq"), int):
        return None
    texts = {f.name: str(said.get(f.name, "")) for f in fields(Head) if f.name != "seq"}
    head = Head(seq=seq, **texts)
    return head if parsed(str(head)) else None


def parsed(text: str) -> tuple[int | None, str] | None:
    """A head as it is written: ``N:HASH``, or the hash alone. None for anything else."""
    match = re.fullmatch(r"(?:([0-9]{1,15}):)?([0-9a-f]{64})", text.strip().lower())
    return (int(match[1]) if match[1] else None, match[2]) if match else None


def head_now(c: Connection, wall: str, folder: str) -> Head | None:
    """The head of a journal as it stands, None where nothing is recorded in it."""
    places = select(EVENT.c.seq, EVENT.c.hash)
    first = c.execute(places.order_by(EVENT.c.seq).limit(1)).first()
    last = c.execute(places.order_by(EVENT.c.seq.desc()).limit(1)).first()
    return Head(last.seq, last.hash, first.hash, wall, folder) if first and last else None


def missing_of(c: Connection, heads: Sequence[Head]) -> tuple[Head, ...]:
    """Those that do not stand in the chain where they stood."""
    stands: dict[int, str] = {}
    numbers = sorted({h.seq for h in heads})
    for start in range(0, len(numbers), PART):
        which = EVENT.c.seq.in_(numbers[start : start + PART])
        stands.update(
            (row.seq, row.hash) for row in c.execute(select(EVENT.c.seq, EVENT.c.hash).where(which))
        )
    return tuple(h for h in heads if stands.get(h.seq) != h.hash)
