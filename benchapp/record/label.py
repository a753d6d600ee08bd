"""The approved label of a procedure, and whether a batch is still what it says. Regulation (EC) No 1223/2009 art. 19.

The text of a LabelApproved event is JSON of the form ``label/1``: the fields of ``Label``. Check your own market's
current law; the app composes and compares, it approves nothing.
"""

from __future__ import annotations

import json
import math
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from datetime import date
from typing import Any

from benchapp.calculations.composition import CompositionLine, Part, shares_as_added, together
from benchapp.calculations.fragrance import allergens, allergens_to_ask, labelled_as
from benchapp.calculations.label import FREE_BELOW_PERCENT, Durability, durability, ingredient_list
from benchapp.calculations.limits import DEFAULT_LAW, Law, Use, check_limits, not_known, not_known_in_short
from benchapp.calculations.substances import substance_key
from benchapp.foundation.language import tr
from benchapp.record.facts import ProcedureFacts
from benchapp.record.gs1 import gtin_14

FORM = "label/1"
#: Two ingredients may pass each other by this much before their order counts as changed: each was allowed to be
#: 2 % off when it was weighed (common practice, no source).
ORDER_SLACK = 0.04


@dataclass(frozen=True, slots=True)
class Label:
    """What stands on a container, as a person approves it. ``contents`` as printed ("100 ml"); months unopened and
    after opening (0: not stated); ``gtin`` as licensed, "" without one."""

    product: str
    ingredients: tuple[str, ...]
    contents: str
    durability_months: int
    responsible: tuple[str, ...]
    cautions: tuple[str, ...] = ()
    function: str = ""
    after_opening_months: int = 0
    gtin: str = ""

    def to_text(self) -> str:
        """The JSON a LabelApproved event keeps: sorted keys, the same for the same label."""
        return json.dumps({"form": FORM, **asdict(self)}, sort_keys=True, ensure_ascii=False)

    def keeps(self, made: date) -> Durability:
        """What is printed about durability. Raises ValueError where the months make no sense."""
        return durability(made, self.durability_months, self.after_opening_months or None)


def label_from(text: str) -> Label:
    """The label again from its JSON. Raises ValueError with one sentence for anything that is no such text."""
    try:
        data = json.loads(text)
    except ValueError as error:
        raise ValueError(
            tr("This is no label: {error}. Write JSON as benchapp approve-label drafts it.", error=error)
        ) from error
    if not isinstance(data, dict) or data.pop("form", None) != FORM:
        raise ValueError(tr('This is no label: its "form" is not "{form}". Start from a draft.', form=FORM))
    return _checked(data)


def _checked(data: dict[str, Any]) -> Label:
    known = {f.name: f for f in fields(Label)}
    for name in data:
        if name not in known:
            raise ValueError(
                tr("A label has no {name!r}. It has {names}.", name=name, names=", ".join(known))
            )
    for name in ("product", "ingredients", "contents", "durability_months", "responsible"):
        if not (value.strip() if isinstance(value := data.get(name), str) else value):
            raise ValueError(tr("The label lacks its {replace}. Fill it in.", replace=name.replace("_", " ")))
    clean: dict[str, Any] = {}
    for name, value in data.items():
        if name in ("ingredients", "responsible", "cautions"):
            if not isinstance(value, list) or not all(isinstance(x, str) and x.strip() for x in value):
                raise ValueError(tr("The label's {name} are a list of texts, each in quotes.", name=name))
            clean[name] = tuple(value)
        elif name.endswith("_months"):
            if not isinstance(value, int) or isinstance(value, bool) or value < 0:
                raise ValueError(
                    tr("The label's {replace} is a whole number of months.", replace=name.replace("_", " "))
                )
            clean[name] = value
        elif isinstance(value, str):
            clean[name] = value.strip()
        else:
            raise ValueError(tr("The label's {name} is a text in quotes.", name=name))
    label = Label(**clean)
    label.keeps(date(2026, 1, 1))
    if label.gtin:
        gtin_14(label.gtin)
    return label


def label_of(facts: ProcedureFacts) -> tuple[Label, tuple[str, ...]]:
    """A draft of a procedure's label, and what a person has to settle before approving it."""
    lines = lines_of(facts)
    listed = ingredient_list(lines)
    fill = next((s for s in facts.steps.values() if s.nominal is not None), None)
    contents = f"{fill.nominal:g} {fill.nominal_unit}" if fill else ""
    doubts = [*listed.doubts, *allergens_to_ask(lines)]
    names, spare = list(listed.names), _only_as_needed(facts)
    names += [n for n in spare if substance_key(n) not in {substance_key(x) for x in names}]
    doubts += [
        tr("{n} goes in only where the pH asks for it; the label names it all the same.", n=n) for n in spare
    ]
    return Label(facts.product, tuple(names), contents, 0, ()), tuple(doubts)


def _only_as_needed(facts: ProcedureFacts) -> tuple[str, ...]:
    """INCI names that only lines without a planned share can bring in."""
    planned = {
        substance_key(i) for x in facts.lines.values() if x.percent is not None for i, _, _ in x.composition
    }
    spare = (i for x in facts.lines.values() if x.percent is None for i, _, _ in x.composition)
    return tuple(dict.fromkeys(i for i in spare if substance_key(i) not in planned))


def lines_of(facts: ProcedureFacts, grams: Mapping[str, float] | None = None) -> tuple[CompositionLine, ...]:
    """The formula in percent of everything added: as planned, or from the ``grams`` of each line that went in."""
    whole = sum(grams.values()) if grams else 0.0
    shares = (
        {key: 100 * g / whole for key, g in grams.items()}
        if grams and whole > 0
        else {key: x.percent or 0.0 for key, x in facts.lines.items()}
    )
    return together(
        CompositionLine(
            facts.lines[key].whole_name or facts.lines[key].name,
            percent,
            tuple(Part(*p) for p in facts.lines[key].composition),
            facts.lines[key].limit_percent,
        )
        for key, percent in shares.items()
        if key in facts.lines and percent > 0
    )


