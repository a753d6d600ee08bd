"""A pot of which nobody says what it weighs."""

import re

from busy_make import BusyMake

from procedures.reading import read_text
from procedures.shelf import find


def test_a_large_pot_of_unknown_weight_is_one_the_scale_carries():
    """A pot for 30 kg, of which 333 g were to be made, weighed 7.5 kg: the scale was over its range, and the rehearsal of what
    the plan had taken stood there for good."""
    text = find("oat-hand-lotion").read_text(encoding="utf-8")
    text = re.sub(
        r"^empty = .*\n", "", text.replace('capacity = "1500 ml"', 'capacity = "37700 ml"'), flags=re.M
    )
    make = BusyMake(read_text(text).procedure)
    carried = max(scale.capacity_g for scale in make.world.scales.values())
    pot = make.world.vessel("water-pot")
    assert pot.capacity_ml == 37700.0
    assert pot.empty_g < carried / 4
