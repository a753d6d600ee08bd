"""What is to be done, as far as the plan fixes it: each step with its cautions, its acts and the waiting in it."""

from __future__ import annotations

from benchapp.make.acts.base import Act
from benchapp.make.acts.confirm import Cautions
from benchapp.make.acts.more import additions_of
from benchapp.make.acts.timed import Timed
from benchapp.make.acts.witness import Witness, witness_of
from benchapp.make.cautions import shown_for
from benchapp.make.plan import Plan
from benchapp.make.state import Progress, State
from benchapp.make.steps import acts_of
from procedures.steps import Step


class Agenda:
    """The steps of one make in their order, and what each is made of."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.steps: dict[str, Step] = {s.key: s for s in plan.procedure.steps}
        self.cautions = {k: shown_for(s, plan.procedure) for k, s in self.steps.items()}
        self.acts: dict[str, tuple[Act, ...]] = {k: self._acts(s) for k, s in self.steps.items()}
        #: By step: the waiting it surely takes, in seconds, and what it waits for that has no set time.
        self.waits = {
            k: (sum(x.sure_s for x in acts), next((x.open_end for x in acts if x.open_end), ""))
            for k, acts in self.acts.items()
        }
        self._by_key = {(s, a.key): a for s, acts in self.acts.items() for a in acts}

    def _acts(self, step: Step) -> tuple[Act, ...]:
        shown = self.cautions[step.key]
        acts = (*acts_of(step, self.plan), *witness_of(step, self.plan))
        if shown and acts:
            return (Cautions("cautions", step, cautions=shown), *acts)
        return acts

    def acts_now(self, step: str, state: State) -> tuple[Act, ...]:
        """The acts of a step, with what a remedy put on top of them: that is stirred in, and seen by a second person, too,
        unless they were at it before (a journal of an older program)."""
        on_top, acts = state.additions.get(step), self.acts[step]
        if not on_top:
            return acts
        own = len(acts)
        while own and isinstance(last := acts[own - 1], Timed | Witness) and not _begun(last, state):
            own -= 1
        return (*acts[:own], *additions_of(self.steps[step], on_top, self.plan), *acts[own:])

    def act(self, state: State) -> Act | None:
        """The act the maker is at."""
        progress = state.progress
        if not state.step or progress.step != state.step:
            return None
        found = self._by_key.get((progress.step, progress.act))
        if found is not None:
            return found
        return next((a for a in self.acts_now(progress.step, state) if a.key == progress.act), None)

    def of(self, progress: Progress) -> Act:
        """The planned act with that progress. Raises KeyError for one that a remedy put on top."""
        return self._by_key[progress.step, progress.act]


def _begun(act: Act, state: State) -> bool:
    here = (state.progress.step, state.progress.act)
    return (act.step.key, act.key) in state.acts_done | {here}
