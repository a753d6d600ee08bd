"""View models and events in plain words, for a terminal."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import number, tr, tr_noop, translated
from benchapp.make.cautions import ADVICE
from benchapp.make.pictures import BottlesPicture, HeatPicture, Picture, TimerPicture, VesselPicture
from benchapp.make.view_model import Choice, LiveValue, Trouble, ViewModel
from benchapp.make.vocabulary import ChoiceKey
from benchapp.make.waits import beside
from benchapp.terminal.plain import clean

#: The word of a live value whose device says nothing.
NO_READING = tr_noop("no reading")
#: A pour is begun where this part of it is in: less may be a vessel's own drift.
BEGUN = 0.01


def clock(seconds: float) -> str:
    """Seconds as h:mm:ss."""
    whole = int(max(seconds, 0.0))
    return f"{whole // 3600}:{whole // 60 % 60:02d}:{whole % 60:02d}"


def figure(live: LiveValue) -> str:
    """A live value without its unit, as numbers are written here; a dash where there is none."""
    return "–" if live.value is None else number(live.value, f".{live.decimals}f")


def _said(view: ViewModel) -> str:
    act_view = view.act_view
    return " ".join(translated(text) for text in (act_view.news, act_view.instruction, act_view.note) if text)


def prompt_lines(view: ViewModel, new_step: bool = True) -> list[str]:
    """What is new at this prompt, as plain lines; the step's cautions when the step is new."""
    head = f"[{clock(view.at_s)}] {view.step_number}/{view.step_count} {view.step_title}"
    lines = [clean(f"{head}: {_said(view)}")]
    if view.trouble is not None:
        lines.append(_trouble_line(view.trouble))
    if view.meanwhile is not None:
        lines.append(clean(tr("  ~ meanwhile: {beside}", beside=beside(view.meanwhile))))
    for caution in view.act_view.cautions or (view.cautions if new_step else ()):
        aid = f" {caution.first_aid}" if caution.first_aid else ""
        word = f"{translated(caution.word)}: " if caution.word else ""
        lines.append(clean(f"  ! {word}{caution.text}{aid}"))
    if any(c.first_aid for c in view.act_view.cautions):
        lines.append(f"  ! {translated(ADVICE)}")
    lines += [choice_line(choice) for choice in view.act_view.choices]
    return lines + _asked_lines(view, set())


def _asked_lines(view: ViewModel, offered: set[str]) -> list[str]:
    """The number that is asked for, unless it was offered already."""
    ask = view.act_view.ask
    if ask is None or not ask.usual or ask.words in offered:
        return []
    return [clean(tr("  > a number: {words}", words=ask.words))]


def offered_words(view: ViewModel) -> set[str]:
    """What may be said now: the words of the choices, and the number that is asked for."""
    ask = view.act_view.ask
    return {c.word for c in view.act_view.choices} | ({ask.words} if ask is not None and ask.usual else set())


def _trouble_line(trouble: Trouble) -> str:
    return clean(f"  ! {translated(trouble.title)}: {translated(trouble.text)}")


def holding_lines(view: ViewModel) -> list[str]:
    """Whatever holds the make up now: trouble, what is not right yet, a device that says nothing."""
    act_view = view.act_view
    trouble = [] if view.trouble is None else [_trouble_line(view.trouble)]
    silent = [
        tr("  . The {device} says nothing.", device=x.device)
        for x in act_view.live
        if x.word == NO_READING and x.device
    ]
    return [*trouble, *(clean(f"  . {translated(why)}") for why in act_view.not_yet), *map(clean, silent)]


