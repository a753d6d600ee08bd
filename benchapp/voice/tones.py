"""Tones made from nothing but sums: towards the band they rise; inside, above, taken and alarm each sound their own.

Frequencies and lengths are common practice, no source.
"""

from __future__ import annotations

import io
import math
import wave
from array import array
from collections.abc import Sequence
from functools import lru_cache

#: Samples a second, one channel, 16 bits.
RATE_HZ = 22_050
#: Loudness of a tone against the largest sample.
LEVEL = 0.6
#: A tone swells and fades for so long, so that it does not click, in seconds.
EDGE_S = 0.008
#: Towards the band: from the low to the high frequency, in so many steps that an ear tells apart.
LOW_HZ, HIGH_HZ, STEPS = 330.0, 784.0, 16
#: (Hz, seconds) one after the other; 0 Hz is a pause.
INSIDE = ((1047.0, 0.09), (0.0, 0.04), (1047.0, 0.09))
ABOVE = ((196.0, 0.25), (0.0, 0.05), (165.0, 0.3))
TICK = ((1568.0, 0.03),)
TAKEN = ((659.0, 0.09), (880.0, 0.18))
ALARM = ((932.0, 0.18), (0.0, 0.05), (622.0, 0.18), (0.0, 0.05), (932.0, 0.18), (0.0, 0.05), (622.0, 0.3))

Notes = tuple[tuple[float, float], ...]


def approach_hz(share: float) -> float:
    """The pitch at a share of the way to the band's lower limit, 0 to 1; it never falls as the share grows."""
    step = round(min(max(share, 0.0), 1.0) * STEPS) / STEPS
    return LOW_HZ * float((HIGH_HZ / LOW_HZ) ** step)


def approach(share: float) -> bytes:
    """One short beep on the way to the band, as a WAV."""
    return played(((approach_hz(share), 0.07),))


@lru_cache(maxsize=64)
def played(notes: Notes) -> bytes:
    """The notes one after the other, as a WAV."""
    samples = array("h")
    for hertz, seconds in notes:
        samples.extend(_note(hertz, seconds))
    return wav_of(samples)


def _note(hertz: float, seconds: float) -> array[int]:
    count = round(seconds * RATE_HZ)
    edge = max(EDGE_S * RATE_HZ, 1.0)
    out = array("h")
    for n in range(count):
        swell = min(1.0, n / edge, (count - 1 - n) / edge)
        out.append(round(32767 * LEVEL * swell * math.sin(2 * math.pi * hertz * n / RATE_HZ)))
    return out


def wav_of(samples: Sequence[int], rate_hz: int = RATE_HZ) -> bytes:
    """16-bit samples of one channel as a WAV file."""
    out = io.BytesIO()
    with wave.open(out, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate_hz)
        file.writeframes(array("h", samples).tobytes())
    return out.getvalue()


def at_volume(wav: bytes, percent: int) -> bytes:
    """The same softer: 100 as it is, 0 silent. 16-bit WAVs only, which is all that is made here."""
    if percent >= 100:
        return wav
    with wave.open(io.BytesIO(wav)) as file:
        rate_hz, samples = file.getframerate(), array("h", file.readframes(file.getnframes()))
    share = max(percent, 0) / 100
    return wav_of([round(s * share) for s in samples], rate_hz)
