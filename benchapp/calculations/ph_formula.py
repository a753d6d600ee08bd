"""What the formula says is dissolved, and what pH additions do to it: acids and bases by INCI name, shares, dilutions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from benchapp.calculations.composition import CompositionLine, shares_as_added
from benchapp.calculations.ph_chemistry import TITRANTS, Solution, Titrant
from benchapp.calculations.ph_parts import Stated
from benchapp.foundation.language import tr

_BENZOIC, _SORBIC, _DEHYDROACETIC, _SALICYLIC, _LEVULINIC, _ANISIC = (
    (4.20,),
    (4.76,),
    (5.27,),
    (2.97,),
    (4.64,),
    (4.47,),
)
_EDTA, _GLDA, _PHYTIC = (2.0, 2.67, 6.16, 10.26), (2.6, 3.5, 5.0, 9.4), (2.0, 5.7, 6.8, 10.0)
#: INCI name, lower case: pKa at 25 °C, charge fully protonated, g/mol of what is weighed. From memory, good to
#: about 0.2: readings put it right. A salt's other ion is strong and shows in the first pH.
_DISSOLVED: dict[str, tuple[tuple[float, ...], int, float]] = {
    "benzoic acid": (_BENZOIC, 0, 122.12), "sodium benzoate": (_BENZOIC, 0, 144.11),
    "potassium sorbate": (_SORBIC, 0, 150.22), "sorbic acid": (_SORBIC, 0, 112.13),
    "dehydroacetic acid": (_DEHYDROACETIC, 0, 168.15), "sodium dehydroacetate": (_DEHYDROACETIC, 0, 190.13),
    "salicylic acid": (_SALICYLIC, 0, 138.12), "sodium salicylate": (_SALICYLIC, 0, 160.10),
    "levulinic acid": (_LEVULINIC, 0, 116.12), "sodium levulinate": (_LEVULINIC, 0, 138.10),
    "p-anisic acid": (_ANISIC, 0, 152.15), "sodium anisate": (_ANISIC, 0, 174.13),
    "sodium citrate": ((3.13, 4.76, 6.40), 0, 258.07), "trisodium citrate": ((3.13, 4.76, 6.40), 0, 258.07),
    "sodium lactate": ((3.857,), 0, 112.06), "gluconolactone": ((3.70,), 0, 178.14),
    "sodium gluconate": ((3.70,), 0, 218.14), "sodium pca": ((3.32,), 0, 151.10), "glycolic acid": ((3.83,), 0, 76.05),
    "malic acid": ((3.40, 5.20), 0, 134.09), "tartaric acid": ((2.98, 4.34), 0, 150.09),
    "ascorbic acid": ((4.17,), 0, 176.12), "azelaic acid": ((4.55, 5.50), 0, 188.22),
    "disodium edta": (_EDTA, 0, 336.21), "tetrasodium edta": (_EDTA, 0, 380.17),
    "tetrasodium glutamate diacetate": (_GLDA, 0, 351.13), "sodium phytate": (_PHYTIC, 0, 660.0),
    "phosphoric acid": ((2.15, 7.20, 12.35), 0, 97.99), "sodium phosphate": ((2.15, 7.20, 12.35), 0, 119.98),
    "disodium phosphate": ((2.15, 7.20, 12.35), 0, 141.96), "sodium bicarbonate": ((6.35, 10.33), 0, 84.01),
    "boric acid": ((9.24,), 0, 61.83), "niacinamide": ((3.35,), 1, 122.12), "glycine": ((2.35, 9.78), 1, 75.07),
    "sodium hyaluronate": ((3.0,), 0, 401.3), "carbomer": ((4.5, 6.0), 0, 144.1), "stearic acid": ((5.5,), 0, 284.48),
    "sodium stearoyl lactylate": ((4.0,), 0, 450.6), "sodium stearoyl glutamate": ((4.3, 5.5), 0, 435.6),
    "stearamidopropyl dimethylamine": ((8.2,), 1, 368.6), "allantoin": ((8.96,), 0, 158.12),
}  # fmt: skip


def _dissolved(inci: str) -> Titrant | None:
    key = inci.casefold()
    if key in TITRANTS:
        return TITRANTS[key]
    if key not in _DISSOLVED:
        return None
    pka, top, molar = _DISSOLVED[key]
    return Titrant(key, pka, top, molar)


def stated_by(lines: Sequence[CompositionLine]) -> tuple[Stated, ...]:
    """The acids and bases a formula names, each between the amounts its materials' ranges allow (mol/kg of batch)."""
    found = []
    for share in shares_as_added(lines).values():
        what = _dissolved(share.inci)
        if what is None or share.high_percent <= 0.0:
            continue
        per_percent = 10.0 / what.molar_mass_g_mol
        low = max(share.low_percent, share.high_percent / 10.0)
        found.append(Stated(what, low * per_percent, share.high_percent * per_percent))
    return tuple(found)


def percents_after(
    percents: Mapping[str, float], batch_g: float, added_g: Mapping[str, float]
) -> dict[str, float]:
    """Percent of every line once ``added_g`` grams of solutions went into ``batch_g`` grams; plain proportion.

    The solutions stand beside the others under their own names.
    """
    whole = batch_g + sum(added_g.values())
    after = {name: percent * batch_g / whole for name, percent in percents.items()}
    for name, mass_g in added_g.items():
        after[name] = after.get(name, 0.0) + 100.0 * mass_g / whole
    return after


def product_after_g(batch_g: float, added_g: float, samples_g: float) -> float:
    """What is left to fill: the additions count in, samples and trial are destroyed. Plain sum."""
    return batch_g + added_g - samples_g


def dilution_g(solution: Solution, to_percent: float, make_g: float) -> tuple[float, float]:
    """Grams of the solution and of water for ``make_g`` grams of a weaker one. Plain proportion.

    Raises ValueError when the wanted strength is not below the solution's.
    """
    if not 0.0 < to_percent < solution.percent:
        raise ValueError(
            tr(
                "{to_percent:g} % cannot be made from {percent:g} % with water",
                to_percent=to_percent,
                percent=solution.percent,
            )
        )
    share = to_percent / solution.percent
    return make_g * share, make_g * (1.0 - share)
