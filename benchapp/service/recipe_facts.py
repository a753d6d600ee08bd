"""What the faces show of recipes that are being written: plain data and sentences."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from benchapp.foundation.language import tr, translated
from benchapp.recipes.draft import LINE, STEP, VESSEL, Draft
from benchapp.recipes.draft_store import History
from benchapp.recipes.field_answers import field_words
from benchapp.recipes.findings import DraftFinding, about, findings_of, of_formula, read_draft
from benchapp.recipes.formula_sum import FormulaRow, FormulaSum, rows_of, sum_of
from benchapp.recipes.material_shelf import UNKNOWN, hazards_of
from benchapp.recipes.telling_apart import told_apart
from procedures.walk import walk


@dataclass(frozen=True, slots=True)
class FormulaLineFacts:
    """A line of the formula, what tells it from one of the same name, and what is wrong with it in which fields."""

    row: FormulaRow
    apart: str
    faults: tuple[str, ...]
    faulty: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """As it can be told from the others."""
        return f"{self.row.name}, {self.apart}" if self.apart else self.row.name


@dataclass(frozen=True, slots=True)
class MethodStepFacts:
    """A step: what it does, in a sentence where that can be said yet, what tells it from one of the same title, and what
    is wrong with it in which fields."""

    number: int
    kind: str
    title: str
    sentence: str
    apart: str
    faults: tuple[str, ...]
    faulty: tuple[str, ...] = ()

    @property
    def heading(self) -> str:
        """Its number and its title, as it can be told from the others."""
        heading = f"{self.number + 1}. {self.title}"
        return f"{heading}, {self.apart}" if self.apart else heading


@dataclass(frozen=True, slots=True)
class VesselFacts:
    """A vessel of the method: as the draft names it, its capacity as it is written, how many there are of it, over which
    the batch is split, and what is wrong with it."""

    number: int
    name: str
    capacity: str
    kettles: int
    faults: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DraftFacts:
    """A recipe as it stands. ``faults`` are errors that belong to no line, step or vessel; ``warnings`` all that may be
    left; ``ready``: nothing keeps it from being made. ``home``: the own procedure it comes from and goes back to."""

    key: str
    name: str
    use: str
    ph: str
    batch: tuple[str, str, str]
    lines: tuple[FormulaLineFacts, ...]
    sum: FormulaSum
    phases: tuple[str, ...]
    steps: tuple[MethodStepFacts, ...]
    vessels: tuple[VesselFacts, ...]
    faults: tuple[str, ...]
    warnings: tuple[str, ...]
    formula_ready: bool
    ready: bool
    undoes: str
    redoes: str
    home: str
    saved: bool

    @property
    def to_mend(self) -> int:
        """How many things keep it from being made; a step is one, whatever is wrong with it."""
        found = (self.faults, *(x.faults for x in self.lines), *(x.faults for x in self.vessels))
        return sum(map(len, found)) + sum(bool(x.faults) for x in self.steps)

    @property
    def standing(self) -> str:
        """Where it stands, in a few words."""
        if self.saved:
            return tr("ready to make")
        if self.ready:
            return tr("can be made")
        if not self.lines:
            return tr("no ingredient yet")
        if not self.sum.whole:
            return self.sum.sentence
        if not self.formula_ready:
            return tr("something of its formula is missing")
        return tr("its method has to be mended") if self.steps else tr("no method yet")


def draft_facts(key: str, history: History) -> DraftFacts:
    """What is shown of a draft. Raises ChangeRefused where its text is no TOML."""
    draft = history.draft
    found = findings_of(draft)
    errors = tuple(x for x in found if x.grade == "error")
    formula = draft.tables.get("formula", {})
    batch = draft.tables.get("batch", {})
    ph = formula.get("ph")
    formula_errors = [
        x for x in of_formula(errors) if x.rule not in ("ph-band", "ph-step", "as-needed", "weighed-once")
    ]
    return DraftFacts(
        key=key,
        name=draft.name,
        use=str(formula.get("use", "")),
        ph=field_words(ph) if ph else "",
        batch=(str(batch.get("smallest", "")), str(batch.get("usual", "")), str(batch.get("largest", ""))),
        lines=_lines(draft, errors),
        sum=sum_of(draft),
        phases=draft.phases,
        steps=_steps(draft, errors),
        vessels=_vessels(draft, errors),
        faults=tuple(
            x.sentence
            for x in errors
            if x.place[:2] != LINE and x.place[:1] not in (STEP, VESSEL) and not _no_method_yet(draft, x)
        ),
        warnings=(*(x.sentence for x in found if x.grade == "warning"), *_unknown_hazards(draft)),
        formula_ready=not formula_errors and bool(draft.list_of(LINE)),
        ready=not errors,
        undoes=history.undoes,
        redoes=history.redoes,
        home=history.home,
        saved=bool(history.home) and history.base == draft.text,
    )


def _unknown_hazards(draft: Draft) -> tuple[str, ...]:
    names = [m.name for m in read_draft(draft).sheet.procedure.materials.values() if not hazards_of(m)]
    return (f"{', '.join(names)}: {translated(UNKNOWN)}",) if names else ()


def _no_method_yet(draft: Draft, found: DraftFinding) -> bool:
    """Whether it only says that there are no steps or vessels, where nobody has begun with them."""
    return bool(found.lacks) and not draft.list_of(STEP)


def _said(errors: tuple[DraftFinding, ...], place: tuple[str | int, ...]) -> tuple[str, ...]:
    return tuple(x.sentence for x in about(errors, place))


def _wrong(
    errors: tuple[DraftFinding, ...], place: tuple[str | int, ...]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What is wrong in a table, and in which fields."""
    fields = (x.field for x in about(errors, place))
    return _said(errors, place), tuple(dict.fromkeys(field for field in fields if field))


