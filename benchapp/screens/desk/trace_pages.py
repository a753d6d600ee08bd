"""Where a batch came from and went, and where a lot went: what is drawn of a trace."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_n, tr_noop, translated
from benchapp.screens.desk.flow_page import Flow, FlowFacts, FlowNode, FlowPage
from benchapp.screens.desk.lot_flow_page import BatchBranch, BottlesHeld, LotFlow, LotFlowPage
from benchapp.screens.desk.sheet_table import sheet_table
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import leaf, product_named, short_day
from benchapp.screens.display.phrases import held_together, standing_of
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.text_line import TextLine
from benchapp.service.wording import amount

if TYPE_CHECKING:
    from benchapp.record.batch_line import BatchLine
    from benchapp.record.tracing import BackwardTrace, BatchReached, Dispatch, ForwardTrace
    from benchapp.screens.navigator import Navigator
    from benchapp.screens.widgets.button import ButtonSpec
    from benchapp.screens.widgets.page_base import Page
    from benchapp.service.matter import Sheet

BATCH, HERE = "the batch", "here"
WENT_TO = tr_noop("went to")


def _numbers(numbers: Sequence[int]) -> str:
    """Containers as 1–3, 5."""
    from benchapp.record.tracing import ranges  # the first frame does not wait for the database

    return ranges(numbers)


def trace_page(
    nav: Navigator,
    title: str,
    found: tuple[FlowFacts | LotFlow | None, Sheet],
    back: Callable[[], None],
    number: int = 0,
) -> Page:
    """The drawing, with the way to the table; the table where the drawing has no room or it takes words."""
    facts, sheet = found

    def table(number: int, back: Callable[[], None]) -> Page:
        paging = Paging(back, lambda to: nav.show(table(to, back)), number)
        return sheet_table(nav.sizes, title, sheet, paging)

    def drawn(number: int = 0) -> None:
        nav.show(trace_page(nav, title, found, back, number))

    def listed() -> None:
        nav.show(table(0, drawn))

    more: list[ButtonSpec] = [(tr("As a list"), listed, "plain")]
    if isinstance(facts, LotFlow):
        return LotFlowPage(nav.sizes, facts, Paging(back, drawn, number), more)
    if facts is not None:
        page = FlowPage(nav.sizes, title, facts, [("Back", back, "plain"), *more])
        if page.drawn:
            return page
    return table(0, back)


def flow_of_batch(found: BackwardTrace) -> FlowFacts | None:
    """From its lots into the batch, and on to whoever has its containers; None where something was corrected or came by
    way of another batch: that takes words."""
    b = found.batch
    if found.corrections or b.rehearsal or any(i.batch != b.batch for i in found.inputs):
        return None
    lots = [(f"{n}", i, i.use.lot or tr("lot unknown")) for n, i in enumerate(found.inputs)]
    most = max((i.use.used for i in found.inputs if i.use.unit == "g"), default=1.0) or 1.0
    nodes = tuple(
        FlowNode(
            key, i.lot.name if i.lot else i.use.material, figure=amount(i.use.used, i.use.unit), beside=lot
        )
        for key, i, lot in lots
    )
    gone = _gone(found.sent, b, f"{BATCH} ")
    here = found.here
    went = [node for node, _ in gone] + ([FlowNode(HERE, tr("still here"), bottles(here))] if here else [])
    mark, state = standing_of(b)
    batch = FlowNode(
        BATCH, product_named(b.procedure), f"{' '.join(leaf(b.wall))}, {translated(state)}", mark
    )
    flows = [Flow(key, BATCH, i.use.used / most if i.use.unit == "g" else 0.0) for key, i, _ in lots]
    flows += [Flow(BATCH, node.key, share) for node, share in gone] + [Flow(BATCH, HERE, 0.1)]
    return FlowFacts(
        (tr("ingredient and its lot"), "batch", tr(WENT_TO)),
        (nodes, (batch,), tuple(went) or _nobody()),
        tuple(flows),
    )


def flow_of_lot(found: ForwardTrace, standing: tuple[str, str]) -> LotFlow | None:
    """From the lot into the batches that hold something of it, and on to whoever has them; None where it takes words. ``standing``: the mark and the
    words of whether it may be used."""
    lot = found.lot
    if found.corrections or found.made or found.unknown or not found.reached:
        return None
    stands = tr(
        "{left} of {quantity} left", left=amount(lot.left, lot.unit), quantity=amount(lot.quantity, lot.unit)
    )
    if lot.on_tap:
        stands = tr("on tap")
    urgent = sorted(found.reached, key=lambda r: (not _apart(r), not r.sent))
    lines = tuple(_kept_apart(r) for r in urgent if _apart(r))
    mark, state = standing
    said = ", ".join(
        part
        for part in (
            tr("{name} from {supplier}", name=lot.name, supplier=lot.supplier) if lot.supplier else lot.name,
            tr("their lot {lot}", lot=lot.supplier_lot) if lot.supplier_lot else "",
            lot.why,
            stands,
        )
        if part
    )
    title = tr("Lot {lot}: {state}", lot=lot.lot, state=state)
    if lines and mark != "bad":  # nothing green stands over bottles that are not to be sold
        title, mark = tr("Lot {lot}: {state}, a batch rejected", lot=lot.lot, state=state), ""
    return LotFlow(
        held_together(said), _whom(found), tuple(_branch(r, lot.unit) for r in urgent), title, mark, lines
    )


def _apart(r: BatchReached) -> bool:
    """Whether containers of it are here that must not be sold."""
    return bool(r.here) and r.batch.decision == "rejected"


def _kept_apart(r: BatchReached) -> TextLine:
    """Which containers of it must not be sold."""
    said = tr(
        "Do not sell {bottles} of {product}, {day}: rejected.",
        bottles=bottles(r.here),
        product=product_named(r.batch.procedure),
        day=short_day(r.batch.wall),
    )
    return TextLine(said, True, d.CORAL, "bad")


def _whom(found: ForwardTrace) -> str:
    """In how many batches it is, and who has some of them."""
    names = dict.fromkeys(s.to for r in found.reached for s in r.sent)
    n = len(found.reached)
    if names:
        return tr_n(
            "It is in one batch and went to {names}.", "It is in {n} batches and went to {names}.", n=n,
            names=_listed(list(names)),
        )  # fmt: skip
    return tr_n("It is in one batch, and has not left.", "It is in {n} batches, and none has left.", n=n)


def _listed(names: Sequence[str]) -> str:
    """As one says them."""
    if len(names) == 1:
        return names[0]
    return tr("{names} and {last}", names=", ".join(names[:-1]), last=names[-1])


def _branch(r: BatchReached, unit: str) -> BatchBranch:
    b = r.batch
    mark, state = standing_of(b)
    places = [BottlesHeld(s.to, bottles(s.containers), _sent_on(s.on, b.wall)) for s in r.sent]
    if r.here:
        rejected = b.decision == "rejected"
        places.append(BottlesHeld(tr("still here"), bottles(r.here), tr("keep apart") if rejected else ""))
    used = amount(sum(u.used for u in r.uses), unit)
    standing = f"{' '.join(leaf(b.wall))}, {translated(state)}"
    return BatchBranch(product_named(b.procedure), used, standing, mark, tuple(places))


def _sent_on(on: str, made: str) -> str:
    """When some left, with its year where that is not the one in which it was made."""
    return short_day(on) if on[:4] == made[:4] else _whole_day(on)


def _whole_day(on: str) -> str:
    """With its year, never broken."""
    return " ".join(leaf(on)).replace(" ", "\u00a0")


def bottles(numbers: Sequence[int]) -> str:
    """Containers as bottle 4, bottles 1 to 3, or bottles 1–3, 5."""
    if len(numbers) == 1:
        return tr("bottle {n}", n=numbers[0])
    if numbers[-1] - numbers[0] == len(numbers) - 1:
        return tr("bottles {first} to {last}", first=numbers[0], last=numbers[-1])
    return tr("bottles {numbers}", numbers=_numbers(numbers))


def _nobody() -> tuple[FlowNode, ...]:
    return (FlowNode(HERE, tr("nobody yet")),)


def _gone(sent: tuple[Dispatch, ...], b: BatchLine, before: str) -> list[tuple[FlowNode, float]]:
    """A node for each dispatch note, with the share of all containers."""
    return [
        (
            FlowNode(
                f"{before}{s.n}",
                s.to,
                ", ".join(
                    x
                    for x in (
                        bottles(s.containers),
                        _whole_day(s.on),
                    )
                    if x
                ),
            ),
            len(s.containers) / max(b.containers, 1),
        )
        for s in sent
    ]
