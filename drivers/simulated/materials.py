"""What is poured: heat capacity, melting, density, water content and the acids and bases dissolved in it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from drivers.simulated.water import CP_WATER


class MaterialKind(StrEnum):
    """How a material behaves in the hand and in the pot."""

    WATER = "water"
    LIQUID = "liquid"  # mixes with water
    OIL = "oil"
    MELTING = "melting"  # butter, wax: solid when cold
    POWDER = "powder"


@dataclass(frozen=True, slots=True)
class Acid:
    """A weak acid, or that of a weak base: dissociation constants at 25 °C, charge when fully protonated."""

    name: str
    pka: tuple[float, ...]
    top_charge: int = 0


# Citric and lactic: the values the published checks use. The rest from memory, good to about 0.05.
CITRIC = Acid("citric", (3.13, 4.76, 6.40))
LACTIC = Acid("lactic", (3.857,))
CARBONIC = Acid("carbonic", (6.35, 10.33))
BENZOIC = Acid("benzoic", (4.20,))
FATTY = Acid("fatty", (5.5,))  # stearic acid in an emulsion, an apparent value
EDTA = Acid("edta", (2.0, 2.67, 6.16, 10.26))
TRIETHANOLAMINE = Acid("triethanolamine", (7.76,), top_charge=1)
ARGININE = Acid("arginine", (1.82, 8.99, 12.5), top_charge=2)


@dataclass(frozen=True, slots=True)
class SimulatedMaterial:
    """A material as physics sees it. Heat in J/(g·K) and J/g, density in g/ml, amounts in mol per kg of it.

    ``water_share`` (0..1, of the mass) can evaporate. ``melts_c`` is where melting ends, ``melting_span_k``
    how far below that it begins. ``strong_mol_kg`` is the charge of strong ions: sodium plus, chloride minus.
    """

    name: str
    kind: MaterialKind
    cp_j_gk: float
    density_g_ml: float
    water_share: float = 0.0
    melts_c: float | None = None
    melting_span_k: float = 8.0
    latent_j_g: float = 0.0
    acids: tuple[tuple[Acid, float], ...] = ()
    strong_mol_kg: float = 0.0

    @property
    def powder(self) -> bool:
        """Whether it is scooped rather than poured."""
        return self.kind is MaterialKind.POWDER


def water(name: str = "water") -> SimulatedMaterial:
    """Purified water that has stood in air: 0.012 mmol/kg of carbonic acid, so about pH 5.6."""
    return SimulatedMaterial(
        name, MaterialKind.WATER, CP_WATER, 0.998, water_share=1.0, acids=((CARBONIC, 1.2e-5),)
    )


def glycerin(name: str = "glycerin") -> SimulatedMaterial:
    """A humectant that mixes with water and stays in the pot."""
    return SimulatedMaterial(name, MaterialKind.LIQUID, 2.43, 1.26)


def oil(name: str = "oil") -> SimulatedMaterial:
    """A liquid plant oil."""
    return SimulatedMaterial(name, MaterialKind.OIL, 2.0, 0.915)


def butter(name: str = "butter", melts_c: float = 36.0) -> SimulatedMaterial:
    """A soft fat that melts over a wide range."""
    return SimulatedMaterial(
        name, MaterialKind.MELTING, 2.1, 0.91, melts_c=melts_c, melting_span_k=12.0, latent_j_g=110.0
    )


def wax(name: str = "wax", melts_c: float = 63.0) -> SimulatedMaterial:
    """A hard wax."""
    return SimulatedMaterial(
        name, MaterialKind.MELTING, 2.2, 0.93, melts_c=melts_c, melting_span_k=8.0, latent_j_g=180.0
    )


def powder(name: str = "powder") -> SimulatedMaterial:
    """A dry powder with no acid of its own."""
    return SimulatedMaterial(name, MaterialKind.POWDER, 1.3, 1.4)


def acid_solution(
    name: str, acid: Acid = CITRIC, percent: float = 20.0, g_mol: float = 192.124
) -> SimulatedMaterial:
    """A free acid in water, ``percent`` by mass, of molar mass ``g_mol``."""
    share = percent / 100.0
    cp_j_gk = CP_WATER * (1.0 - 0.6 * share)
    acids = ((acid, 1000.0 * share / g_mol),)
    return SimulatedMaterial(name, MaterialKind.LIQUID, cp_j_gk, 1.0 + 0.35 * share, 1.0 - share, acids=acids)


def base_solution(name: str, percent: float) -> SimulatedMaterial:
    """Sodium hydroxide in water, ``percent`` by mass."""
    share = percent / 100.0
    return SimulatedMaterial(
        name,
        MaterialKind.LIQUID,
        CP_WATER * (1.0 - 0.6 * share),
        1.0 + share,
        1.0 - share,
        strong_mol_kg=1000.0 * share / 39.997,  # its molar mass, in g/mol
    )


def buffered(
    name: str, acid: Acid = BENZOIC, mol_kg: float = 0.5, neutralised: float = 0.5, water_share: float = 0.0
) -> SimulatedMaterial:
    """A liquid blend holding a weak acid of which the share ``neutralised`` came as its sodium salt."""
    return SimulatedMaterial(
        name,
        MaterialKind.LIQUID,
        2.6,
        1.08,
        water_share,
        acids=((acid, mol_kg),),
        strong_mol_kg=mol_kg * neutralised,
    )


def _percent_in(name: str, otherwise: float) -> float:
    """A strength written in a name ("Citric acid solution 20 %"), else the usual one."""
    found = re.search(r"(\d+(?:\.\d+)?)\s*%", name)
    return min(max(float(found.group(1)), 0.1), 99.0) if found else otherwise


def _acid_for(name: str) -> SimulatedMaterial:
    if "lactic" in name.lower():
        return acid_solution(name, LACTIC, _percent_in(name, 80.0), 90.078)
    return acid_solution(name, CITRIC, _percent_in(name, 20.0), 192.124)


def _base_for(name: str) -> SimulatedMaterial:
    lowered = name.lower()
    for word, weak, g_mol in (("triethanolamine", TRIETHANOLAMINE, 149.19), ("arginine", ARGININE, 174.2)):
        if word in lowered:
            share = _percent_in(name, 20.0) / 100.0
            mol_kg = 1000.0 * share / g_mol
            # The free base: every proton of the neutral molecule in place, so no strong ion balances it.
            return SimulatedMaterial(
                name, MaterialKind.LIQUID, 3.6, 1.02, 1.0 - share, acids=((weak, mol_kg),)
            )
    if "bicarbonate" in lowered or "hydrogen carbonate" in lowered:
        mol_kg = 10.0 * _percent_in(name, 5.0) / 84.007
        return SimulatedMaterial(
            name, MaterialKind.LIQUID, 4.0, 1.03, 0.95, acids=((CARBONIC, mol_kg),), strong_mol_kg=mol_kg
        )
    return base_solution(name, _percent_in(name, 10.0))


def material_for(role: str, name: str, melts_c: float | None = None) -> SimulatedMaterial:
    """Plausible physics for a material by its role in a formula; an unknown role is an inert liquid.

    A name with "powder" or a material that melts wins over the role where the two disagree.
    """
    if role in ("butter", "wax", "emulsifier", "conditioner") or (
        melts_c is not None and role in ("oil", "other", "active")
    ):
        if role == "butter":
            return butter(name, melts_c or 36.0)
        solid = wax(name, melts_c or {"emulsifier": 58.0, "conditioner": 62.0}.get(role, 63.0))
        if role == "emulsifier":  # part of it is soap, which is what makes a raw emulsion slightly alkaline
            return SimulatedMaterial(
                name,
                MaterialKind.MELTING,
                2.2,
                0.93,
                0.0,
                solid.melts_c,
                8.0,
                150.0,
                ((FATTY, 0.05),),
                strong_mol_kg=0.048,
            )
        return solid
    makers = {
        "water": water, "humectant": glycerin, "oil": oil, "antioxidant": oil, "fragrance": oil,
        "acid": _acid_for, "base": _base_for, "gum": powder, "thickener": powder, "colour": powder,
    }  # fmt: skip
    if role in makers:
        return makers[role](name)
    if role == "chelator":
        return SimulatedMaterial(name, MaterialKind.POWDER, 1.3, 0.9, acids=((EDTA, 2.7),), strong_mol_kg=5.4)
    if role == "preservative":
        return buffered(name, BENZOIC, 0.4, 0.95)
    if "powder" in name.lower():
        return powder(name)
    return SimulatedMaterial(name, MaterialKind.LIQUID, 2.8, 1.05)
