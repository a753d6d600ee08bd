"""How long a WAV sounds."""

import io
import wave


def seconds_of(wav: bytes) -> float:
    with wave.open(io.BytesIO(wav)) as file:
        return file.getnframes() / file.getframerate()
