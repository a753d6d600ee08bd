"""A make without ports, at its first weighing."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parents[1] / "make"))


@pytest.fixture
def bench():
    from test_make_core import Bench

    one = Bench()
    one.to("02-weigh")
    return one
