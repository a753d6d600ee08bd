"""The sound queue: whole sentences only, the newest wins, nothing stale, never blocking. Real threads, no sleeping."""

from __future__ import annotations

import sys
import threading

import pytest
from test_voice_spoken import view
from wav_length import seconds_of

from benchapp.voice import tones
from benchapp.voice.announcer import Announcer, Silent, voice_for
from benchapp.voice.errors import NoSound, NoSpeech
from benchapp.voice.espeak import Espeak
from benchapp.voice.player import NO_PLAYER, CommandPlayer, find_player
from benchapp.voice.prompts import Utterance
from benchapp.voice.queue import SoundQueue

LONG_S = 5.0


class SlowPlayer:
    """The edge nobody can run here: a loudspeaker. Plays until it is told that it is over, or cut."""

    def __init__(self):
        self.heard, self.cut_short = [], []
        self.began = threading.Semaphore(0)
        self._over = threading.Event()
        self.ended = threading.Semaphore(0)

    def play(self, wav, wanted):
        self._over.clear()
        self.heard.append(wav)
        self.began.release()
        if not wanted():
            self.cut()
        assert self._over.wait(LONG_S)
        self.ended.release()

    def cut(self):
        self.cut_short.append(self.heard[-1] if self.heard else b"")
        self._over.set()

    def finish(self):
        self._over.set()
        assert self.ended.acquire(timeout=LONG_S)

    def started(self):
        return self.began.acquire(timeout=LONG_S)


def wav_for(text):
    """A WAV one can tell from others by its samples."""
    return tones.wav_of([ord(c) for c in text])


@pytest.fixture
def speaker():
    return SlowPlayer()


@pytest.fixture
def queue(speaker):
    queue = SoundQueue(wav_for, speaker)
    yield queue
    queue.close()


def say(queue, text, key=None, urgent=False):
    queue.say(Utterance(key or text, text, urgent))


def test_the_newest_sentence_wins_over_what_waits(queue, speaker):
    say(queue, "one", key="now")
    assert speaker.started()
    say(queue, "two", key="now")
    say(queue, "three", key="now")
    speaker.finish()
    assert speaker.started()
    assert speaker.heard == [wav_for("one"), wav_for("three")]


def test_a_sentence_that_is_no_longer_true_is_cut_and_one_that_waits_is_never_begun(queue, speaker):
    say(queue, "one", key="first")
    assert speaker.started()
    say(queue, "two", key="second")
    assert speaker.started(), "the first was cut for it"
    queue.now_true("third")
    say(queue, "three", key="third")
    assert speaker.started()
    assert speaker.heard[-1] == wav_for("three")
    assert wav_for("one") in speaker.cut_short


def test_what_became_false_while_it_was_rendered_is_not_said(speaker):
    rendering, go_on = threading.Event(), threading.Event()

    def slowly(text):
        rendering.set()
        assert go_on.wait(LONG_S)
        return wav_for(text)

    queue = SoundQueue(slowly, speaker)
    say(queue, "stale", key="then")
    assert rendering.wait(LONG_S)
    queue.now_true("now")
    go_on.set()
    say(queue, "true", key="now")
    assert speaker.started()
    assert speaker.heard == [wav_for("true")]
    queue.close()


def test_an_urgent_sentence_cuts_in(queue, speaker):
    say(queue, "pour", key="now")
    assert speaker.started()
    say(queue, "stop", key="now", urgent=True)
    assert speaker.started()
    assert speaker.heard[-1] == wav_for("stop")


def test_a_tone_waits_for_the_sentence_and_only_the_newest_is_played(queue, speaker):
    say(queue, "pour", key="now")
    assert speaker.started()
    for share in (0.1, 0.5, 0.9):
        queue.sound(tones.approach(share))
    speaker.finish()
    assert speaker.started()
    assert speaker.heard == [wav_for("pour"), tones.approach(0.9)]


def test_mute_plays_nothing(speaker):
    queue = SoundQueue(wav_for, speaker, volume=0)
    say(queue, "one")
    queue.sound(tones.approach(0.5))
    queue.close()
    assert speaker.heard == []


def test_closing_cuts_what_is_being_said(speaker):
    queue = SoundQueue(wav_for, speaker)
    say(queue, "a long story")
    assert speaker.started()
    queue.close()
    assert speaker.cut_short


def test_a_sentence_is_rendered_once(speaker):
    rendered = []
    queue = SoundQueue(lambda text: rendered.append(text) or wav_for(text), speaker)
    for key in ("a", "b"):
        say(queue, "the same", key=key)
        assert speaker.started()
    queue.close()
    assert rendered == ["the same"]


def test_without_speech_it_is_said_once_and_tones_go_on(speaker):
    def absent(text):
        raise NoSpeech("Nothing is spoken.")

    queue, told = SoundQueue(absent, speaker), []
    announcer = Announcer(queue, told.append)
    announcer.hear(view(prompt="a#1"))
    queue.sound(tones.approach(0.5))
    assert speaker.started()
    speaker.finish()
    for n in range(2, 5):
        announcer.hear(view(prompt=f"a#{n}"))
    announcer.close()
    assert told == ["Nothing is spoken."]


