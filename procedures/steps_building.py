"""From the step tables of a file to steps: every name a step mentions is looked up here."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypedDict

from benchapp.foundation.toml_places import Path, Places

from . import model as m
from . import schema as s
from .sections import Sections
from .wording import Report, suggestion


class _Missing(Exception):
    """A name that leads nowhere; already noted in the report."""


class _Common(TypedDict):
    key: str
    kind: str
    title: str
    line: int
    note: str
    why: str
    look: str
    wrong: str


class StepBuilder:
    """Builds the steps of one file in order, remembering what has been weighed into which vessel."""

    def __init__(
        self,
        formula: m.Formula,
        materials: Mapping[str, m.Material],
        vessels: Mapping[str, m.Vessel],
        found: Sections,
        report: Report,
        places: Places,
    ) -> None:
        self._found = found
        self._formula = formula
        self._lines = {line.name.casefold(): line for line in formula.lines}
        self._materials = {x.name.casefold(): x for x in materials.values()}
        self._vessels = {x.name.casefold(): x for x in vessels.values()}
        self._report = report
        self._places = places
        self._weighed: dict[str, list[m.FormulaLine]] = {}  # by vessel key
        self._path: Path = ()

    def build(self, tables: Sequence[tuple[Path, s.AnyStepTable]]) -> list[tuple[Path, m.Step]]:
        """The steps whose names all lead somewhere."""
        built = []
        for path, table in tables:
            self._path = path
            try:
                built.append((path, self._step(table)))
            except _Missing:
                continue
        return built

    def _step(self, x: s.AnyStepTable) -> m.Step:
        number = int(self._path[-1]) + 1
        common = _Common(
            key=f"{number:02d}-{x.kind.replace(' ', '-')}",
            kind=x.kind,
            title=x.title,
            line=self._places.value(self._path).line,
            note=x.note,
            why=x.why,
            look=x.look,
            wrong=x.wrong,
        )
        return _MAKERS[x.kind](self, x, common)

    # looking up names

    def _one(self, name: str, known: Mapping[str, Any], what: str, field: str | int, *more: int) -> Any:
        found = known.get(name.casefold())
        if found is None and self._found.is_broken(name):
            raise _Missing
        if found is None:
            names = [x.name for x in known.values()]
            self._report.add(
                (*self._path, field, *more), f'There is no {what} "{name}"', suggestion(name, names), "name"
            )
            raise _Missing
        return found

    def _vessel(self, name: str, field: str) -> str:
        return str(self._one(name, self._vessels, "vessel", field).key)

    def _phase(self, name: str, field: str, *more: int) -> str:
        if name not in self._formula.phases and self._found.is_broken(name):
            raise _Missing
        if name not in self._formula.phases:
            what = f'No ingredient is in a phase "{name}"'
            self._report.add(
                (*self._path, field, *more), what, suggestion(name, self._formula.phases), "name"
            )
            raise _Missing
        return name

    def _vessel_for(self, phase: str, name: str | None) -> str:
        if name is not None:
            return self._vessel(name, "vessel")
        own = [v.key for v in self._vessels.values() if v.phase == phase]
        if not own and self._found.is_broken(phase):
            raise _Missing
        if len(own) != 1:
            what = (
                f'{len(own) or "No"} vessel{"s are" if len(own) > 1 else " is"} meant for the phase "{phase}"'
            )
            self._report.add((*self._path, "phase"), what, "Say which one with vessel = …", "name")
            raise _Missing
        return own[0]

    def _ingredients(self, names: Sequence[str]) -> tuple[m.FormulaLine, ...]:
        return tuple(
            self._one(name, self._lines, "ingredient", "ingredients", i) for i, name in enumerate(names)
        )

    def _as_needed(self, names: list[str], field: str) -> tuple[str, ...]:
        return tuple(self._solution(name, field) for name in names)

    def _solution(self, name: str, field: str) -> str:
        line = self._one(name, self._lines, "ingredient", field)
        if line.cap_percent is None:
            what = f'"{name}" has a planned share, so it is no pH solution'
            self._report.add(
                (*self._path, field), what, 'Give it percent = "as needed" and a cap', "ph-solution"
            )
            raise _Missing
        return str(line.key)

    # one maker per kind of step

    def _prepare(self, x: s.PrepareTable, c: _Common) -> m.Step:
        return m.Prepare(
            **c,
            tasks=tuple(x.tasks),
            contact_s=x.contact,
            sanitiser=x.sanitiser,
            flammable_sanitiser=x.flammable_sanitiser,
            wear=tuple(x.wear),
        )

    def _weigh(self, x: s.WeighTable, c: _Common) -> m.Step:
        phase = self._phase(x.phase, "phase")
        vessel = self._vessel_for(phase, x.vessel)
        lines = self._ingredients(x.ingredients) or self._formula.in_phase(phase)
        if not lines:
            what = f'Nothing in the phase "{phase}" has a share, so there is nothing to weigh'
            self._report.add(
                (*self._path, "phase"), what, "Leave the step out: a pH step adds it", "weigh-phase"
            )
            raise _Missing
        self._weighed.setdefault(vessel, []).extend(lines)
        return m.Weigh(**c, phase=phase, vessel=vessel, lines=tuple(x.key for x in lines), scale=x.scale)

    def _disperse(self, x: s.DisperseTable, c: _Common) -> m.Step:
        lines = tuple(line.key for line in self._ingredients(x.ingredients))
        return m.Disperse(
            **c, vessel=self._vessel(x.vessel, "vessel"), lines=lines, stir_s=x.stir, rest_s=x.rest
        )

    def _premix(self, x: s.PremixTable, c: _Common) -> m.Step:
        phase = self._phase(x.phase, "phase")
        return m.Premix(**c, phase=phase, vessel=self._vessel_for(phase, x.vessel), stir_s=x.stir)

    def _heat(self, x: s.HeatTable, c: _Common) -> m.Step:
        phases = tuple(self._phase(name, "phases", i) for i, name in enumerate(x.phases))
        return m.Heat(**c, phases=phases, band_c=x.band, hold_s=x.hold, over_c=x.over, bath=x.bath)

    def _top_up(self, x: s.TopUpTable, c: _Common) -> m.Step:
        phase = self._phase(x.phase, "phase")
        water = self._one(x.water, self._materials, "material", "water")
        return m.TopUp(**c, phase=phase, vessel=self._vessel_for(phase, x.vessel), material=water.key)

    def _combine(self, x: s.CombineTable, c: _Common) -> m.Step:
        source, into = self._vessel(x.pour, "pour"), self._vessel(x.into, "into")
        return m.Combine(**c, source=source, into=into, band_c=x.band, within_k=x.within)

    def _blend(self, x: s.BlendTable, c: _Common) -> m.Step:
        vessel = self._vessel(x.vessel, "vessel")
        return m.Blend(
            **c, vessel=vessel, bursts=x.bursts, burst_s=x.burst, rest_s=x.rest, head_depth_mm=x.head
        )

    def _cool(self, x: s.CoolTable, c: _Common) -> m.Step:
        vessel = self._vessel(x.vessel, "vessel")
        return m.Cool(**c, vessel=vessel, below_c=x.below, stir=x.stirring, not_below_c=x.not_below)

    def _add(self, x: s.AddTable, c: _Common) -> m.Step:
        vessel = self._vessel(x.vessel, "vessel")
        source = "" if x.pour is None else self._vessel(x.pour, "pour")
        lines = self._ingredients(x.ingredients)
        limits = [line.material.below_c for line in (*lines, *self._weighed.get(source, ()))]
        below = x.below if x.below is not None else min((b for b in limits if b is not None), default=None)
        keys = tuple(line.key for line in lines)
        return m.Add(
            **c, vessel=vessel, lines=keys, source=source, below_c=below, above_c=x.above, stir_s=x.stir
        )

    def _measure_ph(self, x: s.MeasurePhTable, c: _Common) -> m.Step:
        vessel = self._vessel(x.vessel, "vessel")
        band = x.band or self._formula.ph
        if band is None and self._found.formula is None:
            raise _Missing
        if band is None:
            self._report.add(
                self._path, "There is no pH to aim for", "Write ph = [5.0, 5.8] under [formula]", "ph-band"
            )
            raise _Missing
        return m.MeasurePh(
            **c,
            vessel=vessel,
            band=band,
            sample_g=x.sample,
            sample_temp_c=x.sample_temperature or m.Band(18.0, 28.0),
            water_parts=x.water_parts,
            raise_with=self._as_needed(x.raise_with, "raise_with"),
            lower_with=self._as_needed(x.lower_with, "lower_with"),
            settle_s=x.settle,
        )

    def _look(self, x: s.LookOverTable, c: _Common) -> m.Step:
        return m.LookOver(**c, looks=tuple(m.Look(name=one.name, expect=one.expect) for one in x.looks))

    def _density(self, x: s.DensityTable, c: _Common) -> m.Step:
        return m.Density(**c, volume_ml=x.volume, expect_g_ml=x.expect)

    def _fill(self, x: s.FillTable, c: _Common) -> m.Step:
        unit, amount = x.content
        return m.Fill(
            **c,
            vessel=self._vessel(x.vessel, "vessel"),
            nominal_ml=amount if unit == "ml" else None,
            nominal_g=amount if unit == "g" else None,
            container=x.container,
            count=x.count,
        )

    def _clean_up(self, x: s.CleanUpTable, c: _Common) -> m.Step:
        return m.CleanUp(**c, tasks=tuple(x.tasks))

    def _finish(self, x: s.FinishTable, c: _Common) -> m.Step:
        return m.Finish(**c, yield_percent=x.yields)


_MAKERS: dict[str, Callable[[StepBuilder, Any, _Common], m.Step]] = {
    "prepare": StepBuilder._prepare,
    "weigh": StepBuilder._weigh,
    "disperse": StepBuilder._disperse,
    "premix": StepBuilder._premix,
    "heat": StepBuilder._heat,
    "top up": StepBuilder._top_up,
    "combine": StepBuilder._combine,
    "blend": StepBuilder._blend,
    "cool": StepBuilder._cool,
    "add": StepBuilder._add,
    "measure ph": StepBuilder._measure_ph,
    "look": StepBuilder._look,
    "density": StepBuilder._density,
    "fill": StepBuilder._fill,
    "clean up": StepBuilder._clean_up,
    "finish": StepBuilder._finish,
}
