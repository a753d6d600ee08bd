"""Names and molar masses: what a salt or an ester holds of its acid, and when two names mean one substance."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from benchapp.foundation.language import tr

#: Standard atomic weights, conventional values in g/mol (IUPAC 2021).
ATOMS: Mapping[str, float] = {
    "H": 1.008, "Li": 6.94, "B": 10.81, "C": 12.011, "N": 14.007, "O": 15.999, "F": 18.998, "Na": 22.990,
    "Mg": 24.305, "Al": 26.982, "P": 30.974, "S": 32.06, "Cl": 35.45, "K": 39.098, "Ca": 40.078, "Zn": 65.38,
    "Br": 79.904, "Ag": 107.87, "I": 126.90, "Hg": 200.59,
}  # fmt: skip
#: Cations that count as salts (preamble of Annex V: sodium, potassium, calcium, magnesium, ammonium, ethanolamines),
#: by the word a name begins with: formula of the ion, and its charge.
CATIONS: Mapping[str, tuple[str, int]] = {
    "sodium": ("Na", 1), "potassium": ("K", 1), "calcium": ("Ca", 2), "magnesium": ("Mg", 2),
    "ammonium": ("NH4", 1), "mea": ("C2H8NO", 1), "dea": ("C4H12NO2", 1), "tea": ("C6H16NO3", 1),
}  # fmt: skip
#: Groups that count as esters (the same preamble), by name: what takes the place of one hydrogen.
ESTERS: Mapping[str, str] = {
    "methyl": "CH3", "ethyl": "C2H5", "propyl": "C3H7", "isopropyl": "C3H7", "butyl": "C4H9",
    "isobutyl": "C4H9", "phenyl": "C6H5",
}  # fmt: skip
_OTHER_WORDS = {
    "monoethanolamine": "mea",
    "diethanolamine": "dea",
    "triethanolamine": "tea",
    "ethanolamine": "mea",
}
_GREEK = {"α": "alpha", "β": "beta", "γ": "gamma", "δ": "delta"}
_ATOM = re.compile(r"([A-Z][a-z]?)(\d*)")


def molar_mass(formula: str) -> float:
    """Of a formula without brackets ("C7H6O2"), in g/mol. Raises ValueError for anything else."""
    if not formula or _ATOM.sub("", formula):
        raise ValueError(
            tr("{formula!r} is no formula; write atoms and numbers, like C7H6O2", formula=formula)
        )
    try:
        return sum(ATOMS[atom] * int(count or 1) for atom, count in _ATOM.findall(formula))
    except KeyError as missing:
        raise ValueError(
            tr("no atomic weight is known for {missing} in {formula!r}", missing=missing, formula=formula)
        ) from missing


def name_words(name: str) -> tuple[str, ...]:
    """The words of a name: lower case, no accents and nothing unseen, Greek letters spelled out, brackets left out; all
    that is neither letter nor digit stands between two words."""
    plain = unicodedata.normalize("NFKD", name.casefold())
    plain = "".join(_GREEK.get(c, c) for c in plain if unicodedata.category(c) not in ("Mn", "Cf"))
    words = re.sub(r"[\W_]+", " ", re.sub(r"\([^)]*\)", " ", plain)).split()
    return tuple(_OTHER_WORDS.get(word, word) for word in words)


def same_name(name: str) -> str:
    """A name as it is compared: its words in one, as "Methyl paraben", "methyl-paraben" and "Methylparaben" are one."""
    return "".join(name_words(name))


def is_water(inci: str) -> bool:
    """Whether a substance is water, in any of the names and pairs of names it has on labels ("Aqua", "Water (Aqua)")."""
    words = name_words(inci)
    return bool(words) and set(words) <= {"aqua", "water", "eau"}


#: What the names of floral waters, juices and sea water end with (glossary of INCI names, from memory).
_WATERY = frozenset({"aqua", "water", "juice", "distillate", "hydrosol"})


def brings_water(inci: str) -> bool:
    """Whether a substance is water, or mostly: microbes grow in a floral water or a leaf juice as in any."""
    return is_water(inci) or bool(set(name_words(inci)[-1:]) & _WATERY)


def substance_key(inci: str) -> str:
    """By what a substance is found again in a product, whichever of its names a supplier gives: all of water's are one."""
    return "aqua" if is_water(inci) else same_name(inci) or inci.casefold()


@dataclass(frozen=True, slots=True)
class ListedAcid:
    """What a ceiling counts as. ``anion`` ends the names of its salts ("Benzoate"); ``ester`` is the pattern of its
    esters' names, ``other_esters`` are patterns of their other names."""

    name: str
    formula: str
    names: tuple[str, ...]
    anion: str
    ester: str = ""
    other_esters: tuple[str, ...] = ()

    def factors(self, forms: Iterable[str]) -> dict[str, float]:
        """Grams of acid in a gram of each name. ``forms``: "acid", "salts" or one cation, "esters" or one group, and
        "methyl salts" for the salts of one ester. Raises ValueError for a form that is none of these."""
        found: dict[str, float] = {}
        for form in forms:
            found |= {same_name(name): factor for name, factor in self._of(form)}
        return found

    def _of(self, form: str) -> Iterator[tuple[str, float]]:
        g_mol = molar_mass(self.formula)
        group, _, of_ester = form.partition(" ")
        if form == "acid":
            yield from ((name, 1.0) for name in self.names)
        elif form == "salts" or form in CATIONS:
            for cation in CATIONS if form == "salts" else (form,):
                yield from _salts((self.anion,), cation, _share(g_mol, g_mol, cation), self.names)
        elif form == "esters" or form in ESTERS:
            for alkyl in ESTERS if form == "esters" else (form,):
                yield from ((name, g_mol / self._ester_g_mol(alkyl)) for name in self._ester_names(alkyl))
        elif group in ESTERS and of_ester == "salts":
            names = self._ester_names(group)
            for cation in CATIONS:
                yield from _salts(names, cation, _share(g_mol, self._ester_g_mol(group), cation), names)
        else:
            raise ValueError(tr('"{form}" is no form of {name}', form=form, name=self.name))

    def _ester_names(self, alkyl: str) -> tuple[str, ...]:
        return tuple(pattern.format(alkyl) for pattern in (self.ester, *self.other_esters))

    def _ester_g_mol(self, alkyl: str) -> float:
        return molar_mass(self.formula) - ATOMS["H"] + molar_mass(ESTERS[alkyl])


def _salts(
    anions: Iterable[str], cation: str, share: float, acids: Iterable[str]
) -> Iterator[tuple[str, float]]:
    """The names of a salt: "sodium benzoate", "benzoic acid, sodium salt"."""
    yield from ((f"{cation} {anion}", share) for anion in anions)
    yield from ((f"{acid} {cation} salt", share) for acid in acids)


def _share(counted: float, whole: float, cation: str) -> float:
    """Share of what is counted in the salt of something with one acid hydrogen, without water of crystals."""
    formula, charge = CATIONS[cation]
    return charge * counted / (charge * (whole - ATOMS["H"]) + molar_mass(formula))
