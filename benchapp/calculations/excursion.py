"""How grave it is that a temperature went beyond its limit: by how far it went and by how long it lasted."""

from __future__ import annotations

from typing import Literal

#: Further than this, in kelvin, or longer than this, in seconds, is minor; both together are major (common practice,
#: no source).
FAR_K, LONG_S = 5.0, 600.0


def graded(by_k: float, lasted_s: float, beyond_all: bool = False) -> Literal["note", "minor", "major"]:
    """The grade of an excursion by ``by_k`` kelvin for ``lasted_s`` seconds; ``beyond_all``: past the limit at which
    everything else is interrupted."""
    far, long = by_k > FAR_K, lasted_s > LONG_S
    if beyond_all or (far and long):
        return "major"
    return "minor" if far or long else "note"
