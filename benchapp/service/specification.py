"""The facts of the procedure a batch was made by, as it stood then; what it has to be before it may leave among them."""

from __future__ import annotations

from benchapp.events import MakeStarted
from benchapp.foundation.language import tr
from benchapp.record.errors import Unspecified
from benchapp.record.facts import ProcedureFacts
from procedures.errors import ProcedureError


def facts_as_made(started: MakeStarted) -> ProcedureFacts:
    """The facts of a make's procedure, its release specification among them. Raises Unspecified where this
    version can't read it: nothing is released by guess."""
    from benchapp.service.procedure_facts import facts_of_text

    try:
        return facts_of_text(started.procedure, started.procedure_text)
    except ProcedureError as error:
        first = str(error).splitlines()[0]
        raise Unspecified(
            tr(
                "What {batch} has to be before it leaves cannot be read by this version ({first}). "
                "Look at the procedure in its record, and decide with the version it was made with.",
                batch=started.batch,
                first=first,
            )
        ) from error
