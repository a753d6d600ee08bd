"""Read scenarios from TOML, strictly: every mistake with its line. A file names things; it can do nothing itself."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from pathlib import Path

from pydantic import ValidationError

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.foundation.toml_places import Path as At
from benchapp.foundation.toml_places import Places
from benchapp.make.plan_making import make_plan
from benchapp.make.steps import acts_of
from benchapp.make.vocabulary import Stage
from benchapp.runtime.session_start import facts_of
from drivers.simulated import DEFAULT_DEVICES
from procedures.errors import ProcedureError, ProcedureInvalid
from procedures.model import Procedure
from procedures.reading import parse_toml, read_procedure
from procedures.shelf import find, shipped
from procedures.wording import Report, suggestion

from .errors import ScenarioInvalid, ScenarioNotFound
from .scenario import Criterion, Incident, Scenario, Trigger, Wanted
from .scenario_form import BeginTable, CriterionTable, EndTable, IncidentTable, ScenarioFile

SHIPPED = Path(__file__).parent / "scenarios"
#: What each happening needs to know.
_NEEDS = {
    "pour on": ("thing", "mass"), "tare": ("thing",), "probe out": ("thing",),
    "set temperature": ("thing", "temperature"), "cold bath": ("thing", "temperature"), "bath dry": (),
    "power cut": ("thing", "lasts"), "wrong lot": ("thing",), "too much dosed": ("thing", "mass"),
    "called away": ("says",),
}  # fmt: skip


def scenarios(own: Path | None = None) -> dict[str, Path]:
    """The shipped scenarios and those in a maker's own folder, by name; an own one stands for a shipped one."""
    folders = (SHIPPED, own) if own is not None else (SHIPPED,)
    return {p.stem: p for folder in folders for p in sorted(folder.glob("*.toml")) if p.is_file()}


def find_scenario(name: str, own: Path | None = None) -> Scenario:
    """A scenario by its name, which never becomes part of a path. Raises ScenarioNotFound and ScenarioInvalid."""
    known = scenarios(own)
    if name not in known:
        raise ScenarioNotFound(
            tr(
                'There is no scenario "{name}". {suggestion}',
                name=name,
                suggestion=suggestion(name, sorted(known)),
            )
        )
    return read_scenario(known[name])


def read_scenario(path: Path) -> Scenario:
    """The scenario in a file. Raises ScenarioNotFound where it cannot be read, ScenarioInvalid for what is in it."""
    try:
        text = path.read_text("utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise ScenarioNotFound(
            tr("{path} cannot be read as UTF-8 text. Check its name and folder", path=path)
        ) from error
    return read_scenario_text(text, str(path))


def read_scenario_text(text: str, file: str = "scenario.toml") -> Scenario:
    """The scenario in a text; its key is the stem of ``file``. Raises ScenarioInvalid with every problem."""
    try:
        data = parse_toml(text, file)
    except ProcedureInvalid as error:
        raise ScenarioInvalid(error.problems) from error
    report = Report(file, Places(text))
    try:
        form = ScenarioFile.model_validate(data)
    except ValidationError as error:
        report.add_invalid(error, (), ScenarioFile)
        raise ScenarioInvalid(report.problems) from error
    found = _Reader(form, report).scenario(Path(file).stem, text)
    if report.problems:
        raise ScenarioInvalid(report.problems)
    return found


def scenario_of(events: Sequence[ev.Event]) -> Scenario | None:
    """The scenario a make rehearses, from the text its record kept; None where there is none. Raises ScenarioInvalid."""
    first = events[0] if events else None
    if not isinstance(first, ev.MakeStarted) or not first.scenario:
        return None
    return read_scenario_text(first.scenario, "the scenario in the record.toml")