def differences(
    label: Label,
    facts: ProcedureFacts,
    grams: Mapping[str, float],
    lost_percent: float,
    law: Law = DEFAULT_LAW,
) -> tuple[str, ...]:
    """Why a batch is not what its approved label says; nothing where it is.

    ``grams`` of each formula line that went in, ``lost_percent`` of all of it evaporated. Each reason is a
    sentence, and each one puts the batch out of specification.
    """
    if not grams:
        return (tr("Nothing was weighed in: there is no composition to compare with the label."),)
    lines = lines_of(facts, grams)
    return (
        *_missing_and_unlisted(label, lines, facts),
        *_out_of_order(label, lines),
        *_other_contents(label, facts),
        *_allergens(label, lines, _use(facts), lost_percent),
        *over_ceilings(facts, grams, lost_percent, law),
    )


def _missing_and_unlisted(
    label: Label, lines: tuple[CompositionLine, ...], facts: ProcedureFacts
) -> list[str]:
    shares = {k: s for k, s in shares_as_added(lines).items() if s.high_percent > 0}
    printed = {substance_key(n) for n in label.ingredients}
    may_lack = {substance_key(n) for n in _only_as_needed(facts)}
    names = {substance_key(n): n for n in label.ingredients}
    times = Counter(substance_key(n) for n in label.ingredients)
    found = [
        tr("{inci} is on the label more than once.", inci=names[k]) for k, count in times.items() if count > 1
    ]
    found += [
        tr("{inci} is in the batch and not on the label.", inci=s.inci)
        for k, s in shares.items()
        if k not in printed
    ]
    return found + [
        tr("{n} is on the label and not in the batch.", n=n)
        for n in label.ingredients
        if substance_key(n) not in shares and substance_key(n) not in may_lack
    ]


def _out_of_order(label: Label, lines: tuple[CompositionLine, ...]) -> list[str]:
    """Names printed before one that is now clearly more, where that one is 1 % or above (art. 19(1)(g))."""
    shares = shares_as_added(lines)
    listed = [shares[substance_key(n)] for n in label.ingredients if substance_key(n) in shares]
    found = []
    for i, late in enumerate(listed):
        if late.likely_percent < FREE_BELOW_PERCENT or late.inci.upper().startswith("CI "):
            continue
        for early in listed[:i]:
            if late.likely_percent > early.likely_percent * (1 + ORDER_SLACK):
                found.append(
                    tr(
                        "{inci} ({likely_percent:.2f} %) is now more than {inci_2} ({likely_percent_2:.2f} "
                        "%), which the label names before it.",
                        inci=late.inci,
                        likely_percent=late.likely_percent,
                        inci_2=early.inci,
                        likely_percent_2=early.likely_percent,
                    )
                )
                break
    return found


def _other_contents(label: Label, facts: ProcedureFacts) -> list[str]:
    """That the procedure fills another content than is printed, where both are a mass, or both a volume (art. 19(1)(b))."""
    ungrouped = re.sub(r"(?<=\d)\s(?=\d{3}\b)", "", label.contents.casefold())
    found = re.findall(r"(\d+(?:[.,]\d+)?)\s*(k?g|m?l)\b", ungrouped)
    # A point or a comma before three digits may group them: either reading is taken.
    found += [(re.sub("[.,]", "", n), unit) for n, unit in found if re.search(r"[.,]\d{3}$", n)]
    printed = [
        (float(n.replace(",", ".")) * (1000 if unit in ("kg", "l") else 1), unit[-1]) for n, unit in found
    ]
    filled = [(s.nominal, s.nominal_unit) for s in facts.steps.values() if s.nominal is not None]
    alike = [(p, f) for p, kind in printed for f, unit in filled if kind == unit[-1]]
    if not alike or any(math.isclose(p, f) for p, f in alike):
        return []
    names = ", ".join(f"{f:g} {unit}" for f, unit in filled)
    return [tr("The label says {contents}, and {names} is filled.", contents=label.contents, names=names)]


def _allergens(label: Label, lines: tuple[CompositionLine, ...], use: Use, lost_percent: float) -> list[str]:
    printed = {n.casefold() for n in label.ingredients}
    printed |= {labelled_as(n).casefold() for n in label.ingredients}
    return [
        tr(
            "{inci} reaches {percent:.4f} %, where it has to be named, and the label does not name it.",
            inci=a.inci,
            percent=a.percent,
        )
        for a in allergens(lines, use, lost_percent)
        if a.inci.casefold() not in printed
    ]


def _use(facts: ProcedureFacts) -> Use:
    return "rinse-off" if facts.use == "rinse-off" else "leave-on"


def over_ceilings(
    facts: ProcedureFacts, grams: Mapping[str, float], lost_percent: float, law: Law
) -> tuple[str, ...]:
    """Every ceiling of the law or of a supplier that a batch passes, a sentence each; arguments as of differences."""
    lines = lines_of(facts, grams)
    found = check_limits(lines, _use(facts), lost_percent, facts.area, law)
    return tuple(c.sentence for c in found if not c.passed)


def unknown_to_law(facts: ProcedureFacts, grams: Mapping[str, float], law: Law) -> tuple[str, str]:
    """What no ceiling is known for in a batch, and that the market's current law decides: by name, and in short for a
    page with little room; arguments as of differences."""
    lines, use = lines_of(facts, grams), _use(facts)
    return not_known(lines, use, law), not_known_in_short(lines, use, law)
