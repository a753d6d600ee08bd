"""What is written on the way to a decision about a batch: results, deviations accepted, and the decision itself."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp import events as ev
from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, translated
from benchapp.record.deviations import Deviation
from benchapp.record.errors import NotAllowed
from benchapp.record.facts import CheckResult, ReleaseFacts
from benchapp.record.people import Proof
from benchapp.record.release import check_problem, checks_of, notes_on, why_not
from benchapp.record.workshop import Workshop


def record_check(shop: Workshop, batch: str, name: str, result: CheckResult, by: str) -> bool:
    """One result of the release specification; returns whether it passed. A check with limits passes by its value, any
    other by whether it is fine."""
    check = _check_named(shop, batch, name)
    why = check_problem(check, shop.standing(batch), result, shop.journal.wall())
    if why:
        raise NotAllowed(why)
    limited = check.low is not None or check.high is not None
    if not limited and result.fine is None:
        raise NotAllowed(tr("Say whether it is as it has to be: {expect}.", expect=check.expect))
    passed = (
        Band.of(check.low, check.high).holds(result.value) and result.fine is not False
        if limited and result.value is not None
        else bool(result.fine)
    )
    written = ev.CheckRecorded(
        at_s=0.0,
        check=check.name,
        expect=check.expect,
        value=result.value,
        words=result.words,
        passed=passed,
        by=by,
    )
    shop.add_to(batch, written)
    return passed


def _check_named(shop: Workshop, batch: str, name: str) -> ReleaseFacts:
    known, wanted = shop.specification(batch), name.casefold()
    for check in known:
        if wanted in (check.name.casefold(), translated(check.name).casefold()):  # as a list shows it
            return check
    names = ", ".join(translated(c.name) for c in known) or "none"
    raise NotAllowed(
        tr(
            "Batch {batch} has no release check {name!r}; it has: {names}.",
            batch=batch,
            name=name,
            names=names,
        )
    )


def deviation(shop: Workshop, batch: str, number: int) -> Deviation:
    """One deviation of a batch, as it stands. Raises NotAllowed where there is none of that number."""
    found = next((d for d in shop.standing(batch).deviations if d.number == number), None)
    if found is None:
        raise NotAllowed(tr("Batch {batch} has no deviation {number}.", batch=batch, number=number))
    return found


def close_deviation(shop: Workshop, batch: str, number: int, reason: str, by: str) -> None:
    """Accept an open deviation, with the reason why the product may still be used."""
    known = deviation(shop, batch, number)
    if known.closed:
        raise NotAllowed(
            tr("Deviation {number} is closed already: {closed}", number=number, closed=known.closed)
        )
    if not reason.strip():
        raise NotAllowed(tr("Say why the product may still be used."))
    shop.add_to(batch, ev.DeviationClosed(at_s=0.0, number=number, reason=reason, by=by))


def against(
    shop: Workshop, batch: str, decision: str, who: str, label_reasons: Sequence[str] = ()
) -> tuple[str, ...]:
    """Every reason why this person may not decide so now."""
    standing = shop.standing(batch)
    specified = shop.specification(batch) if decision == "released" else ()
    checks = checks_of(standing, specified, shop.journal.wall())
    reasons = why_not(decision, shop.people().find(who), standing, checks, label_reasons)
    return (*reasons, *shop.against_elsewhere(batch)) if decision == "released" else reasons


def decide(
    shop: Workshop, batch: str, decision: str, reason: str, proof: Proof, label_reasons: Sequence[str] = ()
) -> tuple[str, ...]:
    """Release, rework or reject, signed; returns what the decision says about itshop."""
    reasons = against(shop, batch, decision, proof.who, label_reasons)
    if reasons:
        raise NotAllowed("\n".join(reasons))
    if decision != "released" and not reason.strip():
        raise NotAllowed(tr("Say why."))
    notes = notes_on(proof.who, shop.standing(batch))
    said = "; ".join(part for part in (reason.strip(), *notes) if part)
    shop.add_to(
        batch,
        ev.BatchDecided(at_s=0.0, decision=decision, reason=said, by=proof.who, role="releaser"),
        ev.Signed(
            at_s=0.0,
            step="",
            who=proof.who,
            meaning=tr("batch {decision}", decision=decision),
            role="releaser",
            proof="pin",
        ),
    )
    return notes
