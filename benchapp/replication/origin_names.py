"""Which batch or delivery a bench means by a name. Since benches carry their short names in those they give, no two share one;
what was named before may: then each bench means its own, and another's is called with its short name before it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.replication.member import MemberBench, replaced_by
from benchapp.replication.merging import ChainFact, LotFacts


class OriginNames:
    """Names of things that each came into being on one bench. ``origins``: by name, the benches that gave it."""

    def __init__(self, origins: Mapping[str, Collection[str]], members: Mapping[str, MemberBench]) -> None:
        self._origins = origins
        self._shorts = {bench: member.short for bench, member in members.items()}
        self._by_short = {short: bench for bench, short in self._shorts.items()}
        self._lineage = {bench: (bench, *replaced_by(bench, members)) for bench in members}

    def meant(self, bench: str, name: str) -> tuple[tuple[str, str], ...]:
        """Whose things a bench may mean by a name, and what each is called there: its own, and those of the benches it
        goes on with, before any other's. More than one where it used another's name before it knew that there are two."""
        origins = self._origins.get(name, ())
        own = next((one for one in self._lineage.get(bench, (bench,)) if one in origins), "")
        if own:
            return ((own, name),)
        if origins:
            return tuple((origin, name) for origin in sorted(origins))
        short, _, rest = name.partition("-")
        other = self._by_short.get(short, "")
        return ((other, rest),) if other in self._origins.get(rest, ()) else ()

    def called(self, origin: str, name: str, bench: str) -> str:
        """What a bench calls a thing of another."""
        return name if self.meant(bench, name) == ((origin, name),) else self._with_short(origin, name)

    def _with_short(self, origin: str, name: str) -> str:
        return f"{self._shorts.get(origin, origin)}-{name}"

    def here(self, bench: str, name: str, own: str) -> str:
        """What the bench ``own`` calls what another means by a name."""
        meant = self.meant(bench, name)
        return self.called(*meant[0], own) if meant else name

    def otherwise(self, own: str) -> dict[tuple[str, str], str]:
        """By bench and what it writes, what the bench ``own`` calls it, where that differs."""
        found = {}
        for name in self.shared:
            written = (name, *(self._with_short(origin, name) for origin in self._origins[name]))
            for bench in self._shorts:
                for one in written:
                    if (called := self.here(bench, one, own)) != one:
                        found[bench, one] = called
        return found

    @property
    def shared(self) -> list[str]:
        """Names that several benches gave."""
        return sorted(name for name, origins in self._origins.items() if len(origins) > 1)


class LotNames(OriginNames):
    """The names of all deliveries. ``facts`` by the name that is written in them."""

    def __init__(
        self, facts: Mapping[str, Sequence[ChainFact[Any]]], members: Mapping[str, MemberBench]
    ) -> None:
        self._deliveries: dict[str, dict[str, ChainFact[ev.LotReceived]]] = {}
        for name, found in facts.items():
            for fact in found:
                if isinstance(
                    fact.event, ev.LotReceived
                ):  # a name stands for the first delivery that had it there
                    self._deliveries.setdefault(name, {}).setdefault(fact.place.bench, fact)
        super().__init__(self._deliveries, members)

    def lots(self, facts: Mapping[str, Sequence[ChainFact[Any]]]) -> Iterator[LotFacts]:
        """Everything that was written about each delivery, whatever it was called where."""
        about: dict[tuple[str, str], list[ChainFact[Any]]] = {}
        for name, found in facts.items():
            for fact in found:
                for meant in self.meant(fact.place.bench, name):
                    about.setdefault(meant, []).append(fact)
        for name, origins in self._deliveries.items():
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
    def conflicts(self) -> list[tuple[str, str]]:
        """Names that stand for several deliveries, with a sentence each."""
        found = []
        for name in self.shared:
            said = tr(
                "Lot {name} was received on {names}, each of its own before they joined: another "
                "bench's is called with its short name before it.",
                name=name,
                names=", ".join(sorted(self._deliveries[name])),
            )
            found.append((name, said))
        return found


def related(name: str, members: Mapping[str, MemberBench]) -> set[str]:
    """Every name that may be written of what is called so somewhere: with the short name of a bench before it, or without."""
    found = stems(name, members)
    return found | {f"{member.short}-{stem}" for stem in found for member in members.values()}


def stems(name: str, members: Mapping[str, MemberBench]) -> set[str]:
    """A name, and what stands behind the short name of a bench in it."""
    short, _, rest = name.partition("-")
    return {name, rest} if rest and any(member.short == short for member in members.values()) else {name}
