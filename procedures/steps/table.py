"""The table a maker writes a step as; each kind has its own beside its step."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import TypedDict

from .. import fields as f
from ..formula import of_kettle
from ..names import Names
from ..schema import Table
from .base import Step


class Common(TypedDict):
    """What every step takes over from its table and its place in the file."""

    key: str
    plain_title: str
    line: int
    note: str
    why: str
    look: str
    wrong: str
    any_order: str
    kettle: int


class StepTable(Table, ABC):
    """What every [[step]] may have."""

    kind: str
    title: f.Name
    note: f.Text = ""
    why: f.Text = ""
    look: f.Text = ""
    wrong: f.Text = ""
    any_order: f.Name = ""

    @abstractmethod
    def build(self, names: Names, common: Common) -> Step:
        """The step, its names looked up. Raises MissingName where one leads nowhere."""

    def common(self, number: int, line: int, kettle: int = 0) -> Common:
        """What every step takes over; ``number`` counts the steps from 1, ``line`` the lines of the file; ``kettle`` is
        the one it is done for, 0: for the whole batch."""
        key = f"{number:02d}-{self.kind.replace(' ', '-')}"
        return Common(
            key=f"{key}-{kettle}" if kettle else key,
            plain_title=self.title,
            line=line,
            note=self.note,
            why=self.why,
            look=self.look,
            wrong=self.wrong,
            any_order=of_kettle(self.any_order, kettle) if self.any_order else "",
            kettle=kettle,
        )
