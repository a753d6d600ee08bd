"""What filling has to say of the batch and the scale: how many containers it gives, and what cannot be told."""

from __future__ import annotations

from benchapp.calculations.filling import scale_serves
from benchapp.calculations.scaling import bottles_from
from benchapp.foundation.language import tr
from benchapp.make.acts.base import Context
from procedures.phrases import plural


def too_coarse(context: Context, device: str, tolerable_g: float, container: str) -> str:
    """A sentence where the scale cannot tell whether a container holds its label, else "".

    ``tolerable_g``: how far one may fall short, 0 where the packers' table says nothing.
    """
    division = context.division_g(device)
    if not tolerable_g or scale_serves(division, tolerable_g):
        return ""
    return tr(
        "The {device} shows steps of {division:g} g, too coarse to tell {tolerable_g:.2g} g, "
        "a fifth of what a {container} may fall short.",
        device=device,
        division=division,
        tolerable_g=tolerable_g / 5,
        container=container,
    )


def how_many(
    context: Context, vessel: str, container: str, target_g: float, count: int | None, *, first: bool
) -> str:
    """How many more the vessel gives: before the first, and when little is left.

    At least as many as when all that the procedure counts as lost still clings to it, at most as many as when nothing
    does. "" in between, and where nothing is known of its contents.
    """
    left = context.state.ledger.of(vessel).content_g
    if first and left <= 0:
        return ""
    clings_g = context.plan.procedure.loss_percent / 100 * context.plan.batch_g
    least, most = bottles_from(left, target_g, clings_g), bottles_from(left, target_g)
    name = context.vessel_name(vessel)
    if most == 0:
        return tr(
            "About {left:.0f} g is left: not enough for a full {container}.",
            left=left,
            container=container,
        )
    if least == 0:
        return tr(
            "About {left:.0f} g is left: it may just fill one more {container}.",
            left=left,
            container=container,
        )
    if most == 1:
        return tr("The {name} holds enough for one more {container}.", name=name, container=container)
    if not first:
        return ""
    asked = tr("; {count} are asked for", count=count) if count is not None and count > least else ""
    number = f"{least}" if least == most else tr("{least} to {most}", least=least, most=most)
    return tr(
        "Enough for about {number} {plural}{asked}.",
        number=number,
        plural=plural(container),
        asked=asked,
    )
