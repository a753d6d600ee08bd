"""Nothing that happens to a batch is forgotten by its record, and the page of lists names only what is there."""

from __future__ import annotations

import dataclasses
import json
import re
import typing
from enum import StrEnum
from pathlib import Path

import jsonschema
import pytest
from invented_batch import events, lotion, stored_from

from benchapp import events as ev
from benchapp.record.documents.as_json import as_json, schema
from benchapp.record.documents.sections import IN_ORDER
from benchapp.record.drawing_up import record_of
from benchapp.service.procedure_facts import procedure_facts

#: What the record does not repeat, and why.
LEFT_OUT = {
    "ActBegan": "where the walk stood; the times of its steps are shown",
    "ActFinished": "the same",
    "ActTakenBack": "shown by what was taken back",
    "StageReached": "the same as ActBegan",
    "Watched": "a minute in which nothing happened",
    "PourBegan": "the weighing that follows says what was poured",
    "ScenarioStruck": "the debrief of the rehearsal tells it",
    "OverpourFound": "its remedy and its deviation are shown",
    "VesselLifted": "shown by the doubt or deviation it leads to",
    "VesselReturned": "the same",
    "ProbeMoved": "the vessel's curve says where the probe was",
    "LotReceived": "workshop: supplier and dates of the lots drawn from are shown",
    "LotOpened": "workshop", "LotPriced": "workshop", "LotJudged": "workshop", "LotCounted": "workshop",
    "PersonEnrolled": "workshop", "PersonRetired": "workshop", "PinChanged": "workshop", "PinRefused": "workshop",
    "PinProved": "workshop", "CompetenceGranted": "workshop", "LabelApproved": "workshop", "MasterApproved": "workshop", "MasterWithdrawn": "workshop", "GuardsRestored": "workshop",
    "CarePlanned": "workshop", "CareDone": "workshop",
    "BenchJoined": "workshop", "BenchLeft": "workshop", "HeadsReceived": "workshop",
}  # fmt: skip


def sample(kind: type[ev.Event], mark: str) -> ev.Event:
    """An event whose every text is ``mark`` and every number 4.25, whole ones 1."""
    hints = typing.get_type_hints(kind)
    values = {f.name: _value(hints[f.name], mark) for f in dataclasses.fields(kind)}
    return kind(**{**values, "at_s": 20_000.0})


def _value(hint: object, mark: str) -> object:
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return next(iter(hint))
    if hint is str:
        return mark
    if hint is bool:
        return True
    if hint is int:
        return 1
    if typing.get_origin(hint) is tuple:
        inner = typing.get_args(hint)
        return (_value(inner[0], mark),) if inner[-1] is ... else tuple(_value(x, mark) for x in inner)
    return 4.25


@pytest.mark.parametrize("kind", sorted(set(ev.KINDS) - set(LEFT_OUT) - {"MakeStarted", "MakeFinished", "MakeAbandoned"}))  # fmt: skip
def test_every_kind_of_event_leaves_its_mark_on_the_record(kind):
    facts = procedure_facts(lotion())
    without = as_json(record_of(stored_from(events()), facts))
    happened = sample(ev.KINDS[kind], "⁂mark")
    found = as_json(record_of(stored_from([*events(), happened]), facts))
    assert "⁂mark" not in without
    head = re.compile(r'"(events|head)": .*')
    assert head.sub("", found) != head.sub("", without), "the record is the same whether it happened or not"
    wrong = [e.json_path for e in jsonschema.Draft202012Validator(schema()).iter_errors(json.loads(found))]
    assert wrong == [], "the published schema knows it"


def test_what_is_left_out_is_really_an_event():
    assert set(LEFT_OUT) <= set(ev.KINDS)


ROOT = Path(__file__).parents[3]
PAGE = (ROOT / "docs" / "record.md").read_text(encoding="utf-8")


def test_sections_named_on_the_page_of_lists_stand_on_paper():
    """Each *Section* in the right-hand column is a heading of the printed record, or the beginning of one."""
    titles = [t for t, _ in IN_ORDER] + ["Temperatures"]
    rows = [
        line.split("|")[2] for line in PAGE.splitlines() if line.startswith("| ") and line.count("|") == 3
    ]
    named = {n for row in rows for n in re.findall(r"\*([A-Z][^*]+)\*", row)}
    assert named
    assert not {n for n in named if not any(t.startswith(n) for t in titles)}


def test_the_page_has_a_row_for_every_item():
    """21 CFR 211.188(a), (b)(1) to (13); 11.10(a) to (k); art. 19(1)(a) to (g); ISO 22716 clauses 5 to 17."""
    parts = {m[1]: m[2] for m in re.finditer(r"### (.+?)\n(.*?)(?=\n### |\n## |\Z)", PAGE, re.DOTALL)}

    def part(start: str) -> str:
        return next(text for title, text in parts.items() if title.startswith(start))

    for n in range(2, 14):
        assert f"\n| ({n})" in part("21 CFR 211.188")
    for letter in "abcdefghijk":
        assert f"\n| ({letter})" in part("21 CFR 11.10")
    for letter in "abcd":
        assert f"\n| ({letter})" in part("21 CFR 211.101")
    for clause in range(5, 18):
        assert f"\n| {clause} " in part("ISO 22716")
    for letter in "bcdefg":
        assert f"| ({letter})" in part("Regulation (EC)")
