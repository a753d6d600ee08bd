"""How grave each kind of deviation is, and why: by what it can do to the product or to what is known of it.

A note blocks nothing; a minor deviation keeps the batch until a releaser accepted it; a major one says that the product may be
unfit, or that nobody can tell. Where two grades stand, the size decides, at the place named in the reason.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from benchapp.events.base import Grade
from benchapp.foundation.language import tr, tr_noop, translated

NOTE, MINOR, MAJOR = Grade.NOTE, Grade.MINOR, Grade.MAJOR


@dataclass(frozen=True, slots=True)
class Grading:
    """The grades a kind of deviation may have, mildest first, and the reason."""

    grades: tuple[Grade, ...]
    why: str


SUBSTITUTED = tr_noop("ingredient substituted")
ADDED_TOO_FAST = tr_noop("added too fast")
MELTED_TOO_HOT, WEIGHED_SOLID = tr_noop("melted too hot"), tr_noop("weighed solid")
COOLED_FILLING, FILLED_OUT = tr_noop("cooled while filling"), tr_noop("filled out of band")
ABOVE_CEILING = tr_noop("above a ceiling")
LOT_UNKNOWN, UNCHECKED = tr_noop("lot unknown"), "unchecked"
CORRECTED, CORRECTED_OUT = "corrected", tr_noop("corrected out of band")
NOT_KEPT_BACK = tr_noop("no sample kept back")
NOT_MOVED, HOLD_NOT_SEEN = tr_noop("not seen to move"), tr_noop("hold not seen")
NOT_BLENDED, CONTACT_CUT, MORE_THAN_WENT_IN = (
    tr_noop("not blended"),
    tr_noop("contact time cut short"),
    tr_noop("more than went in"),
)

#: Every kind, by what it touches. "unchecked" stands for "unchecked DEVICE".
GRADES: dict[str, Grading] = {
    # --- the composition
    "weight out of band": Grading((MINOR, MAJOR), tr_noop("The formula is off; major where it is far off or a ceiling is passed.")),
    SUBSTITUTED: Grading((MINOR,), tr_noop("By plan, and signed: the product is not what its approved version says.")),
    "not mixed first": Grading((NOTE,), tr_noop("Weighed on a scale that is coarse for it; its band says what that may mean.")),
    WEIGHED_SOLID: Grading((NOTE,), tr_noop("The weight is right; a lump may not be what the whole jar is.")),
    "over-pour removed": Grading((NOTE,), tr_noop("The weight is in its band again; what was taken out is waste.")),
    "over-pour, formula kept": Grading((NOTE,), tr_noop("Every share is as it was; only the batch is larger.")),
    "late drop": Grading((MINOR,), tr_noop("More of one line went in than was taken.")),
    "poured unseen": Grading((MINOR,), tr_noop("What went in while no scale looked is not known.")),
    "spilled": Grading((MINOR, MAJOR), tr_noop("Part of the batch is gone; major where nobody knows of which lines.")),
    "formula not kept": Grading((MAJOR,), tr_noop("Lines that were spilled were not made good: the shares are others.")),
    ABOVE_CEILING: Grading((MAJOR,), tr_noop("What was weighed, with the water lost, passes a ceiling of the law that the plan "
                                             "did not.")),
    "pH out of band": Grading((MINOR, MAJOR), tr_noop("Preservation and skin depend on it; major from 0.5 pH off.")),
    # --- what a weight is worth
    UNCHECKED: Grading((MINOR,), tr_noop("Every value of the device may be wrong until it is held against a known one. Not in a rehearsal, where nothing can be put on the scale.")),
    "vessel mass": Grading((NOTE, MINOR, MAJOR), tr_noop("A note where a tool explains it, major where nothing does. A vessel is not what the "
                                                         "ledger knows: something may be in it, or missing.")),
    "scale drift": Grading((NOTE, MINOR), tr_noop("A note where it was seen before anything was poured. The zero moved: weights since "
                                                  "may be off by as much.")),
    "mean of a sway": Grading((NOTE,), tr_noop("Wherever in that sway it truly lay, it is in its band.")),
    "lay on the scale": Grading((NOTE,), tr_noop("The pour was reckoned without it.")),
    "coarse scale": Grading((NOTE,), tr_noop("The limits hold; the division of the scale is coarse for them.")),
    "probe off its curve": Grading((MINOR,), tr_noop("It counts by somebody's word that it is in the vessel, not by its readings.")),
    NOT_MOVED: Grading((NOTE,), tr_noop("The hold rests on digits that stood all through it: coarse ones do so in a steady "
                                        "bath, and so do frozen ones.")),
    HOLD_NOT_SEEN: Grading((MAJOR,), tr_noop("The digits stood all through the hold, and the vessel turned out to have another "
                                             "temperature: how warm it was held nobody knows.")),
    "typed over a device": Grading((NOTE, MAJOR), tr_noop("Major where the probe was in doubt and nothing else measured it. The value is "
                                                          "stated, and says so wherever it stands.")),
    "device lost": Grading((NOTE,), tr_noop("Nothing was measured while it was away; what was typed says so.")),
    **dict.fromkeys(
        ("overload", "underload", tr_noop("open probe"), tr_noop("device error"), tr_noop("wrong unit"), "unreadable", tr_noop("out of range")),
        Grading((NOTE,), tr_noop("Nothing was measured while it gave no number.")),
    ),
    # --- clean and even
    CONTACT_CUT: Grading((MAJOR,), tr_noop("Without its contact time a sanitiser is not known to have done anything.")),
    NOT_BLENDED: Grading((MAJOR,), tr_noop("Not one burst: oil and water are not one emulsion, whatever it looks like.")),
    "blended less": Grading((MINOR,), tr_noop("The droplets may be coarser than those the shelf life was found with.")),
    "blended longer": Grading((MINOR,), tr_noop("More shear than those the shelf life was found with.")),
    "burst not known": Grading((MINOR,), tr_noop("Nobody saw how long the blender ran; that burst is done again.")),
    "wait cut short": Grading((MINOR,), tr_noop("What the wait was for may not be done.")),
    "step skipped": Grading((MINOR, MAJOR), tr_noop("Major where product or people depend on the step (its kind says so).")),
    "held": Grading((NOTE,), tr_noop("Time passed; what it did to temperatures is judged by itself.")),
    # --- heat
    "above the heating band": Grading((NOTE, MINOR), tr_noop("Minor from 5 K above: what is sensitive may have suffered.")),
    "too hot": Grading((MAJOR,), tr_noop("An alarm: what was in the vessel may be spoilt, and hands were in danger.")),
    "temperature out of band": Grading((MINOR,), tr_noop("The step was done at a temperature nobody tried it at.")),
    "combined out of band": Grading((MINOR,), tr_noop("Phases that meet at other temperatures may give a coarser emulsion.")),
    ADDED_TOO_FAST: Grading((MINOR,), tr_noop("What meets too much at once makes lumps, or breaks what was made.")),
    "added out of band": Grading((MAJOR,), tr_noop("What goes in too hot may be destroyed: preservative, vitamin, perfume.")),
    MELTED_TOO_HOT: Grading((MINOR,), tr_noop("A butter that was too hot sets grainy, and what is sensitive in it may have "
                                              "suffered.")),
    COOLED_FILLING: Grading((NOTE,), tr_noop("It was seen before the next container; whether more was filled all the same is said "
                                             "by itself.")),
    FILLED_OUT: Grading((MINOR,), tr_noop("Too cool it does not flow level and sets with holes, too hot it shrinks and softens "
                                          "its container.")),
    "cooled too far": Grading((MINOR,), tr_noop("What was to be added warm may not dissolve or spread.")),
    # --- what came out
    "not weighed": Grading((NOTE,), tr_noop("What stayed in the pot is taken as nothing.")),
    "left in vessel": Grading((MINOR, MAJOR), tr_noop("A part of one phase is not in the product; major where a line lacks five times its "
                                                      "tolerance.")),
    "not as described": Grading((MINOR,), tr_noop("It does not look, smell or feel like the batches before.")),
    "density out of band": Grading((MINOR,), tr_noop("Air or a wrong composition; fill weights rest on it.")),
    "measured out of band": Grading((MINOR,), tr_noop("It is not what the batches before were; why is looked into before it leaves.")),
    "overfilled": Grading((NOTE,), tr_noop("Nobody gets less than the label says.")),
    "underfilled": Grading((MINOR, MAJOR), tr_noop("Major beyond the tolerable error of Directive 76/211/EEC.")),
    "packers' rules": Grading((MINOR, MAJOR), tr_noop("Major where one container is unfit or the mean falls short.")),
    "yield out of limits": Grading((MINOR,), tr_noop("Something was lost, or weighed twice.")),
    MORE_THAN_WENT_IN: Grading((MAJOR,), tr_noop("More came out than went in: a weight, a tare or a line is wrong, and nobody knows "
                                                 "which.")),
    NOT_KEPT_BACK: Grading((MINOR,), tr_noop("A complaint cannot be held against the product itself.")),
    # --- what is known of it
    LOT_UNKNOWN: Grading((MINOR,), tr_noop("A recall of that material cannot find this batch, nor leave it out.")),
    "lot not usable": Grading((MAJOR,), tr_noop("Expired, in quarantine or rejected material is in the product.")),
    CORRECTED: Grading((MINOR,), tr_noop("Somebody besides the scale says otherwise, after the make; a releaser looks at it.")),
    CORRECTED_OUT: Grading((MAJOR,), tr_noop("What is said now lies outside the limits, and no remedy is possible any more.")),
    "clock set": Grading((NOTE,), tr_noop("Durations come from the running time and stay true.")),
}  # fmt: skip


def grade_of(kind: str) -> Grade:
    """The grade of a kind that has but one, the mildest of another. Raises KeyError for one that is not in the table."""
    return GRADES[kind].grades[0]


def unchecked_device(kind: str) -> str:
    """The device that a deviation of kind "unchecked DEVICE" is about, "" for any other kind."""
    return kind.removeprefix(f"{UNCHECKED} ") if kind.startswith(f"{UNCHECKED} ") else ""


def grades_in_words(grades: Iterable[str]) -> str:
    """How many deviations of each grade there are, the gravest first."""
    count = Counter(grades)
    found = (f"{count[grade]} {translated(grade.value)}" for grade in (MAJOR, MINOR, NOTE) if count[grade])
    return ", ".join(found) or tr("none")
