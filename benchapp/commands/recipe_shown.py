"""A command that asks the recipes, and a draft in the terminal: all of it, or what a change came to."""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Callable, Iterator

from rich.console import Console

from benchapp.commands.options import Run
from benchapp.commands.output import say, say_answer, show, warned
from benchapp.commands.procedure_named import arrived_in
from benchapp.foundation.language import tr, translated
from benchapp.runtime.settings import data_folder
from benchapp.service.errors import DONE
from benchapp.service.matter import Sheet
from benchapp.service.recipe_facts import DraftFacts, MethodStepFacts
from benchapp.service.recipes import RecipeDesk

Answer = str | Sheet | DraftFacts


def recipes_in(args: argparse.Namespace) -> RecipeDesk:
    """The recipes of a data folder."""
    folder = data_folder(args.data)
    return RecipeDesk(folder, arrived_in(folder))


def asked_recipes(ask: Callable[..., Answer]) -> Run:
    """A command that asks the recipes and says what they answer."""

    def run(args: argparse.Namespace, console: Console) -> int:
        answer = ask(recipes_in(args), args)
        if isinstance(answer, DraftFacts):
            show_draft(answer, console)
        else:
            say_answer(console, answer)
        return DONE

    return run


def show_draft(facts: DraftFacts, console: Console) -> None:
    """A draft as it stands, with everything that is wrong with it where it is."""
    say(console, _head(facts))
    if facts.lines:
        rows = [(x.row.phase, x.row.name, x.row.share, " ".join(x.faults)) for x in facts.lines]
        show(console, ("phase", "ingredient", "share", ""), rows)
    say(console, facts.sum.sentence)
    for line in (*_vessels(facts), *(_step(s) for s in facts.steps), *_faults(facts)):
        say(console, line)


def show_change(before: DraftFacts, now: DraftFacts, console: Console) -> None:
    """What a change came to, the sum, and what keeps it from being made."""
    was, stands = _parts(before), _parts(now)
    gone, fresh = (
        Counter(was.values()) - Counter(stands.values()),
        Counter(stands.values()) - Counter(was.values()),
    )
    for line in _named(was, gone):
        say(console, tr("Gone: {line}", line=line))
    for line in (*_moved(before, now), *_named(stands, fresh)):
        say(console, tr("Now: {line}", line=line))
    say(console, now.sum.sentence)
    if now.standing != now.sum.sentence:
        say(console, f"{now.name}: {now.standing}.")
    say(console, tr("All of it: benchapp recipe show {key}", key=now.key))


def _parts(facts: DraftFacts) -> dict[str, str]:
    """Everything of a draft, as it is shown and as it is told from what it was: a step without its number, since one that
    is added moves those after it."""
    lines = [f"{x.row.phase}, {x.row.name}: {x.row.share}" for x in facts.lines]
    steps = {f"{s.number + 1}. {_step_words(s)}": _step_words(s) for s in facts.steps}
    of_steps = [f"{s.number + 1}. {s.title}: {fault}" for s in facts.steps for fault in s.faults]
    others = [*(f for x in facts.lines for f in x.faults), *(f for x in facts.vessels for f in x.faults)]
    vessels = [
        f"{x.name}, {x.capacity}, {x.kettles}" if x.kettles > 1 else f"{x.name}, {x.capacity}"
        for x in facts.vessels
    ]
    faults = {said: said.partition(". ")[2] for said in of_steps}
    return (
        {x: x for x in (_sizes(facts), *lines, *vessels)}
        | steps
        | faults
        | {x: x for x in (*others, *_faults(facts))}
    )


def _named(parts: dict[str, str], wanted: Counter[str]) -> list[str]:
    """What is shown of these parts, in their order."""
    left, out = Counter(wanted), []
    for shown, told in parts.items():
        if left[told] > 0:
            left[told] -= 1
            out.append(shown)
    return out


def _moved(before: DraftFacts, now: DraftFacts) -> list[str]:
    """The steps that stand elsewhere, where they are the same as before."""
    if Counter(map(_step_words, before.steps)) != Counter(map(_step_words, now.steps)):
        return []
    pairs = zip(now.steps, before.steps, strict=True)
    return [f"{s.number + 1}. {_step_words(s)}" for s, then in pairs if _step_words(s) != _step_words(then)]


def _step_words(step: MethodStepFacts) -> str:
    return f"{step.title} ({step.kind}): {step.sentence}"


def _head(facts: DraftFacts) -> str:
    return f"{facts.name} ({facts.key}), {_sizes(facts)}; {facts.standing}."


def _sizes(facts: DraftFacts) -> str:
    smallest, usual, largest = facts.batch
    sizes = tr("{smallest} to {largest}, usually {usual}", smallest=smallest, largest=largest, usual=usual)
    ph = f", pH {facts.ph}" if facts.ph else ""
    return f"{translated(facts.use)}, {sizes}{ph}"


def _vessels(facts: DraftFacts) -> Iterator[str]:
    return (f"{x.name}, {x.capacity}. {' '.join(x.faults)}".rstrip() for x in facts.vessels)


def _step(step: MethodStepFacts) -> str:
    said = f"{step.number + 1}. {_step_words(step)}"
    return "\n".join((said, *(f"   {fault}" for fault in step.faults)))


def _faults(facts: DraftFacts) -> Iterator[str]:
    yield from facts.faults
    yield from map(warned, facts.warnings)
