"""A weighing out of several lots is judged as the one weighing it was."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.record.parts import wholes_of
from benchapp.record.stored_event import StoredEvent


def part(n: int, lot: str, net_g: float, target_g: float, low_g: float) -> StoredEvent:
    weighed = ev.WeightTaken(
        at_s=1.0, step="02-weigh", act="pour water", line="water", vessel="pot", target_g=target_g, low_g=low_g,
        high_g=target_g + 3.8, net_g=net_g, gross_g=None, source=ev.Source.MEASURED, device="scale", checked=True,
        lot=lot, portion=n, portions=2,
    )  # fmt: skip
    return StoredEvent(n, "b1", n, "2026-03-01T09:00:00.000+01:00", weighed, "")


def test_the_last_lot_may_have_given_so_little_that_its_own_limit_is_nothing():
    """Of 376 g within 3.8 g the first lot gave 374; the second's limit, 2 less 3.8, is nought. By hand: 372.2 to 379.8 g."""
    first, last = part(1, "W7", 374.0, 374.0, 370.2), part(2, "W6", 2.0, 2.0, 0.0)
    whole = wholes_of([first, last])[1]
    assert (whole.grams, whole.band.low, whole.band.high) == (376.0, 372.2, 379.8)
    assert not whole.outside
