"""What each kettle of a batch that was split over several held, from the record's own rows: one batch, told apart by kettle."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.record.batch_events import BatchEvents
from benchapp.record.facts import ProcedureFacts
from benchapp.record.rows import Rows


@dataclass(frozen=True, slots=True)
class KettleRow:
    """One kettle. Masses in grams; ``percent`` of all that went in; ``warmest_c`` None where nothing was read; numbers of
    the ``deviations`` in steps that were done for it."""

    kettle: int
    vessels: tuple[str, ...]
    went_in_g: float
    percent: float
    brought_g: float  # out of it, to the others or on to be filled elsewhere
    stayed_g: float
    warmest_c: float | None
    deviations: tuple[int, ...]

    @property
    def words(self) -> str:
        """It in a few sentences."""
        said = [
            tr(
                "{went_in_g:.10g} g went in, {percent:.1f} % of all.",
                went_in_g=self.went_in_g,
                percent=self.percent,
            )
        ]
        if self.brought_g:
            said.append(
                tr(
                    "{brought_g:.10g} g were brought over, {stayed_g:.10g} g stayed.",
                    brought_g=self.brought_g,
                    stayed_g=self.stayed_g,
                )
            )
        if self.warmest_c is not None:
            said.append(tr("{warmest_c:.1f} °C at its warmest.", warmest_c=self.warmest_c))
        numbers = ", ".join(map(str, self.deviations))
        said.append(tr("Deviations: {numbers}.", numbers=numbers) if numbers else tr("No deviation."))
        return " ".join(said)


def kettle_rows(
    grams: Mapping[str, float], counted: BatchEvents, facts: ProcedureFacts, deviations: Rows
) -> tuple[KettleRow, ...]:
    """A row for each kettle, from the ``grams`` of each line as they stand; () where the batch was made in one."""
    whole = sum(grams.values())
    return tuple(
        _row(kettle, grams, whole, counted, facts, deviations)
        for kettle in sorted(set(facts.kettles.values()))
    )


def _row(
    kettle: int, grams: Mapping[str, float], whole_g: float, counted: BatchEvents, facts: ProcedureFacts,
    deviations: Rows,
) -> KettleRow:  # fmt: skip
    own = {key for key, n in facts.kettles.items() if n == kettle}
    went_in = sum(g for key, g in grams.items() if key in facts.lines and facts.lines[key].kettle == kettle)
    over = [e for e in counted.standing.events(ev.MassMoved) if e.origin in own and e.into not in own]
    return KettleRow(
        kettle, tuple(facts.vessel(key) for key in facts.kettles if key in own), round(went_in, 4),
        100 * went_in / whole_g if whole_g > 0 else 0.0, round(sum(e.mass_g for e in over), 3),
        round(sum(e.left_g for e in over), 3), _warmest_c(own, counted.standing.events(ev.TemperaturesLogged)),
        tuple(d["number"] for d in deviations if d["step"] in facts.steps and facts.steps[d["step"]].kettle == kettle),
    )  # fmt: skip


def _warmest_c(vessels: set[str], logged: Sequence[ev.TemperaturesLogged]) -> float | None:
    return max((temp for e in logged for vessel, temp in e.temps_c if vessel in vessels), default=None)
