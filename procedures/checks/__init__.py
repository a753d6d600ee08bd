"""The rules of the trade, one small file per group, each rule a function from a sheet to its problems."""

from __future__ import annotations

from ..building import Sheet
from ..wording import Report


def check(sheet: Sheet, report: Report) -> None:
    """Ask every rule whose part of the file is whole; note what they find in the report."""
