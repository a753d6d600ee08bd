"""A make that is interrupted by what another bench found out about a lot it was made with."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from benchapp.foundation.language import tr
from benchapp.make.inputs import Hold
from benchapp.make.view_model import ViewModel
from benchapp.runtime.runner import Hook
from benchapp.runtime.session import Session


def interrupted_by(session: Session, blocked: Callable[[], Mapping[str, str]]) -> Hook:
    """Holds the make once for each lot that is in it and that another bench has blocked; ``blocked`` gives those by name
    with the sentence why, at once. Whether to go on is the maker's, and stands in the record."""
    used: set[str] = set()
    told: set[str] = set()

    def hook(view: ViewModel) -> ViewModel:
        used.update(taken.lot for taken in session.make.state.lots.values())
        for lot, why in blocked().items():
            if lot in used - told and not view.over:
                before = session.recorded
                session.put(Hold(session.clock(), tr("{why} It is in this batch.", why=why)))
                if session.recorded > before:  # what stands above a hold, an alarm for one, comes first
                    told.add(lot)
        return view

    return hook
