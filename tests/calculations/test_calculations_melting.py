"""What melts slows a curve by as much heat as it is said to take; what is not said is guessed."""

from __future__ import annotations

import pytest

from benchapp.calculations.heat_loss import MeltingShare, VesselPrior
from benchapp.calculations.melting import ICED, MELTS, Guesses, slowed_by

AT_C = [20.0 + 0.5 * i for i in range(130)]


def heat_j_g(*melts: MeltingShare, guesses: Guesses = MELTS) -> dict[float, float]:
    """Of 100 g: heat that melting takes from 20 to 84 °C, in J for each gram of contents, and how likely."""
    prior = VesselPrior(100.0, 0.4, melts=melts)
    found: dict[float, float] = {}
    for factors, likely in slowed_by(prior, AT_C, guesses):
        more = sum(1.0 / f - 1.0 for f in factors) * 0.5 * prior.heat_j_k / prior.mass_g
        found[round(more, 1)] = found.get(round(more, 1), 0.0) + likely
    return found


def test_as_told_it_takes_that_heat_give_or_take_a_quarter() -> None:
    found = heat_j_g(MeltingShare(0.3, 60.0, 200.0), MeltingShare(0.1, 40.0, 60.0))
    assert found == pytest.approx({0.0: 0.05, 52.8: 0.28, 66.0: 0.39, 82.5: 0.28}, abs=0.001)


def test_not_told_it_is_guessed_and_beside_it_what_is_told_stands() -> None:
    assert set(heat_j_g(MeltingShare(0.3, 60.0))) == {0.0, 13.5, 30.0, 52.5}
    assert set(heat_j_g(MeltingShare(0.3, 60.0), MeltingShare(0.1, 40.0, 60.0))) == {6.0, 19.5, 36.0, 58.5}


def test_in_ice_what_is_told_says_nothing_of_the_middle() -> None:
    told, untold = (heat_j_g(MeltingShare(0.3, 60.0, h), guesses=ICED) for h in (200.0, None))
    assert told == untold


@pytest.mark.parametrize(("lower_c", "slows"), [(52.0, False), (45.0, True)])
def test_what_melts_close_to_something_hotter_melts_with_it(lower_c: float, slows: bool) -> None:
    """At 38 °C, with no melting over more than 14 K and none clear more than 4 K below what is stated."""
    prior = VesselPrior(100.0, 0.4, melts=(MeltingShare(0.2, 60.0, 200.0), MeltingShare(0.2, lower_c, 200.0)))
    at = AT_C.index(38.0)
    assert any(factors[at] < 0.95 for factors, _ in slowed_by(prior, AT_C, MELTS)) == slows
