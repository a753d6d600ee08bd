"""A version is approved, a make is held against it, and a good trial becomes the next one. Invented for the demo."""

from __future__ import annotations

import os

import pytest

from benchapp import events as ev
from benchapp.record.pins import hashed
from benchapp.service.bench_devices import BenchDevices
from benchapp.service.desk import Desk
from benchapp.service.errors import CommandError
from benchapp.service.makes import Makes, Order, Simulation
from benchapp.service.procedure_facts import record_in
from benchapp.service.wording import NOT_APPROVED
from drivers.bench_file import read_bench
from procedures.reading import read_text

PIN = "4826"
CHANGED = ("percent = 4.0\n", "percent = 4.5\n")


@pytest.fixture
def desk(journal):
    """The desk of a workshop in which Mara may make and release."""
    pin = hashed(PIN, lambda n: b"0123456789abcdef"[:n])
    mara = ev.PersonEnrolled(at_s=0.0, who="Mara Lind", roles=("maker", "releaser"), pin=pin, by="Mara Lind")
    journal.append(ev.WORKSHOP, [mara])
    return Desk(journal)


@pytest.fixture
def changed(lotion):
    """The lotion with half a percent more glycerin."""
    assert CHANGED[0] in lotion.text
    return read_text(lotion.text.replace(*CHANGED, 1), "oat-hand-lotion.toml").procedure


@pytest.fixture
def made(journal, tmp_path):
    """Begins a batch on a real port, and says what stands in its first event."""
    far, near = os.openpty()
    file = tmp_path / "bench.toml"
    file.write_text(
        f'[[device]]\nname = "bench scale"\nkind = "scale"\nport = "{os.ttyname(near)}"\nformat = "labelled"\n'
        'capacity = "3000 g"\nreadability = "0.1 g"\n'
    )
    makes = Makes(journal, BenchDevices(read_bench(str(file)), None), Simulation(), None)

    def begin(procedure):
        batch = makes.begin(Order(procedure, 500.0, "Mara Lind")).session.batch
        makes.end()
        return journal.at(batch, 1).event

    yield begin
    os.close(far)
    os.close(near)


def test_what_is_made_by_a_text_nobody_approved_is_a_trial(desk, lotion, made):
    assert desk.version_words(lotion) == NOT_APPROVED
    assert made(lotion).version == ev.TRIAL
    desk.approve_master(lotion, "", "Mara Lind", PIN)
    assert desk.version_words(lotion).startswith("Version 1, approved by Mara Lind on ")
    assert made(lotion).version == 1


def test_a_change_is_named_and_needs_a_reason(desk, lotion, changed, made):
    desk.approve_master(lotion, "", "Mara Lind", PIN)
    assert desk.version_words(changed) == NOT_APPROVED
    assert desk.change_words(changed) == "Against version 1: Glycerin percent 4 to 4.5."
    assert made(changed).version == ev.TRIAL
    with pytest.raises(CommandError, match=r"Say why .* is changed: --reason\. Glycerin percent 4 to 4\.5\."):
        desk.approve_master(changed, " ", "Mara Lind", PIN)
    desk.approve_master(changed, "softer", "Mara Lind", PIN)
    assert (made(changed).version, made(lotion).version) == (2, ev.TRIAL)
    assert [row[0] for row in desk.versions("oat-hand-lotion").rows] == ["2", "1"]
    assert desk.compared("oat-hand-lotion@1", "oat-hand-lotion@2").rows == (
        ("Glycerin", "percent", "4", "4.5"),
    )


def test_the_same_text_is_not_approved_twice_and_only_by_a_releaser(desk, lotion, journal):
    journal.append(
        ev.WORKSHOP,
        [
            ev.PersonEnrolled(
                at_s=0.0, who="Jo Tern", roles=("helper",), pin=hashed(PIN, os.urandom), by="Mara Lind"
            )
        ],
    )
    with pytest.raises(CommandError, match="takes a releaser"):
        desk.approve_master(lotion, "", "Jo Tern", PIN)
    desk.approve_master(lotion, "", "Mara Lind", PIN)
    with pytest.raises(CommandError, match="approved already"):
        desk.approve_master(lotion, "again", "Mara Lind", PIN)


def test_what_passes_a_ceiling_is_not_approved(desk, lotion):
    """Phenoxyethanol, 1.0 % at the most (Regulation (EC) No 1223/2009, Annex V, 29): at worst 64 % of the blend."""
    more = lotion.text.replace('use_limit = "1.1 %"', 'use_limit = "3 %"').replace(
        "percent = 0.9\n", "percent = 2.0\n"
    )
    strong = read_text(more, "oat-hand-lotion.toml").procedure
    with pytest.raises(CommandError, match=r"(?s)cannot be approved.*Phenoxyethanol"):
        desk.approve_master(strong, "", "Mara Lind", PIN)


def test_a_good_trial_becomes_the_next_version_in_one_act_and_stays_a_trial(
    desk, journal, lotion, changed, made
):
    desk.approve_master(lotion, "", "Mara Lind", PIN)
    trial = made(changed).batch
    with pytest.raises(CommandError, match="not finished"):
        desk.approve_trial(trial, "softer", "Mara Lind", PIN)
    journal.append(trial, [ev.MakeFinished(at_s=4.0, product_g=480.0, yield_percent=96.0)])
    desk.approve_trial(trial, "softer", "Mara Lind", PIN)
    assert desk.versions("oat-hand-lotion").rows[0][3] == f"softer; shown by {trial}"
    assert made(changed).version == 2
    assert any("It is a trial" in reason for reason in desk.batch(trial).against)
    with pytest.raises(CommandError, match="is a trial"):
        desk.printable(trial, None)
    with pytest.raises(CommandError, match="no trial"):
        desk.approve_trial(made(changed).batch, "again", "Mara Lind", PIN)


def test_the_record_says_which_version_it_was(desk, journal, lotion, made):
    from benchapp.record.summary import summary

    trial = made(lotion).batch
    desk.approve_master(lotion, "", "Mara Lind", PIN)
    real = made(lotion).batch
    said = {b: {line.what: line.text for line in summary(record_in(journal, b))} for b in (trial, real)}
    assert "a version nobody had approved" in said[trial]["Procedure"]
    assert "a trial, it does not leave" in said[trial]["Verdict"]
    assert "oat-hand-lotion, version 1, " in said[real]["Procedure"]


def test_nothing_is_approved_any_more_once_it_is_withdrawn(desk, lotion, made):
    desk.approve_master(lotion, "", "Mara Lind", PIN)
    with pytest.raises(CommandError, match="--reason"):
        desk.withdraw_master("oat-hand-lotion", "", "Mara Lind", PIN)
    desk.withdraw_master("oat-hand-lotion", "it separates in the cold", "Mara Lind", PIN)
    assert made(lotion).version == ev.TRIAL
    with pytest.raises(CommandError, match="nothing to withdraw"):
        desk.withdraw_master("oat-hand-lotion", "again", "Mara Lind", PIN)
