"""Which version of a procedure counts, and what a make by another is. Invented for the demo."""

from __future__ import annotations

import pytest
from workshop_days import FINISHED, started

from benchapp import events as ev
from benchapp.record.masters import current, version_of, versions_in
from benchapp.record.people import Person
from benchapp.record.release import standing_of, why_not

KEY = "oat-hand-lotion"
MARA = Person("Mara Lind", ("maker", "releaser"), "")


def approved(version, sha, **more):
    return ev.MasterApproved(
        at_s=0.0,
        procedure=KEY,
        version=version,
        sha256=sha,
        text=f"text {sha}",
        reason="",
        by="Mara Lind",
        **more,
    )


WITHDRAWN_2 = ev.MasterWithdrawn(at_s=0.0, procedure=KEY, version=2, reason="it separates", by="Mara Lind")


@pytest.mark.parametrize(
    ("written", "sha", "version"),
    [
        ((), "a", ev.TRIAL),
        ((approved(1, "a"),), "a", 1),
        ((approved(1, "a"),), "b", ev.TRIAL),
        ((approved(1, "a"), approved(2, "b")), "b", 2),
        ((approved(1, "a"), approved(2, "b")), "a", ev.TRIAL),  # what was replaced makes nothing that leaves
        ((approved(1, "a"), approved(2, "b"), WITHDRAWN_2), "b", ev.TRIAL),
        ((approved(1, "a"), approved(2, "b"), WITHDRAWN_2), "a", ev.TRIAL),  # nor does it come back by itself
        ((approved(1, "a"), approved(2, "b"), WITHDRAWN_2, approved(3, "a")), "a", 3),
    ],
)
def test_the_newest_counts_unless_it_was_withdrawn(journal, written, sha, version):
    journal.append(ev.WORKSHOP, list(written))
    assert version_of(journal, KEY, sha) == version
    assert version_of(journal, "tide-pool-gel", sha) == ev.TRIAL


def test_what_was_approved_is_kept_whole(journal):
    journal.append(ev.WORKSHOP, [approved(1, "a", trial="b7"), approved(2, "b"), WITHDRAWN_2])
    one, two = versions_in(journal, KEY)
    assert (one.text, one.trial, one.by, one.withdrawn) == ("text a", "b7", "Mara Lind", "")
    assert two.withdrawn == "it separates"
    assert current((one,)) is one
    assert current((one, two)) is None


@pytest.mark.parametrize(("version", "stays"), [(ev.TRIAL, True), (1, False), (None, False)])
def test_a_trial_is_not_released_and_older_batches_are_judged_as_before(journal, version, stays):
    journal.append("b1", [started("b1", version=version), FINISHED])
    against = why_not("released", MARA, standing_of(journal.stored("b1")), ())
    assert against == (
        ("It is a trial: nobody had approved the version of the procedure it was made by.",) if stays else ()
    )
    assert why_not("rejected", MARA, standing_of(journal.stored("b1")), ()) == ()
