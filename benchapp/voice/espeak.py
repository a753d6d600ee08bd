"""Text to a WAV by espeak-ng, a free speech program, as a process of its own. Offline; nothing leaves the bench."""

from __future__ import annotations

import io
import subprocess
import wave
from array import array

from benchapp.foundation.language import SOURCE, spoken, tr, tr_noop
from benchapp.voice.errors import NoSpeech
from benchapp.voice.tones import wav_of

#: The voice of a language, where it is not called by its code.
VOICES = {SOURCE: "en-gb"}
#: Words a minute: slower than a newsreader, over the noise of a stirrer (common practice, no source).
WORDS_A_MINUTE = 155
#: Longer than this no sentence takes to be made, in seconds.
PATIENCE_S = 10.0
ABSENT = tr_noop("Nothing is spoken: espeak-ng is not installed. Tones and the screen say the same.")


class Espeak:
    """Renders one text at a time; raises NoSpeech where the program is absent or fails."""

    def __init__(self, command: str = "espeak-ng") -> None:
        self._command = command

    def render(self, text: str) -> bytes:
        """The text as a 16-bit WAV of one channel. It goes in as data, never as an option."""
        try:
            voice = VOICES.get(spoken().code, spoken().code)
            done = subprocess.run(
                (self._command, "-v", voice, "-s", str(WORDS_A_MINUTE), "--stdin", "--stdout"),
                input=text.encode(),
                capture_output=True,
                timeout=PATIENCE_S,
                check=True,
            )
        except FileNotFoundError as error:
            raise NoSpeech(ABSENT) from error
        except (subprocess.SubprocessError, OSError) as error:
            raise NoSpeech(
                tr("Nothing is spoken: espeak-ng failed ({name__}).", name__=type(error).__name__)
            ) from error
        return _whole(done.stdout)


def _whole(streamed: bytes) -> bytes:
    """The same WAV with its true length: one that is streamed cannot know it when it begins."""
    try:
        with wave.open(io.BytesIO(streamed)) as file:
            samples = file.readframes(file.getnframes())
            rate_hz = file.getframerate()
    except (wave.Error, EOFError) as error:
        raise NoSpeech(tr("Nothing is spoken: espeak-ng gave no sound.")) from error
    return wav_of(array("h", samples[: len(samples) // 2 * 2]), rate_hz)
