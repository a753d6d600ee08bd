"""One view as a rich panel: instruction, reading against its band, what is not right yet, what may be said."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.panel import Panel
from rich.text import Text

from benchapp.foundation.language import tr, translated
from benchapp.make import pictures
from benchapp.make import view_model as m
from benchapp.make.cautions import ADVICE
from benchapp.make.hands_free import plain_choice
from benchapp.make.waits import OBJECT, beside, forecast, still_to_come, wait
from benchapp.terminal import words
from benchapp.terminal.plain import clean

_WORD_STYLE = {
    "in band": "bold green", "below": "bold cyan", "above": "bold yellow", "far above": "bold red",
    "no reading": "bold red", "waiting": "dim",
}  # fmt: skip
_CAUTION_STYLE = {"DANGER": "bold white on red", "WARNING": "bold black on dark_orange",
                  "CAUTION": "bold black on yellow", "NOTICE": "bold white on blue"}  # fmt: skip
_BAR = 48


def draw(view: m.ViewModel, typed: str = "", told: str = "", offer: str = "") -> RenderableType:
    """The whole picture."""
    parts: list[RenderableType] = []
    if view.trouble is not None:
        parts.append(Text(clean(f" {translated(view.trouble.title).upper()} "), "bold white on red"))
        parts.append(Text(clean(translated(view.trouble.text))))
    if view.meanwhile is not None:
        style = "bold white on red" if view.meanwhile.calls else "cyan"
        parts.append(Text(clean(tr("meanwhile: {beside}", beside=beside(view.meanwhile))), style))
    if view.act_view.news:
        parts.append(Text(clean(translated(view.act_view.news)), "bold red"))
    parts.append(Text(clean(translated(view.act_view.instruction)), "bold"))
    if view.act_view.note:
        parts.append(Text(clean(translated(view.act_view.note))))
    parts.append(Text(""))
    for live in view.act_view.live:
        parts.append(_live(live))
    drawing = _picture(view.act_view.picture)
    if drawing is not None:
        parts.append(drawing)
    if view.act_view.taking is not None:
        parts.append(
            Text(_filled(view.act_view.taking) + tr(" taking it. {object}", object=OBJECT), "bold green")
        )
    if view.act_view.forecast is not None:
        parts.append(Text(forecast(view.act_view.forecast)))
    parts += [Text(clean(f"· {translated(why)}"), "yellow") for why in view.act_view.not_yet]
    parts += _cautions(view)
    parts.append(Text(""))
    parts.append(_choices(view))
    if told:
        parts.append(Text(clean(told), "red"))
    parts.append(Text(f"> {clean(_hidden(typed))}▏{offer}"))
    title = f"{view.step_number}/{view.step_count}  {clean(view.step_title)}"
    still = still_to_come(view)
    title = f"{title}  {clean(still)}".rstrip()
    foot = tr(
        "{clock}   {progress} %   next: {clean}",
        clock=words.clock(view.at_s),
        progress=round(100 * view.progress),
        clean=clean(view.next_up),
    )
    return Panel(
        Group(*parts), title=Text(title), title_align="left", subtitle=Text(foot), subtitle_align="left"
    )


def _live(live: m.LiveValue) -> Text:
    value = words.figure(live)
    out = Text.assemble((clean(f"{translated(live.name):<26.26} "), ""), (f"{value:>9} {live.unit}", "bold"))
    if live.word:
        out.append(f"  {translated(live.stands)}", _WORD_STYLE.get(live.word, ""))
    if live.source != "measured":
        out.append(f"  {translated(live.source)}", "dim")
    elif live.device and not live.checked:
        out.append("  " + tr("unchecked"), "dim")
    return out


def _picture(picture: pictures.Picture) -> RenderableType | None:
    if isinstance(picture, pictures.VesselPicture):
        return _band_bar(picture.net_g, picture.low_g, picture.high_g, picture.scale_top_g)
    if isinstance(picture, pictures.BottlesPicture):
        bar = _band_bar(picture.net_g, picture.low_g, picture.high_g, picture.high_g * 1.1)
        return Group(bar, Text(tr("filled: {count}", count=len(picture.filled_g))))
    if isinstance(picture, pictures.TimerPicture) and picture.total_s > 0:
        count = tr("  {count} of {of}", count=picture.count, of=picture.of) if picture.of else ""
        return Text(
            _filled(picture.elapsed_s / picture.total_s)
            + tr(" {wait} left{count}", wait=wait(picture.total_s - picture.elapsed_s), count=count)
        )
    if isinstance(picture, pictures.HeatPicture) and picture.hold_s > 0:
        held = tr(" held {wait} of {wait_2}", wait=wait(picture.held_s), wait_2=wait(picture.hold_s))
        return Text(_filled(picture.held_s / picture.hold_s) + held)
    if isinstance(picture, pictures.BandPicture):
        return Text(
            tr(
                "{what}: good from {low:g} to {high:g} {unit}",
                what=picture.what,
                low=picture.low,
                high=picture.high,
                unit=picture.unit,
            )
        )
    return None


def _filled(share: float) -> str:
    full = round(_BAR * min(max(share, 0.0), 1.0))
    return "█" * full + "░" * (_BAR - full)


def _band_bar(value: float | None, low: float, high: float, top: float) -> Text:
    """A bar that fills, with the band marked on it."""
    out = Text()
    for cell in range(_BAR):
        at = top * (cell + 0.5) / _BAR
        inside = low - top / _BAR / 2 <= at <= high + top / _BAR / 2
        full = value is not None and at <= value
        out.append("█" if full else "▒" if inside else "░", "green" if inside else "cyan" if full else "dim")
    return out.append(tr("  {low:g} to {high:g} {unit}", low=low, high=high, unit="g"))


def _cautions(view: m.ViewModel) -> list[RenderableType]:
    out: list[RenderableType] = []
    for caution in view.act_view.cautions or view.cautions:
        style = _CAUTION_STYLE.get(caution.word, "bold")
        line = Text.assemble((f" {translated(caution.word)} ", style), "  ") if caution.word else Text()
        out.append(line.append(clean(caution.text)))
        if caution.first_aid:
            out.append(Text(clean(f"  {caution.first_aid}"), "italic"))
    if any(c.first_aid for c in view.act_view.cautions):
        out.append(Text(translated(ADVICE)))
    return out


def _choices(view: m.ViewModel) -> Text:
    out = Text()
    first = plain_choice(view.act_view)
    for choice in view.act_view.choices:
        key = "Enter" if choice is first else choice.typed + (tr(": why") if choice.reason else "")
        out.append(f"[{key}]", "bold").append(clean(f" {translated(choice.label)}   "))
    ask = view.act_view.ask
    if ask is not None:
        out.append("[number]", "bold" if ask.usual else "dim")
        out.append(clean(f" {ask.words}"), "" if ask.usual else "dim")
    return out


def _hidden(typed: str) -> str:
    """What is being typed, the PIN of a signature as dots."""
    verb, colon, rest = typed.partition(":")
    if not colon or verb.strip().lower() != "sign":
        return typed
    name, space, pin = rest.rpartition(" ")
    return f"{verb}:{name}{space}{'•' * len(pin)}"
