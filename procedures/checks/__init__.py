"""The rules of the trade, one small file per group, each rule a question put to a sheet."""

from __future__ import annotations

from benchapp.foundation.language import tr

from ..building import ProcedureDraft
from ..wording import Report, suggestion
from . import flow, formula, hazards, heat, naming, order, ph, vessels
from .rule import Rule

RULES: tuple[Rule, ...] = (
    *formula.RULES,
    *naming.RULES,
    *hazards.RULES,
    *heat.RULES,
    *ph.RULES,
    *flow.RULES,
    *order.RULES,
    *vessels.RULES,
)


def check(sheet: ProcedureDraft, report: Report) -> None:
    """Ask every rule whose parts of the file are whole, and note what they find in the report.

    A rule that may be overruled and has its reason under [accept] finds nothing.
    """
    accepted = sheet.procedure.cautions_ok
    needless = set(accepted)
    for rule in RULES:
        if not rule.needs <= sheet.whole:
            needless.discard(rule.name)
            continue
        for finding in rule.ask(sheet):
            if rule.by_choice and rule.name in accepted:
                needless.discard(rule.name)
                if rule.named and rule.name not in sheet.procedure.accepted_by:
                    _ask_for_name(rule, report)
            else:
                report.add(*finding, rule.name, rule.grade)
    _check_accepted(needless, report)


def _ask_for_name(rule: Rule, report: Report) -> None:
    report.add(
        ("accept", rule.name),
        tr("Nobody answers for the reason against {name}", name=rule.name),
        tr('Write {name} = {{ reason = "…", by = "your name" }}', name=rule.name),
        "accept",
        "error",
    )


def _check_accepted(names: set[str], report: Report) -> None:
    by_choice = [rule.name for rule in RULES if rule.by_choice]
    for name in sorted(names):
        at = ("accept", name)
        if name in by_choice:
            instead = tr("Leave the line out, so that the rule speaks up when it is needed")
            report.add(
                at, tr("The rule {name} finds nothing to overrule", name=name), instead, "accept", "warning"
            )
        elif name in {rule.name for rule in RULES}:
            report.add(
                at,
                tr("The rule {name} cannot be overruled", name=name),
                tr("Mend what it found instead"),
                "accept",
            )
        else:
            report.add(at, tr("There is no rule {name}", name=name), suggestion(name, by_choice), "accept")
