"""Air that moves on the pans of the other bench."""

from __future__ import annotations

import math
from random import Random

from otherbench.bench import OtherBench


class Draught:
    """Air that moves on the pans: every two minutes or so, for five to thirty seconds."""

    def __init__(self, bench: OtherBench, seed: int) -> None:
        self._bench, self._random, self._until_s = bench, Random(f"{seed}/draught"), 0.0
        self._then_s = 0.0

    def __call__(self, now_s: float) -> None:
        gone_s, self._then_s = now_s - self._then_s, now_s
        if now_s > self._until_s and self._random.random() < gone_s / 120:
            self._until_s = now_s + self._random.uniform(5.0, 30.0)
        blows = now_s < self._until_s
        for scale in self._bench.scales():
            most = 4 * scale.division_g
            scale.extra_g = most * math.sin(2.1 * now_s) if blows else 0.0
