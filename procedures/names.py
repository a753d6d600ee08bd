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
    ``weighed`` remembers, step by step, what was weighed into which vessel.
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
        self._lines = {line.name.casefold(): line for line in formula.lines}
        self._materials = {x.name.casefold(): x for x in materials.values()}
        self._vessels = {x.name.casefold(): x for x in vessels.values()}
        self._is_broken = is_broken
        self._report = report
        self._path: Path = ()

    def at(self, path: Path) -> None:
        """Which step's table the names that follow stand in."""
        self._path = path

    def refuse(self, field: str, what: str, instead: str, rule: str, *more: int) -> MissingName:
        """A problem at a field of the step ("" for the step itself), or at an entry of its list, noted; raise what is
        returned."""
        self._report.add((*self._path, field, *more) if field else self._path, what, instead, rule)
        return MissingName()

    def material(self, name: str, field: str) -> str:
        """The key of a material. Raises MissingName, like all of these."""
        return str(self._one(name, self._materials, "material", field).key)

    def _one(self, name: str, known: Mapping[str, Any], what: str, field: str | int, *more: int) -> Any:
        found = known.get(name.casefold())
        if found is None and self._is_broken(name):
            raise MissingName
        if found is None:
            names = [x.name for x in known.values()]
            self._report.add(
                (*self._path, field, *more),
                tr('There is no {what} "{name}"', what=what, name=name),
                suggestion(name, names),
                "name",
            )
            raise MissingName
        return found

    def vessel(self, name: str, field: str) -> str:
        """The key of a vessel."""
        return str(self._one(name, self._vessels, "vessel", field).key)

    def phase(self, name: str, field: str, *more: int) -> str:
        """A phase of the formula."""
        if name not in self.formula.phases and self._is_broken(name):
            raise MissingName
        if name not in self.formula.phases:
            what = tr('No ingredient is in a phase "{name}"', name=name)
            self._report.add((*self._path, field, *more), what, suggestion(name, self.formula.phases), "name")
            raise MissingName
        return name

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
