"""Taking the last act back: where nothing but words was recorded since, the world allows it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from benchapp import events as ev
from benchapp.foundation.language import number, tr
from benchapp.foundation.numbers import exact

#: What a person said: it can be unsaid.
SAID = (ev.Confirmed, ev.NumberTaken, ev.LookJudged, ev.LotTaken)
#: What only marks the way: it goes with what was said.
MARKS = (
    ev.ActBegan, ev.ActFinished, ev.StageReached, ev.StepBegan, ev.StepFinished, ev.CautionShown, ev.ProbeMoved,
    ev.LotRefused,
)  # fmt: skip
#: What happened beside it, and stays.
BESIDE = (ev.Watched, ev.DeviationNoted, ev.DeviceLost, ev.DeviceReturned, ev.TemperaturesLogged,
          ev.ProbeDoubted, ev.ProbeAnswered, ev.ProbeTrusted, ev.ExcursionBegan, ev.ExcursionEnded)  # fmt: skip


def last_said(log: Sequence[ev.Event]) -> tuple[int, list[ev.Event]] | None:
    """Where the last finished act began in ``log``, and what a person said in it; None where it cannot be
    taken back because something was poured, moved, waited for or acknowledged since."""
    said: list[ev.Event] = []
    done: ev.ActFinished | None = None
    for place in range(len(log) - 1, -1, -1):
        event = log[place]
        if isinstance(event, ev.ActFinished):
            if done is not None:
                return None
            done = event
        if _unsayable(event) and done is not None:
            said.insert(0, event)
        elif not isinstance(event, (*MARKS, *BESIDE)):
            return None
        if (
            done is not None
            and isinstance(event, ev.ActBegan)
            and (event.step, event.act) == (done.step, done.act)
        ):
            return (place, said) if said else None
    return None


def _unsayable(event: ev.Event) -> bool:
    if isinstance(event, ev.WeightTaken | ev.PhTaken):
        return event.source is ev.Source.STATED
    return isinstance(event, SAID)


def taken_back(log: Sequence[ev.Event], at_s: float) -> list[ev.Event]:
    """That the last act is taken back; nothing where it cannot be."""
    found = last_said(log)
    began = None if found is None else log[found[0]]
    return (
        [ev.ActTakenBack(at_s=at_s, step=began.step, act=began.act)] if isinstance(began, ev.ActBegan) else []
    )


def without(log: Sequence[ev.Event], of: ev.ActTakenBack) -> list[ev.Event]:
    """The log as it counts after an act was taken back: its words and marks gone, what happened beside it kept."""
    found = last_said(log)
    if found is None:
        return list(log)
    place, _ = found
    began = log[place]
    if not isinstance(began, ev.ActBegan) or (began.step, began.act) != (of.step, of.act):
        return list(log)
    return [*log[:place], *(e for e in log[place:] if isinstance(e, BESIDE))]


def words(said: Sequence[ev.Event], name_of: Callable[[str], str]) -> str:
    """What would be taken back, in a few words. ``name_of`` says what the maker calls a line of the formula."""
    event = said[-1]
    if isinstance(event, ev.WeightTaken):
        parts = [e.net_g for e in said if isinstance(e, ev.WeightTaken) and e.line == event.line]
        return tr("{get}, {net_g:g} g typed", get=name_of(event.line), net_g=exact(sum(parts)))
    if isinstance(event, ev.PhTaken):
        return tr("pH {ph:g} typed", ph=event.ph)
    if isinstance(event, ev.NumberTaken):
        first = said[0]
        taken = first if isinstance(first, ev.NumberTaken) else event
        return f"{taken.what}, {number(taken.value)} {taken.unit}".rstrip()
    if isinstance(event, ev.LookJudged):
        return tr(
            "{name}: {how}", name=event.name, how=tr("as described") if event.as_expected else tr("different")
        )
    if isinstance(event, ev.Confirmed):
        return event.text
    if isinstance(event, ev.LotTaken):
        return tr("lot {lot}", lot=event.lot) if event.lot else tr("no lot")
    return ""
