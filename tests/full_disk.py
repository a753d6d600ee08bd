"""A disk with no more room, for a test: a file that may grow no further fails in the middle of a write as one there does."""

from __future__ import annotations

import contextlib

import pytest


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
