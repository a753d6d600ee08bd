"""The lines of what took time for a reason: bursts, interruptions, probes in doubt, limits passed, what the devices did."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.record.line_writing import COMPUTED, MEASURED, STATED, Lines, LineTable, Writer
from benchapp.record.stored_event import StoredEvent

#: The key of a line that happened in a wait and that any ordinary make is full of.
ORDINARY = "ordinary"


def _burst(w: Writer, s: StoredEvent, e: ev.BurstDone) -> Lines:
    return w.line(s, tr("burst {number} of the blender", number=e.number), e.seconds, "s", key=ORDINARY)


def _burst_unknown(w: Writer, s: StoredEvent, e: ev.BurstUnknown) -> Lines:
    return w.line(
        s,
        tr("burst {number} of the blender: not known. {why}", number=e.number, why=e.why),
        source=COMPUTED,
        key=ORDINARY,
    )


def _band(w: Writer, s: StoredEvent, e: ev.BandEntered | ev.BandLeft) -> Lines:
    entered, vessel = isinstance(e, ev.BandEntered), w.facts.vessel(e.vessel)
    return w.line(
        s,
        tr("{vessel} came into its band", vessel=vessel)
        if entered
        else tr("{vessel} left its band", vessel=vessel),
        e.temp_c,
        "°C",
        key=ORDINARY if entered else "",
    )


def _hold_ended(w: Writer, s: StoredEvent, e: ev.HoldEnded) -> Lines:
    return w.line(s, tr("held; the maker came back"), e.held_s, "s", COMPUTED)


def _held(w: Writer, s: StoredEvent, e: ev.MakeHeld) -> Lines:
    return w.line(s, tr("put on hold: {reason}", reason=e.reason), source=STATED)


def _aside(w: Writer, s: StoredEvent, e: ev.SteppedAside) -> Lines:
    return w.line(
        s, tr("waited; meanwhile: {step}", step=w.facts.step(e.into)), source=COMPUTED, key=ORDINARY
    )


def _put_off(w: Writer, s: StoredEvent, e: ev.StepPutOff) -> Lines:
    return w.line(s, tr("put off; first: {step}", step=w.facts.step(e.into)), source=STATED)


def _back(w: Writer, s: StoredEvent, e: ev.SteppedBack) -> Lines:
    text = tr("meanwhile: done") if e.why == "done" else tr("meanwhile: not finished. {why}", why=e.why)
    return w.line(s, text, source=COMPUTED, key=ORDINARY)


def _resumed(w: Writer, s: StoredEvent, e: ev.MakeResumed) -> Lines:
    note = tr("by version {program}", program=e.program) if e.program else ""
    return w.line(
        s, tr("program started again; nobody watched for"), round(e.gap_s, 1), "s", COMPUTED, note=note
    )


def _probe_doubted(w: Writer, s: StoredEvent, e: ev.ProbeDoubted) -> Lines:
    return w.line(s, tr("{probe} in doubt: {text}", probe=e.probe, text=e.text), e.to_c, "°C", MEASURED)


def _probe_answered(w: Writer, s: StoredEvent, e: ev.ProbeAnswered) -> Lines:
    what = tr(
        "{probe} in the {vessel}, the maker says: {answer}",
        probe=e.probe,
        vessel=w.facts.vessel(e.vessel),
        answer=e.answer,
    )
    return w.line(s, what, e.shows_c, "°C", STATED)


def _probe_trusted(w: Writer, s: StoredEvent, e: ev.ProbeTrusted) -> Lines:
    return w.line(s, tr("{probe} counts again: {why}", probe=e.probe, why=e.why), e.temp_c, "°C", MEASURED)


def _excursion(w: Writer, s: StoredEvent, e: ev.ExcursionBegan) -> Lines:
    what = tr(
        "{vessel} went {side} {limit_c:g} °C", vessel=w.facts.vessel(e.vessel), side=e.side, limit_c=e.limit_c
    )
    return w.line(s, what, e.temp_c, "°C", MEASURED)


def _excursion_over(w: Writer, s: StoredEvent, e: ev.ExcursionEnded) -> Lines:
    most = tr("peak") if e.side == "above" else tr("lowest")
    what = tr(
        "{vessel} was {side} {limit_c:g} °C for {lasted_s:.0f} s, {most}",
        vessel=w.facts.vessel(e.vessel),
        side=e.side,
        limit_c=e.limit_c,
        lasted_s=e.lasted_s,
        most=most,
    )
    return w.line(s, what, e.peak_c, "°C", MEASURED)


def _lost(w: Writer, s: StoredEvent, e: ev.DeviceLost) -> Lines:
    return w.line(s, e.text, source=MEASURED)


def _returned(w: Writer, s: StoredEvent, e: ev.DeviceReturned) -> Lines:
    return w.line(s, tr("{device} speaks again", device=e.device), source=MEASURED)


def _doubted(w: Writer, s: StoredEvent, e: ev.ScaleDoubted) -> Lines:
    return w.line(s, tr("{device} doubted: {why}", device=e.device, why=e.why), source=MEASURED)


def _pan_empty(w: Writer, s: StoredEvent, e: ev.PanSeenEmpty) -> Lines:
    return w.line(s, tr("{device} with an empty pan", device=e.device), e.zero_g, "g", MEASURED, key=ORDINARY)


def _zero(w: Writer, s: StoredEvent, e: ev.ZeroShifted) -> Lines:
    what = tr("{device} goes on from another zero, shifted by", device=e.device)
    return w.line(s, what, e.by_g, "g", MEASURED)


def _reconciled(w: Writer, s: StoredEvent, e: ev.ScaleReconciled) -> Lines:
    on = w.facts.vessel(e.vessel) if e.vessel else tr("its empty pan")
    what = tr(
        "{device} seen again with {on}, {expected_g:g} g expected",
        device=e.device,
        on=on,
        expected_g=e.expected_g,
    )
    return w.line(s, what, e.found_g, "g", MEASURED)


def _alarm(w: Writer, s: StoredEvent, e: ev.AlarmRaised) -> Lines:
    return w.line(s, tr("alarm: {text}", text=e.text), source=MEASURED)


def _seen_to(w: Writer, s: StoredEvent, e: ev.AlarmCleared) -> Lines:
    return w.line(s, tr("alarm seen to: {how}", how=e.how), source=STATED)


#: Bursts, interruptions, probes in doubt, what went beyond a limit, and what the devices did.
WAIT: LineTable = {
    ev.BurstDone: _burst, ev.BurstUnknown: _burst_unknown, ev.BandEntered: _band,
    ev.BandLeft: _band, ev.HoldEnded: _hold_ended, ev.MakeHeld: _held, ev.SteppedAside: _aside,
    ev.SteppedBack: _back, ev.StepPutOff: _put_off, ev.MakeResumed: _resumed, ev.ProbeDoubted: _probe_doubted, ev.ProbeAnswered: _probe_answered,
    ev.ProbeTrusted: _probe_trusted, ev.ExcursionBegan: _excursion, ev.ExcursionEnded: _excursion_over,
    ev.DeviceLost: _lost, ev.DeviceReturned: _returned, ev.ScaleDoubted: _doubted, ev.PanSeenEmpty: _pan_empty,
    ev.ZeroShifted: _zero, ev.ScaleReconciled: _reconciled, ev.AlarmRaised: _alarm, ev.AlarmCleared: _seen_to,
}  # fmt: skip
