"""What the bench itself says, before anybody asks for it: alarms, what is out of reach or back again, a scale on a wrong zero."""

from __future__ import annotations

from collections.abc import Callable

from benchapp import events as ev
from benchapp.make import alarms, doubted_scale, probes, trouble
from benchapp.make.acts.base import Act, Context
from benchapp.make.inputs import Degrees, Grams, Input, NoNumber, PhRead

#: What alarms are about, and what it may look at: the wait, while the maker weighs ahead.
Watched = Callable[[], tuple[Context, Act | None]]


def bench_heard(context: Context, given: Input, act: Act | None, watched: Watched) -> list[ev.Event]:
    """The events a reading or a fault brings about whatever ``act`` the maker is at; the live filters take it in."""
    if isinstance(given, Grams):
        back = trouble.found_again(context, given.device, given.at_s)
        if back:
            context.watch.forget_device(given.device, ())
        context.watch.grams(given, context.plan.divisions_g[given.device])
        return back or doubted_scale.wrong_zero(context, given)
    if isinstance(given, Degrees):
        back = trouble.found_again(context, given.device, given.at_s)
        seen, waits = watched()
        probes.listen(seen, waits, given)
        return back or alarms.alarms(seen, waits, given)
    if isinstance(given, PhRead):
        back = trouble.found_again(context, given.device, given.at_s)
        context.watch.ph_read(given)
        return back
    return _fault(context, given, act, watched) if isinstance(given, NoNumber) else []


def _fault(context: Context, given: NoNumber, act: Act | None, watched: Watched) -> list[ev.Event]:
    """A device gives no number, or is out of reach."""
    last = context.last_gross_g(given.device)
    context.watch.complain(given)
    if given.lost:
        channels = next((d.channels for d in context.plan.devices if d.name == given.device), ())
        context.watch.forget_device(given.device, channels)
    seen, waits = watched()
    needing = waits if waits is not None and given.device in waits.devices else act
    return trouble.faults(context, given, needing, last) or alarms.alarms(seen, waits, given)
