"""The procedure's cautions in the form a view shows them."""

from __future__ import annotations

from benchapp.foundation.language import tr_noop
from benchapp.make.view_model import CautionNotice
from procedures.cautions import cautions_for
from procedures.model import Procedure
from procedures.steps import Step

#: Stands under every first aid, wherever it is shown.
ADVICE = tr_noop("Follow the supplier's safety data sheet and local rules; get medical advice.")


def shown_for(step: Step, procedure: Procedure) -> tuple[CautionNotice, ...]:
    """The cautions of a step, the serious ones first."""
    found = [
        CautionNotice(c.key, c.word, c.scheme, c.sign, c.text, c.first_aid, c.statements, c.serious)
        for c in cautions_for(step, procedure)
    ]
    return tuple(sorted(found, key=lambda c: not c.serious))
