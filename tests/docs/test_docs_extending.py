"""docs/extending.md, followed to the letter in a copy of the code: a new line format and a new kind of step."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "extending.md").read_text(encoding="utf-8")
PLACE = re.compile(
    r"(?:[Nn]ew file|^File) `(?P<file>[^`]+)`:\n|In `(?P<into>[^`]+)`,(?:\s)before\s`(?P<before>[^`]+)`[^\n]*:\n",
    re.M,
)

TRY_IT = """
from benchapp.make.core import Make
from benchapp.make.inputs import Press, Tick
from benchapp import events as ev
from benchapp.make.view_building import view_model_of
from benchapp.make.plan_making import make_plan
from benchapp.service.procedure_facts import procedure_facts
from procedures.errors import ProcedureInvalid
from procedures.reading import read_text
from procedures.shelf import find
from procedures.walk import bench_at

lotion = find("oat-hand-lotion").read_text(encoding="utf-8")
step = '[[step]]\\nkind = "stand"\\ntitle = "Let the air rise"\\nvessel = "VESSEL"\\nstand = "20 min"\\n\\n'

def with_stand(vessel, before):
    place = lotion.index('[[step]]\\nkind = "%s"' % before)
    return read_text(lotion[:place] + step.replace("VESSEL", vessel) + lotion[place:], "mine.toml").procedure

procedure = with_stand("water pot", "cool")  # at up to 75 degrees
(stand,) = [s for s in procedure.steps if s.kind == "stand"]
print(stand.sentence(bench_at(stand, procedure)))
print(procedure_facts(procedure).steps[stand.key].kind)
try:
    with_stand("oil pot", "cool")  # it was poured over: empty
except ProcedureInvalid as error:
    print(error)
make = Make(make_plan(procedure, procedure.default_batch_g, ()))
began = [ev.MakeStarted(at_s=0.0, batch="b", maker="m", procedure="p", procedure_sha256="", procedure_text="",
                        batch_g=procedure.default_batch_g, devices=())]
make.apply(began)
for s in procedure.steps:
    if s.key == stand.key:
        break
    make.apply([ev.StepBegan(at_s=0.0, step=s.key), ev.StepFinished(at_s=0.0, step=s.key)])
while more := make.follow(0.0):
    make.apply(more)
def give(given):
    make.apply(make.take(given))
    while more := make.follow(given.at_s):
        make.apply(more)
print([c.key for c in view_model_of(make, 1.0).cautions])
give(Press(1.0, make.state.prompt, "understood"))
print(view_model_of(make, 1.5).act_view.instruction, "|", view_model_of(make, 1.5).detail.why)
give(Press(2.0, make.state.prompt, "yes"))
print(view_model_of(make, 3.0).act_view.instruction, view_model_of(make, 3.0).act_view.live[0].value)
give(Tick(1300.0))
print(make.state.steps_done[-1] == stand.key)
"""

#: The kind is in the folder, and nowhere else yet: what the type checker then says.
FORGOTTEN = "benchapp/make/steps/__init__.py"


@pytest.fixture(scope="module")
def followed(tmp_path_factory) -> Path:
    """A copy of the code with everything on the page done to it."""
    copy = tmp_path_factory.mktemp("copy")
    for room in ("benchapp", "drivers", "procedures"):
        shutil.copytree(ROOT / room, copy / room, ignore=shutil.ignore_patterns("__pycache__"))
    done = 0
    for match in PLACE.finditer(PAGE):
        code = re.match(r"\n```\w+\n(.*?)```", PAGE[match.end() :], re.S)
        assert code, f"no code after {match[0]!r}"
        done += 1
        if match["file"]:
            (copy / match["file"]).parent.mkdir(exist_ok=True)
            (copy / match["file"]).write_text(code[1], encoding="utf-8")
            continue
        place = copy / match["into"]
        text = place.read_text(encoding="utf-8")
        assert text.count(match["before"]) == 1, f"{match['before']!r} stands once in {match['into']}"
        at = text.index(match["before"])
        place.write_text(text[:at] + code[1] + text[at:], encoding="utf-8")
    assert done == 8, "every place the page names was found"
    return copy


def run(copy: Path, code: str) -> list[str]:
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=copy, timeout=120)
    assert done.returncode == 0, done.stderr[-3000:]
    return done.stdout.splitlines()


def test_the_new_kind_of_step_is_read_described_announced_recorded_and_walked(followed):
    described, kind, refused, cautions, cover, stand, over = run(followed, TRY_IT)
    assert "let the water pot stand for 20 min" in described
    assert kind == "stand", "the record knows it"
    assert "The oil pot is empty when this step begins" in refused
    assert "hot liquid" in cautions, "a pot at 75 °C is announced, whatever is done with it"
    assert cover == "Cover the water pot. | Air beaten in has to rise."
    assert stand == "Let the water pot stand 1199.0"
    assert over == "True"


def test_a_kind_that_is_forgotten_somewhere_fails_in_the_type_checker(followed, tmp_path):
    """Without its acts, and without one part of its declaration: two errors, each at its place."""
    copy = tmp_path / "copy"
    shutil.copytree(followed, copy)
    acts = copy / FORGOTTEN
    acts.write_text(
        acts.read_text("utf-8").replace(
            "        case s.Stand():\n            return stand.acts(known, plan)\n", ""
        ),
        "utf-8",
    )
    kind = copy / "procedures" / "steps" / "stand.py"
    kind.write_text(kind.read_text("utf-8").replace("            touches=(self.vessel,),\n", ""), "utf-8")
    said = mypy_says(copy, FORGOTTEN, "procedures/steps/stand.py")
    assert "assert_never" in said
    assert "Stand" in said
    assert 'Missing named argument "touches" for "Declaration"' in said


def mypy_says(copy: Path, *files: str) -> str:
    mypy = pytest.importorskip(
        "mypy.api", reason="mypy comes with .[dev]; .ci/run runs this test again with it"
    )
    out, err, status = mypy.run(["--strict", "--config-file", str(ROOT / "pyproject.toml"), "--cache-dir", str(copy / "cache"),
                                 "--follow-imports", "silent", *(str(copy / f) for f in files)])  # fmt: skip
    assert status == 1, out + err
    return out


def test_the_new_line_format_reads_its_device(followed):
    said = run(
        followed,
        "from drivers.formats import LineParser, load_formats\nfrom pathlib import Path\n"
        "parser = LineParser(load_formats(Path('my-formats'))['equals-headed'], 'scale')\n"
        "for line in (b'W=   123.40 g --', b'W=-0.5 g ok', b'W=OL'):\n"
        "    (spoke,) = parser.read(line)\n"
        "    print(spoke.value, spoke.stable, spoke.fault)\n",
    )
    assert said == ["123.4 False None", "-0.5 True None", "None None overload"]
