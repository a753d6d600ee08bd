"""Python's cycle collector, paused while very many objects are made that all stay, and held back while a frame must not wait."""

from __future__ import annotations

import contextlib
import gc
from collections.abc import Iterator


@contextlib.contextmanager
def collector_paused() -> Iterator[None]:
    """Nothing is looked through for circles meanwhile: each time the number of objects has grown by a quarter the
    collector walks them all, and events read from a journal hold none."""
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()


#: Middle rounds between two full ones: as Python has it, and while full ones are only made when asked for.
USUAL, SELDOM = 10, 1000


def hold_back_full_rounds() -> None:
    """What lives as long as the program is not looked through again, and the rest only where ``gc.collect`` is called: a full round
    takes some 30 ms, and would be made in the middle of a pour. A great many objects later one is made all the same."""
    gc.unfreeze()
    gc.collect()
    gc.freeze()
    gc.set_threshold(*gc.get_threshold()[:2], SELDOM)


def full_rounds_as_usual() -> None:
    """Whenever Python sees fit."""
    gc.set_threshold(*gc.get_threshold()[:2], USUAL)
