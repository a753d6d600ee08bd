"""Which delivery a bench means by a name. Since benches carry their short names in those they give, no two share one; lots of
before may: then each bench means its own, and another's is called with its short name before it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.replication.merging import ChainFact, LotFacts


class LotNames:
    """The names of all deliveries. ``facts`` by the name that is written in them, ``shorts`` the benches' short names."""

    def __init__(self, facts: Mapping[str, Sequence[ChainFact[Any]]], shorts: Mapping[str, str]) -> None:
        self._shorts = shorts
        self._by_short = {short: bench for bench, short in shorts.items()}
        self._origins: dict[str, dict[str, ChainFact[ev.LotReceived]]] = {}
        for name, found in facts.items():
            for fact in found:
                if isinstance(
                    fact.event, ev.LotReceived
                ):  # a name stands for the first delivery that had it there
                    self._origins.setdefault(name, {}).setdefault(fact.place.bench, fact)

    def meant(self, bench: str, name: str) -> tuple[tuple[str, str], ...]:
        """Whose deliveries a bench may mean by a name, and what each is called there: its own before any other's. More
        than one where it used another's name before it knew that there are two."""
        origins = self._origins.get(name, {})
        if bench in origins:
            return ((bench, name),)
        if origins:
            return tuple((origin, name) for origin in sorted(origins))
        short, _, rest = name.partition("-")
        other = self._by_short.get(short, "")
        return ((other, rest),) if other in self._origins.get(rest, {}) else ()

    def called(self, origin: str, name: str, bench: str) -> str:
        """What a bench calls a delivery of another."""
        return name if self.meant(bench, name) == ((origin, name),) else self._with_short(origin, name)

    def _with_short(self, origin: str, name: str) -> str:
        return f"{self._shorts.get(origin, origin)}-{name}"

    def lots(self, facts: Mapping[str, Sequence[ChainFact[Any]]]) -> Iterator[LotFacts]:
        """Everything that was written about each delivery, whatever it was called where."""
        about: dict[tuple[str, str], list[ChainFact[Any]]] = {}
        for name, found in facts.items():
            for fact in found:
                for meant in self.meant(fact.place.bench, name):
                    about.setdefault(meant, []).append(fact)
        for name, origins in self._origins.items():
            for origin, delivery in origins.items():
                yield self._lot(origin, name, delivery, about[origin, name])

    def _lot(
        self, origin: str, name: str, delivery: ChainFact[ev.LotReceived], about: Sequence[ChainFact[Any]]
    ) -> LotFacts:
        names = tuple(
            (bench, called)
            for bench in self._shorts
            for called in (name, self._with_short(origin, name))
            if (origin, name) in self.meant(bench, called)
        )
        return LotFacts(
            delivery,
            names,
            tuple(f for f in about if isinstance(f.event, ev.LotOpened)),
            tuple(f for f in about if isinstance(f.event, ev.LotJudged)),
            tuple(f for f in about if isinstance(f.event, ev.LotCounted)),
        )

    @property
    def conflicts(self) -> list[str]:
        """Names that stand for several deliveries, a sentence each."""
        return [
            tr(
                "Lot {name} was received on {names}, each of its own before they joined: another "
                "bench's is called with its short name before it.",
                name=name,
                names=", ".join(sorted(origins)),
            )
            for name, origins in sorted(self._origins.items())
            if len(origins) > 1
        ]
