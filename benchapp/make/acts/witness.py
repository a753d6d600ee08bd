"""A second person's signature after a step that its maker may not yet do alone (21 CFR 211.101(c) as the model)."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts.base import Act, Context
from benchapp.make.inputs import Input, Sign
from benchapp.make.pictures import ListPicture
from benchapp.make.plan import Plan
from benchapp.make.view_model import ActView, Choice, Want
from benchapp.make.vocabulary import ChoiceKey, Verb
from procedures.formula import FormulaLine
from procedures.steps import Step, Weigh

#: The meaning of a witness's signature (21 CFR 11.50(a)(3)).
MEANING = tr_noop("seen and found right")
#: What matters most if it is wrong: what preserves, what acts, what bites.
CRITICAL_ROLES = frozenset({"preservative", "active", "conditioner", "acid", "base", "fragrance"})


def critical(line: FormulaLine) -> bool:
    """Whether a weighing of this line wants a second pair of eyes in training: by its role, or a ceiling."""
    return line.material.role in CRITICAL_ROLES or line.material.use_limit_percent is not None


def witness_of(step: Step, plan: Plan) -> tuple[Act, ...]:
    """The act that ends a step of a kind its maker is still learning; a weighing only where something critical is in it."""
    if step.kind not in plan.witness:
        return ()
    lines: tuple[str, ...] = ()
    if isinstance(step, Weigh):
        by_key = {x.key: x for x in plan.procedure.formula.lines}
        lines = tuple(by_key[k].name for k in step.lines if critical(by_key[k]))
        if not lines:
            return ()
    return (Witness("witness", step, lines=lines),)


@dataclass(frozen=True)
class Witness(Act):
    """Somebody else, who is no helper, looks and signs with their own PIN."""

    lines: tuple[str, ...] = ()

    @property
    def brief(self) -> str:
        """A second person."""
        return tr("A second person signs")

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Only another enrolled person's proven signature."""
        started = context.state.started
        if not isinstance(given, Sign) or not given.proof or started is None:
            return []
        if given.who == started.maker or given.role not in ("maker", "releaser"):
            return []
        signed = ev.Signed(
            at_s=context.now_s,
            step=self.step.key,
            who=given.who,
            meaning=MEANING,
            role=given.role,
            proof=given.proof,
        )
        return [signed, self.finish(context)]

    def act_view(self, context: Context) -> ActView:
        """What to look at, and a place to sign."""
        return ActView(
            tr("Call a second person to look and sign."),
            not_yet=(tr("Somebody else than the maker, and no helper in training."),),
            note=tr("Containers, lots, weights: are they the ones the record names?"),
            picture=ListPicture(self.lines, 0) if self.lines else None,
            choices=(Choice(ChoiceKey.SIGN, tr("Sign as second person"), serious=True, sign=MEANING),),
            want=Want(Verb.SIGN),
        )
