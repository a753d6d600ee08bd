"""What of a list is shown: one button goes through the kinds."""

from __future__ import annotations

from enum import Enum
from typing import Self


class ListFilter(Enum):
    """Its members are the kinds, by the word on the button."""

    @property
    def next(self) -> Self:
        """The one after it, after the last the first again."""
        kinds = list(type(self))
        return kinds[(kinds.index(self) + 1) % len(kinds)]