def left_of(picture: Picture) -> str | None:
    """What is done and what is left of a pour, a wait, a hold or a filling; "" where nothing is begun, None where a
    scale has not said yet."""
    if isinstance(picture, VesselPicture):
        if picture.net_g is None:
            return None
        if picture.net_g < BEGUN * picture.target_g:
            return ""
        left = max(picture.target_g - picture.net_g, 0.0)
        return tr("{net_g:g} g are in, {left:g} g are left.", net_g=picture.net_g, left=round(left, 2))
    if isinstance(picture, TimerPicture) and picture.elapsed_s > 0:
        return tr(
            "{clock} is left of {clock_2}.",
            clock=clock(picture.total_s - picture.elapsed_s),
            clock_2=clock(picture.total_s),
        )
    if isinstance(picture, HeatPicture) and 0 < picture.held_s < picture.hold_s:
        return tr(
            "Held for {clock}, {clock_2} is left.",
            clock=clock(picture.held_s),
            clock_2=clock(picture.hold_s - picture.held_s),
        )
    if isinstance(picture, BottlesPicture) and picture.filled_g:
        more = tr(", {count} are left", count=picture.count - len(picture.filled_g)) if picture.count else ""
        return tr("{count} are filled{more}.", count=len(picture.filled_g), more=more)
    return ""


def left_line(view: ViewModel, left: str) -> str:
    """What is left, under the step it is left of."""
    return clean(f"[{clock(view.at_s)}] {view.step_number}/{view.step_count} {view.step_title}: {left}")


def choice_line(choice: Choice) -> str:
    """What may be said, and what it means."""
    wants = tr(": NAME PIN") if choice.sign else tr(": reason") if choice.reason else ""
    return clean(f"  > {choice.typed}{wants} = {translated(choice.label)}")


def offer_lines(view: ViewModel, offered: set[str], asked: str) -> list[str]:
    """What may be said by now and was not offered yet at this prompt, and why; objecting needs no line.

    ``asked`` is the instruction as it was told last.
    """
    new = [c for c in view.act_view.choices if c.word not in offered and c.key != ChoiceKey.WAIT]
    asked_for = _asked_lines(view, offered)
    if not new and not asked_for:
        return []
    question = [] if view.act_view.instruction == asked else [clean(f"  . {view.act_view.instruction}")]
    return [
        *question,
        *(clean(f"  . {translated(why)}") for why in view.act_view.not_yet),
        *map(choice_line, new),
        *asked_for,
    ]


def call_line(view: ViewModel) -> str:
    """What the wait beside a weighing calls for, "" where it does not."""
    if view.meanwhile is None or not view.meanwhile.calls:
        return ""
    return clean(f"  ! {beside(view.meanwhile)}")


#: What is said of an event, its own fields in the places. Of the others nothing is said to a person.
_RECORDED: dict[type[ev.Event], str] = {
    ev.WeightTaken: tr_noop("  = {line}: {net_g:g} g {source} (target {target_g:g} g, good {band})"),
    ev.DeviationNoted: tr_noop("  = deviation {number}, {grade}, {kind}: {text}"),
    ev.SteppedBack: tr_noop("  = back at the wait: {why}"),
    ev.BottleFilled: tr_noop("  = container {number}: {net_g:g} g {source}"),
    ev.PhTaken: tr_noop("  = pH {ph:.2f} {source}"),
    ev.DilutionMade: tr_noop("  = {name}: {solution_g:g} g {line} in {water_g:g} g {water}"),
    ev.MassMoved: tr_noop("  = {origin} into {into}: {mass_g:g} g, {left_g:g} g stayed ({source})"),
    ev.WaterLost: tr_noop("  = {vessel}: {lost_g:g} g of water lost"),
    ev.AlarmRaised: tr_noop("  = ALARM: {text}"),
    ev.ScaleReconciled: tr_noop(
        "  = {device} is known again: it shows {found_g:g} g, {expected_g:g} g stood there"
    ),
}


def event_line(event: ev.Event) -> str:
    """What was recorded, in one line; "" for events that say nothing to a person."""
    if isinstance(event, ev.DeviceLost):
        return clean(f"  = {event.text}")
    sentence = _RECORDED.get(type(event))
    if sentence is None:
        return ""
    _, given = ev.to_fields(event)
    if isinstance(event, ev.WeightTaken):
        given["band"] = f"{number(event.low_g)}–{number(event.high_g)} g"
    return clean(tr(sentence, **given))
