"""Which kind of event makes which lines of the record: a table for each part of it, asked for the kinds in it alone."""

from __future__ import annotations

from dataclasses import replace

from benchapp import events as ev
from benchapp.foundation.language import number, tr, tr_noop
from benchapp.record.line_writing import MEASURED, STATED, Lines, LineTable, Writer, told
from benchapp.record.reconciliation import LATE_DROP, SPILLED, WATER_LOST
from benchapp.record.stored_event import StoredEvent


def _weighing(w: Writer, s: StoredEvent, e: ev.WeightTaken) -> Lines:
    hand, now = w.lots[s.n], w.lots_now[s.n]
    line = (
        w.line(s, w.facts.line(e.line), e.net_g, "g", low=e.low_g, high=e.high_g, checked=e.checked, key=e.line, line=e.line, target=e.target_g, vessel=w.facts.vessel(e.vessel), lot=hand.lot, lot_now=now.lot, how=now.how, note=_out_of(e) or _portion(e), portions=e.portions, portion=e.portion)
    )  # fmt: skip
    if whole := w.wholes.get(s.n):
        line = replace(line, outside=whole.outside)
    fixes = tuple(c for c in w.corrections.get(hand.n, ()) if c.field == "lot") if hand.n != s.n else ()
    return replace(line, corrections=(*line.corrections, *fixes)) if fixes else line


def _out_of(e: ev.WeightTaken) -> str:
    """What was really on the scale, where it was a dilution."""
    weighed = tr(", of which {diluted_g:g} g were weighed", diluted_g=e.diluted_g) if e.diluted_g else ""
    return (
        tr("in the dilution {dilution}{weighed}", dilution=e.dilution, weighed=weighed) if e.dilution else ""
    )


def _portion(e: ev.WeightTaken) -> str:
    """Which portion of its line it is, where it was weighed in several."""
    return (
        tr("portion {portion} of {portions}", portion=e.portion, portions=e.portions)
        if e.portions > 1
        else ""
    )


def _ph(w: Writer, s: StoredEvent, e: ev.PhTaken) -> Lines:
    step = w.facts.steps.get(e.step)
    low, high = (step.low, step.high) if step else (None, None)
    what = tr("pH of the trial sample") if e.of == "trial" else "pH"
    at = "" if e.temp_c is None else tr("sample at {temp_c:g} °C", temp_c=e.temp_c)
    strip = tr("from a strip in steps of {step_ph:g}", step_ph=e.step_ph) if e.step_ph else ""
    note = ", ".join(x for x in (tr("diluted") if e.diluted else "", strip, at) if x)
    return w.line(s, what, e.ph, "pH", low=low, high=high, note=note)  # fmt: skip


def _number(w: Writer, s: StoredEvent, e: ev.NumberTaken) -> Lines:
    step = w.facts.steps.get(e.step)
    low, high = (step.low, step.high) if step is not None and step.unit == e.unit else (None, None)
    return w.line(s, e.what, e.value, e.unit, low=low, high=high)


def _temperatures(w: Writer, s: StoredEvent, e: ev.TemperaturesLogged) -> Lines:
    return tuple(
        w.line(s, name, temp, "°C", key=vessel, vessel=name)
        for vessel, temp in e.temps_c
        for name in (w.facts.vessel(vessel),)
    )


def _look(w: Writer, s: StoredEvent, e: ev.LookJudged) -> Lines:
    found = tr("as described") if e.as_expected else e.words
    return w.line(s, f"{e.name}: {found}", source=STATED, note=e.expect)


def _container(w: Writer, s: StoredEvent, e: ev.BottleFilled) -> Lines:
    """Both limits: its own lower one, and the most its label allows to give away."""
    step = w.facts.steps.get(e.step)
    name = step.container if step and step.container else "container"
    low, target, high = w.content.of(e)
    return w.line(s, f"{name} {e.number}", e.net_g, "g", low=low, target=target, high=high)  # fmt: skip


def _empty(w: Writer, s: StoredEvent, e: ev.VesselPlaced) -> Lines:
    if not e.empty:
        return ()
    what = tr("{vessel}, empty", vessel=w.facts.vessel(e.vessel))
    return w.line(s, what, e.gross_g, "g", key="empty")


def _moved(w: Writer, s: StoredEvent, e: ev.MassMoved) -> Lines:
    what = tr(
        "{vessel} into {vessel_2} ({left_g:g} g stayed)",
        vessel=w.facts.vessel(e.origin),
        vessel_2=w.facts.vessel(e.into),
        left_g=e.left_g,
    )
    return w.line(s, what, e.mass_g, "g", key="transfer")


