"""Curves of a vessel to which something happens, and what a forecaster says of them by the second. Simulated."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from benchapp.calculations.forecast import ArrivalForecast, Forecaster
from benchapp.calculations.heat_loss import VesselPrior

ROOM_C = 21.0


@dataclass
class Now:
    """What happens to the vessel in one second."""

    pace: float = 1.0
    jump_k: float = 0.0
    lifted: bool = False
    shows: float | None = None


Story = Callable[[int], Now]
NOTHING = Now()


def cooling(
    story: Story, room_c: float = ROOM_C, seconds: int = 9000, until_c: float = 40.0
) -> list[tuple[float, float, float]]:
    """(second, shown, true): open vessel from 78 °C, a steady part and one with the square of the difference."""
    rng, temp, probe = Random(7), 78.0, 78.0
    out = []
    for t in range(seconds):
        now = story(t)
        over = temp - room_c
        temp += now.jump_k - now.pace * over * (2.2e-4 + 6e-6 * max(over, 0.0))
        probe += (room_c - probe) / 30.0 if now.lifted else (temp - probe) / 6.0
        shown = probe + rng.gauss(0.0, 0.05) if now.shows is None else now.shows
        out.append((float(t), round(shown, 1), temp))
        if temp < until_c:
            break
    return out


def warming(
    bath_c: Callable[[int], float], lag_s: float = 300.0, melts_c: float | None = None, seconds: int = 4000
) -> list[tuple[float, float, float]]:
    """A vessel in a bath, from 20 °C; at ``melts_c`` it stands still for five minutes."""
    rng, temp, probe, stood = Random(8), 20.0, 20.0, 0
    out = []
    for t in range(seconds):
        if melts_c is not None and temp >= melts_c and stood < 300:
            stood += 1
        else:
            temp += (bath_c(t) - temp) / lag_s
        probe += (temp - probe) / 6.0
        out.append((float(t), round(probe + rng.gauss(0.0, 0.05), 1), temp))
        if temp > 70.5:
            break
    return out


def a_cooler(room_c: float | None = ROOM_C) -> Forecaster:
    return Forecaster("cool", 40.0, VesselPrior(400, 0.8, 90), room_c)


def a_heater() -> Forecaster:
    return Forecaster("heat", 70.0, VesselPrior(400, 0.9, 90, in_bath=True), ROOM_C)


@dataclass
class LastForecast:
    """Answers and notes by second."""

    answers: dict[int, ArrivalForecast | None]
    notes: dict[int, str]
    done_s: float

    def first(self, note: str) -> int:
        """When a note was first given."""
        return next((t for t, n in self.notes.items() if n == note), -1)

    def off(self, t: int) -> float:
        """Error of the middle as a share of what really remained."""
        answer = self.answers[t]
        assert answer is not None
        return answer.middle_s / (self.done_s - t) - 1.0


def listen(forecaster: Forecaster, curve: list[tuple[float, float, float]]) -> LastForecast:
    told = LastForecast({}, {}, curve[-1][0])
    for at, shown, _ in curve:
        forecaster.push(at, shown)
        if at % 5 == 0:
            told.answers[int(at)] = forecaster.forecast(at)
            told.notes[int(at)] = forecaster.note(at)
    return told


# --- an ordinary wait ----------------------------------------------------------------------------------
