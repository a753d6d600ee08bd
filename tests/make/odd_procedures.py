"""Procedures made up at random: odd orders of steps, of which those that the check accepts can be walked."""

from __future__ import annotations

import json
from random import Random

from procedures.errors import ProcedureInvalid
from procedures.model import Procedure
from procedures.reading import read_text

PHASES = ("A", "B", "C")
ROLES = ("oil", "butter", "humectant", "active", "gum", "emulsifier", "colour")
#: Rules that a maker may overrule; so does this one.
OVERRULED = ("never-melted", "ph-band", "ph-step", "ph-last", "fill-missing", "preservative-ph")
HOT, PACES = ["70 degC", "75 degC"], ({}, {"during": "30 s"}, {"portions": 2, "between": "20 s"})


def odd_procedure(seed: int) -> Procedure | None:
    """One procedure; None where the check does not accept it."""
    text = _OddText(Random(seed)).text()
    try:
        return read_text(text).procedure
    except ProcedureInvalid as invalid:
        rules = {p.rule for p in invalid.problems if p.grade == "error"}
    if not rules <= set(OVERRULED):
        return None
    reasons = "".join(f'{rule} = "It does not matter for this test."\n' for rule in sorted(rules))
    try:
        return read_text(f"{text}[accept]\n{reasons}").procedure
    except ProcedureInvalid:
        return None


def _value(value: object) -> str:
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{k} = {_value(v)}' for k, v in value.items())} }}"
    return json.dumps(value)


def _table(head: str, fields: dict[str, object]) -> str:
    return "\n".join([head, *(f"{k} = {_value(v)}" for k, v in fields.items()), ""])


class _OddText:
    def __init__(self, chance: Random) -> None:
        self.chance = chance
        self.batch_g = chance.choice((60, 200, 333.3, 800))
        self.phases = PHASES[: chance.randint(1, 3)]
        self.wet, self.hot = chance.random() < 0.7, chance.random() < 0.4
        self.lines = [line for phase in self.phases for line in self._lines_of(phase)]
        self.steps: list[dict[str, object]] = []
        self.held: dict[str, list[str]] = {}
        self.heated: set[str] = set()
        self._step("prepare", tasks=["Wash."])
        self._make()
        self._end(next(iter(self.held)))
        for _ in range(
            chance.choice((0, 0, 1, 2))
        ):  # one step elsewhere: often wrong, and sometimes only odd
            self.steps.insert(
                chance.randrange(1, len(self.steps)), self.steps.pop(chance.randrange(1, len(self.steps)))
            )

    def _lines_of(self, phase: str):
        for n in range(self.chance.randint(1, 3)):
            first = phase == self.phases[0] and n == 0
            role = ("water" if self.wet else "oil") if first else self.chance.choice(ROLES)
            line = {
                "name": f"Stuff {phase}{n}",
                "inci": f"Substance {phase}{n}",
                "role": role,
                "phase": phase,
            }
            line |= {"inci": "Aqua"} if role == "water" else {}
            line |= {"melts": "55 degC"} if role in ("butter", "emulsifier") and self.hot else {}
            yield line | {"percent": "rest" if first else self.chance.choice((0.5, 2.5, 7.77, 15))}
        if self.wet and phase == self.phases[-1]:
            keeps = {"ph_window": [3.0, 9.0], "use_least": "0.5 %"}
            yield {
                "name": "Keeper",
                "inci": "Keepin",
                "role": "preservative",
                "phase": phase,
                "percent": 1.0,
            } | keeps

    def _step(self, kind: str, **fields: object) -> None:
        self.steps.append({"kind": kind, "title": f"{kind} {len(self.steps)}"} | fields)

    def _make(self) -> None:
        """Every phase weighed, all of it brought into one pot, and whatever else comes between."""
        todo = list(self.phases)
        while todo or len(self.held) > 1:
            if todo and self.chance.random() < 0.5:
                self._weigh(todo.pop(self.chance.randrange(len(todo))))
            elif len(self.held) > 1 and self.chance.random() < 0.5:
                self._pour(*self.chance.sample(sorted(self.held), 2))
            elif self.held:
                self._between(self.chance.choice(sorted(self.held)))

    def _weigh(self, phase: str) -> None:
        names = [str(x["name"]) for x in self.lines if x["phase"] == phase]
        split = self.chance.randint(1, len(names)) if self.held and self.chance.random() < 0.4 else len(names)
        fine = {"scale": "fine"} if self.chance.random() < 0.2 else {}
        pot = self.held.setdefault(f"pot {phase}", [])
        self._step("weigh", phase=phase, ingredients=names[:split], **fine)
        pot += names[:split]
        if names[split:]:
            into = self.chance.choice(sorted(self.held))
            self._step("add", vessel=into, ingredients=names[split:], stir="10 s")
            self.held[into] += names[split:]

    def _pour(self, origin: str, into: str) -> None:
        how = self.chance.choice(("combine", "add", "boat"))
        if how == "combine":
            near = {"within": "5 K"} if self.chance.random() < 0.5 else {}
            self._step("combine", pour=origin, into=into, **near, **self.chance.choice(PACES))
        elif how == "add":
            self._step("add", pour=origin, vessel=into, stir="10 s", **self.chance.choice(PACES))
        else:
            self._step("disperse", vessel=into, ingredients=list(self.held[origin]), stir="10 s")
        self.held[into] += self.held.pop(origin)
        self.heated |= {into} if origin in self.heated else set()

    def _between(self, pot: str) -> None:
        kind = self.chance.choice(("blend", "premix", "look", "measure", "heat", "cool", "top up"))
        if kind == "blend":
            self._step("blend", vessel=pot, bursts=2, burst="10 s")
        elif kind == "premix":
            self._step("premix", phase=pot[-1], vessel=pot, stir="10 s")
        elif kind == "look":
            self._step("look", looks=[{"name": "Smell", "expect": "Fresh"}])
        elif kind == "measure":
            self._step("measure", vessel=pot, what="Viscosity", unit="Pa s", how="Spindle")
        elif kind == "heat" and self.hot and len(self.heated) < 2:
            self._step("heat", phases=[pot[-1]], band=HOT, hold="30 s")
            self.heated.add(pot)
        elif kind == "cool" and pot in self.heated:
            self._step("cool", vessel=pot, below="60 degC")
            self.heated.discard(pot)
        elif kind == "top up" and pot in self.heated:
            self._step("top up", phase=pot[-1], vessel=pot, water="Stuff A0")

    def _end(self, pot: str) -> None:
        if self.chance.random() < 0.3:
            self._step("fill", vessel=pot, content="10 g", count=1, container="tin")
        self._step(
            "fill",
            vessel=pot,
            content=f"{round(self.batch_g / 3)} g",
            **self.chance.choice(({}, {"above": "15 degC"})),
        )
        self._step("clean up", tasks=["Wash up."])
        self._step("finish")

    def text(self) -> str:
        """As a maker would have written it."""
        sizes = {
            "usual": f"{self.batch_g} g",
            "smallest": f"{self.batch_g / 2} g",
            "largest": f"{self.batch_g * 2} g",
            "loss": "3 %",
        }
        pots = [
            {"name": f"pot {x}", "phase": x, "capacity": f"{self.batch_g * 5:.0f} ml"} for x in self.phases
        ]
        lists = (("[[formula.ingredient]]", self.lines), ("[[vessel]]", pots), ("[[step]]", self.steps))
        head = [_table("[formula]", {"name": "Odd thing", "use": "leave-on"}), _table("[batch]", sizes)]
        return "\n".join([*head, *(_table(name, fields) for name, tables in lists for fields in tables)])
