"""GS1 General Specifications: check digit and element string, against worked values and an independent parser (biip)."""

from __future__ import annotations

from datetime import date

import pytest
from biip.checksums import gs1_standard_check_digit
from biip.gs1_messages import GS1Message
from hypothesis import given
from hypothesis import strategies as st

from benchapp.record.batch_code import LONGEST, SET_82
from benchapp.record.gs1 import bare, check_digit, element_string, gtin_14


@pytest.mark.parametrize(("digits", "expected"), [("629104150021", 3), ("0950110153000", 3)])
def test_worked_check_digits(digits, expected):
    """The first is the worked example of GS1's own check digit page, the second GS1's demonstration number."""
    assert check_digit(digits) == expected


@given(st.text(alphabet="0123456789", min_size=7, max_size=13))
def test_the_check_digit_is_the_parser_s(digits):
    assert check_digit(digits) == gs1_standard_check_digit(digits)


def test_a_worked_element_string():
    """(01)09501101530003(15)271231(10)AB-123: GS1's demonstration number, identifiers of fixed length first."""
    found = element_string("9501101530003", "AB-123", date(2027, 12, 31))
    assert bare(found) == "01095011015300031527123110AB-123"


PLAIN = "".join(sorted(SET_82 - set("()")))


@given(st.text(alphabet=PLAIN, min_size=1, max_size=LONGEST), st.dates(date(2001, 1, 1), date(2049, 12, 31)))
def test_every_element_string_is_parsed_back(batch, until):
    found = GS1Message.parse(bare(element_string("09501101530003", batch, until))).element_strings
    assert found.get(ai="01").value == "09501101530003"
    assert found.get(ai="15").date == until
    assert found.get(ai="10").value == batch


@pytest.mark.parametrize("batch", ["", "x" * 21, "ü", "a b", "a(b)"])
def test_a_batch_code_that_no_scanner_takes_is_refused(batch):
    with pytest.raises(ValueError, match=r"cannot stand in a code|has a bracket"):
        element_string("09501101530003", batch, None)


@pytest.mark.parametrize("gtin", ["", "123", "09501101530004", "9501101530O03", "٠٩٥٠١١٠١٥٣٠٠٠٣"])
def test_a_wrong_gtin_is_refused(gtin):
    with pytest.raises(ValueError, match="GTIN"):
        gtin_14(gtin)


def test_shorter_numbers_are_filled_up():
    assert gtin_14("9501101530003") == "09501101530003"
    assert gtin_14("96385074") == "00000096385074"  # a GTIN-8 often shown as an example (from memory)
