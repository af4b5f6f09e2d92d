"""Where labels would like to stand comes in; out goes where they stand without touching, as near as can be."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise


def spread(
    wanted: Sequence[float], widths: Sequence[float], low: float = -math.inf, high: float = math.inf
) -> tuple[float, ...]:
    """Centres in the same order that keep labels of these widths apart, with the least sum of squared moves.

    low, high: between which the labels lie; where they have no room there, `low` is kept. Each centre less the widths
    before it must not fall: isotonic regression by pooling adjacent violators (Ayer et al., Ann. Math. Statist. 26 (1955)
    641-647); bounds only clip its solution.
    """
    if not wanted:
        return ()
    steps = [0.0]
    for a, b in pairwise(widths):
        steps.append(steps[-1] + (a + b) / 2.0)
    blocks: list[tuple[float, int]] = []
    for centre, step in zip(wanted, steps, strict=True):
        mean, count = centre - step, 1
        while blocks and blocks[-1][0] > mean:
            before, n = blocks.pop()
            mean, count = (mean * count + before * n) / (count + n), count + n
        blocks.append((mean, count))
    flat = [mean for mean, count in blocks for _ in range(count)]
    least, most = low + widths[0] / 2.0, high - widths[-1] / 2.0 - steps[-1]
    return tuple(max(min(f, most), least) + s for f, s in zip(flat, steps, strict=True))
