"""Walks a rehearsal with the hands' own answers until something is so."""

from __future__ import annotations

import pytest
from acting import step_s


def walk(rehearsal, until, limit=20_000):
    """The moment at which ``until`` holds; fails where it never does."""
    view = rehearsal.session.view()
    for _ in range(limit):
        view = rehearsal.step(step_s(rehearsal, view))
        if until(view):
            return view
        said = rehearsal.answers.at(view)
        if said is not None:
            rehearsal.session.put(said.given(rehearsal.session.clock(), view.prompt))
    pytest.fail(f"never came to it; stands at {view.prompt}: {view.act_view.instruction}")
