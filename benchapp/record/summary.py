"""The first page of a record: what a person needs to judge a batch, from its record alone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, tr_n
from benchapp.record.batch_record import Record
from benchapp.record.documents.plain_text import clock, ended, minute, number, span
from benchapp.record.lines import RecordLine, SummaryLine
from benchapp.record.reconciliation import MassBalance
from benchapp.record.summary_afterwards import afterwards, verdict


def summary(r: Record) -> tuple[SummaryLine, ...]:
    """Everything on the first page, in the order a person asks for it."""
    return (*_batch(r), *_materials(r), *_course(r), *_product(r), *afterwards(r))


def version_words(r: Record) -> str:
    """Which approved version it was made by, behind the procedure's key; "" where nobody kept versions then."""
    return (
        ""
        if r.version is None
        else tr(", version {version}", version=r.version)
        if r.version
        else tr(", a version nobody had approved")
    )


def _batch(r: Record) -> Iterable[SummaryLine]:
    yield verdict(r)
    yield SummaryLine("Batch", tr("{batch}, code {code}", batch=r.batch, code=r.code))
    yield SummaryLine("Procedure", tr("{procedure}{version_words}, SHA-256 {procedure_sha256}…", procedure=r.procedure, version_words=version_words(r), procedure_sha256=r.procedure_sha256[:16]) + (tr("; repeats {again}", again=r.again) if r.again else ""))  # fmt: skip
    yield SummaryLine(tr("Made by"), tr("{maker}{how}, {date_time} to {clock}", maker=r.maker, how=tr(' ({role})', role=r.role) if r.role else '', date_time=minute(r.begun), clock=ended(r.ended, r.begun, seconds=False)))  # fmt: skip
    unchecked = [d["name"] for d in r.devices if not d["checked"]]
    text = (
        tr("not checked before this make: {names}", names=", ".join(unchecked))
        if unchecked
        else tr("each checked before this make")
    )
    yield SummaryLine("Devices", text if r.devices else tr("none recorded"), bool(unchecked))
    yield SummaryLine(tr("Line clearance"), *_cleared(r))


def _confirmed(found: Sequence[RecordLine], maker: str, before: bool) -> str:
    n, at = len(found), clock(found[-1].wall)
    if before:
        return tr_n(
            "before the make {n} statement confirmed by {maker}, last at {clock}",
            "before the make {n} statements confirmed by {maker}, last at {clock}",
            n=n, maker=maker, clock=at,
        )  # fmt: skip
    return tr_n(
        "after the make {n} statement confirmed by {maker}, last at {clock}",
        "after the make {n} statements confirmed by {maker}, last at {clock}",
        n=n, maker=maker, clock=at,
    )  # fmt: skip


def _cleared(r: Record) -> tuple[str, bool]:
    """What was confirmed about rooms, vessels and tools before and after."""
    before, after = ([x for x in r.confirmations if x.key == kind] for kind in ("prepare", "clean up"))
    said = [
        _confirmed(found, r.maker, is_before)
        for is_before, found in ((True, before), (False, after))
        if found
    ]
    return "; ".join(said) or tr("nothing confirmed"), not before


def _materials(r: Record) -> Iterable[SummaryLine]:
    w = r.weighings
    outside, unknown = [x.what for x in w if x.outside], [x.what for x in w if not x.lot_now]
    stated = sum(x.source == "stated" for x in w)
    how = tr(", {stated} of them typed", stated=stated) if stated else ""
    text = tr(
        "{weighings}{how}, outside the limits: {none}",
        weighings=tr_n("{n} weighing", "{n} weighings", n=len(w)),
        how=how,
        none=_none(outside),
    )
    yield SummaryLine("Weighings", text, bool(outside))
    text = tr(
        "{lots}; unknown: {names}",
        lots=tr_n("{n} lot", "{n} lots", n=sum(bool(x["lot"]) for x in r.lots)),
        names=", ".join(dict.fromkeys(unknown)) or tr("none"),
    )
    yield SummaryLine("Lots", text, bool(unknown))
    packed = ", ".join(
        tr(
            "{material}, lot {lot}: {pieces} ({spoiled} spoiled)",
            material=p["material"],
            lot=p["lot"],
            pieces=p["pieces"],
            spoiled=p["spoiled"],
        )
        for p in (x["stands"] for x in r.pieces)
    )
    yield SummaryLine(tr("Packaging lots"), packed or tr("none recorded"))
    fixed = len(r.corrections)
    yield SummaryLine(
        "Corrections",
        tr("{fixed}, each beside what it corrects", fixed=fixed) if fixed else "none",
        bool(fixed),
    )


