"""Reading files: what a file can be, and what no edit of one may do."""

import hashlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from procedure_edits import edited, problems

from benchapp.foundation.band import Band
from procedures import steps as m
from procedures.errors import ProcedureInvalid, ProcedureNotFound, ProcedureUnreadable
from procedures.reading import read_procedure, read_text
from procedures.shelf import find, shipped
from procedures.steps import STEP_TABLES

LOTION = edited("oat-hand-lotion")


def test_lotion_becomes_the_frozen_form():
    p = read_procedure(find("oat-hand-lotion")).procedure
    assert (p.key, p.name, p.formula.use) == (
        "oat-hand-lotion",
        "Oat and sea-buckthorn hand lotion",
        "leave-on",
    )
    assert (p.default_batch_g, p.batch_g, p.loss_percent) == (500.0, Band(400.0, 900.0), 3.0)
    assert p.formula.phases == ("water", "gum slurry", "oil", "cool-down", "pH")
    water = p.formula.lines[0]
    assert (water.key, water.is_rest, water.percent) == ("purified-water", True, 75.2)
    acid = next(x for x in p.formula.lines if x.material.role == "acid")
    assert (acid.percent, acid.cap_percent) == (0.0, 1.0)
    heat = next(s for s in p.steps if isinstance(s, m.Heat))
    assert (heat.band_c, heat.hold_s, heat.over_c) == (Band(70.0, 75.0), 600.0, 85.0)
    combine = next(s for s in p.steps if isinstance(s, m.Combine))
    assert (combine.source, combine.into, combine.within_k) == ("oil-pot", "water-pot", 5.0)
    assert [s.line for s in p.steps] == [
        i for i, line in enumerate(LOTION.split("\n"), 1) if line.startswith("[[step]]")
    ]


def test_every_kind_of_step_is_shipped():
    kinds = {s.kind for name in shipped() for s in read_procedure(find(name)).procedure.steps}
    assert kinds == set(STEP_TABLES)


def test_parts_become_lines_of_one_material():
    p = read_procedure(find("driftwood-conditioner")).procedure
    hot, held = [x for x in p.formula.lines if x.material.role == "water"]
    assert hot.material is held.material
    assert (hot.name, held.name) == ("Purified water (hot)", "Purified water (held back)")
    assert (hot.is_rest, held.percent, held.phase) == (True, 15.0, "held-back water")
    assert hot.percent + held.percent == pytest.approx(100 - 2 - 3 - 5 - 3 - 1.5 - 1 - 0.7 - 0.9 - 0.7)


def test_limit_of_an_add_step_is_its_strictest_ingredient_when_it_names_none():
    text = edited("oat-hand-lotion", ('boat"\nbelow = "40 degC"', 'boat"'))
    add = next(s for s in read_text(text).procedure.steps if isinstance(s, m.Add))
    assert add.below_c == 40.0


def test_content_in_grams_declares_by_mass():
    fill = next(
        s
        for s in read_text(
            edited("oat-hand-lotion", ('content = "100 ml"', 'content = "100 g"'))
        ).procedure.steps
        if isinstance(s, m.Fill)
    )
    assert (fill.nominal_ml, fill.nominal_g) == (None, 100.0)


def test_hash_is_of_the_text():
    p = read_text(LOTION, "x/mine.toml").procedure
    assert (p.key, p.file, p.text) == ("mine", "x/mine.toml", LOTION)
    assert p.sha256 == hashlib.sha256(LOTION.encode()).hexdigest()


