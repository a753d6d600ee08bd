"""A quarter of an hour at the bench in some seconds; twelve by hand: ``python tests/endurance/soak.py 12``."""

from __future__ import annotations

import dataclasses
import sys

import pytest
from soak import Hour, Soak, verdict


@pytest.mark.skipif(sys.platform != "linux", reason="memory and files are read from /proc")
def test_nothing_grows_in_a_quarter_of_an_hour_at_twenty_lines_a_second(tmp_path):
    soak = Soak(tmp_path, 0.25, look_every_s=150.0)
    seen = soak.run()
    assert len(seen) >= 5
    # Within an hour what is remembered on purpose (forecasts, sums) is still filling up.
    assert verdict(seen, grows_mb=20.0) == []
    assert soak.bytes_heard > 20 * 900 * 10, (
        "twenty lines a second from each device, for about a quarter of an hour"
    )


def test_the_verdict_sees_what_grows():
    flat = [Hour(float(h), 90.0, 5, 30, 0, 1.0, 10, 1) for h in range(1, 13)]
    assert verdict(flat) == []
    assert "memory grew" in verdict([*flat[:-1], dataclasses.replace(flat[-1], memory_mb=96.0)])[0]
    assert "threads grew" in verdict([*flat[:-1], dataclasses.replace(flat[-1], threads=9)])[0]
    assert "open files grew" in verdict([*flat[:-1], dataclasses.replace(flat[-1], files=40)])[0]
