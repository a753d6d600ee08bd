"""Where a batch came from and went, and where a lot went: what is drawn of a trace."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.screens.desk.flow_page import Flow, FlowFacts, FlowNode, FlowPage
from benchapp.screens.desk.sheet_table import sheet_table
from benchapp.screens.display.dates import leaf, product_named
from benchapp.screens.display.phrases import standing_of
from benchapp.screens.widgets.pager import Paging
from benchapp.service.wording import amount

if TYPE_CHECKING:
    from benchapp.record.batch_line import BatchLine
    from benchapp.record.tracing import BackwardTrace, Dispatch, ForwardTrace
    from benchapp.screens.navigator import Navigator
    from benchapp.screens.widgets.page_base import Page
    from benchapp.service.matter import Sheet

BATCH, LOT, HERE = "the batch", "the lot", "here"
WENT_TO = tr_noop("went to: container, day, note")


def _numbers(numbers: Sequence[int]) -> str:
    """Containers as 1–3, 5."""
    from benchapp.record.tracing import ranges  # the first frame does not wait for the database

    return ranges(numbers)


def trace_page(
    nav: Navigator, title: str, found: tuple[FlowFacts | None, Sheet], back: Callable[[], None]
) -> Page:
    """The drawing, with the way to the table; the table where the drawing has no room or it takes words."""
    facts, sheet = found

    def table(number: int, back: Callable[[], None]) -> Page:
        paging = Paging(back, lambda to: nav.show(table(to, back)), number)
        return sheet_table(nav.sizes, title, sheet, paging)

    def listed() -> None:
        nav.show(table(0, lambda: nav.show(trace_page(nav, title, found, back))))

    if facts is not None:
        page = FlowPage(nav.sizes, title, facts, Paging(back), [(tr("As a list"), listed, "plain")])
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
            key, f"{i.lot.name if i.lot else i.use.material} · {lot}", figure=amount(i.use.used, i.use.unit)
        )
        for key, i, lot in lots
    )
    gone = _gone(found.sent, b, f"{BATCH} ")
    here = _still_here(b, found.sent)
    went = [node for node, _ in gone] + (
        [FlowNode(HERE, tr("still here: no. {numbers}", numbers=here))] if here else []
    )
    mark, state = standing_of(b)
    batch = FlowNode(
        BATCH, product_named(b.procedure), f"{' '.join(leaf(b.wall))}, {translated(state)}", mark
    )
    flows = [Flow(key, BATCH, i.use.used / most if i.use.unit == "g" else 0.0) for key, i, _ in lots]
    flows += [Flow(BATCH, node.key, share) for node, share in gone] + [Flow(BATCH, HERE, 0.1)]
    return FlowFacts(
        (tr("came from, and its lot"), "batch", tr(WENT_TO)),
        (nodes, (batch,), tuple(went) or _nobody()),
        tuple(flows),
    )


def flow_of_lot(found: ForwardTrace) -> FlowFacts | None:
    """From the lot into the batches that hold something of it, and on to whoever has them; None where it takes words."""
    lot = found.lot
    if found.corrections or found.made or found.unknown or not found.reached:
        return None
    stands = tr(
        "{left} of {quantity} left", left=amount(lot.left, lot.unit), quantity=amount(lot.quantity, lot.unit)
    )
    if lot.on_tap:
        stands = tr("on tap")
    source = "\n".join(
        part
        for part in (
            tr("our lot {lot}", lot=lot.lot),
            tr("from {supplier}", supplier=lot.supplier) if lot.supplier else "",
            tr("their lot {lot}", lot=lot.supplier_lot) if lot.supplier_lot else "",
            translated(lot.state),
            lot.why,
            stands,
        )
        if part
    )
    used = {r.batch.batch: sum(u.used for u in r.uses) for r in found.reached}
    most = max(used.values()) or 1.0
    batches, went, flows = [], [], []
    for r in found.reached:
        b = r.batch
        mark, state = standing_of(b)
        said = f"{' '.join(leaf(b.wall))}, {translated(state)}"
        batches.append(
            FlowNode(b.batch, product_named(b.procedure), said, mark, amount(used[b.batch], lot.unit))
        )
        flows.append(Flow(LOT, b.batch, used[b.batch] / most))
        gone = _gone(r.sent, b, f"{b.batch} ")
        here = (
            FlowNode(f"{b.batch} {HERE}", tr("still here: no. {numbers}", numbers=_numbers(r.here)))
            if r.here
            else None
        )
        went += [node for node, _ in gone] + ([here] if here is not None else [])
        flows += [Flow(b.batch, node.key, share) for node, share in gone]
        flows += [Flow(b.batch, here.key, 0.1)] if here is not None else []
    columns = ((FlowNode(LOT, lot.name, source),), tuple(batches), tuple(went) or _nobody())
    return FlowFacts(("lot", tr("went into"), tr(WENT_TO)), columns, tuple(flows))


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
                        tr("no. {numbers}", numbers=_numbers(range(s.first, s.last + 1))),
                        " ".join(leaf(s.on)),
                        tr("note {note}", note=s.note).replace(" ", "\u00a0") if s.note else "",
                    )
                    if x
                ),
            ),
            (s.last - s.first + 1) / max(b.containers, 1),
        )
        for s in sent
    ]


def _still_here(b: BatchLine, sent: tuple[Dispatch, ...]) -> str:
    gone = {n for s in sent for n in range(s.first, s.last + 1)}
    here = [n for n in range(1, b.containers + 1) if n not in gone]
    return _numbers(here) if here else ""
