"""PINs: the hash against RFC 7914's own vector, the form it is kept in, and the waits after wrong ones."""

from __future__ import annotations

import itertools

import pytest

from benchapp.record.pins import WrongPin, derived, fits, hashed, problem_with, still_to_wait_s, wait_after_s


def salt(n):
    return b"s" * n


def test_scrypt_gives_what_rfc_7914_section_12_prints():
    """RFC 7914, section 12: scrypt(P="pleaseletmein", S="SodiumChloride", N=16384, r=8, p=1); its first 32 bytes."""
    printed = "7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2"
    assert derived("pleaseletmein", b"SodiumChloride", 16384, 8, 1).hex() == printed


def test_the_right_pin_fits_and_no_other():
    kept = hashed("4711", salt)
    assert fits("4711", kept)
    assert not fits("4712", kept)
    assert "4711" not in kept


def test_two_people_with_the_same_pin_are_kept_differently():
    other = itertools.count()
    assert hashed("4711", lambda n: bytes([next(other)] * n)) != hashed("4711", lambda n: bytes([9] * n))


@pytest.mark.parametrize("pin", ["123", "12345678901234", "12a4", "", "１２３４", "1111", "1234", "98765"])
def test_what_anybody_would_try_first_is_no_pin(pin):
    assert problem_with(pin)
    with pytest.raises(ValueError, match="PIN"):
        hashed(pin, salt)


@pytest.mark.parametrize("kept", ["", "4711", "scrypt$n=16384,r=8,p=1$%%$", "scrypt$n=16384,r=8,p=1$ab$cd=="])
def test_a_hash_in_another_form_is_not_guessed_at(kept):
    with pytest.raises(ValueError, match="form"):
        fits("4711", kept)


def test_parameters_that_would_eat_the_machine_are_refused():
    kept = hashed("4711", salt).replace("n=16384", "n=67108864")
    with pytest.raises(ValueError, match="memory"):
        fits("4711", kept)


def test_the_wait_doubles_from_the_third_wrong_pin_to_a_quarter_of_an_hour():
    assert [wait_after_s(n) for n in range(1, 11)] == [0, 0, 30, 60, 120, 240, 480, 900, 900, 900]


def test_the_wait_ends_by_whichever_clock_is_later():
    last = WrongPin("2026-03-01T09:00:00+01:00", 3, 1000.0)
    assert still_to_wait_s(last, "2026-03-01T09:00:10+01:00", 1010.0) == 20
    assert still_to_wait_s(last, "2026-03-01T09:00:30+01:00", 1030.0) == 0
    assert still_to_wait_s(last, "2026-03-01T08:00:10+00:00", 1010.0) == 20
    assert still_to_wait_s(last, "2026-03-02T09:00:00+01:00", 1010.0) == 20, "the wall's clock set forward"
    assert still_to_wait_s(last, "2026-03-01T09:00:10+01:00", 5000.0) == 20, "another computer"
    assert still_to_wait_s(last, "2026-02-01T09:00:00+01:00", 1010.0) == 20, "the wall's clock set back"
    assert still_to_wait_s(last, "2026-03-02T09:00:00+01:00", 5.0) == 25, "started anew"
    assert still_to_wait_s(None, "2026-03-01T09:00:10+01:00", 1.0) == 0


def test_what_an_older_version_wrote_runs_by_the_wall_clock_alone():
    last = WrongPin("2026-03-01T09:00:00+01:00", 3, 0.0)
    assert still_to_wait_s(last, "2026-03-01T09:00:10+01:00", 9000.0) == 20
    assert still_to_wait_s(last, "2026-02-01T09:00:00+01:00", 9000.0) == 30
