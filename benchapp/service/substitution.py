"""An ingredient replaced for one batch: by another of the workshop's shelf, with a reason and a releaser's signature. What the
batch is made by is the procedure's text with the other material in its line, so that everything is worked out with it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr
from benchapp.record.journal import Journal
from benchapp.record.people import people_in
from benchapp.runtime.substitution import Substitution
from benchapp.service.errors import CommandError
from benchapp.service.signing import Pin, signed_if_enrolled
from procedures.errors import ProcedureError
from procedures.reading import read_text

if TYPE_CHECKING:
    from benchapp.calculations.limits import Law
    from procedures.model import Procedure


@dataclass(frozen=True, slots=True)
class SubstitutedProcedure:
    """A procedure for one batch: ``made`` has the other material in it, ``master`` is as it was approved; a sentence for
    each thing that has to be looked at because of it."""

    master: Procedure
    made: Procedure
    substitution: Substitution
    to_look_at: tuple[str, ...]

    def approved(self, journal: Journal, reason: str, by: str, pin: Pin) -> SubstitutedProcedure:
        """The same with who answers for it, and why: a releaser, proved by PIN once anybody is enrolled. Raises
        CommandError."""
        if not reason.strip():
            raise CommandError(tr("Say why: {words}.", words=self.substitution.words))
        who = signed_if_enrolled(journal, by, pin, "releaser")
        proof = "pin" if people_in(journal).signing() else ""
        why = f"{reason.strip().rstrip('.')}."
        return replace(self, substitution=replace(self.substitution, by=who, reason=why, proof=proof))


def shelf_names(folder: Path) -> tuple[str, ...]:
    """What may take an ingredient's place: everything on the workshop's shelf of materials. Raises CommandError where it
    cannot be read."""
    from benchapp.recipes.errors import RecipeError
    from benchapp.recipes.material_shelf import read_shelf

    try:
        return tuple(str(x["name"]) for x in read_shelf(folder).entries.values())
    except RecipeError as error:
        raise CommandError(str(error)) from error


def substituted(procedure: Procedure, old: str, new: str, folder: Path, law: Law) -> SubstitutedProcedure:
    """The procedure with the material ``new`` of the shelf in the line of ``old``, same phase and share.

    Raises CommandError where one of them is not known, or where a rule of the trade or a ceiling that the procedure keeps
    speaks against it.
    """
    from benchapp.recipes.draft import LINE, Draft
    from benchapp.recipes.errors import RecipeError
    from benchapp.recipes.material_shelf import read_shelf
    from benchapp.recipes.swapping import described, material_name, swapped, to_look_at

    draft = Draft(procedure.text)
    lines = draft.list_of(LINE)
    wanted = old.strip().casefold()
    number = next(
        (n for n, x in enumerate(lines) if wanted == material_name(x).casefold()),
        None,
    )
    if number is None:
        names = ", ".join(dict.fromkeys(map(material_name, lines)))
        raise CommandError(
            tr(
                '{name} has no ingredient "{old}". It has: {names}.',
                name=procedure.name,
                old=old,
                names=names,
            )
        )
    try:
        material = read_shelf(folder).entry(new)
        text = swapped(draft, number, material).text
    except RecipeError as error:
        raise CommandError(str(error)) from error
    made = _read(procedure, text)
    _lawful(procedure, made, law)
    line = lines[number]
    said = Substitution(material_name(line), str(material["name"]), procedure.sha256)
    return SubstitutedProcedure(procedure, made, said, to_look_at(described(draft, line), material))


def _read(procedure: Procedure, text: str) -> Procedure:
    try:
        return read_text(text, f"{procedure.key}.toml").procedure
    except ProcedureError as error:
        raise CommandError(
            tr("With it {key} cannot be made: {error}", key=procedure.key, error=error)
        ) from error


def _lawful(master: Procedure, made: Procedure, law: Law) -> None:
    """Raise CommandError with every ceiling that is passed with the substitute and was not without it."""
    from benchapp.make.law import law_in_short

    *before, _ = law_in_short(master, law)
    *now, _ = law_in_short(made, law)
    passed = [sentence for sentence in now if sentence not in before]
    if passed:
        raise CommandError("\n".join((tr("With it a ceiling is passed:"), *passed)))
