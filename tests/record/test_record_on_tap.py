"""What is on tap is never counted, what is nothing is never on tap; and a check that somebody says failed did not pass."""

from __future__ import annotations

import pytest
from desk_commands import BATCH, sign


@pytest.mark.parametrize("nothing", ["0 g", "0 pieces", "0.000 kg"])
def test_a_delivery_of_nothing_does_not_come_on_tap(finished, nothing):
    """It would be a lot that is never empty."""
    code, said = sign(
        finished, "lot", "receive", "new-1", "rose-premix", nothing, "--supplier", "Harbour Oils"
    )
    assert (code, "A delivery is more than nothing." in said) == (3, True)
    assert "new-1" not in finished("lot", "list")[1]


def test_on_tap_is_no_count(finished):
    """It was taken as a count of nothing."""
    assert sign(finished, "lot", "count", "oil-1", "on tap", "--reason", "asked for")[0] == 3
    assert "965.0 g" in finished("lot", "list")[1]


def test_what_is_on_tap_is_not_counted(finished):
    tap = ("lot", "receive", "house water", "purified-water", "on tap", "--supplier", "own still")
    assert sign(finished, *tap)[0] == 0
    code, said = sign(finished, "lot", "count", "house water", "2 kg", "--reason", "stocktaking")
    assert (code, "nothing of it is counted" in said) == (3, True)


def test_a_check_that_somebody_says_failed_has_failed_whatever_its_value(finished):
    code, said = sign(finished, "batch-check", BATCH, "pH after a day", "--value", "5.4", "--failed")
    assert (code, "failed" in said) == (0, True)
    assert "pH after a day failed" in sign(finished, "release", BATCH, "--decision", "released")[1]