def test_without_a_device_it_is_said_once():
    class Nowhere:
        tried, asked = 0, threading.Event()

        def play(self, wav, wanted):
            self.tried += 1
            self.asked.set()
            raise NoSound("There is no sound.")

        def cut(self):
            pass

    nowhere, rendered = Nowhere(), threading.Event()

    def render(text):
        if text == "two":
            rendered.set()
        return wav_for(text)

    queue = SoundQueue(render, nowhere)
    queue.say(Utterance("same", "one"))
    assert nowhere.asked.wait(LONG_S)
    queue.say(Utterance("same", "two"))
    assert rendered.wait(LONG_S)
    queue.close()
    assert queue.trouble == ["There is no sound."]
    assert nowhere.tried == 1


# --- real programs ------------------------------------------------------------------------------------


@pytest.mark.usefixtures("espeak_ng")
@pytest.mark.parametrize(
    "text",
    [
        "Stop.",
        "Pour 376 grams of Purified water into the water pot.",
        "Warning. Something flammable is on the bench. No hot plate or flame until it has dried off.",
    ],
)
def test_real_speech_is_as_long_as_its_words(text):
    """155 words a minute asked for; digits and units are longer than the words they are written with."""
    wav = Espeak().render(text)
    words = len(text.split())
    assert 0.15 * words < seconds_of(wav) < 1.0 * words + 1.0


@pytest.mark.usefixtures("espeak_ng")
def test_more_words_take_longer():
    lengths = [seconds_of(Espeak().render(" ".join(["water"] * n))) for n in (1, 5, 20)]
    assert lengths == sorted(lengths)
    assert lengths[2] > 4 * lengths[0]


@pytest.mark.usefixtures("espeak_ng")
def test_text_is_data_and_never_an_option():
    assert seconds_of(Espeak().render("--version")) > 0.2


def test_no_speech_program_is_one_sentence():
    with pytest.raises(NoSpeech, match="espeak-ng is not installed"):
        Espeak(command="no-such-speech-program").render("Stop.")


def test_a_program_that_gives_no_sound_is_one_sentence():
    with pytest.raises(NoSpeech, match=r"failed|no sound"):
        Espeak(command="true").render("Stop.")


def test_a_real_player_process_gets_the_whole_wav(tmp_path):
    copy = tmp_path / "copy.wav"
    script = f"import shutil, sys; shutil.copy(sys.argv[1], {str(copy)!r})"
    CommandPlayer((sys.executable, "-c", script)).play(wav_for("hello"), lambda: True)
    assert copy.read_bytes() == wav_for("hello")


def test_a_real_player_process_is_cut_short(tmp_path):
    flag = tmp_path / "began"
    script = f"import pathlib, signal; pathlib.Path({str(flag)!r}).touch(); signal.pause()"
    player = CommandPlayer((sys.executable, "-c", script))
    player.play(wav_for("hello"), lambda: False)  # it was already unwanted when the program came up


STUCK = "import pathlib, signal, sys; signal.signal(signal.SIGTERM, signal.SIG_IGN); pathlib.Path(sys.argv[1] + '.began').touch(); signal.pause()"


def test_a_player_that_hangs_is_ended_and_said_so_that_no_alarm_waits_behind_it(monkeypatch):
    """Its sound server does not answer: it would have been silent from then on, without a word."""
    monkeypatch.setattr("benchapp.voice.player.PATIENCE_S", 0.1)
    with pytest.raises(NoSound, match="does not end"):
        CommandPlayer((sys.executable, "-c", "import signal; signal.pause()")).play(
            wav_for("hello"), lambda: True
        )


def test_a_player_that_lets_nobody_end_it_does_not_hold_up_the_glass(tmp_path, monkeypatch):
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    queue = SoundQueue(wav_for, CommandPlayer((sys.executable, "-c", STUCK)))
    say(queue, "one")
    deadline = threading.Event()
    while not list(tmp_path.glob("*/*.began")):
        assert not deadline.wait(0.01)
    closing = threading.Thread(target=queue.close)
    closing.start()
    closing.join(LONG_S)
    assert not closing.is_alive()


def test_a_full_disk_is_said_and_ends_no_thread(tmp_path, monkeypatch):
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "gone"))
    with pytest.raises(NoSound, match="No such file"):
        CommandPlayer((sys.executable, "-c", "")).play(wav_for("hello"), lambda: True)


def test_a_player_without_a_device_says_why():
    script = "import sys; sys.exit('no cards found')"
    with pytest.raises(NoSound, match="no cards found"):
        CommandPlayer((sys.executable, "-c", script)).play(wav_for("hello"), lambda: True)


def test_a_player_that_is_not_there_is_one_sentence():
    with pytest.raises(NoSound, match="cannot be started"):
        CommandPlayer(("no-such-player",)).play(wav_for("hello"), lambda: True)


def test_a_machine_without_a_player_is_silent_and_says_so_once(monkeypatch):
    monkeypatch.setenv("PATH", "")
    with pytest.raises(NoSound):
        find_player()
    told = []
    voice = voice_for(70, told.append)
    assert isinstance(voice, Silent)
    voice.hear(view())
    voice.close()
    assert told == [NO_PLAYER]


def test_at_no_volume_nothing_is_even_looked_for():
    told = []
    assert isinstance(voice_for(0, told.append), Silent)
    assert told == []
