"""What each safety notice says: the hazard, its signs, and first aid.

Signal words for physical hazards follow ANSI Z535; those for chemicals are the ones on the supplier's safety
data sheet. The two are kept apart by ``scheme``. Signs are registered in ISO 7010 (W017 and M004 checked, the
other numbers from memory). None of this replaces the supplier's sheet.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from benchapp.foundation.language import tr, tr_noop

from . import ghs
from .formula import Material

#: Hotter than this it scalds in about a second (68 °C: about 1 s), so pouring it is acknowledged.
SCALDING_C = 60.0


@dataclass(frozen=True, slots=True)
class Caution:
    """One notice. ``word`` is DANGER, WARNING, CAUTION or NOTICE in the scheme "physical"; in the scheme
    "chemical" it is the sheet's own Danger or Warning, or "" where the sheet has none. ``sign`` and ``also``
    are ISO 7010 references. ``serious`` cautions need acknowledging. ``of``: what it is that burns or bites, by name,
    where that is something one takes in hand."""

    key: str
    word: str
    scheme: Literal["physical", "chemical"]
    sign: str
    text: str
    first_aid: str = ""
    statements: tuple[str, ...] = ()
    serious: bool = False
    also: tuple[str, ...] = ()
    of: tuple[str, ...] = ()


_SCALD_AID = tr_noop(
    "Cool a scald under cool running water for 20 minutes. Get medical help if it blisters or is large."
)
_EYE_AID = tr_noop(
    "If in eyes: rinse cautiously with water for several minutes. Remove contact lenses, "
    "if present and easy to do. Continue rinsing."
)
_HELP = tr_noop(" Get medical help at once.")
_SKIN_AID = tr_noop("If on skin: wash with plenty of water.")
_BURN_AID = tr_noop("If on skin: take off wet clothing at once and rinse the skin with water.")
_AIR_AID = tr_noop("If breathing is difficult: go into fresh air and get medical help.")

STEAM = Caution(
    "steam", "WARNING", "physical", "W017",
    tr_noop("Steam burns like the liquid it comes from. Tilt lids away from you, and do not lean "
            "over the pot."),
    _SCALD_AID,
)  # fmt: skip
DRY_BATH = Caution(
    "dry bath", "WARNING", "physical", "W017",
    tr_noop("A bath that boils dry overheats and can start a fire. Keep water in it, and never "
            "leave it alone."),
    tr_noop("Switch the plate off at the plug. Do not pour water into a dry, hot bath."),
)  # fmt: skip
GLASS = Caution(
    "glass in a bath", "CAUTION", "physical", "W001",
    tr_noop("Cold glass in a hot bath can crack. Warm it up together with the bath, and look for "
            "chips first."),
    tr_noop("If glass breaks, switch off, let it cool, and discard whatever it stood in."),
)  # fmt: skip
BLENDER = Caution(
    "blender", "WARNING", "physical", "W022",
    tr_noop("The blades turn at a touch of the button. Unplug the blender before scraping or "
            "rinsing its head, with dry hands."),
    tr_noop("Press a clean cloth on a cut and get medical help if it is deep."),
    serious=True, also=("W017",),
)  # fmt: skip
UNPLUG = Caution(
    "unplug", "WARNING", "physical", "M006",
    tr_noop("Unplug the blender and the hot plate before you clean them. Dry your hands before "
            "you touch a plug: water and mains do not go together."),
    tr_noop("Press a clean cloth on a cut and get medical help if it is deep."),
    also=("W012",),
)  # fmt: skip
POWDER = Caution(
    "powder", "CAUTION", "physical", "M016",
    tr_noop("Fine powder in the air irritates lungs and eyes, and is slippery on the floor. Pour "
            "low and slowly, wear a dust mask, and wipe up with a damp cloth."),
    _AIR_AID, also=("M004",),
)  # fmt: skip
FIRE_AID = tr_noop(
    "If it catches fire: switch the heat off. Smother a small fire with a lid; leave a larger one and call the fire "
    "service."
)
SPLASH = Caution(
    "hot splash", "WARNING", "physical", "M004",
    tr_noop("A blender that starts at the surface throws hot liquid. Head right down first, then "
            "the button; button off before it comes up."),
    _SCALD_AID, serious=True, also=("W017",),
)  # fmt: skip
VAPOUR = Caution(
    "alcohol vapour", "WARNING", "physical", "W021",
    tr_noop("Alcohol sprayed into the air can catch fire and makes dizzy. Wipe it on rather than "
            "spray it, with the air moving, and wait until it has dried off."),
    _AIR_AID, also=("P003",),
)  # fmt: skip
WASTE = Caution(
    "waste", "NOTICE", "physical", "M001",
    tr_noop("Some of these ingredients harm water life. Do not pour left-overs into the drain: "
            "follow the safety data sheet and your local rules for waste."),
)  # fmt: skip


def hot(temp_c: float, *, serious: bool) -> Caution:
    """The notice about a liquid of that temperature in °C."""
    speed = tr("in about a second") if temp_c >= SCALDING_C else tr("if it stays on the skin")
    return Caution(
        "hot liquid",
        "WARNING" if temp_c >= SCALDING_C else "CAUTION",
        "physical",
        "W017",
        tr(
            "Up to {temp_c:g} °C: this scalds {speed}. Heat-proof gloves on, hold firmly, pour "
            "away from you.",
            temp_c=temp_c,
            speed=speed,
        ),
        _SCALD_AID,
        serious=serious,
        also=("M009", "M004"),
    )


def of_material(material: Material) -> Iterator[Caution]:
    """The sheet's hazards of one material in one notice; a splash notice for an acid or base without any."""
    codes = ghs.hazards(material.statements)
    if codes:
        said = " ".join(f"{tr(ghs.HAZARDS[code])}." for code in codes)
        signs = _signs(codes, material)
        sheet = (
            tr(" See the safety data sheet of {sheet_revised}.", sheet_revised=material.sheet_revised)
            if material.sheet_revised
            else ""
        )
        yield Caution(
            f"chemical {material.key}",
            material.signal_word,
            "chemical",
            signs[0],
            f"{material.name}: {said} {_wear(codes)}{_making_up(material)}{sheet}",
            " ".join(_first_aid(codes)),
            codes,
            serious=material.signal_word == "Danger",
            also=signs[1:],
            of=(material.name,),
        )
    elif material.role in ("acid", "base"):
        yield Caution(
            f"splash {material.key}",
            "CAUTION",
            "physical",
            "M004",
            tr(
                "{name} stings in eyes and on broken skin. Wear eye protection; never mix acid and "
                "base by themselves.{making_up}",
                name=material.name,
                making_up=_making_up(material),
            ),
            _EYE_AID,
            also=("M009",),
            of=(material.name,),
        )


