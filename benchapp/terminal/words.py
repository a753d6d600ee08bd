"""Moments and events in plain words, for a terminal."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.make.acts.taking import WAIT
from benchapp.make.cautions import ADVICE
from benchapp.make.moment import Choice, Live, Moment
from benchapp.make.waits import beside
from benchapp.terminal.plain import clean


def clock(seconds: float) -> str:
    """Seconds as h:mm:ss."""
    whole = int(max(seconds, 0.0))
    return f"{whole // 3600}:{whole // 60 % 60:02d}:{whole % 60:02d}"


def reading(live: Live) -> str:
    """One live value with its unit, how it stands and where it comes from."""
    value = "–" if live.value is None else f"{live.value:.{live.decimals}f}"
    word = f" ({live.word})" if live.word else ""
    return clean(f"{live.name}: {value} {live.unit}{word} [{live.source}]")


def _said(moment: Moment) -> str:
    face = moment.face
    return " ".join(text for text in (face.news, face.instruction, face.note) if text)


def prompt_lines(moment: Moment, new_step: bool = True) -> list[str]:
    """What is new at this prompt, as plain lines; the step's cautions when the step is new."""
    head = f"[{clock(moment.at_s)}] {moment.step_number}/{moment.step_count} {moment.step_title}"
    lines = [clean(f"{head}: {_said(moment)}")]
    if moment.trouble is not None:
        lines.append(clean(f"  ! {moment.trouble.title}: {moment.trouble.text}"))
    if moment.meanwhile is not None:
        lines.append(clean(f"  ~ meanwhile: {beside(moment.meanwhile)}"))
    for caution in moment.face.cautions or (moment.cautions if new_step else ()):
        aid = f" {caution.first_aid}" if caution.first_aid else ""
        word = f"{caution.word}: " if caution.word else ""
        lines.append(clean(f"  ! {word}{caution.text}{aid}"))
    if any(c.first_aid for c in moment.face.cautions):
        lines.append(f"  ! {ADVICE}")
    lines += [choice_line(choice) for choice in moment.face.choices]
    ask = moment.face.ask
    if ask is not None and ask.usual:
        lines.append(clean(f"  > a number: {ask.what} in {ask.unit}"))
    return lines


def choice_line(choice: Choice) -> str:
    """What may be said, and what it means."""
    wants = ": reason" if choice.reason else ""
    return clean(f"  > {choice.key}{wants} = {choice.label}")


def offer_lines(moment: Moment, offered: set[str], asked: str) -> list[str]:
    """What may be said by now and was not offered yet at this prompt, and why; objecting needs no line.

    ``asked`` is the instruction as it was told last.
    """
    new = [c for c in moment.face.choices if c.key not in offered and c.key != WAIT]
    if not new:
        return []
    question = [] if moment.face.instruction == asked else [clean(f"  . {moment.face.instruction}")]
    return [*question, *(clean(f"  . {why}") for why in moment.face.not_yet), *map(choice_line, new)]


def call_line(moment: Moment) -> str:
    """What the wait beside a weighing calls for, "" where it does not."""
    if moment.meanwhile is None or not moment.meanwhile.calls:
        return ""
    return clean(f"  ! {beside(moment.meanwhile)}")


def event_line(event: ev.Event) -> str:
    """What was recorded, in one line; "" for events that say nothing to a person."""
    if isinstance(event, ev.WeightTaken):
        band = f"{event.low_g:g}–{event.high_g:g} g"
        return clean(
            f"  = {event.line}: {event.net_g:g} g {event.source} (target {event.target_g:g} g, band {band})"
        )
    if isinstance(event, ev.DeviationNoted):
        return clean(f"  = deviation {event.number}, {event.grade}, {event.kind}: {event.text}")
    if isinstance(event, ev.SteppedBack):
        return clean(f"  = back at the wait: {event.why}")
    if isinstance(event, ev.BottleFilled):
        return clean(f"  = container {event.number}: {event.net_g:g} g {event.source}")
    if isinstance(event, ev.PhTaken):
        return clean(f"  = pH {event.ph:.2f} {event.source}")
    if isinstance(event, ev.MassMoved):
        return clean(
            f"  = {event.origin} into {event.into}: {event.mass_g:g} g, {event.left_g:g} g stayed ({event.source})"
        )
    if isinstance(event, ev.WaterLost):
        return clean(f"  = {event.vessel}: {event.lost_g:g} g of water lost")
    if isinstance(event, ev.AlarmRaised):
        return clean(f"  = ALARM: {event.text}")
    if isinstance(event, ev.DeviceLost):
        return clean(f"  = {event.text}")
    if isinstance(event, ev.ScaleReconciled):
        return clean(
            f"  = {event.device} agrees again: {event.found_g:g} g where {event.expected_g:g} g stood"
        )
    return ""
