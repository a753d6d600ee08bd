"""What a pH step shows: the sample, the reading against its band, the next addition and what it does to the batch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from benchapp import events as ev
from benchapp.calculations.ph_formula import percents_after, product_after_g
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Context
from benchapp.make.acts.dilution import DilutionPlan
from benchapp.make.acts.dilution_view import dilution_view
from benchapp.make.acts.lot import lot_question
from benchapp.make.acts.typed_twice import typed_weight
from benchapp.make.dosing import Dose
from benchapp.make.law_now import in_the_end, passed_now
from benchapp.make.pictures import BandPicture, Picture, TimerPicture, TitrationPicture
from benchapp.make.state import DILUTION_VESSEL
from benchapp.make.steps.ph_dose import STIR_S, TRIAL_STIR_S, boat_of
from benchapp.make.steps.ph_known import STRIP_STEPS_PH, TRIAL_G, TRIAL_MOST_G, TRIAL_VESSEL, PhAct
from benchapp.make.view_model import ActView, Choice, Forecast, LiveValue, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb


def act_view_of(act: PhAct, context: Context) -> ActView:
    """The face of the stage the step stands in."""
    full = context.progress.stage
    trial, stage = full.on_trial, full.plain
    vessel = TRIAL_VESSEL if trial else act.vessel
    if full.on_dilution:
        return dilution_view(act, context)
    if stage == Stage.SETTLE:
        want = Want(Verb.PH_PROBE_IN, vessel=vessel)
        return _wait_view(act, context, act.settle_s, tr("Let the reading settle"), want)
    if stage == Stage.STIR:
        label = tr("Stir it into the trial sample") if trial else tr("Stir the addition in")
        return _wait_view(
            act, context, TRIAL_STIR_S if trial else STIR_S, label, Want(Verb.STIR, vessel=vessel)
        )
    if stage in (Stage.READ, Stage.NEXT):
        return _read_view(act, context, vessel, trial)
    if stage == Stage.ADJUST:
        return _adjust_view(act, context)
    if stage == Stage.CLEAR:
        return ActView(
            tr("Clear the {scale}.", scale=act.scale), full, want=Want(Verb.LIFT, device=act.scale)
        )
    if stage.asks_lot:
        return _lot_view(act, context, trial)
    if stage in (Stage.DOSE, Stage.TYPED):
        return _dose_view(act, context, vessel, trial)
    return _sample_view(act, context, trial)


def _band(act: PhAct, context: Context, value: float | None, trial: bool = False) -> Picture:
    """The titration once something was added, else the value, where there is one, in its window."""
    points = () if trial else titrated(act, context)
    if len(points) < 2:
        return BandPicture("pH", value, act.band.low, act.band.high, "pH")
    return TitrationPicture(points, act.band.low, act.band.high)


def titrated(act: PhAct, context: Context) -> tuple[tuple[float, float], ...]:
    """(grams added so far, pH) of every reading of the batch in this step."""
    added, points = 0.0, []
    for event in context.state.log:
        if isinstance(event, ev.WeightTaken) and event.line in (*act.raise_with, *act.lower_with):
            added += event.net_g
        elif isinstance(event, ev.PhTaken) and event.step == act.step.key:
            points.append((added, event.ph))
    return tuple(points)


def _live(act: PhAct, ph: float | None, source: ev.Source) -> LiveValue:
    """A reading against the window, and how far it still is."""
    word = "" if ph is None else tr_noop("in band") if act.band.holds(ph) else tr_noop("out of band")
    to_go = None if ph is None or act.band.holds(ph) else exact(max(ph - act.band.high, act.band.low - ph))
    device, checked = (act.meter, act.checked) if source is ev.Source.MEASURED else ("", True)
    return LiveValue("pH", ph, "pH", 2, source, device, word, checked, to_go=to_go)


def _sample_view(act: PhAct, context: Context, trial: bool) -> ActView:
    grams = TRIAL_G if trial else act.sample_g
    diluted = (
        tr("Stir it into {water_parts:g} g of purified water. ", water_parts=act.water_parts * grams)
        if act.water_parts
        else ""
    )
    if trial:
        text = tr("Take {grams:g} g for a trial.", grams=grams)
        note = tr(
            "{diluted}The additions are tried on it first, until they have gone too far. It is thrown "
            "away afterwards.",
            diluted=diluted,
        )
        want = Want(Verb.SAMPLE, TRIAL_VESSEL, act.vessel, amount=grams)
        return ActView(
            text,
            Stage.TRIAL_SAMPLE,
            note=note,
            choices=(Choice(ChoiceKey.YES, tr("Trial is ready")),),
            want=want,
        )
    text = tr("Take {grams:g} g as a sample.", grams=grams)
    note = tr("{diluted}Let it come to room temperature. It is used up.", diluted=diluted)
    return ActView(text, note=note, picture=_band(act, context, None), choices=(Choice(ChoiceKey.YES, tr("Sample is ready")),),
                want=Want(Verb.SAMPLE, vessel=act.vessel, amount=grams))  # fmt: skip


def _wait_view(act: PhAct, context: Context, total: float, label: str, want: Want) -> ActView:
    elapsed = min(act.waited_s(context), total)
    left = total - elapsed
    return ActView(f"{label}.", context.progress.stage, picture=TimerPicture(elapsed, total, label),
                forecast=Forecast("done", left, left, left), live=(LiveValue("left", left, "s", 0, ev.Source.COMPUTED, ""),), want=want)  # fmt: skip


def _reader_view(context: Context) -> ActView:
    strips = (
        Choice(ChoiceKey.STRIP, tr("Strip in steps of {x:g}", x=x), serious=True, of=f"{x:g}")
        for x in STRIP_STEPS_PH
    )
    return ActView(tr("What do you read the pH with?"), context.progress.stage, want=Want(Verb.CONFIRM),
                   choices=(Choice(ChoiceKey.METER, "Meter", serious=True), *strips),
                   note=tr("Asked once on this bench. A strip tells less: the additions are the smaller for it."))  # fmt: skip


def _sample_as_it_is(act: PhAct) -> str:
    """What is read in: the record says besides that its temperature was not measured."""
    if not act.water_parts:
        return tr("The sample is the batch as it is, at room temperature.")
    return tr(
        "You diluted it: 1 part in {parts:g} parts of water, at room temperature.",
        parts=act.water_parts,
    )


def _read_view(act: PhAct, context: Context, vessel: str, trial: bool) -> ActView:
    if act.asks_for_reader(context):
        return _reader_view(context)
    live_ph = act.live_ph(context) if act.meter else None
    live = (_live(act, live_ph, ev.Source.MEASURED),) if act.meter else ()
    ask = NumberRequest("pH", "pH", 0.0, 14.0, 2, usual=not act.meter)
    text, sample = tr("Wait until the pH reading stands still."), _sample_as_it_is(act)
    if not act.meter:
        text = tr("Read the pH of the diluted sample.") if act.water_parts else tr("Read the pH.")
    trying = tr("Of the trial sample. It may go too far: that is what it is for. ") if trial else ""
    note = f"{trying}{sample}"
    return ActView(text, context.progress.stage, live, _band(act, context, live_ph, trial), ask=ask,
                want=Want(Verb.READ_PH, vessel=vessel), note=note, move="" if act.meter else tr("Then type it"))  # fmt: skip


def _lot_view(act: PhAct, context: Context, trial: bool) -> ActView:
    found = act.dose(context, trial)
    if found is None:
        return ActView(tr("Nothing is to be added."))
    return lot_question(context, found.of.line, found.grams)


def _adjust_view(act: PhAct, context: Context) -> ActView:
    ph, dose, plan = act.last_ph(context) or 0.0, act.dose(context), act.dilution_plan(context)
    # Where nothing is suggested, why not is what holds it up: a small glass may leave a note to *More*, never that.
    note = _adjust_note(act, context, dose, plan)
    against = (_in_short(note),) if dose is None else _passed_with(context, dose)
    against = (*_unanswered(act, context), *against)
    first = () if dose is None else (_adding(act, context, dose, serious=bool(against)),)
    text = tr("pH {ph:.2f} is outside {low:g}–{high:g}.", ph=ph, low=act.band.low, high=act.band.high)
    source = next((e.source for e in reversed(context.state.phs) if e.step == act.step.key), ev.Source.STATED)
    return ActView(
        text, Stage.ADJUST, (_live(act, ph, source),), _next_picture(act, context, dose), not_yet=against,
        choices=(*first, *_ways_on(act, context, ph, plan)), want=Want(Verb.ADJUST_PH), note=note,
    )  # fmt: skip


def _passed_with(context: Context, dose: Dose) -> tuple[str, ...]:
    """The ceilings that this addition would pass, and that are not passed yet."""
    key, before = dose.of.line.key, in_the_end(context)
    after = before | {key: before.get(key, 0.0) + dose.grams * dose.of.share}
    passed = passed_now(context, before)
    return tuple(x for x in passed_now(context, after) if x not in passed)


def _adding(act: PhAct, context: Context, dose: Dose, *, serious: bool) -> Choice:
    found = act.suggested(context)
    reads = (
        tr(
            ", then pH {ph_low:.2f} to {ph_high:.2f} (computed)",
            ph_low=found.ph_low,
            ph_high=found.ph_high,
        )
        if found is not None
        else ""
    )
    label = tr("Add {grams:.2f} g", grams=dose.grams)
    return Choice(ChoiceKey.ADD, label, serious=serious, effect=f"{dose.of.name}{reads}")


def _ways_on(act: PhAct, context: Context, ph: float, plan: DilutionPlan | None) -> Iterator[Choice]:
    """What else may be done: a trial, a dilution, another sample, or it stays."""
    if act.may_try(context):
        label = tr("Try it on {trial_g:g} g first", trial_g=TRIAL_G)
        yield Choice(ChoiceKey.TRY, label, effect=tr("a sample that is thrown away"))
    if plan is not None:
        label = tr("Dilute it to {percent:g} %", percent=plan.percent)
        yield Choice(ChoiceKey.DILUTE, label, effect=_mixed(plan))
    yield Choice(ChoiceKey.AGAIN, tr("Measure again"), effect=tr("a new sample, nothing added"))
    stays = tr("pH {ph:.2f} stays, outside {low:g} to {high:g}", ph=ph, low=act.band.low, high=act.band.high)
    yield Choice(ChoiceKey.ACCEPT, tr("Accept it"), serious=True, reason=True, effect=stays)


def _in_short(note: str) -> str:
    """What holds it up alone: the rest of the note stands in *More* where there is no room."""
    before = tr("Nothing is suggested: {hindrance}.", hindrance="\0").partition("\0")[0]
    why = note.removeprefix(before).partition(";")[0].partition(". ")[0].rstrip(".")
    return f"{why[:1].upper()}{why[1:]}."


def _mixed(plan: DilutionPlan) -> str:
    """What a dilution is made of."""
    return tr(
        "{grams:g} g in {grams_2:g} g of water, nothing added yet",
        grams=plan.part.grams,
        grams_2=plan.carrier.grams,
    )


def _next_picture(act: PhAct, context: Context, dose: Dose | None) -> TitrationPicture:
    """The titration so far in grams of the solution as it is bought, and where the next addition should bring it."""
    points, found = titrated(act, context), act.suggested(context)
    grams = None if dose is None else dose.grams * dose.of.share
    if dose is None or found is None:
        return TitrationPicture(points, act.band.low, act.band.high, grams)
    return TitrationPicture(points, act.band.low, act.band.high, grams, found.ph_low, found.ph_high)


def _unanswered(act: PhAct, context: Context) -> tuple[str, ...]:
    """That the batch has not answered to what went in, or the trial sample before anything did."""
    if grams := act.unanswered_g(context):
        return (
            tr("The pH has not moved since {grams:.2f} g went in. Stir, and measure again before you add more.", grams=grams),
        )  # fmt: skip
    unanswered = act.trial_unanswered(context)
    if unanswered is None or any(context.state.weights.get(x) for x in (*act.raise_with, *act.lower_with)):
        return ()
    ph, grams = unanswered
    return (
        tr(
            "The trial sample stayed at pH {ph:.2f} with {grams:.2f} g in it. It is not reckoned with: perhaps nothing was stirred in.",
            ph=ph, grams=grams,
        ),
    )  # fmt: skip


def _adjust_note(act: PhAct, context: Context, dose: Dose | None, plan: DilutionPlan | None) -> str:
    found = act.suggested(context)
    if dose is None:
        if found is not None and plan is not None:
            return tr(
                "Nothing is suggested: {hindrance}. It takes {grams:g} g of {name} in {grams_2:g} g "
                "of {name_2}.",
                hindrance=found.hindrance,
                grams=plan.part.grams,
                name=plan.line.name,
                grams_2=plan.carrier.grams,
                name_2=plan.carrier_line.name,
            )
        if found is not None and found.hindrance:
            return tr("Nothing is suggested: {hindrance}.", hindrance=found.hindrance)
        named = act.solutions(context)
        return (
            tr("The method allows no more to be added.")
            if named
            else tr("The method names nothing that moves it back.")
        )
    note = tr("Add {grams:.2f} g of {name}.", grams=dose.grams, name=dose.of.name)
    if found is not None:
        note += tr(
            " It should then read {ph_low:.2f} to {ph_high:.2f} (computed).",
            ph_low=found.ph_low,
            ph_high=found.ph_high,
        )
    return f"{note} {_share_after(act, context, dose)}"


def _share_after(act: PhAct, context: Context, dose: Dose) -> str:
    """What the batch will hold of the solution, against its cap."""
    line, grams = dose.of.line, dose.grams * dose.of.share
    batch = context.state.ledger.of(act.vessel).content_g
    before = sum(w.net_g for w in context.state.weights.get(line.key, ()))
    whole = max(batch, before + 1e-9)
    after = percents_after({line.key: 100.0 * before / whole}, whole, {line.key: grams})[line.key]
    left = product_after_g(whole, dose.grams, 0.0)  # samples and trial are out of the ledger already
    return tr(
        "The batch then holds {after:.2f} % of it; the cap is {cap_percent:g} %. There will "
        "be {left:.0f} g of it.",
        after=after,
        cap_percent=line.cap_percent or 0.0,
        left=left,
    )


def _dose_view(act: PhAct, context: Context, vessel: str, trial: bool) -> ActView:
    found = act.dose(context, trial)
    if found is None:
        return ActView(tr("Nothing is to be added."), context.progress.stage)
    of, dose, into = found.of, found.grams, vessel if trial else context.vessel_name(act.vessel)
    thing = DILUTION_VESSEL if of.dilution else of.line.key
    most = TRIAL_MOST_G if trial else of.cap_left_g
    band, wanted = act.dose_target(context, found).band, Want(Verb.TYPE, thing, vessel, amount=dose)
    ask = NumberRequest(
        tr("mass of {name} added", name=of.name), "g", 0.0, most, 2, usual=not act.scale, band=band
    )
    if context.progress.stage.plain == Stage.TYPED:
        return typed_weight(of.name, context.progress.value or 0.0, band, ask, wanted)
    enough = (Choice(ChoiceKey.ENOUGH, tr("Enough tried")),) if trial else ()
    if not act.scale:
        text = tr(
            "Add {dose:.2f} g of {name} to the {name_2} and type what it was.",
            dose=dose,
            name=of.name,
            name_2=into,
        )
        return ActView(text, context.progress.stage, ask=ask, choices=enough, want=wanted)
    boat = boat_of(act, context, found)
    face, net = boat.face(of.name, act.scale_checked, ask), boat.net_g
    if not boat.begun:
        text = tr("Put an empty weighing boat on the {scale}.", scale=act.scale)
        return replace(face, instruction=text, choices=enough, want=boat.want(Verb.PUT_ON))
    lifted = boat.lifted(face)
    if lifted is not None:
        return lifted
    if net is not None and boat.target.band.above(net):
        text = tr("Take {net:.2f} g out of the boat again. It is waste.", net=net - dose)
        return replace(face, instruction=text, want=boat.want(Verb.REMOVE, of.line.key))
    text = tr("Weigh {dose:.2f} g of {name}.", dose=dose, name=of.name)
    note = tr("Into the boat, then stir it into the {name}.", name=into)
    return boat.filling(replace(face, note=note), text, thing, enough)