def test_text_from_an_editor_with_its_own_line_ends_and_mark(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_bytes(b"\xef\xbb\xbf" + LOTION.replace("\n", "\r\n").encode())
    from_windows = read_procedure(path).procedure
    assert from_windows.steps == read_text(LOTION).procedure.steps
    assert read_text(from_windows.text, from_windows.file).procedure == from_windows


@pytest.mark.parametrize(
    ("content", "error", "says"),
    [
        (b"\xff\xfe\x00", ProcedureUnreadable, "mine.toml:1:1: This is no UTF-8 text"),
        (b"a = 1\nb = \xe4\n", ProcedureUnreadable, "mine.toml:2:1: This is no UTF-8 text"),
        (b"", ProcedureInvalid, "mine.toml:1:1: The file has no step"),
        (b"x" * 600_000, ProcedureInvalid, "too large for a procedure"),
        (b"a = " + b"[" * 5000, ProcedureInvalid, "nested far too deep"),
        (b"a = " + b"9" * 5000, ProcedureInvalid, "far too long"),
        (b"a = 4,0\n", ProcedureInvalid, "write 4.0, not 4,0"),
        (b"a = \n", ProcedureInvalid, "mine.toml:1:5: This value is not written in a way that can be read"),
        (
            b'formula = "x"\nstep = 3\nvessel = [1]',
            ProcedureInvalid,
            "mine.toml:2:8: step is a list of tables",
        ),
    ],
)
def test_no_procedure_gets_a_sentence(tmp_path, content, error, says):
    path = tmp_path / "mine.toml"
    path.write_bytes(content)
    with pytest.raises(error) as raised:
        read_procedure(path)
    assert says in str(raised.value)


def test_missing_file_and_folder_get_a_sentence(tmp_path):
    with pytest.raises(ProcedureNotFound, match="There is no file"):
        read_procedure(tmp_path / "none.toml")
    with pytest.raises(ProcedureUnreadable, match="is a directory"):
        read_procedure(tmp_path)


@st.composite
def edits(draw):
    """A shipped file with a few pieces cut out, doubled, swapped or overwritten."""
    text = edited(draw(st.sampled_from(shipped())))
    for _ in range(draw(st.integers(1, 4))):
        lines = text.split("\n")
        at = draw(st.integers(0, len(lines) - 1))
        how = draw(st.sampled_from(["cut", "double", "block", "swap", "value", "insert"]))
        if how == "cut":
            del lines[at]
        elif how == "double":
            lines.insert(at, lines[at])
        elif how == "block":
            del lines[at : at + draw(st.integers(1, 30))]
        elif how == "swap":
            other = draw(st.integers(0, len(lines) - 1))
            lines[at], lines[other] = lines[other], lines[at]
        elif how == "value" and "=" in lines[at]:
            value = draw(st.sampled_from(VALUES))
            lines[at] = f"{lines[at].split('=')[0]}= {value}"
        else:
            spot = draw(st.integers(0, len(lines[at])))
            lines[at] = lines[at][:spot] + draw(st.text(max_size=8)) + lines[at][spot:]
        text = "\n".join(lines) or "\n"
    return text


VALUES = [
    "0", "-1", "1e400", "nan", "-inf", "true", '""', '"rest"', '"as needed"', "[]", "[1]", "[[1, 2], 3]", "{}",
    "{ a = 1 }", "1979-05-27", "07:32:00", '"water"', '"water pot"', '["water"]', '"70 degC"', '["70 degC", "60 degC"]',
    '"0 g"', '"0 %"', '"0 ml"', '"0 mm"', '"0 K"', '"0 g/ml"', '"-5 g"', '"0 min"', '"10 C"', '"x" # y', "99999999999999999999", '"\\u0000"', "'''a\nb'''",
]  # fmt: skip


def test_control_characters_reach_no_screen():
    found = problems(edited("oat-hand-lotion", ('name = "Oat oil"', 'name = "Oat\\u001b[2Joil"')))
    assert [p.what for p in found] == ["name holds a character that cannot be shown"]


@settings(max_examples=200, deadline=None)
@given(edits())
def test_any_edit_is_read_or_refused_with_places(text):
    last = text.count("\n") + 1
    for problem in problems(text):
        assert 1 <= problem.line <= last
        assert problem.column >= 1
        assert problem.what
        assert problem.instead
        assert "\n" not in str(problem)
