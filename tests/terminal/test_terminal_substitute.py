"""What a replaced ingredient asks to be looked at, in a terminal, before anything is made."""

from __future__ import annotations

import pytest
from one_command import command
from substitutes import keep_a_shelf


@pytest.fixture
def folder(tmp_path):
    keep_a_shelf(tmp_path)
    return tmp_path


def test_the_plan_is_worked_out_with_the_other_one(folder):
    out = command(
        "plan", "oat-hand-lotion", "--data", str(folder), "--substitute", "Sunflower oil=Rapeseed oil"
    )
    assert out.returncode == 0
    assert "Rapeseed oil in place of Sunflower oil, in this batch alone" in out.stdout
    assert "look at: The list of ingredients on the label changes" in out.stdout
    assert "Brassica Campestris Seed Oil" in out.stdout


@pytest.mark.parametrize(("given", "says"), [("Sunflower oil", "Write it as --substitute"), ("Sunflower oil=Nothing", "no material"),
                                             ("Preservative blend=Sour preservative", "cannot be made")])  # fmt: skip
def test_what_cannot_be_replaced_so_is_one_sentence(folder, given, says):
    out = command("plan", "oat-hand-lotion", "--data", str(folder), "--substitute", given)
    assert out.returncode != 0
    assert says in out.stdout + out.stderr
    assert "Traceback" not in out.stderr
