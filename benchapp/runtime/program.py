"""Which version of the program this is."""

from __future__ import annotations

from functools import cache


@cache
def program_version() -> str:
    """The version that is installed; "" where it runs from its source alone."""
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("benchapp")
    except PackageNotFoundError:
        return ""
