"""What can go wrong with sound; never the make's business.

VoiceError
├── NoSpeech    the speech program is not installed, or failed
└── NoSound     there is no player, or it found no device to play on
"""

from __future__ import annotations


class VoiceError(Exception):
    """One sentence for a person."""


class NoSpeech(VoiceError):
    """Nothing can be spoken."""


class NoSound(VoiceError):
    """Nothing can be heard."""
