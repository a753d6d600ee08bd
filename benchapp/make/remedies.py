"""Too much in the vessel: the make as it stands, put to the sums, and what each remedy brings about."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.calculations.overpour import BatchShare, Keep, OverpourLimits, Remedies, remedies
from benchapp.calculations.tolerance import weighing_band
from benchapp.foundation.band import Band
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Context
from benchapp.make.law_now import in_the_end, passed_now
from benchapp.make.plan import Weighing

#: A vessel may be filled to this share of its brim (common practice, no source).
FULL_SHARE = 0.8
#: The key under which the whole batch stands beside its lines.
WHOLE = ""


def worked_out(context: Context, line: str, net_g: float) -> Remedies:
    """The three remedies for a line that came to rest at ``net_g`` grams."""
    weighed = dict(context.state.weighed_g)
    weighed[line] = net_g
    shares = [
        BatchShare(
            key=key,
            name=w.line.name,
            percent=w.line.percent,
            target_g=context.state.revised.get(key, w.target).grams,
            readability_g=w.division_g,
            weighed_g=weighed.get(key),
            vessel=w.vessel,
            may_add=key == line or key not in weighed or _still_in_its_vessel(context, key, w),
            ceiling_percent=w.line.limit_percent,
            stock_g=left_of_its_lot(context, key),
            tolerance_percent=w.line.within_percent,
            kettle=w.line.kettle,
        )
        for key, w in context.plan.weighings.items()
    ]
    vessels = context.plan.procedure.vessels
    room = {k: FULL_SHARE * v.capacity_ml for k, v in vessels.items()}  # 1 g/ml, on the safe side for oils
    limits = OverpourLimits(largest_batch_g=context.plan.procedure.batch_g.high, vessel_g=room)
    # Its suppliers' limits are among the ceilings asked for here, and with the water that is lost.
    return remedies(shares, line, limits, passed_now(context, in_the_end(context) | {line: net_g}))


def left_of_its_lot(context: Context, line: str) -> float | None:
    """What the lot in hand for a line still holds by the book, in grams; None where no lot is known for it yet.

    What was weighed out of the lot since the store was asked is taken off.
    """
    taken = context.state.lots.get(line)
    lot = next((x for x in context.watch.lots if taken is not None and x.lot == taken.lot), None)
    if lot is None:
        return None
    since = context.state.log[context.watch.lots_after :]
    taken_g = (
        w.net_g for took in context.state.weights.values() for w in took if w.lot == lot.lot and w in since
    )
    return round(lot.left_g - sum(taken_g), 4)


def _still_in_its_vessel(context: Context, line: str, w: Weighing) -> bool:
    """More may only go in where the line still lies as it was weighed: not yet heated, moved or combined, and not
    in a pot that is in the bath just now."""
    if w.vessel in context.state.tied or line in context.plan.by_jug:
        return False
    account = context.state.ledger.of(w.vessel)
    there = account.contents_g.get(line, 0.0)
    return there > 0.5 * context.state.weighed_g.get(line, 0.0) and not account.heated


def keep_formula(context: Context, keep: Keep | MadeGood, batch_from_g: float) -> list[ev.Event]:
    """The events that make more of the same: new targets, and what is still to be added to earlier lines."""
    targets = tuple(
        (key, grams, b.low, b.high)
        for key, grams in keep.targets_g.items()
        for b in (band_of(context, key, grams),)
    )
    additions = tuple((key, grams) for key, grams in keep.additions_g.items() if grams > 0)
    why = tr(
        "kept the formula: {batch_from_g:g} g became {batch_g:g} g",
        batch_from_g=batch_from_g,
        batch_g=keep.batch_g,
    )
    return [
        ev.TargetsRevised(
            at_s=context.now_s, why=why, batch_g=keep.batch_g, targets=targets, additions=additions,
            step=context.state.step,
        )
    ]  # fmt: skip


def band_of(context: Context, key: str, grams: float) -> Band:
    """The band of a line at another target, in grams."""
    w = context.plan.weighings[key]
    limit = w.line.limit_percent
    ceiling = None if limit is None else max(limit * grams / w.line.percent, grams)
    return weighing_band(grams, w.line.material.role, w.division_g, w.line.tolerance_percent, ceiling).band


def again_key(line: str, round_number: int) -> str:
    """The act that pours what a remedy put on top of a line."""
    return f"pour {line} again {round_number}"


def _on_its_way_g(context: Context) -> dict[str, float]:
    """What earlier remedies put on top of lines and nobody has poured yet, in grams."""
    out: dict[str, float] = {}
    for step, rounds in context.state.additions.items():
        for n, additions in enumerate(rounds, 1):
            for line, grams in additions:
                if (step, again_key(line, n)) not in context.state.acts_done:
                    out[line] = out.get(line, 0.0) + grams
    return out


@dataclass(frozen=True, slots=True)
class MadeGood:
    """What keeps the formula after a loss: the batch as it becomes, what goes on top, and new targets; grams."""

    batch_g: float
    additions_g: dict[str, float]
    targets_g: dict[str, float]
    why_not: tuple[str, ...]


def made_good(context: Context, weighed_g: dict[str, float], lost: ev.MassLost) -> MadeGood | None:
    """How the formula is kept with ``weighed_g`` grams of the lines left after a loss; None where every line that was
    lost is still in its band, or nobody knows which was.

    What still lies as it was weighed is filled up; where that can't be, the batch becomes as much smaller. The line that
    is being poured reaches its target anyway, and so does what earlier remedies have yet to put on top.
    """
    coming = _on_its_way_g(context)
    weighed_g = {k: g + coming.get(k, 0.0) for k, g in weighed_g.items() if k != lost.pouring}
    now = {k: context.state.revised.get(k, w.target) for k, w in context.plan.weighings.items()}
    short = [k for k, _ in lost.lines if k in weighed_g and k in now and now[k].band.below(weighed_g[k])]
    if not short:
        return None
    fixed = [k for k in short if not _still_in_its_vessel(context, k, context.plan.weighings[k])]
    smaller = _smaller(context, {k: weighed_g[k] / now[k].grams for k in fixed})
    batch_g = smaller[WHOLE] * (context.state.batch_g or context.plan.batch_g)
    over = tuple(
        tr(
            "{weighed_g:g} g of {line_name} are in, too much for {batch_g:.1f} g.",
            weighed_g=weighed_g[k],
            line_name=context.plan.line_name(k),
            batch_g=batch_g,
        )
        for k, target in now.items()
        if k in weighed_g and weighed_g[k] > smaller[k] * target.grams + target.margin_g
    )
    additions = {
        k: exact(smaller[k] * now[k].grams - weighed_g[k])
        for k in short
        if k not in fixed and smaller[k] * now[k].grams > weighed_g[k]
    }
    done = context.state.weighed_g
    targets = {k: smaller[k] * t.grams for k, t in now.items() if k not in done and smaller[k] < 1.0}
    return MadeGood(batch_g, additions, targets, over)


def _smaller(context: Context, left: dict[str, float]) -> dict[str, float]:
    """To what share of itself each line comes down, and the WHOLE batch, so that the ``left`` shares of some lines are all
    there may be of them. Where they are one kettle's, that kettle is made smaller, and what goes into the whole batch by as
    much as the kettles together."""
    share = min(left.values(), default=1.0)
    weighings = context.plan.weighings
    kettles = {weighings[k].line.kettle for k in left}
    kettle = kettles.pop() if len(kettles) == 1 else 0
    if not kettle:
        return {WHOLE: share, **dict.fromkeys(weighings, share)}
    split = [w.line for w in weighings.values() if w.line.kettle]
    lost = (1.0 - share) * sum(x.percent for x in split if x.kettle == kettle)
    by_kettle = {kettle: share, 0: 1.0 - lost / sum(x.percent for x in split)}
    return {WHOLE: by_kettle[0], **{k: by_kettle.get(w.line.kettle, 1.0) for k, w in weighings.items()}}


def offer(found: Remedies) -> tuple[str, ...]:
    """What speaks against each, in sentences for the maker."""
    out = [tr("Accept: {s}", s=s) for s in found.accept.why_not]
    out += [tr("Remove: {s}", s=s) for s in found.remove.why_not]
    return (*out, *(tr("A larger batch: {s}", s=s) for s in found.keep.why_not[:2]))


def offer_to_keep(keep: Keep | MadeGood) -> tuple[str, ...]:
    """What keeping the formula takes, or what speaks against it."""
    if keep.why_not:
        return tuple(tr("Keep the formula: {s}", s=s) for s in keep.why_not[:2])
    more = sum(keep.additions_g.values())
    return (
        tr(
            "Keep the formula: {more:.2f} g go on top of the others, the batch becomes {batch_g:.1f} g.",
            more=more,
            batch_g=keep.batch_g,
        ),
    )
