"""Why a bench and its workshop's server could not exchange.

ReplicationError
├── ServerUnavailable    it does not answer, or the line to it was cut: tried again by itself
├── ServerRefuses        it answers and does not let us: name, password, certificate, rights, version
└── ChainRefused         a chain is not the one it was: a fork, a gap, an older copy, a history written anew
"""

from __future__ import annotations


class ReplicationError(Exception):
    """The root; its text is one sentence that says what to do."""


class ServerUnavailable(ReplicationError):
    """The server cannot be reached now."""


class ServerRefuses(ReplicationError):
    """The server was reached and refuses; somebody has to do something about it."""


class ChainRefused(ReplicationError):
    """Two chains of one bench differ, or one has a gap; nothing of it is sent or taken."""