def _lines(draft: Draft, errors: tuple[DraftFinding, ...]) -> tuple[FormulaLineFacts, ...]:
    rows = rows_of(draft)
    apart = told_apart([(x.name, x.phase, x.share) for x in rows])
    return tuple(
        FormulaLineFacts(row, what, *_wrong(errors, (*LINE, row.number)))
        for row, what in zip(rows, apart, strict=True)
    )


def _vessels(draft: Draft, errors: tuple[DraftFinding, ...]) -> tuple[VesselFacts, ...]:
    return tuple(
        VesselFacts(
            n,
            str(v.get("name", "")),
            str(v.get("capacity", "")),
            kettles if isinstance(kettles := v.get("kettles"), int) else 1,
            _said(errors, (*VESSEL, n)),
        )
        for n, v in enumerate(draft.list_of(VESSEL))
    )


def _steps(draft: Draft, errors: tuple[DraftFinding, ...]) -> tuple[MethodStepFacts, ...]:
    procedure = read_draft(draft).sheet.procedure
    try:
        said = {
            int(step.key[:2]) - 1: tr("for each kettle: {sentence}", sentence=step.sentence(bench))
            if step.kettle
            else step.sentence(bench)
            for step, bench in walk(procedure)
            if step.kettle <= 1
        }
    except KeyError:  # a step that could not be read moved what a later one speaks of
        said = {}
    steps = draft.list_of(STEP)
    telling = [[str(s.get("title", "")), str(s.get("kind", "")), *_what_it_names(s)] for s in steps]
    return tuple(
        MethodStepFacts(
            n,
            str(s.get("kind", "")),
            str(s.get("title", "")),
            said.get(n, ""),
            apart,
            *_wrong(errors, (*STEP, n)),
        )
        for n, (s, apart) in enumerate(zip(steps, told_apart(telling), strict=True))
    )


def _what_it_names(step: dict[str, Any]) -> tuple[str, ...]:
    """The vessels, phases and ingredients of a step, and what else two of a kind may differ in."""
    given = "vessel pour into phase phases ingredients below band bursts rest content"
    return tuple(field_words(step[x]).replace("degC", "°C") if x in step else "" for x in given.split())
