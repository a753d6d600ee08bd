"""The record as JSON after its schema, and as CSV that no spreadsheet executes."""

from __future__ import annotations

import csv
import io
import json
from datetime import datetime

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_batch import after, events, lotion, record, stored_from

from benchapp import events as ev
from benchapp.record.documents.as_csv import BOM, COLUMNS, as_csv, cell
from benchapp.record.documents.as_json import as_json, schema
from benchapp.record.documents.plain_text import visible
from benchapp.record.drawing_up import record_of
from benchapp.service.procedure_facts import procedure_facts


def checker() -> jsonschema.Draft202012Validator:
    """The published schema, formats checked too."""
    return jsonschema.Draft202012Validator(
        schema(), format_checker=jsonschema.Draft202012Validator.FORMAT_CHECKER
    )


def test_the_schema_is_a_valid_schema():
    jsonschema.Draft202012Validator.check_schema(schema())


@pytest.mark.parametrize("cut", [1, 40, None], ids=["just begun", "weighing", "finished"])
def test_a_record_follows_the_schema_at_every_stage(cut):
    found = record_of(stored_from(events()[:cut]))
    checker().validate(json.loads(as_json(found)))


@given(st.integers(1, len(events())), st.integers(0, len(after())))
@settings(max_examples=25, deadline=None)
def test_a_make_cut_off_anywhere_still_has_a_record_that_follows_the_schema(cut, later):
    found = record_of(stored_from([*events()[:cut], *after()[:later]]), procedure_facts(lotion()))
    checker().validate(json.loads(as_json(found)))
    assert read(as_csv(found))


def test_a_released_and_corrected_batch_follows_the_schema():
    fixed = ev.Corrected(at_s=2e5, n=3, field="net_g", old="1", new="2", reason="typed", by="Mara Lind")
    refused = ev.LotRefused(at_s=2e5, step="02-weigh", act="a", line="l", lot="LT-old", why="expired")
    checker().validate(json.loads(as_json(record(*after(), refused, fixed), "f" * 64)))


def test_the_schema_refuses_what_is_no_record():
    good = json.loads(as_json(record()))
    for change in ({"outcome": "perhaps"}, {"begun": "yesterday"}, {"more": 1}, {"head": "x"}):
        with pytest.raises(jsonschema.ValidationError):
            checker().validate({**good, **change})


def test_every_value_says_where_it_comes_from_and_every_time_has_its_zone():
    found = json.loads(as_json(record(*after())))
    for name in ("weighings", "masses_moved", "ph", "numbers", "containers", "temperatures", "judgements"):
        assert found[name], name
        assert {row["source"] for row in found[name]} <= {"measured", "stated", "computed"}
    for row in found["weighings"]:
        assert datetime.fromisoformat(row["at"]).tzinfo is not None


def test_the_same_events_give_the_same_text():
    assert as_json(record()) == as_json(record())
    assert as_csv(record()) == as_csv(record())


def read(text: str) -> list[list[str]]:
    assert text.startswith(BOM)
    return list(csv.reader(io.StringIO(text.removeprefix(BOM), newline="")))


def test_the_csv_has_one_row_for_each_weighing_with_bare_numbers():
    rows = read(as_csv(record()))
    assert tuple(rows[0]) == COLUMNS
    assert {len(row) for row in rows} == {len(COLUMNS)}
    weighed = [dict(zip(COLUMNS, row, strict=True)) for row in rows if row[0] == "weighing"]
    assert len(weighed) == len(record().weighings)
    assert (float(weighed[0]["value"]), weighed[0]["unit"], weighed[0]["lot"]) == (377.1, "g", "LT-purified")


SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


@given(
    st.text(alphabet=st.characters(codec=None), max_size=30) | st.sampled_from(SIGNS).map(lambda s: s + "1+1")
)
def test_no_cell_begins_a_formula_and_all_text_survives(text):  # fmt: skip
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerow([cell(text), "end"])
    back, end = next(csv.reader(io.StringIO(out.getvalue(), newline="")))
    assert end == "end"
    assert not back.lstrip().startswith(SIGNS)
    assert back.removeprefix("'") == visible(text, keep="\n").removeprefix("'")


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_stays_a_number(value):
    assert float(cell(value)) == value


def test_a_maker_s_formula_is_text():
    found = record(maker='=HYPERLINK("x")', batch="+1")
    flat = [x for row in read(as_csv(found)) for x in row]
    assert '\'=HYPERLINK("x")' in flat
    assert "'+1" in flat


def test_what_cannot_be_seen_is_spelled_out():
    assert visible("a\x00b\u202ec") == "a‹U+0000›b‹U+202E›c"


def test_a_deviation_is_called_open_only_where_it_waits_for_somebody():
    """As the printed record says it: a note waits for nobody."""
    noted = [
        ev.DeviationNoted(at_s=9000 + n, number=n, grade=grade, kind="late", step="", text=f"late {n}")
        for n, grade in ((2, ev.Grade.NOTE), (3, ev.Grade.MINOR))
    ]
    rows = read(as_csv(record(*noted)))
    what, note = COLUMNS.index("what"), COLUMNS.index("note")
    assert {x[what]: x[note] for x in rows if x[what].startswith("late ")} == {
        "late 2": "noted",
        "late 3": "open",
    }


def test_the_csv_has_a_row_for_whatever_was_written_down_beside_the_make():
    refused = ev.LotRefused(at_s=2e5, step="02-weigh", act="a", line="l", lot="LT-old", why="expired")
    found = record(*after(), refused)
    said = [x[COLUMNS.index("what")] for x in read(as_csv(found))]
    for words in (
        "1 kept back: shelf 3, until 2028-09-30",
        "5 labels printed",
        "bottle-100, lot LT-bottles: 5 (1 spoiled)",
        "LT-old, expired",
    ):
        assert words in said
    assert found.cautions
    assert {c["text"] for c in found.cautions} <= set(said)
