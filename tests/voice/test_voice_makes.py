"""A whole rehearsed make, heard: every sentence was true when it began, and nothing waited for the loudspeaker."""

from __future__ import annotations

from one_command import command

from benchapp.events import WeightTaken
from benchapp.rehearsal.runner import RehearsalRunner
from benchapp.runtime.runner import spoken_by
from benchapp.voice import tones
from benchapp.voice.announcer import Announcer
from benchapp.voice.queue import SoundQueue


class Tape:
    """The edge nobody can run here: a loudspeaker that is never done until it is cut."""

    def __init__(self):
        self.wavs = []

    def play(self, wav, wanted):
        self.wavs.append(wav)

    def cut(self):
        pass


def test_a_make_is_spoken_and_sounded(walked):
    make = walked("oat-hand-lotion")
    texts, sounded = make.heard.said, make.heard.tones
    assert any(t.startswith("Pour 376 grams of Purified water") for t in texts)
    assert any("degrees Celsius" in t for t in texts)
    assert texts[-1].startswith("Finished")
    assert not [t for t in texts if "°" in t or " g " in t], "no unit is left as a sign"
    weighed = sum(isinstance(s.event, WeightTaken) for s in make.stored)
    assert sounded.count(tones.played(tones.TAKEN)) >= weighed
    assert tones.played(tones.INSIDE) in sounded
    assert len(texts) < 0.6 * len(make.stored), "it does not chatter"


def test_a_real_queue_takes_a_whole_make_without_holding_it_up(make_rehearsal, lotion):
    rehearsal = make_rehearsal(lotion)
    tape = Tape()
    queue = SoundQueue(lambda text: tones.wav_of([0] * len(text)), tape)
    announcer = Announcer(queue, print)

    runner = RehearsalRunner(rehearsal, 0.0)
    runner.hooks.append(spoken_by(announcer))
    while runner.session.make.state.step in ("01-prepare", "02-weigh"):
        said = runner.own_answer(runner.beat())
        if said is not None:
            runner.session.put(said.given(runner.session.clock(), runner.session.view().prompt))
    announcer.close()
    assert tape.wavs
    assert queue.trouble == []


def test_on_a_terminal_without_a_player_it_is_said_once(tmp_path):
    """A whole make that is asked to speak on a machine that has nothing to speak with."""
    words = ("rehearse", "tide-pool-gel", "--voice", "--terminal", "--pace", "0", "--data", str(tmp_path))
    done = command(*words, env={"PATH": ""})
    assert done.returncode == 0, done.stderr
    assert done.stdout.count("There is no sound: no player is installed") == 1
