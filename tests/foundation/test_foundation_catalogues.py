"""Every sentence stands in every catalogue that is shipped, whole; none stands outside."""

from __future__ import annotations

import ast
import os
import re
import subprocess
import tomllib

import pytest
from catalogue import ROOMS, ROOT, SHIPPED, looked_up, read, sentences

from benchapp.foundation.catalogues import same_places
from benchapp.rehearsal.scenario_reading import scenarios
from procedures import ghs

CATALOGUES = sorted(SHIPPED.glob("*.po"))
LOOKED_UP = {"tr", "tr_n", "tr_noop"}
#: What reads as a sentence: begins large, ends with a mark, has a blank.
SENTENCE = re.compile(r"[A-ZÄÖÜ][^\n]* [^\n]*[.?!]\s*", re.S)
#: Files whose sentences nobody reads here: what a simulated instrument sends, and texts that are data.
ELSEWHERE = ("drivers/simulated/", "replication/schema", "voice/tones")


@pytest.mark.parametrize("file", CATALOGUES, ids=lambda file: file.stem)
def test_a_catalogue_has_every_sentence_and_no_other(file):
    known, wanted = {m.id for m in read(file) if m.id}, {m.id for m in sentences() if m.id}
    assert wanted - known == set()
    assert known - wanted == set()


@pytest.mark.parametrize("file", CATALOGUES, ids=lambda file: file.stem)
def test_every_sentence_is_translated_and_has_the_places_of_the_english_one(file):
    for m in read(file):
        if not m.id:
            continue
        forms = (m.string,) if isinstance(m.string, str) else m.string
        assert not m.fuzzy, m.id
        assert all(forms), m.id
        assert same_places(m.id, m.string), (m.id, m.string)
        english = m.id if isinstance(m.id, str) else m.id[0]
        for form in forms:
            assert english[:1].isspace() == form[:1].isspace(), (m.id, form)
            assert english[-1:].isspace() == form[-1:].isspace(), (m.id, form)


def test_a_sentence_is_found_wherever_it_is_looked_up():
    source = """say = f"{tr('Inside a text.')} {tr_n('one', 'many', n=2)}"
more = tr("Outer.", inner="".join(tr("Inner.") for _ in x), other=translated(tr_noop("Kept.")), what=tr(computed))"""
    assert sorted(looked_up(source)) == [
        ("Inner.",), ("Inside a text.",), ("Kept.",), ("Outer.",), ("one", "many"),
    ]  # fmt: skip