class _Reader:
    """Turns the tables of one file into a scenario, noting what names nothing."""

    def __init__(self, form: ScenarioFile, report: Report) -> None:
        self._form, self._report = form, report

    def scenario(self, key: str, text: str) -> Scenario:
        form, head = self._form, self._form.scenario
        procedure = self._procedure()
        begins = self._step(procedure, form.begin, "begin")
        ends = begins if form.end is None else self._step(procedure, form.end, "end")
        usual = procedure.default_batch_g if procedure else 0.0
        for nth, one in enumerate(form.happens):
            self._needs(one, nth, procedure)
        if procedure is not None and begins and ends:
            self._begins(procedure, head.batch or usual, begins)
            self._ends(procedure, begins, ends)
        b = form.begin
        return Scenario(
            key=key, title=head.title, goal=head.goal, procedure=head.procedure, batch_g=head.batch or usual,
            teaches=tuple(head.teaches), begins=Trigger(begins, b.act, b.stage, b.above, b.below), ends=ends,
            happens=tuple(_incident(x) for x in form.happens),
            good=self._signs(form.good, "good", procedure), bad=self._signs(form.bad, "bad", procedure), master=head.master,
            text=text,
        )  # fmt: skip

    def _say(self, at: At, what: str, instead: str) -> None:
        self._report.add(at, what, instead, "scenario")

    def _procedure(self) -> Procedure | None:
        name = self._form.scenario.procedure
        if name not in shipped():
            self._say(
                ("scenario", "procedure"),
                tr('There is no procedure "{name}"', name=name),
                suggestion(name, shipped()),
            )
            return None
        try:
            procedure = read_procedure(find(name)).procedure
        except ProcedureError as error:
            self._say(
                ("scenario", "procedure"),
                tr('"{name}" cannot be used', name=name),
                str(error).splitlines()[0],
            )
            return None
        kinds = {s.kind for s in procedure.steps}
        for nth, kind in enumerate(self._form.scenario.teaches):
            if kind not in kinds:
                self._say(
                    ("scenario", "teaches", nth),
                    tr('There is no step "{kind}"', kind=kind),
                    suggestion(kind, kinds),
                )
        batch = self._form.scenario.batch
        if batch is not None and not procedure.batch_g.holds(batch):
            bounds = tr("{low:g} to {high:g} g", low=procedure.batch_g.low, high=procedure.batch_g.high)
            self._say(
                ("scenario", "batch"),
                tr("{batch:g} g is not made by this procedure", batch=batch),
                tr("Choose {bounds}", bounds=bounds),
            )
        return procedure

    def _step(self, procedure: Procedure | None, table: BeginTable | EndTable, name: str) -> str:
        if procedure is None:
            return ""
        steps = [s.key for s in procedure.steps if s.kind == table.step]
        if table.nth <= len(steps):
            return steps[table.nth - 1]
        kinds = list(dict.fromkeys(s.kind for s in procedure.steps))
        instead = tr("It has {count} of them", count=len(steps)) if steps else suggestion(table.step, kinds)
        self._say(
            (name, "step"),
            tr('This procedure has no step "{step}" number {nth}', step=table.step, nth=table.nth),
            instead,
        )
        return ""

    def _begins(self, procedure: Procedure, batch_g: float, key: str) -> None:
        """What keeps the place where it begins from ever being reached: the scenario would never begin."""
        b = self._form.begin
        if b.act and procedure.batch_g.holds(batch_g):
            plan = make_plan(procedure, batch_g, [facts_of(d) for d in DEFAULT_DEVICES])
            step = next(s for s in procedure.steps if s.key == key)
            acts = [act.key for act in acts_of(step, plan)]
            if not any(act.startswith(b.act) for act in acts):
                what = tr('This step has no act "{act}"', act=b.act)
                self._say(("begin", "act"), what, suggestion(b.act, acts))
        if b.stage and b.stage not in list(Stage):
            what = tr('There is no stage "{stage}"', stage=b.stage)
            self._say(("begin", "stage"), what, suggestion(b.stage, list(Stage)))
        if b.above is not None and b.below is not None and b.above > b.below:
            what = tr("Nothing is above {above:g} and below {below:g}", above=b.above, below=b.below)
            self._say(("begin", "above"), what, tr("Leave one of the two out, or swap them"))

    def _ends(self, procedure: Procedure, begins: str, ends: str) -> None:
        keys = [s.key for s in procedure.steps]
        if keys.index(ends) < keys.index(begins):
            what = tr("It would end before it begins")
            self._say(("end", "step"), what, tr("Name the step it begins in, or a later one"))

    def _needs(self, one: IncidentTable, nth: int, procedure: Procedure | None) -> None:
        for field in _NEEDS[one.what]:
            given = getattr(one, field)
            if not given and (field != "temperature" or given is None):  # 0 °C is a temperature
                self._say(
                    ("happens", nth),
                    tr('"{what}" needs {field}', what=one.what, field=field),
                    tr("Add a line {field} = …", field=field),
                )
        known = _things(one.what, procedure)
        if one.thing and known and one.thing not in known:
            self._say(
                ("happens", nth, "thing"),
                tr('There is no "{thing}" here', thing=one.thing),
                suggestion(one.thing, known),
            )

    def _signs(
        self, tables: Sequence[CriterionTable], name: str, procedure: Procedure | None
    ) -> tuple[Criterion, ...]:
        out: list[Criterion] = []
        for nth, one in enumerate(tables):
            kind = ev.KINDS.get(one.event)
            if kind is None:
                self._say(
                    (name, nth, "event"),
                    tr('No event is called "{event}"', event=one.event),
                    suggestion(one.event, ev.KINDS),
                )
                continue
            fields = {f.name for f in dataclasses.fields(kind)}
            for field in one.where:
                if field not in fields:
                    what = tr('A {event} has no field "{field}"', event=one.event, field=field)
                    self._say((name, nth, "where", field), what, suggestion(field, sorted(fields)))
            self._sign_of_step(one, (name, nth, "where", "step"), procedure)
            where = tuple((k, _wanted(v)) for k, v in one.where.items())
            out.append(Criterion(kind, where, one.says, one.least, one.held, one.missed))
        return tuple(out)

    def _sign_of_step(self, one: CriterionTable, at: At, procedure: Procedure | None) -> None:
        wanted, keys = one.where.get("step"), [s.key for s in procedure.steps] if procedure else []
        for key in wanted if isinstance(wanted, list) else [wanted]:
            if keys and isinstance(key, str) and key not in keys:
                self._say(at, tr('There is no step "{kind}"', kind=key), suggestion(key, keys))


def _things(what: str, procedure: Procedure | None) -> tuple[str, ...]:
    """What a happening may be done to, as far as the procedure tells."""
    if procedure is None:
        return ()
    if what in ("tare", "power cut"):
        return tuple(d.name for d in DEFAULT_DEVICES if d.kind == "scale")
    if what == "probe out":
        return tuple(c for d in DEFAULT_DEVICES if d.kind == "thermometer" for c in d.channels)
    if what in ("set temperature", "cold bath"):
        return tuple(procedure.vessels)
    if what in ("pour on", "too much dosed"):
        return tuple(x.key for x in procedure.formula.lines)
    return tuple(procedure.materials) if what == "wrong lot" else ()


def _wanted(value: str | bool | float | list[str]) -> Wanted:
    return tuple(value) if isinstance(value, list) else value


def _incident(x: IncidentTable) -> Incident:
    return Incident(x.what, x.thing, x.mass or 0.0, x.temperature or 0.0, x.lasts, x.says)