def _water_lost(w: Writer, s: StoredEvent, e: ev.WaterLost) -> Lines:
    what = tr("water lost from {vessel}", vessel=w.facts.vessel(e.vessel))
    return w.line(s, what, e.lost_g, "g", key=WATER_LOST, of_lines=tuple((x, 0.0) for x in e.lines))


def _late_drop(w: Writer, s: StoredEvent, e: ev.LateDropFound) -> Lines:
    what = tr("late drop of {line} into {vessel}", line=w.facts.line(e.line), vessel=w.facts.vessel(e.vessel))
    return w.line(s, what, e.drop_g, "g", MEASURED, key=LATE_DROP, line=e.line)


def _sample(w: Writer, s: StoredEvent, e: ev.SampleTaken) -> Lines:
    kind = "short" if e.what == ev.SHORT else "sample"
    of = e.what if kind == "short" else tr("sample ({what})", what=e.what)
    return w.line(
        s, tr("{of} out of {vessel}", of=of, vessel=w.facts.vessel(e.vessel)), e.mass_g, "g", key=kind
    )


def _spilled(w: Writer, s: StoredEvent, e: ev.MassLost) -> Lines:
    of = ", ".join(f"{w.facts.line(k)} {number(g, '.3g')} g" for k, g in e.lines) or tr(
        "nobody knows of what"
    )
    what = tr("spilled from {vessel} ({of})", vessel=w.facts.vessel(e.vessel), of=of)
    # What is gone of a pour that was going on is not in its weighing either: the pour went on above it.
    told = [(k, g) for k, g in e.lines if k != e.pouring]
    of_lines = (*told, ("", e.lost_g - sum(g for _, g in e.lines)))
    return w.line(s, what, e.lost_g, "g", MEASURED, key=SPILLED, of_lines=of_lines)


def _confirmed(w: Writer, s: StoredEvent, e: ev.Confirmed) -> Lines:
    return w.line(s, e.text, source=STATED, key=w.facts.kind(e.step))


def _reader(w: Writer, s: StoredEvent, e: ev.PhReaderStated) -> Lines:
    by = tr("a strip in steps of {step_ph:g}", step_ph=e.step_ph) if e.step_ph else tr("a meter")
    return w.line(s, tr("The pH is read from {by}", by=by), source=STATED)


def _in_hand(w: Writer, s: StoredEvent, e: ev.LotTaken) -> Lines:
    what = tr("lot in hand for {line}: {lot}", line=w.facts.line(e.line), lot=e.lot or tr("none"))
    return w.line(s, what, source=STATED, lot=e.lot)


WEIGHING: LineTable = {ev.WeightTaken: _weighing}
#: pH and any other number; temperatures have a table of their own, there are so many of them.
READING: LineTable = {
    ev.PhTaken: _ph,
    ev.TrialDosed: told(tr_noop("{line} into the trial sample"), "mass_g", "g", key="trial"),
    ev.DilutionMade: told(tr_noop("dilution {name}: {line} in {water_g:g} g of {water}"), "solution_g", "g"),
    ev.NumberTaken: _number,
}
TEMPERATURE: LineTable = {ev.TemperaturesLogged: _temperatures}
#: What was judged by eye, nose or hand.
LOOK: LineTable = {ev.LookJudged: _look}
CONTAINER: LineTable = {ev.BottleFilled: _container}
#: Vessels as they stood empty, transfers, losses, samples and waste: every mass that is no weighing of a line.
MOVE: LineTable = {
    ev.VesselPlaced: _empty, ev.MassMoved: _moved, ev.WaterLost: _water_lost, ev.LateDropFound: _late_drop,
    ev.SampleTaken: _sample, ev.MassLost: _spilled,
    ev.BaselineCrept: told(tr_noop("the {device} crept before the first drop; not counted"), "by_g", "g", MEASURED, "crept"),
    ev.TareChanged: told(tr_noop("{vessel}: a tool or lid, not part of the batch"), "by_g", "g", MEASURED, "tare"),
    ev.MaterialRemoved: told(tr_noop("waste: {line} out of {vessel}"), "removed_g", "g", MEASURED, "waste"),
}  # fmt: skip
#: What the maker said yes to.
CONFIRMATION: LineTable = {ev.Confirmed: _confirmed, ev.PhReaderStated: _reader}
IN_HAND: LineTable = {ev.LotTaken: _in_hand}
#: What a maker can have said and taken back.
SAID = (IN_HAND, WEIGHING, READING, LOOK, CONFIRMATION)
