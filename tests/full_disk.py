"""A disk with no more room, for a test: a file that may grow no further fails in the middle of a write as one there does; and
a file that is there and cannot be read, for root neither, as on a disk that dies."""

from __future__ import annotations

import contextlib
from pathlib import Path

import pytest

#: Linux gives nothing of it back from its beginning: an input/output error. There is none elsewhere.
UNREADABLE = Path("/proc/self/mem")


@contextlib.contextmanager
def room_for(size: int):
    """No file may grow beyond so many bytes."""
    resource = pytest.importorskip("resource")  # there is none on Windows
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
