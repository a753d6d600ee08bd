"""A rehearsal as something that can be guided: lock-step underneath, any pace on top."""

from __future__ import annotations

import time
from dataclasses import replace

from benchapp.make.next_move import with_news
from benchapp.make.view_model import ViewModel
from benchapp.rehearsal.run import Rehearsal
from benchapp.runtime.runner import Runner
from benchapp.runtime.session import Answer

#: Simulated seconds a second for a rehearsal that somebody watches.
WATCHED_PACE = 60.0
#: Simulated seconds a second where something goes wrong: time to see it and to think.
SCENARIO_PACE = 5.0
#: What has happened is said for at least so many real seconds, also where the make has gone on meanwhile.
NEWS_S = 8.0


class RehearsalRunner(Runner):
    """Beats a rehearsal at ``pace`` simulated seconds a second; 0: as fast as the machine goes. ``helps``: whether
    it offers an answer of its own where something has gone wrong; not where a person is to show what they can."""

    def __init__(self, rehearsal: Rehearsal, pace: float, helps: bool = True) -> None:
        super().__init__(rehearsal.session)
        self._helps = helps
        self._rehearsal = rehearsal
        self._pace = pace
        self._due = time.monotonic()
        self._news, self._news_until_s = "", 0.0

    def move_on(self) -> ViewModel:
        """One step of the lock-step."""
        director = self._rehearsal.director
        leading_in = director is not None and director.leading_in
        before = self._rehearsal.bench.now_s
        view = self._rehearsal.step()
        if leading_in:
            return self._lead_in(view)
        if director is not None and not view.over:
            happened = self._happened(director.says)
            view = replace(view, act_view=with_news(view.act_view, happened, director.stops))
        if self._pace > 0:
            self._due += (self._rehearsal.bench.now_s - before) / self._pace
            self._due = max(
                self._due, time.monotonic() - 1.0
            )  # a slow machine is slow; it does not race after
        return view

    def _happened(self, says: str) -> str:
        now = self._rehearsal.bench.now_s
        if says and says != self._news:
            self._news, self._news_until_s = says, now + NEWS_S * self._pace
        return self._news if says or now < self._news_until_s else ""

    def _lead_in(self, view: ViewModel) -> ViewModel:
        """Before a scenario begins the simulated hands answer at once, as fast as the machine goes."""
        said = self._rehearsal.answers.at(view)
        if said is not None:
            self.session.put(said.given(self.session.clock(), view.prompt))
        self._due = time.monotonic()
        return self.session.view()

    def spare_s(self) -> float:
        """Until the next beat is due."""
        return max(self._due - time.monotonic(), 0.0) if self._pace > 0 else 0.0

    def own_answer(self, view: ViewModel) -> Answer | None:
        """What the hands would say."""
        if not self._helps and self._rehearsal.director is not None:
            return None
        return self._rehearsal.answers.at(view)
