"""A maker with a finger at the recipe pages, with materials on the shelf."""

from __future__ import annotations

import pytest


@pytest.fixture
def pilot(window, journal, tmp_path):
    from recipe_writer import Writer

    one = Writer(journal, folder=tmp_path)
    one.desk.materials.take_over("oat-hand-lotion")
    yield one
    one.close()
