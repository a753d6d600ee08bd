"""GHS statement codes and their texts, as a supplier's safety data sheet uses them.

Texts follow Annex III of Regulation (EC) 1272/2008 and Annex 3 of the UN GHS; docs/safety.md says against what they
were read and which stand from memory. The supplier's own sheet always takes precedence.
"""

from __future__ import annotations

import re

from benchapp.foundation.language import tr_noop

#: Hazard statements. The texts of codes with letters after the number ("H360FD") are the number's own.
HAZARDS: dict[str, str] = {
    "H200": tr_noop("Unstable explosive"),
    "H201": tr_noop("Explosive; mass explosion hazard"),
    "H202": tr_noop("Explosive; severe projection hazard"),
    "H203": tr_noop("Explosive; fire, blast or projection hazard"),
    "H204": tr_noop("Fire or projection hazard"),
    "H205": tr_noop("May mass explode in fire"),
    "H220": tr_noop("Extremely flammable gas"),
    "H221": tr_noop("Flammable gas"),
    "H222": tr_noop("Extremely flammable aerosol"),
    "H223": tr_noop("Flammable aerosol"),
    "H224": tr_noop("Extremely flammable liquid and vapour"),
    "H225": tr_noop("Highly flammable liquid and vapour"),
    "H226": tr_noop("Flammable liquid and vapour"),
    "H227": tr_noop("Combustible liquid"),
    "H228": tr_noop("Flammable solid"),
    "H229": tr_noop("Pressurised container: May burst if heated"),
    "H240": tr_noop("Heating may cause an explosion"),
    "H241": tr_noop("Heating may cause a fire or explosion"),
    "H242": tr_noop("Heating may cause a fire"),
    "H250": tr_noop("Catches fire spontaneously if exposed to air"),
    "H251": tr_noop("Self-heating: may catch fire"),
    "H252": tr_noop("Self-heating in large quantities; may catch fire"),
    "H260": tr_noop("In contact with water releases flammable gases which may ignite spontaneously"),
    "H261": tr_noop("In contact with water releases flammable gases"),
    "H270": tr_noop("May cause or intensify fire; oxidiser"),
    "H271": tr_noop("May cause fire or explosion; strong oxidiser"),
    "H272": tr_noop("May intensify fire; oxidiser"),
    "H280": tr_noop("Contains gas under pressure; may explode if heated"),
    "H281": tr_noop("Contains refrigerated gas; may cause cryogenic burns or injury"),
    "H290": tr_noop("May be corrosive to metals"),
    "H300": tr_noop("Fatal if swallowed"),
    "H301": tr_noop("Toxic if swallowed"),
    "H302": tr_noop("Harmful if swallowed"),
    "H303": tr_noop("May be harmful if swallowed"),
    "H304": tr_noop("May be fatal if swallowed and enters airways"),
    "H305": tr_noop("May be harmful if swallowed and enters airways"),
    "H310": tr_noop("Fatal in contact with skin"),
    "H311": tr_noop("Toxic in contact with skin"),
    "H312": tr_noop("Harmful in contact with skin"),
    "H313": tr_noop("May be harmful in contact with skin"),
    "H314": tr_noop("Causes severe skin burns and eye damage"),
    "H315": tr_noop("Causes skin irritation"),
    "H316": tr_noop("Causes mild skin irritation"),
    "H317": tr_noop("May cause an allergic skin reaction"),
    "H318": tr_noop("Causes serious eye damage"),
    "H319": tr_noop("Causes serious eye irritation"),
    "H320": tr_noop("Causes eye irritation"),
    "H330": tr_noop("Fatal if inhaled"),
    "H331": tr_noop("Toxic if inhaled"),
    "H332": tr_noop("Harmful if inhaled"),
    "H333": tr_noop("May be harmful if inhaled"),
    "H334": tr_noop("May cause allergy or asthma symptoms or breathing difficulties if inhaled"),
    "H335": tr_noop("May cause respiratory irritation"),
    "H336": tr_noop("May cause drowsiness or dizziness"),
    "H340": tr_noop("May cause genetic defects"),
    "H341": tr_noop("Suspected of causing genetic defects"),
    "H350": tr_noop("May cause cancer"),
    "H351": tr_noop("Suspected of causing cancer"),
    "H360": tr_noop("May damage fertility or the unborn child"),
    "H361": tr_noop("Suspected of damaging fertility or the unborn child"),
    "H362": tr_noop("May cause harm to breast-fed children"),
    "H370": tr_noop("Causes damage to organs"),
    "H371": tr_noop("May cause damage to organs"),
    "H372": tr_noop("Causes damage to organs through prolonged or repeated exposure"),
    "H373": tr_noop("May cause damage to organs through prolonged or repeated exposure"),
    "H400": tr_noop("Very toxic to aquatic life"),
    "H401": tr_noop("Toxic to aquatic life"),
    "H402": tr_noop("Harmful to aquatic life"),
    "H410": tr_noop("Very toxic to aquatic life with long lasting effects"),
    "H411": tr_noop("Toxic to aquatic life with long lasting effects"),
    "H412": tr_noop("Harmful to aquatic life with long lasting effects"),
    "H413": tr_noop("May cause long lasting harmful effects to aquatic life"),
    "H420": tr_noop("Harms public health and the environment by destroying ozone in the upper atmosphere"),
    "EUH066": tr_noop("Repeated exposure may cause skin dryness or cracking"),
    "EUH071": tr_noop("Corrosive to the respiratory tract"),
    "EUH208": tr_noop("Contains a sensitising substance. May produce an allergic reaction"),
    "EUH210": tr_noop("Safety data sheet available on request"),
}

