"""Which version counts where benches approved and withdrew without knowing of each other, whatever they are called."""

from __future__ import annotations

import pytest
from benches import exchanged

from benchapp import events as ev
from benchapp.record.masters import current, versions_in
from benchapp.record.workshop import Workshop


@pytest.fixture(params=["east", "west"])
def two(request, pair):
    """The one that does more comes first."""
    approve(pair[0], 1, "a")
    exchanged(*pair)
    return pair if request.param == "east" else tuple(reversed(pair))


def approve(bench, version, text):
    approved = ev.MasterApproved(
        at_s=0.0, procedure="oat-hand-lotion", version=version, sha256=text, text=text, reason="", by="Mara Lind"
    )  # fmt: skip
    Workshop(bench.journal.everywhere).add(approved)


def withdraw(bench, version):
    gone = ev.MasterWithdrawn(
        at_s=0.0, procedure="oat-hand-lotion", version=version, reason="thin", by="Mara Lind"
    )
    Workshop(bench.journal.everywhere).add(gone)


def counting(bench):
    now = current(versions_in(bench.journal.everywhere, "oat-hand-lotion"))
    return now and (now.version, now.text)


def test_the_next_version_counts_whatever_another_bench_approved_under_the_number_before(two):
    one, other = two
    approve(one, 2, "b")
    approve(one, 3, "c")
    approve(other, 2, "d")
    exchanged(*two)
    for bench in two:
        assert counting(bench) == (3, "c")
        assert "at once, in different words" not in " ".join(
            x.said for x in bench.journal.elsewhere.conflicts()
        )


def test_a_version_withdrawn_on_one_counts_nowhere_though_another_approved_it_too(two):
    one, other = two
    approve(one, 2, "b")
    withdraw(one, 2)
    approve(other, 2, "b")
    exchanged(*two)
    assert [counting(bench) for bench in two] == [None, None]
