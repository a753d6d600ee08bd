"""How much of a step's guidance somebody wants, the most first."""

from __future__ import annotations

from typing import Literal

Level = Literal["full", "normal", "brief"]
LEVELS: tuple[Level, ...] = ("full", "normal", "brief")
