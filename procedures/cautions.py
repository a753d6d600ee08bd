"""Which safety notice belongs to which step: at the moment the thing is picked up, heated or poured.

Signal words for physical hazards follow ANSI Z535; those for chemicals are the ones on the supplier's safety
data sheet. The two are kept apart by ``scheme``. Signs are registered in ISO 7010 (W017 and M004 checked, the
other numbers from memory). None of this replaces the supplier's sheet.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal, assert_never

from benchapp.foundation.language import tr, tr_noop

from . import ghs
from .bench import HOT_C, BenchState
from .formula import FormulaLine, Material
from .model import Procedure
from .steps import Blend, Heat, Prepare, Step, Weigh
from .steps.base import Declaration, Hazard
from .walk import bench_at

#: Hotter than this it scalds in about a second (68 °C: about 1 s), so pouring it is acknowledged.
SCALDING_C = 60.0


#: The key of the caution about what burns.
FIRE = "fire"


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

_STEAM = Caution(
    "steam", "WARNING", "physical", "W017",
    tr_noop("Steam burns like the liquid it comes from. Tilt lids away from you, and do not lean "
            "over the pot."),
    _SCALD_AID,
)  # fmt: skip
_DRY_BATH = Caution(
    "dry bath", "WARNING", "physical", "W017",
    tr_noop("A bath that boils dry overheats and can start a fire. Keep water in it, and never "
            "leave it alone."),
    tr_noop("Switch the plate off at the plug. Do not pour water into a dry, hot bath."),
)  # fmt: skip
_GLASS = Caution(
    "glass in a bath", "CAUTION", "physical", "W001",
    tr_noop("Cold glass in a hot bath can crack. Warm it up together with the bath, and look for "
            "chips first."),
    tr_noop("If glass breaks, switch off, let it cool, and discard whatever it stood in."),
)  # fmt: skip
_BLENDER = Caution(
    "blender", "WARNING", "physical", "W022",
    tr_noop("The blades turn at a touch of the button. Unplug the blender before scraping or "
            "rinsing its head, with dry hands."),
    tr_noop("Press a clean cloth on a cut and get medical help if it is deep."),
    serious=True, also=("W017",),
)  # fmt: skip
_UNPLUG = Caution(
    "unplug", "WARNING", "physical", "M006",
    tr_noop("Unplug the blender and the hot plate before you clean them. Dry your hands before "
            "you touch a plug: water and mains do not go together."),
    tr_noop("Press a clean cloth on a cut and get medical help if it is deep."),
    also=("W012",),
)  # fmt: skip
_POWDER = Caution(
    "powder", "CAUTION", "physical", "M016",
    tr_noop("Fine powder in the air irritates lungs and eyes, and is slippery on the floor. Pour "
            "low and slowly, wear a dust mask, and wipe up with a damp cloth."),
    _AIR_AID, also=("M004",),
)  # fmt: skip
_FIRE_AID = tr_noop(
    "If it catches fire: switch the heat off. Smother a small fire with a lid; leave a larger one and call the fire "
    "service."
)
_SPLASH = Caution(
    "hot splash", "WARNING", "physical", "M004",
    tr_noop("A blender that starts at the surface throws hot liquid. Head right down first, then "
            "the button; button off before it comes up."),
    _SCALD_AID, serious=True, also=("W017",),
)  # fmt: skip
_VAPOUR = Caution(
    "alcohol vapour", "WARNING", "physical", "W021",
    tr_noop("Alcohol sprayed into the air can catch fire and makes dizzy. Wipe it on rather than "
            "spray it, with the air moving, and wait until it has dried off."),
    _AIR_AID, also=("P003",),
)  # fmt: skip
_WASTE = Caution(
    "waste", "NOTICE", "physical", "M001",
    tr_noop("Some of these ingredients harm water life. Do not pour left-overs into the drain: "
            "follow the safety data sheet and your local rules for waste."),
)  # fmt: skip


def cautions_for(step: Step, procedure: Procedure) -> tuple[Caution, ...]:
    """The notices a step has to show, serious ones first, each key once.

    Raises KeyError for a step of another procedure.
    """
    bench = bench_at(step, procedure)
    found: dict[str, Caution] = {}
    said = step.declare(bench)
    for caution in (*_physical(step, said, procedure, bench), *_chemical(said, bench)):
        found.setdefault(caution.key, caution)
    return tuple(sorted(found.values(), key=lambda c: not c.serious))


def _physical(step: Step, said: Declaration, procedure: Procedure, bench: BenchState) -> Iterator[Caution]:
    yield from _hot_contents(said, procedure, bench)
    for hazard in said.hazards:
        yield from _of_hazard(hazard, step, said, procedure)
    if Hazard.BLADES in said.hazards and any(bench.is_hot(v) for v in said.touches):
        yield _SPLASH
    if any(_is_dusty(line, bench) for line in bench.lines(said.handles)):
        yield _POWDER


def _of_hazard(hazard: Hazard, step: Step, said: Declaration, procedure: Procedure) -> Iterator[Caution]:
    """What can hurt whatever is in the vessels."""
    match hazard:
        case Hazard.HEAT_SOURCE:
            yield from _heat_source(step, said, procedure)
        case Hazard.BLADES:
            yield _BLENDER
        case Hazard.MELTING:
            yield from _melting(step, procedure)
        case Hazard.FLAMMABLE_VAPOUR:
            yield _fire(procedure)
            yield _VAPOUR
        case Hazard.WASHING_UP:
            if any(isinstance(x, Blend | Heat) for x in procedure.steps):
                yield _UNPLUG
            if any(set(ghs.hazards(m.statements)) & ghs.WATERS for m in procedure.materials.values()):
                yield _WASTE
        case _:
            assert_never(hazard)


def _is_dusty(line: FormulaLine, bench: BenchState) -> bool:
    """Whether a line is handled as a dry powder: not once it is wetted by what shares its vessel."""
    powders = {x.key for x in bench.formula.lines if x.material.powder}
    return line.key in powders and set(bench.held(bench.holding(line.key))) <= powders


def _heat_source(step: Step, said: Declaration, procedure: Procedure) -> Iterator[Caution]:
    if said.leaves_c is not None:
        yield _hot(said.leaves_c.high, serious=False)
    yield _STEAM
    if isinstance(step, Heat) and step.bath:
        yield _DRY_BATH
        if any(procedure.vessels[v].glass for v in said.touches):
            yield _GLASS
    if flammables(procedure):
        yield _fire(procedure)


def flammables(procedure: Procedure) -> list[str]:
    """What of it burns, by name: ingredients, and what the bench is wetted with."""
    names = [line.material.name for line in procedure.formula.lines if line.material.flammable]
    names += [
        x.sanitiser or tr("the sanitiser")
        for x in procedure.steps
        if isinstance(x, Prepare) and x.flammable_sanitiser
    ]
    return list(dict.fromkeys(names))


def _fire(procedure: Procedure) -> Caution:
    names = tuple(flammables(procedure))
    text = tr(
        "Flammable: {names}. No hot plate or flame until it has dried off or is put away.",
        names=", ".join(names),
    )
    return Caution(
        FIRE, "WARNING", "physical", "W021", text, _FIRE_AID, serious=True, also=("P003",), of=names
    )


def _melting(step: Step, procedure: Procedure) -> Iterator[Caution]:
    """What is melted beside the scale is hot, and so is what it is melted on. Where nobody says how warm it gets, it is
    taken to scald."""
    most = step.melt_at_most_c if isinstance(step, Weigh) else None
    warm = SCALDING_C if most is None else most
    if warm > HOT_C:
        yield _hot(warm, serious=warm >= SCALDING_C)
    if flammables(procedure):
        yield _fire(procedure)


def _hot_contents(said: Declaration, procedure: Procedure, bench: BenchState) -> Iterator[Caution]:
    """What is in the vessels it has to do with is announced where it may be hot; pouring what scalds, acknowledged."""
    if Hazard.HEAT_SOURCE in said.hazards:
        return  # announced for where it is going
    hottest = max((bench.hottest_c.get(v, 0.0) for v in said.touches), default=0.0)
    if hottest > HOT_C:
        yield _hot(hottest, serious=said.pours and hottest >= SCALDING_C)
        if any(line.material.flammable for line in bench.lines(said.handles)):
            yield _fire(procedure)


def _hot(temp_c: float, *, serious: bool) -> Caution:
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


def _chemical(said: Declaration, bench: BenchState) -> Iterator[Caution]:
    for line in bench.lines(said.handles):
        picked_up = said.picks_up or not bench.holding(line.key)
        codes = set(ghs.hazards(line.material.statements))
        # On the way from boat to batch only what damages eyes or skin for good is announced again.
        if picked_up or codes & {"H314", "H318"}:
            yield from _of(line.material)


def _of(material: Material) -> Iterator[Caution]:
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
