"""A make that died while a wait was used to weigh what comes later."""

from __future__ import annotations

from walking import walk

from benchapp.make.pictures import VesselPicture
from benchapp.runtime.session_start import reopen
from procedures.reading import read_procedure
from procedures.shelf import find


def test_a_make_that_died_beside_its_wait_goes_on_beside_it(make_rehearsal, journal):
    rehearsal = make_rehearsal(read_procedure(find("oat-hand-lotion")).procedure)
    walk(
        rehearsal,
        lambda m: m.meanwhile is not None and isinstance(m.act_view.picture, VesselPicture),
    )
    before = rehearsal.session.make.state
    now = rehearsal.bench.now_s
    again = reopen(journal, journal.stored("b1"), 20.0, lambda: now)
    after = again.make.state
    assert (after.step, after.waiting.step, after.waiting.act) == (before.step, "06-heat", "heat")
    assert after.tied == before.tied
    assert again.view().meanwhile is not None
    assert again.view().trouble.kind == "scale doubted"
