"""What every part of a pour knows: the line, its target, what is on the scale, and what a weighing becomes."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import ClassVar

from benchapp import events as ev
from benchapp.calculations.overpour import Remedies
from benchapp.foundation.band import Band, Target
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Act, Context
from benchapp.make.acts.difference import Difference
from benchapp.make.acts.lot import parted
from benchapp.make.acts.pan import REPEAT_DIVISIONS, agreement_g, pan_is_empty
from benchapp.make.acts.taking import Taking
from benchapp.make.remedies import worked_out
from benchapp.make.vocabulary import Stage

#: What may fall into a vessel after its weight was taken, in grams (common practice, no source).
LATE_DROPS_G = 0.3

#: Where a pour stands while there is too much of it.
OVER = (Stage.REMEDY, Stage.REMOVE)
#: Beyond this many times its margin, a line is far off.
FAR = 5.0


@dataclass(frozen=True)
class PourLine(Act):
    """``line`` into ``vessel`` on the scale ``device`` ("" by hand)."""

    #: Whether an over-pour is worked out against the whole formula; not where the pour is itself a remedy.
    whole_formula: ClassVar[bool] = True

    line: str = ""
    vessel: str = ""
    device: str = ""
    checked: bool = False

    @property
    def devices(self) -> tuple[str, ...]:
        """The scale."""
        return (self.device,) if self.device else ()

    @property
    def brief(self) -> str:
        """Weighing."""
        return tr("Weigh it")

    def target(self, context: Context) -> Target:
        """What is to be weighed, as planned or as a remedy revised it."""
        return context.state.revised.get(self.line) or context.plan.weighings[self.line].target

    def name(self, context: Context) -> str:
        return context.plan.line_name(self.line)

    def taking(self, context: Context) -> Taking:
        """How the weight as it rests is taken: by itself within the band."""
        band, means = self.target(context).band, context.progress.stage == Stage.FIRST
        return Taking(
            context, self.device, lambda gross: band.holds(context.net_g(self.device, gross)), means
        )

    def fits(self, context: Context, still: float, expected: float) -> bool:
        """Whether an untouched vessel still stands there: a little noise, and steam where it is hot."""
        account = context.state.ledger.of(self.vessel)
        noise = REPEAT_DIVISIONS * context.division_g(self.device)
        steam = 0.02 * account.content_g if account.heated else 0.0
        return expected - noise - steam <= still <= expected + noise

    def changed(self, context: Context, still: float) -> Difference | None:
        """How what came back differs from what was lifted, None where it weighs the same.

        The same is what two weighings of an untouched vessel may differ by, and no more than this line may be off. Where
        too much was poured, what is taken out may be taken out beside the scale: it may be lighter by all that was.
        """
        base = context.base_g(self.device)
        least, most = context.state.stood_g.get(self.device, (base, base))
        division = context.division_g(self.device)
        allowed = min(
            agreement_g(division, still), max(REPEAT_DIVISIONS * division, self.target(context).margin_g)
        )
        floor = min(base, least) if context.progress.stage in OVER else least
        if Band(floor - allowed, most + allowed).holds(still):
            return None
        poured = max(exact(least - base), 0.0)
        return Difference(self, context, self.vessel, self.device, least, most, still, self.line, poured)

    def misfit(self, context: Context, still: float) -> Difference | None:
        """How the vessel differs from what the book has, before anything is poured; None where it fits."""
        expected = context.state.ledger.of(self.vessel).gross_g
        if expected is None or self.fits(context, still, expected):
            return None
        return Difference(self, context, self.vessel, self.device, expected, expected, still)

    def late_drop_of(self, context: Context, still: float) -> ev.WeightTaken | None:
        """The weighing before, where a little more lies in the vessel than was booked and nothing was done since: that
        belongs to it, and nothing is asked. Where the scale or the program was away since, nobody saw whether something was."""
        before = [w for taken in context.state.weights.values() for w in taken if w.vessel == self.vessel]
        last = max(reversed(before), key=lambda w: w.at_s, default=None)
        expected = context.state.ledger.of(self.vessel).gross_g
        most = max(LATE_DROPS_G, 10 * context.division_g(self.device))
        if (
            last is None
            or expected is None
            or last.step != self.step.key
            or self._was_away(context, last.at_s)
        ):
            return None
        return last if 0 < still - expected <= most else None

    def _was_away(self, context: Context, since_s: float) -> bool:
        """Whether its scale has not been watched all the time since."""

        def unwatched(e: ev.Event) -> bool:
            lost = isinstance(e, ev.DeviceLost | ev.ScaleDoubted) and e.device == self.device
            return lost or isinstance(e, ev.MakeResumed)

        lately = itertools.takewhile(lambda e: e.at_s >= since_s, reversed(context.state.log))
        return any(map(unwatched, lately))

    def difference(self, context: Context) -> Difference | None:
        """What has to be asked about what stands on the scale now, None where all is as it should be."""
        still = context.still_g(self.device, 0.5)
        stage = context.progress.stage
        if still is None or not (
            stage in (Stage.FIRST, Stage.SPILL) or (stage in OVER and context.progress.lifted)
        ):
            return None
        if pan_is_empty(context, self.device, still, self.vessel):
            return None
        if context.progress.baseline_g is None:
            found = self.misfit(context, still)
            return None if found is not None and self.late_drop_of(context, still) is not None else found
        if context.progress.lifted:
            return self.changed(context, still)
        base = context.base_g(self.device)
        if not context.watch.scales[self.device].drop.fallen or still >= base - agreement_g(
            context.division_g(self.device), still
        ):
            return None
        return Difference(self, context, self.vessel, self.device, base, base, still, self.line)

    def in_doubt(self, context: Context, net: float) -> bool:
        """Whether it is in its band only if the scale crept by itself before the first drop."""
        band, crept = self.target(context).band, context.progress.crept_g
        return bool(crept) and band.holds(net) and not band.holds(net + crept)

    def back(self, context: Context, still: float) -> ev.Event:
        return ev.VesselReturned(
            at_s=context.now_s, vessel=self.vessel, device=self.device, gross_g=round(still, 3)
        )

    def removal(self, context: Context, removed: float) -> list[ev.Event]:
        target = self.target(context)
        taken = context.progress.taken_g or target.grams
        text = tr(
            "{name}: {taken:g} g where {high:g} g was the most; {removed:.3g} g removed as waste.",
            name=self.name(context),
            taken=taken,
            high=target.band.high,
            removed=removed,
        )
        return [
            ev.RemedyChosen(
                at_s=context.now_s, step=self.step.key, act=self.key, line=self.line,
                remedy=ev.Remedy.REMOVE, reason="",
            ),
            ev.MaterialRemoved(
                at_s=context.now_s, step=self.step.key, line=self.line, vessel=self.vessel,
                removed_g=round(removed, 4),
            ),
            self.deviation(context, ev.Grade.NOTE, tr_noop("over-pour removed"), text),
        ]  # fmt: skip

    def thing(self, context: Context) -> str:
        """What is poured: the line itself, or what it was mixed into."""
        return self.line

    def taken(self, context: Context, net: float, gross: float | None, source: ev.Source) -> list[ev.Event]:
        """The weighing, for each line that is in what was weighed, and each lot it came from."""
        target = self.target(context)
        measured = source is ev.Source.MEASURED
        lot = context.state.lots.get(self.line)
        taken = ev.WeightTaken(
            at_s=context.now_s, step=self.step.key, act=self.key, line=self.line, vessel=self.vessel,
            target_g=target.grams, low_g=target.band.low, high_g=target.band.high, net_g=net,
            gross_g=None if gross is None else round(gross, 3), source=source,
            lot=lot.lot if lot else "",
            device=self.device if measured else "", checked=self.checked and measured,
            crept_g=context.progress.crept_g if measured else 0.0,
        )  # fmt: skip
        return parted(taken, context.progress.lots_before)

    def out_of_band(self, context: Context, net: float, reason: str) -> ev.Event:
        target = self.target(context)
        band = target.band
        found = self.remedies(context, net) if band.above(net) else None
        grave = abs(net - target.grams) > FAR * target.margin_g or (
            found is not None and bool(found.accept.why_not)
        )
        grade = ev.Grade.MAJOR if grave else ev.Grade.MINOR
        text = tr(
            "{name}: {net:g} g, band {low:g} to {high:g} g. {reason}",
            name=self.name(context),
            net=net,
            low=band.low,
            high=band.high,
            reason=reason,
        ).strip()
        return self.deviation(context, grade, tr_noop("weight out of band"), text)

    def unfinished(self, context: Context) -> list[ev.Event]:
        """What is in already, as the scale shows it, or showed it when the vessel was lifted: it is drawn from its lot. Nothing
        where the scale is in doubt, or what stands on it."""
        if self.device in context.state.doubted or self.difference(context) is not None:
            return []
        gross = context.gross_g(self.device) if self.device else None
        if context.progress.lifted:
            gross = context.state.stood_g.get(self.device, (0.0, gross))[1]
        if gross is None or context.progress.baseline_g is None:
            return []
        net = context.net_g(self.device, gross)
        if net <= REPEAT_DIVISIONS * context.division_g(self.device):
            return []
        off = self.out_of_band(context, net, tr("Left in the middle of the pour."))
        within = self.target(context).band.holds(net)
        return [*([] if within else [off]), *self.taken(context, net, gross, ev.Source.MEASURED)]

    def remedies(self, context: Context, net_g: float | None = None) -> Remedies | None:
        """All three worked out, for ``net_g`` or what the scale came to rest at; None for a pour that is itself a
        remedy or a replacement."""
        if not self.whole_formula or self.line not in context.plan.weighings:
            return None
        return worked_out(context, self.line, context.progress.taken_g or 0.0 if net_g is None else net_g)
