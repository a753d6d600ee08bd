"""An empty pan closes the balance of what was weighed since the last one: what it shows more was never poured."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts.base import Act, Context


def balanced(act: Act, context: Context, device: str, gross_g: float) -> list[ev.Event]:
    """The pan is empty and shows ``gross_g`` grams above its old zero: that is its new one, and what was weighed since
    may be off by as much as the scale has not been seen to creep. Within one division it stands where it stood; nothing
    where nothing was weighed either."""
    weighed, crept_g = _since(context, device)
    if abs(gross_g) <= context.division_g(device) and not crept_g:
        zero_g = context.zero_g(device)
        return [ev.PanSeenEmpty(at_s=context.now_s, device=device, zero_g=zero_g)] if weighed else []
    off_g = gross_g - crept_g
    seen = ev.PanSeenEmpty(
        at_s=context.now_s, device=device, zero_g=round(gross_g + context.zero_g(device), 4)
    )
    short = [
        w for w in weighed
        if abs(off_g) > max(2 * context.division_g(device), w.high_g - w.target_g)
    ]  # fmt: skip
    if not short:
        return [seen]
    names = ", ".join(context.plan.line_name(w.line) for w in short)
    way = tr("less") if off_g > 0 else tr("more")
    text = tr(
        "The empty {device} shows {gross_g:+.2f} g where it stood before {names} was "
        "weighed: of each there may be up to {off_g:.2f} g {way} than recorded.",
        device=device,
        gross_g=gross_g,
        names=names,
        off_g=abs(off_g),
        way=way,
    )
    return [act.deviation(context, ev.Grade.MINOR, tr_noop("scale drift"), text), seen]


def _since(context: Context, device: str) -> tuple[list[ev.WeightTaken], float]:
    """What was weighed on that scale since its zero was seen last, and how far it crept meanwhile, in grams."""
    weighed: list[ev.WeightTaken] = []
    crept_g = 0.0
    for event in reversed(context.state.log):
        if isinstance(event, ev.PanSeenEmpty) and event.device == device:
            break
        if isinstance(event, ev.WeightTaken) and event.device == device:
            weighed.append(event)
        elif isinstance(event, ev.BaselineCrept) and event.device == device:
            crept_g += event.by_g
    return weighed[::-1], crept_g
