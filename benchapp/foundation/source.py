"""Where a value comes from."""

from __future__ import annotations

from enum import StrEnum


class Source(StrEnum):
    """Measured by a device, stated by a person, or computed."""

    MEASURED = "measured"
    STATED = "stated"
    COMPUTED = "computed"
