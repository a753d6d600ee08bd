"""What a batch has to be before it may leave, from the procedure it was made by, as it stood then."""

from __future__ import annotations

from benchapp.events import MakeStarted
from benchapp.record.errors import Unspecified
from benchapp.record.facts import ReleaseFacts
from procedures.errors import ProcedureError


def release_specification(started: MakeStarted) -> tuple[ReleaseFacts, ...]:
    """What a batch has to be before it may leave, from the procedure as it stood. Raises Unspecified where this
    version can't read it: nothing is released by guess."""
    from benchapp.service.procedure_facts import facts_of_text

    try:
        return facts_of_text(started.procedure, started.procedure_text).release
    except ProcedureError as error:
        first = str(error).splitlines()[0]
        raise Unspecified(
            f"What {started.batch} has to be before it leaves cannot be read by this version ({first}). "
            "Look at the procedure in its record, and decide with the version it was made with."
        ) from error