_DANGER = """
H200 H201 H202 H203 H220 H222 H224 H225 H240 H241 H250 H260 H270 H271 H300 H301 H304 H310 H311 H314 H318 H330
H331 H334 H340 H350 H360 H370 H372
"""
#: Statements whose every category carries "Danger" on a label (UN GHS Annex 3; from memory).
DANGER = frozenset(_DANGER.split())

EYES = frozenset({"H314", "H318", "H319", "H320"})
SKIN = frozenset({"H310", "H311", "H312", "H313", "H314", "H315", "H316", "H317", "EUH066", "EUH208"})
BREATH = frozenset({"H330", "H331", "H332", "H333", "H334", "H335", "H336", "EUH071"})
FIRE = frozenset({"H222", "H223", "H224", "H225", "H226", "H227", "H228"})
WATERS = frozenset({"H400", "H401", "H402", "H410", "H411", "H412", "H413"})

_PRECAUTION_CODES = """
P101 P102 P103 P201 P202 P203 P210 P211 P212 P220 P222 P223 P230 P231 P232 P233 P234 P235 P236 P240 P241 P242
P243 P244 P250 P251 P260 P261 P262 P263 P264 P265 P270 P271 P272 P273 P280 P282 P283 P284 P301 P302 P303 P304
P305 P306 P308 P310 P311 P312 P313 P314 P315 P316 P317 P318 P319 P320 P321 P330 P331 P332 P333 P334 P335 P336
P337 P338 P340 P342 P351 P352 P353 P354 P360 P361 P362 P363 P364 P370 P371 P372 P373 P375 P376 P377 P378 P380
P381 P390 P391 P401 P402 P403 P404 P405 P406 P407 P410 P411 P412 P413 P420 P501 P502 P503
"""
_PRECAUTIONS = frozenset(_PRECAUTION_CODES.split())

_VARIANT = re.compile(r"(H3[56][0-9])(i|F|D|FD|f|d|fd|Fd|Df)")


def is_known(statement: str) -> bool:
    """Whether the text is a GHS code, or several precautions joined by plus signs ("P305+P351+P338")."""
    if all(code in _PRECAUTIONS for code in statement.split("+")):
        return True
    return all(_base(code) in HAZARDS for code in statement.split("+"))


def hazards(statements: tuple[str, ...]) -> tuple[str, ...]:
    """The hazard codes among the statements, joined ones taken apart, letters after the number dropped."""
    codes = [_base(code) for statement in statements for code in statement.split("+")]
    return tuple(dict.fromkeys(code for code in codes if code in HAZARDS))


def _base(code: str) -> str:
    variant = _VARIANT.fullmatch(code)
    return variant[1] if variant else code
