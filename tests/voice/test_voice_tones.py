"""Tones: what they are made of, measured in the WAV itself, and when a moment wants one."""

from __future__ import annotations

import io
import itertools
import wave
from array import array

import pytest
from hypothesis import given
from hypothesis import strategies as st
from test_voice_spoken import view
from wav_length import seconds_of

from benchapp.make.pictures import VesselPicture
from benchapp.make.view_model import LiveValue, Trouble
from benchapp.make.vocabulary import TroubleKind
from benchapp.voice import tones
from benchapp.voice.cues import ABOVE_EVERY_S, ALARM_EVERY_S, Cues


def samples(wav):
    with wave.open(io.BytesIO(wav)) as file:
        assert (file.getnchannels(), file.getsampwidth()) == (1, 2)
        return array("h", file.readframes(file.getnframes()))


def heard_hz(wav):
    """The pitch as an ear counts it: crossings of the middle, going up, in a second."""
    found = samples(wav)
    ups = [n for n, (a, b) in enumerate(itertools.pairwise(found)) if a < 0 <= b]
    return (len(ups) - 1) / (ups[-1] - ups[0]) * tones.RATE_HZ


@pytest.mark.parametrize("share", [0.0, 0.25, 0.5, 0.75, 1.0])
def test_a_beep_has_the_pitch_it_should_have(share):
    assert heard_hz(tones.approach(share)) == pytest.approx(tones.approach_hz(share), rel=0.02)


@given(st.floats(0, 1), st.floats(0, 1))
def test_nearer_the_band_it_is_never_lower(a, b):
    near, far = max(a, b), min(a, b)
    assert tones.approach_hz(near) >= tones.approach_hz(far)


def test_inside_above_taken_and_alarm_are_told_apart():
    every = [tones.played(x) for x in (tones.INSIDE, tones.ABOVE, tones.TAKEN, tones.ALARM)]
    assert len(set(every)) == 4
    assert heard_hz(tones.played(tones.ABOVE[:1])) < tones.LOW_HZ, "above is below every beep on the way"
    assert heard_hz(tones.played(tones.INSIDE[:1])) > tones.HIGH_HZ


def test_a_tone_does_not_click():
    found = samples(tones.played(tones.TAKEN))
    assert found[0] == found[-1] == 0
    assert max(abs(a - b) for a, b in itertools.pairwise(found)) < 8000


@given(st.integers(-5, 120))
def test_the_volume_is_the_loudness_and_nothing_else(percent):
    wav = tones.played(tones.INSIDE)
    softer = tones.at_volume(wav, percent)
    assert seconds_of(softer) == seconds_of(wav)
    loudest = max(map(abs, samples(wav)))
    assert max(map(abs, samples(softer))) == pytest.approx(loudest * min(max(percent, 0), 100) / 100, abs=1)


# --- when ---------------------------------------------------------------------------------------------


def pouring(net, at_s, word, last=""):
    live = (LiveValue("Water", net, "g", 1, "measured", "big", word),)
    picture = VesselPicture("pot", net, 100.0, 99.0, 101.0, 126.0)
    return view(live=live, picture=picture, at_s=at_s, last=last)


def test_a_pour_is_heard_to_come_nearer_then_inside_then_taken():
    cues, heard = Cues(), []
    for n in range(100):
        net = min(float(n), 100.0)
        word = "below" if net < 99 else "in band"
        heard.append(cues.next(pouring(net, n * 0.1, word)))
    heard.append(cues.next(pouring(100.0, 10.0, "in band", last="Water: 100 g measured")))
    sounded = [w for w in heard if w is not None]
    assert sounded[-2:] == [tones.played(tones.INSIDE), tones.played(tones.TAKEN)]
    rising = [heard_hz(w) for w in sounded[:-2]]
    assert len(rising) >= 5
    assert rising == sorted(rising)
    assert heard[:50] == [None] * 50, "far from the band it is quiet"


def test_above_is_heard_at_once_and_again():
    cues = Cues()
    cues.next(pouring(98.0, 0.0, "below"))
    above = tones.played(tones.ABOVE)
    assert cues.next(pouring(102.0, 0.1, "above")) == above
    assert cues.next(pouring(102.0, 0.2, "above")) is None
    assert cues.next(pouring(102.0, 0.1 + ABOVE_EVERY_S, "above")) == above


def test_an_alarm_goes_on_until_it_is_seen_to():
    cues, trouble = Cues(), Trouble(TroubleKind.ALARM, "Alarm", "…")
    alarm = tones.played(tones.ALARM)
    at = [0.0, 0.1, ALARM_EVERY_S - 0.1, ALARM_EVERY_S, 2 * ALARM_EVERY_S]
    assert [cues.next(view(trouble=trouble, at_s=t)) for t in at] == [alarm, None, None, alarm, alarm]


def test_what_was_taken_before_is_no_news():
    assert Cues().next(view(last="Water: 100 g measured")) is None


def test_what_is_held_on_the_glass_ticks_and_is_silent_where_sound_is_off():
    from benchapp.voice.announcer import Announcer, Silent, voice_for

    class Queue:
        def __init__(self):
            self.sounded = []

        def sound(self, wav):
            self.sounded.append(wav)

    queue = Queue()
    Announcer(queue, print).tick()
    assert queue.sounded == [tones.played(tones.TICK)]
    muted = voice_for(0, print)
    assert isinstance(muted, Silent)
    muted.tick()


def test_about_to_be_taken_and_taken_are_heard_and_told_apart():
    cues = Cues()
    cues.next(pouring(98.0, 0.0, "below"))
    assert cues.next(pouring(100.0, 0.1, "in band")) == tones.played(tones.INSIDE)
    assert cues.next(pouring(100.0, 1.0, "in band")) is None
    taken = cues.next(pouring(100.0, 2.1, "in band", last="Water: 100 g measured"))
    assert taken == tones.played(tones.TAKEN)
