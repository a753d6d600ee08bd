"""Everything that can go wrong between benches and server at random, a short form. The long one:
``python tests/replication/faults.py 600``."""

from __future__ import annotations

import random

from faults import run


def test_a_few_seconds_of_everything_going_wrong_lose_nothing(postgres_programs):
    seed = random.SystemRandom().randrange(1 << 30)
    said = run(postgres_programs, 2.0, seed)
    print(said)
    assert said.endswith("nothing lost, doubled or out of order")
