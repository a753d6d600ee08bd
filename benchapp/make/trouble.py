"""Devices of the other kind, devices lost and found, and a clock that was set."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts.base import Act, Context
from benchapp.make.inputs import ClockSet, Degrees, Grams, Input, NoNumber, PhRead
from benchapp.make.state import State

#: Said of a device that the make cannot be made on.
SIMULATED_HERE = tr_noop(
    "The {device} is a simulated one, and this is a real make: nothing it says is taken. "
    "Connect the real one."
)
REAL_HERE = tr_noop(
    "The {device} is a real one, and this is a rehearsal: nothing it says is taken. "
    "Rehearse on a simulated bench."
)


def clock_set(context: Context, given: ClockSet) -> ev.Event:
    """Times on the wall before and after do not follow each other; durations do, by the make's own clock."""
    said = [tr("The computer's clock was set {apart}.", apart=_apart(given.by_s))] if given.by_s else []
    said += [tr("Its zone moved {apart}.", apart=_apart(given.zone_s))] if given.zone_s else []
    text = " ".join(
        (*said, tr("Durations in this record come from the time it has been running, and stay true."))
    )
    return ev.DeviationNoted(
        at_s=context.now_s,
        number=0,
        grade=ev.Grade.NOTE,
        kind="clock set",
        step=context.state.step,
        text=text,
    )


def _apart(by_s: float) -> str:
    way = "forward" if by_s > 0 else "back"
    minutes, seconds = divmod(round(abs(by_s)), 60)
    return tr(
        "{way} by {how}{how_2}",
        way=way,
        how=tr("{minutes} min ", minutes=minutes) if minutes else "",
        how_2=tr("{seconds} s", seconds=seconds) if seconds or not minutes else "",
    ).strip()


# --- devices of the other kind ---------------------------------------------------------------------------


def only_its_own(state: State, given: Input) -> Input:
    """The input; a reading of a simulated device in a real make, or of a real one in a rehearsal, as a lost device:
    nothing it says counts, and it is said once."""
    if state.started is None or not isinstance(given, Grams | Degrees | PhRead):
        return given
    if given.simulated is state.started.rehearsal:
        return given
    text = SIMULATED_HERE if given.simulated else REAL_HERE
    return NoNumber(given.at_s, given.device, None, "refused", text.format(device=given.device), lost=True)


# --- devices lost and found -----------------------------------------------------------------------------


def faults(
    context: Context, given: NoNumber, act: Act | None, stood: tuple[float, float] | None = None
) -> list[ev.Event]:
    """A device that went out of reach, or gives no number: said once, and a deviation where it was needed."""
    needed = act is not None and given.device in act.devices
    if not given.lost:
        kind = f"{given.fault}: {given.device}"
        if act is None or not needed or any(d.kind == kind for d in context.state.deviations):
            return []
        return [act.deviation(context, ev.Grade.NOTE, kind, given.text)]
    if given.device in context.state.lost:
        return []
    least, most = (round(stood[0], 3), round(stood[1], 3)) if stood else (None, None)
    out: list[ev.Event] = [
        ev.DeviceLost(
            at_s=given.at_s,
            device=given.device,
            fault=given.fault,
            text=given.text,
            least_g=least,
            most_g=most,
        )
    ]
    if act is not None and given.device in act.devices:
        out.append(act.deviation(context, ev.Grade.NOTE, tr_noop("device lost"), given.text))
    return out


def found_again(context: Context, device: str, at_s: float) -> list[ev.Event]:
    """A reading from a device that was lost: it is back, and a scale may have zeroed on what stood on it."""
    if device not in context.state.lost:
        return []
    out: list[ev.Event] = [ev.DeviceReturned(at_s=at_s, device=device)]
    if _is_scale(context, device):
        out.append(
            ev.ScaleDoubted(
                at_s=at_s, device=device, why=tr("it was out of reach and may have lost its zero")
            )
        )
    return out


def _is_scale(context: Context, device: str) -> bool:
    return any(d.name == device and d.kind == "scale" for d in context.plan.devices)
