"""A make's signatures in the terminal: by name and PIN once anybody is enrolled, never shown, never by a press."""

from __future__ import annotations

import pytest

from benchapp import events as ev
from benchapp.make.inputs import Skip
from benchapp.record.pins import hashed
from benchapp.record.workshop import Workshop
from benchapp.runtime.session_start import BatchOrder, begin
from benchapp.service.errors import CommandError
from benchapp.service.signing import prover, who_makes
from benchapp.terminal.guide import _obey
from benchapp.terminal.panel import _hidden

PINS = {
    "Mara Lind": ("4826", ("maker", "releaser")),
    "Ina Voss": ("7391", ("helper",)),
    "Ole Brandt": ("2580", ("releaser",)),
}


@pytest.fixture
def enrolled(journal):
    shop = Workshop(journal)
    for who, (pin, roles) in PINS.items():
        kept = hashed(pin, lambda n: b"0123456789abcdef"[:n])
        shop.add(ev.PersonEnrolled(at_s=0.0, who=who, roles=roles, pin=kept, by="Mara Lind"))
    return journal


def at_finish(journal, lotion, maker):
    name, role, witness = who_makes(journal, maker)
    session = begin(
        journal, BatchOrder(lotion, 500.0, (), name, "b1", role=role, witness=witness), lambda: 10.0
    )
    session.prove_by(prover(journal))
    while session.make.state.step != "19-finish":
        session.put(Skip(session.clock(), session.view().prompt, "not part of this test"))
    return session


def test_the_maker_signs_with_the_pin_alone(enrolled, lotion):
    session = at_finish(enrolled, lotion, "mara lind")
    assert "write sign: NAME PIN" in _obey(session, "sign", session.view())
    assert _obey(session, "sign: 0007", session.view()) != ""
    assert session.make.state.over == ""
    assert _obey(session, "sign: 4826", session.view()) == ""
    assert session.make.state.over == "finished"
    (signed,) = session.make.state.signed
    assert (signed.who, signed.role, signed.proof) == ("Mara Lind", "maker", "pin")


def test_somebody_elses_pin_does_not_sign_for_the_maker(enrolled, lotion):
    session = at_finish(enrolled, lotion, "Mara Lind")
    _obey(session, "sign: Ole Brandt 2580", session.view())
    assert session.make.state.over == ""


def test_a_helper_makes_with_a_second_person_beside_them(enrolled):
    name, role, witness = who_makes(enrolled, "Ina Voss")
    assert (name, role) == ("Ina Voss", "helper")
    assert "weigh" in witness


def test_who_is_not_enrolled_or_may_only_release_does_not_make(enrolled):
    with pytest.raises(CommandError, match="is not enrolled here"):
        who_makes(enrolled, "Somebody Else")
    with pytest.raises(CommandError, match="may release, not make"):
        who_makes(enrolled, "Ole Brandt")


def test_where_nobody_is_enrolled_a_name_is_enough(journal):
    assert who_makes(journal, "Mara Lind") == ("Mara Lind", "", ())


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("sign: 4826", "sign: ••••"),
        ("sign: Ole Brandt 25", "sign: Ole Brandt ••"),
        ("type: 4826", "type: 4826"),
        ("4826", "4826"),
    ],
)
def test_a_pin_is_never_on_the_screen(typed, shown):
    assert _hidden(typed) == shown