def _making_up(material: Material) -> str:
    """What to mind where a solution of acid or lye is made up at the bench."""
    if material.role not in ("acid", "base"):
        return ""
    return tr(
        " Making it up: the strong one into cold water, a little at a time, never water onto it; it gets hot."
    )


def _signs(codes: Iterable[str], material: Material) -> tuple[str, ...]:
    found = set(codes)
    signs = [
        ("W023", "H314" in found),
        ("M004", bool(found & ghs.EYES)),
        ("M009", bool(found & ghs.SKIN)),
        ("M017", bool(found & (ghs.BREATH | {"H334"}))),
        ("W021", material.flammable),
    ]
    return tuple(sign for sign, wanted in signs if wanted) or ("W001",)


def _wear(codes: Iterable[str]) -> str:
    found = set(codes)
    worn = {
        (True, True): (tr("Wear eye protection and gloves."),),
        (True, False): (tr("Wear eye protection."),),
        (False, True): (tr("Wear gloves."),),
    }
    parts = list(worn.get((bool(found & ghs.EYES), bool(found & ghs.SKIN)), ()))
    if found & (ghs.BREATH | {"H334"}):
        parts.append(tr("Work where the air moves, and do not breathe it in."))
    if found & ghs.FIRE:
        parts.append(tr("Keep it away from the hot plate."))
    return " ".join(parts) or tr("Handle it as the sheet says.")


def _first_aid(codes: Iterable[str]) -> Iterator[str]:
    found = set(codes)
    if found & ghs.EYES:
        yield tr(_EYE_AID) + (tr(_HELP) if found & {"H314", "H318"} else "")
    if "H314" in found:
        yield tr(_BURN_AID) + tr(_HELP)
    elif found & ghs.SKIN:
        yield tr(_SKIN_AID)
    if found & (ghs.BREATH | {"H334"}):
        yield tr(_AIR_AID)
    if found & {"H300", "H301", "H302", "H304"}:
        yield tr("If swallowed: rinse the mouth, do not make yourself vomit, and call for medical advice.")
