"""When could anybody notice a lid? A detector that knows the very vessel: the course it would have gone left alone, how a lid
changes that from second to second, and the scatter of its probe. Nobody at a bench knows any of it.

For every second at which the lid may have come, the logarithm of the likelihood ratio of the readings since (a cumulative
sum, Page 1954, over the known difference; Lorden 1971 for the unknown instant): noticed when the largest is over a threshold.
"""

from __future__ import annotations

from math import inf

import numpy as np
from family_trial import forecaster_for
from family_waits import Truth, Wait
from numpy.typing import NDArray

#: Before this nothing is looked for, in seconds; nor for a lid that came longer ago.
FROM_S, LONGEST_S = 100, 240


def likeliest(readings: list[tuple[float, float]], truth: Truth, changed_s: float) -> NDArray[np.float64]:
    """The largest logarithm of the ratio at each second."""
    n = min(len(readings), len(truth.alone))
    off = np.array([c for _, c in readings[:n]]) - np.array(truth.alone[:n])
    both = min(len(truth.shown), len(truth.alone))
    since = slice(int(changed_s), min(int(changed_s) + LONGEST_S, both))
    lid = np.array(truth.shown[since]) - np.array(truth.alone[since])
    best = np.zeros(n)
    for came in range(FROM_S, n):
        k = min(len(lid), n - came)
        ratio = np.cumsum(off[came : came + k] * lid[:k] - 0.5 * lid[:k] ** 2) / truth.scatter_k**2
        best[came : came + k] = np.maximum(best[came : came + k], ratio)
    return best


def noticed_late_s(waits: list[Wait], false: int) -> list[float]:
    """Seconds from each change until it is noticed, with as many of the same vessels, left alone, falsely found changed."""
    alone, since = [], []
    for wait in waits:
        assert wait.truth is not None
        assert wait.changed_s is not None
        alone.append(float(likeliest(wait.truth.readings_alone, wait.truth, wait.changed_s).max()))
        since.append(likeliest(wait.readings, wait.truth, wait.changed_s)[int(wait.changed_s) :])
    threshold = sorted([*alone, 0.0], reverse=True)[false]
    return [float(over[0]) if len(over := np.flatnonzero(s > threshold)) else inf for s in since]


def falsely_said(waits: list[Wait]) -> int:
    """In how many of the same vessels, left alone, ours says that something changed."""
    found = 0
    for wait in waits:
        assert wait.truth is not None
        forecaster, said = forecaster_for(wait), False
        for at, temp in wait.truth.readings_alone:
            forecaster.push(at, temp)
            said = said or bool(forecaster.note(at))
        found += said
    return found
