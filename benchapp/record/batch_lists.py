"""The lists of batches, asked of their index: by name, by procedure, unfinished, waiting."""

from __future__ import annotations

import contextlib
from typing import Any

from sqlalchemy import Connection, Select, func, select

from benchapp.record.batch_line import BatchLine, batch_line
from benchapp.record.errors import no_batch
from benchapp.record.tables import BATCH

#: So many that are unfinished or wait are listed, the newest.
MOST = 200


class BatchLists:
    """What a journal can tell of its batches without looking at their events. Everything raises RecordError."""

    def reading(self) -> contextlib.AbstractContextManager[Connection]:
        """A connection to where the index is."""
        raise NotImplementedError

    def batches(self, limit: int | None = None) -> list[BatchLine]:
        """The batches, newest first."""
        return self._lines(select(BATCH).order_by(BATCH.c.seq.desc()).limit(limit))

    def finished(self, procedure: str, rehearsal: bool, limit: int | None) -> list[BatchLine]:
        """The newest finished batches, or rehearsals, of a procedure, newest first; all for None."""
        of_procedure = (BATCH.c.procedure == procedure) & (BATCH.c.end == "finished")
        query = select(BATCH).where(of_procedure, BATCH.c.rehearsal == rehearsal)
        return self._lines(query.order_by(BATCH.c.seq.desc()).limit(limit))

    def batch(self, name: str) -> BatchLine:
        """One batch of the list. Raises NoSuchBatch."""
        found = self._lines(select(BATCH).where(BATCH.c.batch == name))
        if not found:
            raise no_batch(name)
        return found[0]

    def named(self, text: str) -> BatchLine:
        """The batch of that name, or with that code on its containers. Raises NoSuchBatch."""
        found = self._lines(select(BATCH).where((BATCH.c.batch == text) | (BATCH.c.code == text)))
        return found[0] if found else self.batch(text)

    def unfinished(self) -> list[BatchLine]:
        """Makes that are not over, newest first."""
        return self._lines(select(BATCH).where(BATCH.c.end == "").order_by(BATCH.c.seq.desc()).limit(MOST))

    def to_go_on_with(self) -> BatchLine | None:
        """The make to take up unless one is named: a real one before any rehearsal, the newest of each first."""
        return next(iter(sorted(self.unfinished(), key=lambda b: b.rehearsal)), None)

    def waiting(self) -> list[BatchLine]:
        """Finished batches nobody has released or rejected yet, newest first; never rehearsals."""
        return self._lines(select(BATCH).where(BATCH.c.waiting).order_by(BATCH.c.seq.desc()).limit(MOST))

    def _lines(self, query: Select[Any]) -> list[BatchLine]:
        with self.reading() as c:
            return [batch_line(r) for r in c.execute(query)]

    def new_batch(self, day: str, name: str) -> str:
        """A batch name not used before: day, a word of the procedure, a number."""
        stem = f"{day}-{name}"
        with self.reading() as c:
            highest = c.execute(select(func.max(BATCH.c.number)).where(BATCH.c.stem == stem)).scalar()
        return f"{stem}-{(highest or 0) + 1}"
