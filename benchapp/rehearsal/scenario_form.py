"""The form of a scenario file: which tables and fields there are, and what each may hold."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from procedures import fields as f
from procedures.schema import Table

from .scenario import IncidentKind

#: Marks what people read of a scenario: the catalogues hold the words of the shipped ones, and they are looked up where
#: they are shown. Nothing else of a file is.
SHOWN = "shown"
ShownName = Annotated[f.Name, SHOWN]
ShownText = Annotated[f.Text, SHOWN]


#: A number that anything here can be compared with.
Figure = Annotated[float, Field(ge=-1e6, le=1e6)]


class ScenarioTable(Table):
    """[scenario]: what it is about."""

    title: ShownName
    goal: ShownText
    procedure: f.Name
    batch: f.Mass | None = None
    teaches: f.Names = Field(min_length=1)
    master: ShownText


class BeginTable(Table):
    """[begin]: where the maker takes over. ``nth`` counts the steps of that kind from 1."""

    step: f.Name
    nth: int = Field(1, ge=1, le=99)
    act: f.Text = ""
    stage: f.Text = ""
    above: Figure | None = None
    below: Figure | None = None


class EndTable(Table):
    """[end]: with which step the rehearsal is over; without this table, with the one it began in."""

    step: f.Name
    nth: int = Field(1, ge=1, le=99)


class IncidentTable(Table):
    """[[happens]]: one thing that happens."""

    what: IncidentKind
    thing: f.Text = ""
    mass: f.Mass | None = None
    temperature: f.Temperature | None = None
    lasts: f.Time = 0.0
    says: ShownText = ""


class CriterionTable(Table):
    """[[good]] and [[bad]]: the events that tell a good hand from a bad one."""

    event: f.Name
    where: dict[str, str | bool | Figure | list[str]] = Field(default_factory=dict)
    says: ShownText
    missed: ShownText = ""
    least: int = Field(1, ge=1, le=1000)
    held: bool = True


class ScriptedActionTable(Table):
    """[[hand]] and [[slip]]: what a simulated hand does once things have happened, one that does it well and one that errs:
    where a choice whose key begins with ``offered`` is on offer and the instruction holds ``at`` ("" anywhere). Whoever tries
    a scenario out plays them; a rehearsal has a person."""

    do: Literal["press", "type", "skip", "hold", "walk away"]
    offered: f.Text = ""
    at: f.Text = ""
    reason: f.Text = ""
    value: Figure = 0.0
    lasts: f.Time = 0.0


class ScenarioFile(Table):
    """The whole file."""

    scenario: ScenarioTable
    begin: BeginTable
    end: EndTable | None = None
    happens: list[IncidentTable] = Field(min_length=1, max_length=20)
    good: list[CriterionTable] = Field(min_length=1, max_length=20)
    bad: list[CriterionTable] = Field(default_factory=list, max_length=20)
    hand: list[ScriptedActionTable] = Field(default_factory=list, max_length=20)
    slip: list[ScriptedActionTable] = Field(default_factory=list, max_length=20)