def _course(r: Record) -> Iterable[SummaryLine]:
    for curve in r.curves:
        temps = [t for _, t in curve.points]
        yield SummaryLine(
            tr("Temperature, {vessel}", vessel=curve.vessel),
            tr("{number} to {number_2} °C", number=number(min(temps), 1), number_2=number(max(temps), 1)),
        )
    for k in r.kettles:
        yield SummaryLine(tr("Kettle {kettle}", kettle=k.kettle), k.words)
    for h in r.holds:
        planned = tr(" of {span} asked for", span=span(h["planned_s"])) if h["planned_s"] else ""
        short = bool(h["planned_s"]) and h["held_s"] < h["planned_s"]
        yield SummaryLine(
            tr("Held in band"),
            tr(
                "{span}{planned}: {step_title}",
                span=span(h["held_s"]),
                planned=planned,
                step_title=h["step_title"],
            ),
            short,
        )
    if r.batch_ph:
        last = r.batch_ph[-1]
        yield SummaryLine(
            "pH",
            tr(
                "{number} at last ({limits}), {readings}",
                number=number(last.now, 2),
                limits=_limits(last),
                readings=tr_n("{n} reading", "{n} readings", n=len(r.batch_ph)),
            ),
            last.outside,
        )


def _product(r: Record) -> Iterable[SummaryLine]:
    if r.product_g is not None and r.yield_percent is not None:
        low, high = r.yield_limits
        limits = (
            tr(", {number} to {number_2} % expected", number=number(low), number_2=number(high))
            if low is not None and high is not None
            else ""
        )
        text = tr(
            "{number} g of {whole}, {number_3} %{limits}",
            number=number(r.product_g, 1),
            whole=_to_be_made(r),
            number_3=number(r.yield_percent, 1),
            limits=limits,
        )
        yield SummaryLine("Yield", text, not Band.of(low, high).holds(r.yield_percent))
    if r.mass is not None:
        yield _balanced(r.mass, r.came_to_its_end)
    if r.containers:
        yield SummaryLine("Containers", *_filled(r.containers))
    yield SummaryLine("Expiry", r.keeps or tr("not stated: no label is approved"))
    yield SummaryLine("Storage", r.storage or tr("the procedure does not say"))


def _balanced(mass: MassBalance, came_to_its_end: bool) -> SummaryLine:
    """What stands in the pots of a make that did not come to its end is not lost."""
    name, went_in = tr("Mass balance"), number(mass.went_in_g, 1)
    if not came_to_its_end:
        return SummaryLine(
            name, tr("{number} g went in; what stayed in the pots was not weighed", number=went_in)
        )
    share = 100 * mass.unaccounted_g / mass.went_in_g if mass.went_in_g else 0.0
    text = tr(
        "{number} g went in, {number_2} g not found again ({number_3} %)",
        number=went_in,
        number_2=number(mass.unaccounted_g, 1),
        number_3=number(share, 1),
    )
    return SummaryLine(name, text, share < -1.0)


def _to_be_made(r: Record) -> str:
    """What the yield is a share of: as planned, or as large as the batch became where its formula was kept."""
    planned = number(r.batch_g)
    grown = r.revisions[-1]["batch_g"] if r.revisions else r.batch_g
    if grown == r.batch_g:
        return tr("{number} g planned", number=planned)
    return tr("{grown} g, which {number} g planned became", grown=number(grown), number=planned)


def _filled(found: Sequence[RecordLine]) -> tuple[str, bool]:
    nets = [x.now or 0.0 for x in found]
    out = [x.what for x in found if x.outside]
    text = tr(
        "{count}, {number} to {number_2} g ({limits}); outside: {names}",
        count=len(found),
        number=number(min(nets)),
        number_2=number(max(nets)),
        limits=_limits(found[0]),
        names=", ".join(out) or tr("none"),
    )
    return text, bool(out)


def _limits(x: RecordLine) -> str:
    low, high = number(x.low), number(x.high)
    return (
        tr("{low} to {high} allowed", low=low, high=high)
        if low and high
        else tr("at least {low}", low=low)
        if low
        else tr("at most {high}", high=high)
        if high
        else tr("no limits")
    )


def _none(found: Sequence[str]) -> str:
    return f"{len(found)} ({', '.join(found)})" if found else tr("none")
