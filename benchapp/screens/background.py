"""Work that may take long (files, ports, the journal), done in a thread of its own while the glass goes on."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any, TypeVar

T = TypeVar("T")


class BackgroundWorker:
    """Done one after another in the order they were asked for; only the newest one's outcome is still wanted."""

    def __init__(self) -> None:
        self._pool = ThreadPoolExecutor(1, thread_name_prefix="background")
        self._newest: tuple[Future[Any], Callable[[Any], None]] | None = None

    def run(self, work: Callable[[], T], then: Callable[[T], None]) -> None:
        """Do ``work`` in the thread; ``then`` gets what came of it, in ``look``'s thread."""
        self._newest = (self._pool.submit(work), then)

    def prepare(self, work: Callable[[], object]) -> None:
        """Do ``work`` after what was asked for so far. Nobody waits for it; whoever needs it and does not find it done does it."""
        self._pool.submit(work)

    @property
    def busy(self) -> bool:
        """Whether something wanted has not been handed over yet."""
        return self._newest is not None

    def look(self) -> None:
        """Hand over what has come. Call every frame. Raises whatever the work raised."""
        if self._newest is not None and self._newest[0].done():
            (done, then), self._newest = self._newest, None
            then(done.result())

    def wait(self, timeout_s: float) -> None:
        """Until the newest has come, or so many seconds; it is handed over by the next ``look``."""
        if self._newest is not None:
            self._newest[0].exception(timeout_s)

    def end(self) -> None:
        """Do what was asked for, then no more."""
        self._newest = None
        self._pool.shutdown(wait=True)
