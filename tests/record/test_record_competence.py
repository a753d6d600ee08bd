"""Competence: what raises it, what sets it, and in what a second person is still wanted."""

from __future__ import annotations

import dataclasses

import pytest

from benchapp import events as ev
from benchapp.record.competence import (
    SEEN,
    STEP_KINDS,
    WITNESSED,
    competence_in,
    grant,
    grant_problem,
    witness_for,
)
from benchapp.record.people import people_in
from procedures.reading import read_procedure
from procedures.shelf import find, shipped


def started(
    batch: str, maker: str = "Jo Tern", rehearsal: bool = False, scenario: str = ""
) -> ev.MakeStarted:
    return ev.MakeStarted(
        at_s=0.0, batch=batch, maker=maker, procedure="oat-hand-lotion", procedure_sha256="", procedure_text="",
        batch_g=500.0, devices=(), rehearsal=rehearsal, scenario=scenario,
    )  # fmt: skip


def seen(step: str, who: str = "Mara Lind", meaning: str = SEEN) -> ev.Signed:
    return ev.Signed(at_s=5.0, step=step, who=who, meaning=meaning, role="maker", proof="pin")


def taught(events):
    """Stands in for the judge of scenarios: what the scenario names is taken for reached."""
    return tuple(x for x in events[0].scenario.split(",") if x)


def over(at_s: float = 9.0) -> ev.MakeAbandoned:
    return ev.MakeAbandoned(at_s=at_s, reason="over")


def granted(level: str, kind: str = "weigh") -> ev.CompetenceGranted:
    return ev.CompetenceGranted(at_s=0.0, who="Jo Tern", step_kind=kind, level=level, by="Mara Lind")


def test_rehearsed_then_supervised_then_independent(journal):
    def level():
        found = competence_in(journal, taught).get(("Jo Tern", "weigh"))
        return found and found.level

    assert level() is None
    journal.append("r1", [started("r1", rehearsal=True, scenario="weigh"), over()])
    assert level() == "rehearsed"
    journal.append("b1", [started("b1"), seen("02-weigh"), over()])
    assert level() == "supervised"
    journal.append(ev.WORKSHOP, [granted("independent")])
    assert level() == "independent"
    journal.append("r2", [started("r2", rehearsal=True, scenario="weigh"), over()])
    assert level() == "independent", "evidence only raises"
    journal.append(ev.WORKSHOP, [granted("supervised")])
    assert level() == "supervised", "a grant may also take back"


def test_only_what_counts_counts(journal):
    journal.append("r1", [started("r1", rehearsal=True), seen("02-weigh"), over()])
    journal.append("r2", [started("r2", rehearsal=True, scenario="weigh")])
    journal.append("b1", [started("b1"), seen("19-finish", "Jo Tern", "made as recorded"), over()])
    assert not competence_in(journal, taught), (
        "rehearsed with nothing at stake, not over, and one's own signature"
    )


def test_evidence_speaks_for_its_own_maker_and_kind_only(journal):
    journal.append("b1", [started("b1", "Ada Reed"), seen("14-measure-ph"), over()])
    assert set(competence_in(journal, taught)) == {("Ada Reed", "measure ph")}
    assert not competence_in(journal, taught, "Jo Tern")


def test_a_second_person_is_wanted_until_independent(journal):
    assert witness_for("Jo Tern", competence_in(journal, taught)) == WITNESSED
    journal.append(ev.WORKSHOP, [granted("supervised"), granted("independent", "fill")])
    left = witness_for("Jo Tern", competence_in(journal, taught))
    assert "weigh" in left
    assert "fill" not in left


def test_nobody_grants_it_to_themselves_and_helpers_grant_nothing(journal):
    enrolled = [
        ev.PersonEnrolled(at_s=0.0, who=who, roles=roles, pin="x", by="Mara Lind")
        for who, roles in (("Mara Lind", ("releaser",)), ("Jo Tern", ("helper",)), ("Ada Reed", ("maker",)))
    ]
    journal.append(ev.WORKSHOP, enrolled)
    people = people_in(journal)
    assert grant_problem(people, "Jo Tern", "Ada Reed") == ""
    assert "themselves" in grant_problem(people, "Ada Reed", "ada reed")
    assert "neither" in grant_problem(people, "Ada Reed", "Jo Tern")
    assert "not enrolled" in grant_problem(people, "Nobody", "Ada Reed")
    event = grant(people, "jo tern", "weigh", "independent", "Ada Reed")
    assert dataclasses.asdict(event)["who"] == "Jo Tern"
    with pytest.raises(ValueError, match="kind of step"):
        grant(people, "Jo Tern", "juggle", "independent", "Ada Reed")


def test_the_kinds_of_step_are_those_of_the_shipped_procedures():
    assert {s.kind for key in shipped() for s in read_procedure(find(key)).procedure.steps} <= set(STEP_KINDS)