@pytest.mark.parametrize("file", CATALOGUES, ids=lambda file: file.stem)
def test_no_sentence_stands_twice_in_its_translation(file):
    said = [form for m in read(file) for form in ((m.string,) if isinstance(m.string, str) else m.string)]
    halves = [
        (form[: len(form) // 2].strip(), form[len(form) // 2 :].strip()) for form in said if len(form) > 8
    ]
    assert [one for one, other in halves if one == other] == []


def test_in_french_no_line_begins_with_a_mark():
    """The blank before : ; ? ! and inside guillemets does not break."""
    said = [
        form
        for m in read(SHIPPED / "fr.po")
        if m.id
        for form in ((m.string,) if isinstance(m.string, str) else m.string)
    ]
    assert [form for form in said if re.search(r"[^\s:;?!] [:;?!](\s|$)|« | »", form)] == []


@pytest.mark.parametrize("file", CATALOGUES, ids=lambda file: file.stem)
def test_gettexts_own_checker_finds_nothing(file, msgfmt):
    done = subprocess.run(
        [msgfmt, "-c", "-o", os.devnull, str(file)], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.parametrize("file", CATALOGUES, ids=lambda file: file.stem)
def test_hazard_statements_say_where_their_wording_was_read(file):
    catalogue = read(file)
    unread = [
        code
        for code, words in ghs.HAZARDS.items()
        if not any(c.startswith("source:") for c in catalogue.get(words).user_comments)
    ]
    assert unread in ([], ["EUH208"])  # the official sentence has a place for the substance's name


@pytest.mark.parametrize("file", CATALOGUES, ids=lambda file: file.stem)
def test_no_sign_that_the_typeface_lacks(file):
    lacking = set("\u202f\u1e9e\u2103\u2082\u2192\u2713\u26a0")
    assert not [m.id for m in read(file) if m.id and lacking & set("".join(m.string))]


def outside(tree):
    """Sentences in functions that are not looked up: (line, words)."""
    parents = {child: node for node in ast.walk(tree) for child in ast.iter_child_nodes(node)}
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            words = "".join(v.value if isinstance(v, ast.Constant) else "…" for v in node.values)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            words = node.value
        else:
            continue
        above, inside_function = node, False
        looked_up = isinstance(
            parents.get(node), ast.Expr | ast.JoinedStr | ast.FormattedValue
        )  # a docstring, a part
        while above in parents and not looked_up:
            above = parents[above]
            looked_up = (
                isinstance(above, ast.Call)
                and isinstance(above.func, ast.Name)
                and above.func.id in LOOKED_UP
            )
            inside_function |= isinstance(above, ast.FunctionDef | ast.Lambda)
        if SENTENCE.fullmatch(words) and not looked_up:
            yield node.lineno, words


def test_no_sentence_stands_outside_the_catalogue():
    found = [
        f"{path.relative_to(ROOT)}:{line}: {words[:70]}"
        for room in ROOMS
        for path in sorted((ROOT / room).rglob("*.py"))
        if not any(part in str(path) for part in ELSEWHERE)
        for line, words in outside(ast.parse(path.read_text(encoding="utf-8")))
    ]
    assert found == []


#: What simulated hands say for themselves: a reason somebody types is nobody's to translate.
TYPED_BY_HANDS = ("hand", "slip")


def words_in(table):
    """What reads as words for people in a scenario's file: it begins large, or with the pH, and has a blank."""
    for value in table.values() if isinstance(table, dict) else table:
        if isinstance(value, dict | list):
            yield from words_in(value)
        elif isinstance(value, str) and " " in value and (value[0].isupper() or value.startswith("pH ")):
            yield value


@pytest.mark.parametrize("name", sorted(scenarios()))
def test_no_words_of_a_scenario_stand_outside_the_catalogue(name):
    table = tomllib.loads(scenarios()[name].read_text(encoding="utf-8"))
    people_read = [part for key, part in table.items() if key not in TYPED_BY_HANDS]
    found = list(words_in(people_read))
    assert len(found) >= 6
    assert [words for words in found if words not in {m.id for m in sentences()}] == []


def column_titles(tree):
    """The words above the columns of what is shown as a table: they are looked up where it is drawn."""
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name)
            and node.func.id in ("Sheet", "show", "table")
        ):
            for given in node.args:
                if isinstance(given, ast.Tuple):
                    yield from (
                        (x.lineno, x.value)
                        for x in given.elts
                        if isinstance(x, ast.Constant) and isinstance(x.value, str)
                    )


def test_every_title_of_a_column_is_in_the_catalogue():
    known = {m.id for m in sentences()} | {"", "SHA-256", "g"}
    found = [
        f"{path.relative_to(ROOT)}:{line}: {words}"
        for room in ("service", "commands", "record/documents")
        for path in sorted((ROOT / "benchapp" / room).rglob("*.py"))
        for line, words in column_titles(ast.parse(path.read_text(encoding="utf-8")))
        if words not in known
    ]
    assert found == []


def test_the_scan_sees_what_is_not_looked_up():
    code = 'def f(x):\n    """A docstring it is."""\n    return tr("Looked up it is."), "Not looked up.", f"Nor is {x} this."\n'
    assert [words for _, words in outside(ast.parse(code))] == ["Not looked up.", "Nor is … this."]
