"""The page of one's own recipes, followed line by line: what it says is typed works in an empty workshop."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

from one_command import command

PAGE = Path(__file__).parents[2] / "docs" / "recipes.md"
#: Sheets and batches that an empty workshop has none of.
NEEDS_MORE = re.compile(r"\.xlsx|BATCH")


def test_what_the_page_says_is_typed_works(tmp_path):
    lines = re.findall(r"^    (benchapp .+)$", PAGE.read_text("utf-8"), re.MULTILINE)
    typed = [shlex.split(x, comments=True)[1:] for x in lines if not NEEDS_MORE.search(x)]
    assert len(typed) >= 20
    for words in typed:
        done = command(*words, "--data", str(tmp_path))
        assert done.returncode == 0, (words, done.stdout, done.stderr)
    assert (tmp_path / "procedures" / "kelp-lotion.toml").is_file()
