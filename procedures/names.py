"""The names a step mentions, looked up: each becomes a key, or a problem at its place in the file."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from benchapp.foundation.language import tr, tr_n
from benchapp.foundation.toml_places import Path

from .formula import Formula, FormulaLine, Material, Vessel
from .wording import Report, suggestion


class MissingName(Exception):
    """A name that leads nowhere; already noted in the report."""


class Names:
    """What one file calls its ingredients, materials, vessels and phases.

    ``is_broken`` says of a name whether its table was there but bad, so that it isn't reported missing too.
    ``formula_read``: whether the formula's own table could be read at all.
    ``weighed`` remembers, step by step, what was weighed into which vessel. Where a batch is split over several kettles, a
    name means what ``at`` says it is done for.
    """

    def __init__(
        self,
        formula: Formula,
        materials: Mapping[str, Material],
        vessels: Mapping[str, Vessel],
        is_broken: Callable[[str], bool],
        report: Report,
        formula_read: bool = True,
    ) -> None:
        self.formula = formula
        self.formula_read = formula_read
        self.weighed: dict[str, list[FormulaLine]] = {}  # by vessel key
        self._every_vessel = tuple(vessels.values())
        self._materials = {x.name: x for x in materials.values()}
        self._is_broken = is_broken
        self._report = report
        self._path: Path = ()
        self._kettle = 0
        self._look(0)

    def at(self, path: Path, kettle: int = 0) -> None:
        """Which step's table the names that follow stand in, and for which kettle; 0: for the whole batch."""
        self._path = path
        if kettle != self._kettle:
            self._look(kettle)

    def _look(self, kettle: int) -> None:
        """What each name means for a kettle; for the whole batch, one that is split means its first."""
        self._kettle, here = kettle, (0, kettle or 1)
        lines = [x for x in self.formula.lines if x.kettle in here]
        self._lines = {x.whole_name: x for x in lines}
        self._vessels = {x.whole_name: x for x in self._every_vessel if x.kettle in here}
        whole_last = sorted(lines, key=lambda x: x.kettle, reverse=not kettle)
        self._phases = {x.whole_phase: x.phase for x in whole_last}

    def refuse(self, field: str, what: str, instead: str, rule: str, *more: int) -> MissingName:
        """A problem at a field of the step ("" for the step itself), or at an entry of its list, noted; raise what is
        returned."""
        self._report.add((*self._path, field, *more) if field else self._path, what, instead, rule)
        return MissingName()

    def material(self, name: str, field: str) -> str:
        """The key of a material. Raises MissingName, like all of these."""
        return str(self._one(name, self._materials, "material", field).key)

    def _one(self, name: str, known: Mapping[str, Any], what: str, field: str | int, *more: int) -> Any:
        found = known.get(name) or next(
            (x for n, x in known.items() if n.casefold() == name.casefold()), None
        )
        if found is None and self._is_broken(name):
            raise MissingName
        if found is None:
            self._report.add(
                (*self._path, field, *more),
                tr('There is no {what} "{name}"', what=what, name=name),
                suggestion(name, list(known)),
                "name",
            )
            raise MissingName
        return found

    def vessel(self, name: str, field: str) -> str:
        """The key of a vessel."""
        return str(self._one(name, self._vessels, "vessel", field).key)

    def phase(self, name: str, field: str, *more: int) -> str:
        """A phase of the formula."""
        if name not in self._phases and self._is_broken(name):
            raise MissingName
        if name not in self._phases:
            what = tr('No ingredient is in a phase "{name}"', name=name)
            self._report.add((*self._path, field, *more), what, suggestion(name, list(self._phases)), "name")
            raise MissingName
        return self._phases[name]

    def phases(self, names: Sequence[str], field: str) -> tuple[str, ...]:
        """Phases of the formula; for the whole batch, every kettle's of one that is split."""
        found = [self.phase(name, field, i) for i, name in enumerate(names)]
        if self._kettle:
            return tuple(found)
        own = {x.phase: x for x in self.formula.lines}
        return tuple(p for name in names for p, x in own.items() if x.whole_phase == name)

    def vessel_for(self, phase: str, name: str | None) -> str:
        """The key of the vessel named, or of the one that is meant for the phase."""
        if name is not None:
            return self.vessel(name, "vessel")
        own = [v.key for v in self._vessels.values() if v.phase == phase]
        if not own and self._is_broken(phase):
            raise MissingName
        if len(own) != 1:
            what = (
                tr_n(
                    '{n} vessel is meant for the phase "{phase}"',
                    '{n} vessels are meant for the phase "{phase}"',
                    n=len(own),
                    phase=phase,
                )
                if own
                else tr('No vessel is meant for the phase "{phase}"', phase=phase)
            )
            self._report.add((*self._path, "phase"), what, tr("Say which one with vessel = …"), "name")
            raise MissingName
        return own[0]

    def ingredients(self, names: Sequence[str], field: str = "ingredients") -> tuple[FormulaLine, ...]:
        """Lines of the formula, as a list of that field names them."""
        return tuple(self._one(name, self._lines, "ingredient", field, i) for i, name in enumerate(names))

    def as_needed(self, names: list[str], field: str) -> tuple[str, ...]:
        """The keys of pH solutions, which have no planned share."""
        return tuple(self._solution(name, field) for name in names)

    def _solution(self, name: str, field: str) -> str:
        line = self._one(name, self._lines, "ingredient", field)
        if line.cap_percent is None:
            what = tr('"{name}" has a planned share, so it is no pH solution', name=name)
            self._report.add(
                (*self._path, field), what, tr('Give it percent = "as needed" and a cap'), "ph-solution"
            )
            raise MissingName
        return str(line.key)
