"""What several tests of the core begin with."""

from __future__ import annotations

import pytest


@pytest.fixture
def heating():
    """Two pots in the bath, and a scale free for what comes later."""
    from heating_bench import Heating

    return Heating()
