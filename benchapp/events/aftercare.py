"""Events beyond the makes: equipment calibrated and cleaned, and what customers say of a batch that has left."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.events.base import Event


@dataclass(frozen=True, slots=True, kw_only=True)
class CarePlanned(Event):
    """Equipment is to be calibrated or cleaned every so many days; 0: no more. ``task`` is "calibration" or
    "cleaning"."""

    equipment: str
    task: str
    every_days: int
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CareDone(Event):
    """Equipment was calibrated or cleaned on an ISO date, with the result in words and whether it is fit for use."""

    equipment: str
    task: str
    on: str
    words: str
    passed: bool
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ComplaintReceived(Event):
    """In a batch: what a customer says of it. ``container`` 0 where it is not known; ``effect``: an undesirable effect
    on somebody's health, ``serious`` as Regulation (EC) 1223/2009, art. 2(1)(p) means it; ``sender`` is whoever can
    be asked again. ``number`` counts those that the bench with this short name wrote about the batch; "" one alone."""

    number: int
    container: int
    words: str
    effect: bool
    serious: bool
    sender: str
    on: str
    by: str
    bench: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ComplaintAnswered(Event):
    """In a batch: what was found out about a complaint, and what was done; ``number`` and ``bench`` are the complaint's."""

    number: int
    found: str
    done: str
    by: str
    bench: str = ""
