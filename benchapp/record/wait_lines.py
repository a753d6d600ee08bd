"""The lines of what took time for a reason: bursts, interruptions, probes in doubt, limits passed, what the devices did."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.record.line_writing import COMPUTED, MEASURED, STATED, Lines, LineTable, Writer, told
from benchapp.record.stored_event import StoredEvent

#: The key of a line that happened in a wait and that any ordinary make is full of.
ORDINARY = "ordinary"


def _back(w: Writer, s: StoredEvent, e: ev.SteppedBack) -> Lines:
    text = tr("meanwhile: done") if e.why == "done" else tr("meanwhile: not finished. {why}", why=e.why)
    return w.line(s, text, source=COMPUTED, key=ORDINARY)


def _resumed(w: Writer, s: StoredEvent, e: ev.MakeResumed) -> Lines:
    note = tr("by version {program}", program=e.program) if e.program else ""
    return w.line(
        s, tr("program started again; nobody watched for"), round(e.gap_s, 1), "s", COMPUTED, note=note
    )


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


def _reconciled(w: Writer, s: StoredEvent, e: ev.ScaleReconciled) -> Lines:
    on = w.facts.vessel(e.vessel) if e.vessel else tr("its empty pan")
    what = tr(
        "{device} seen again with {on}, {expected_g:g} g expected",
        device=e.device,
        on=on,
        expected_g=e.expected_g,
    )
    return w.line(s, what, e.found_g, "g", MEASURED)


#: Bursts, interruptions, probes in doubt, what went beyond a limit, and what the devices did.
WAIT: LineTable = {
    ev.BurstDone: told(tr_noop("burst {number} of the blender"), "seconds", "s", key=ORDINARY),
    ev.BurstUnknown: told(
        tr_noop("burst {number} of the blender: not known. {why}"), source=COMPUTED, key=ORDINARY
    ),
    ev.BandEntered: told(tr_noop("{vessel} came into its band"), "temp_c", "°C", key=ORDINARY),
    ev.BandLeft: told(tr_noop("{vessel} left its band"), "temp_c", "°C"),
    ev.HoldEnded: told(tr_noop("held; the maker came back"), "held_s", "s", COMPUTED),
    ev.MakeHeld: told(tr_noop("put on hold: {reason}"), source=STATED),
    ev.SteppedAside: told(tr_noop("waited; meanwhile: {into}"), source=COMPUTED, key=ORDINARY),
    ev.SteppedBack: _back,
    ev.StepPutOff: told(tr_noop("put off; first: {into}"), source=STATED),
    ev.MakeResumed: _resumed,
    ev.ProbeDoubted: told(tr_noop("{probe} in doubt: {text}"), "to_c", "°C", MEASURED),
    ev.ProbeAnswered: told(
        tr_noop("{probe} in the {vessel}, the maker says: {answer}"), "shows_c", "°C", STATED
    ),
    ev.ProbeTrusted: told(tr_noop("{probe} counts again: {why}"), "temp_c", "°C", MEASURED),
    ev.ExcursionBegan: told(tr_noop("{vessel} went {side} {limit_c:g} °C"), "temp_c", "°C", MEASURED),
    ev.ExcursionEnded: _excursion_over,
    ev.DeviceLost: _lost,
    ev.DeviceReturned: told(tr_noop("{device} speaks again"), source=MEASURED),
    ev.ScaleDoubted: told(tr_noop("{device} doubted: {why}"), source=MEASURED),
    ev.PanSeenEmpty: told(tr_noop("{device} with an empty pan"), "zero_g", "g", MEASURED, ORDINARY),
    ev.ZeroShifted: told(tr_noop("{device} goes on from another zero, shifted by"), "by_g", "g", MEASURED),
    ev.ScaleReconciled: _reconciled,
    ev.AlarmRaised: told(tr_noop("alarm: {text}"), source=MEASURED),
    ev.AlarmCleared: told(tr_noop("alarm seen to: {how}"), source=STATED),
}
