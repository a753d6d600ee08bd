"""Who makes, in which role, and by whose side; and the one proof of a signature, in a make and at the desk."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from benchapp import events as ev
from benchapp.foundation.language import tr, translated
from benchapp.record.competence import competence_in, witness_for
from benchapp.record.journal import Journal
from benchapp.record.people import Proof, people_in, prove
from benchapp.runtime.clocks import running_s
from benchapp.service.errors import CommandError

#: A PIN, or how it is asked for with a prompt: only once nothing else speaks against.
Pin = str | Callable[[str], str]


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
        raise CommandError(
            tr(
                "{name} is not enrolled here. Enrolled are {known}; or: benchapp person enrol.",
                name=name,
                known=known,
            )
        )
    if "maker" in person.roles:
        return person.who, "maker", ()
    if "helper" not in person.roles:
        raise CommandError(
            tr(
                "{who} may release, not make. Enrol them as a maker too, or let somebody else make.",
                who=person.who,
            )
        )
    return (
        person.who,
        "helper",
        witness_for(person.who, competence_in(journal.everywhere, evidence, person.who)),
    )


def evidence(events: Sequence[ev.Event]) -> tuple[str, ...]:
    """The kinds of step a rehearsal is evidence for; what reads scenarios is loaded where there is one."""
    from benchapp.rehearsal.evidence import goal_reached

    return goal_reached(events)


def prover(journal: Journal) -> Callable[[str, str], tuple[str, str]]:
    """Proves a name and a PIN: the role somebody signs in, and "" or the sentence why it is not them."""

    def proved(who: str, pin: str) -> tuple[str, str]:
        proof = prove(journal, who, pin, running_s())
        if isinstance(proof, str):
            return "", proof
        return "maker" if "maker" in proof.roles else proof.roles[0], ""

    return proved


def named(by: str, *roles: str) -> str:
    """Who says they sign. Raises CommandError for nobody."""
    if not by.strip():
        raise CommandError(
            tr("Say which {role} you are: --by NAME.", role=roles[0])
            if len(roles) == 1
            else tr("Say who you are: --by NAME.")
        )
    return by.strip()


def signed(journal: Journal, by: str, pin: Pin, *roles: str) -> Proof:
    """The proof that it is ``by``, with one of ``roles`` where they are given. Raises CommandError with the sentence
    why not."""
    named(by, *roles)
    if not people_in(journal).signing():
        raise CommandError(
            tr(
                "Nobody is enrolled here who could sign. Begin with: benchapp person enrol NAME "
                "--role releaser."
            )
        )
    typed = pin if isinstance(pin, str) else pin(tr("PIN of {by}: ", by=by))
    proof = prove(journal, by, typed, running_s())
    if isinstance(proof, str):
        raise CommandError(proof)
    if roles and not set(roles) & set(proof.roles):
        raise CommandError(
            tr(
                "This takes a {names}; {who} is {names_2}.",
                names=tr(" or a ").join(map(translated, roles)),
                who=proof.who,
                names_2=", ".join(map(translated, proof.roles)),
            )
        )
    return proof


def signed_if_enrolled(journal: Journal, by: str, pin: Pin, *roles: str) -> str:
    """Who it is: proved by PIN once anybody is enrolled, and with one of ``roles`` where they are given; taken at
    their word before. Raises CommandError."""
    if not people_in(journal).signing():
        return named(by)
    return signed(journal, by, pin, *roles).who
