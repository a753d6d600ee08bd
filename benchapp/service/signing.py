"""Who makes, in which role, and by whose side; and the proof of a signature in a make."""

from __future__ import annotations

from collections.abc import Callable

from benchapp.record.competence import competence_in, witness_for
from benchapp.record.journal import Journal
from benchapp.record.people import people_in, prove
from benchapp.rehearsal.evidence import goal_reached
from benchapp.service.errors import CommandError


def who_makes(journal: Journal, name: str) -> tuple[str, str, tuple[str, ...]]:
    """The maker's name as enrolled, their role, and the kinds of step a second person has to sign.

    Where nobody is enrolled: the name as given, no role, no witness. Raises CommandError for somebody who may not make.
    """
    people = people_in(journal)
    if not people.signing():
        return name, "", ()
    person = people.find(name)
    if person is None:
        known = ", ".join(p.who for p in people.signing())
        raise CommandError(f"{name} is not enrolled here. Enrolled are {known}; or: benchapp person enrol.")
    if "maker" in person.roles:
        return person.who, "maker", ()
    if "helper" not in person.roles:
        raise CommandError(
            f"{person.who} may release, not make. Enrol them as a maker too, or let somebody else make."
        )
    return person.who, "helper", witness_for(person.who, competence_in(journal, goal_reached, person.who))


def prover(journal: Journal) -> Callable[[str, str], tuple[str, str]]:
    """Proves a name and a PIN: the role somebody signs in, and "" or the sentence why it is not them."""

    def proved(who: str, pin: str) -> tuple[str, str]:
        proof = prove(journal, who, pin)
        if isinstance(proof, str):
            return "", proof
        return "maker" if "maker" in proof.roles else proof.roles[0], ""

    return proved
