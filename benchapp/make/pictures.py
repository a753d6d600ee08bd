"""What an act has drawn: vessels, curves, lists, as plain figures."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.foundation.language import tr_noop

#: What stands under a band, with its limits.
GOOD = tr_noop("good: {low}–{high}")


@dataclass(frozen=True, slots=True)
class VesselPicture:
    """A vessel that fills to a band. Masses in grams, all net of what stood there before."""

    vessel: str
    net_g: float | None
    target_g: float
    low_g: float
    high_g: float
    scale_top_g: float
    landing_g: float | None = None  # where it will stand when the pouring stops now


@dataclass(frozen=True, slots=True)
class HeatPicture:
    """Vessels in a bath: (vessel, °C or None, in band), and of each its curve: (seconds from now ≤ 0, °C) points. Of those that lack
    warmth the forecast as a fan of (seconds from now, lowest °C, highest °C), and between which seconds all of them have it."""

    vessels: tuple[tuple[str, float | None, bool], ...]
    low_c: float
    high_c: float
    over_c: float
    held_s: float
    hold_s: float
    curves: tuple[tuple[tuple[float, float], ...], ...] = ()
    fans: tuple[tuple[tuple[float, float, float], ...], ...] = ()
    passes_s: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class CoolPicture:
    """A cooling curve: (seconds from now ≤ 0, °C) points, the threshold, the forecast as a fan of
    (seconds from now, lowest °C, highest °C), and between which seconds it passes the threshold, as it is foretold beside it."""

    vessel: str
    curve: tuple[tuple[float, float], ...]
    temp_c: float | None
    below_c: float
    not_below_c: float | None
    fan: tuple[tuple[float, float, float], ...] = ()
    passes_s: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class PourOverPicture:
    """One vessel is poured into another: their names and °C, the limits of the temperatures and of the gap between
    them in K, None where there is none."""

    source: str
    into: str
    source_c: float | None
    into_c: float | None
    low_c: float | None
    high_c: float | None
    within_k: float | None

    @property
    def gap_k(self) -> float | None:
        """How far the two are apart, in K; None where one of them is not known."""
        if self.source_c is None or self.into_c is None:
            return None
        return abs(self.source_c - self.into_c)


@dataclass(frozen=True, slots=True)
class TitrationPicture:
    """pH over what was added so far: (grams, pH) points, the window, and what comes next: its grams and between which
    pH it should then read, None where nothing is suggested."""

    points: tuple[tuple[float, float], ...]
    low: float
    high: float
    next_g: float | None = None
    next_low: float | None = None
    next_high: float | None = None


@dataclass(frozen=True, slots=True)
class BatchPicture:
    """A finished batch: where its mass went, as (what, grams), against the grams that went in; the yield in percent
    with its limits; and what it was filled into: the grams in each, in the last one
    that was filled in part, and what kind they are."""

    parts: tuple[tuple[str, float], ...]
    went_in_g: float
    yield_percent: float
    low: float
    high: float
    filled_g: tuple[float, ...] = ()
    last_g: float = 0.0
    container: str = "bottle"


@dataclass(frozen=True, slots=True)
class TimerPicture:
    """A wait with a known end, in seconds."""

    elapsed_s: float
    total_s: float
    label: str = ""
    count: int = 0  # bursts done
    of: int = 0


@dataclass(frozen=True, slots=True)
class ListPicture:
    """A list with what is done and which one is now."""

    items: tuple[str, ...]
    done: int


@dataclass(frozen=True, slots=True)
class BandPicture:
    """A single value against its band (pH, density, yield). ``words`` stand under it, with {low} and {high}."""

    what: str
    value: float | None
    low: float
    high: float
    unit: str
    words: str = GOOD


@dataclass(frozen=True, slots=True)
class BottlesPicture:
    """Containers filled so far, net grams each, against the one being filled; what kind they are."""

    filled_g: tuple[float, ...]
    net_g: float | None
    target_g: float
    low_g: float
    high_g: float
    count: int | None
    container: str = "bottle"


Picture = (
    VesselPicture
    | HeatPicture
    | CoolPicture
    | PourOverPicture
    | TitrationPicture
    | BatchPicture
    | TimerPicture
    | ListPicture
    | BandPicture
    | BottlesPicture
    | None
)


@dataclass(frozen=True, slots=True)
class Outcome:
    """The batch after a choice, in grams: as it is planned, what has yet to go in to keep its formula, what stays in that is
    too much, and what becomes waste."""

    batch_g: float
    more_g: float = 0.0
    over_g: float = 0.0
    waste_g: float = 0.0

    @property
    def after_g(self) -> float:
        """How large it is then."""
        return self.batch_g + self.more_g + self.over_g
