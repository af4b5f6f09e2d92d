"""A Study comes in; out go its groups of letters that are meant to be the same: by name, else by shape."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

from vectorize.anatomy.overlay import Overlay, lay_over
from vectorize.anatomy.records import Counter
from vectorize.study import Letter, Study
from vectorize.trade.critique import SAME_SHAPE

# Letters whose boxes differ by more than this share are not laid over each other.
ALIKE_SHARE = 0.2
# Counters of letters of one shape lie in the same place within this share of the letter.
ALIKE_PLACE = 0.08


def twins(study: Study) -> tuple[tuple[Letter, ...], ...]:
    """Groups of two or more letters of one name; letters without a name are grouped by shape."""
    groups: list[list[Letter]] = []
    for letter in study.letters:
        for group in groups:
            if _same(group, letter):
                group.append(letter)
                break
        else:
            groups.append([letter])
    return tuple(tuple(g) for g in groups if len(g) > 1)


def _same(group: Sequence[Letter], letter: Letter) -> bool:
    first = group[0]
    if first.name is not None or letter.name is not None:
        return first.name == letter.name
    return any(_same_shape(x, letter) for x in group)


def _same_shape(a: Letter, b: Letter) -> bool:
    mine, others = a.anatomy.counters, b.anatomy.counters
    if len(mine) != len(others) or len(a.anatomy.stems) != len(b.anatomy.stems):
        return False
    # An i has its dot, whatever it shares with an l.
    if len(a.outline.contours) != len(b.outline.contours):
        return False
    # The counter of an a lies low and that of an e high, whatever their outer edges share.
    if any(_apart(a, c, b, d) > ALIKE_PLACE for c, d in zip(mine, others, strict=True)):
        return False
    p, q = a.outline.box_u, b.outline.box_u
    if abs(p.width - q.width) > ALIKE_SHARE * max(p.width, q.width):
        return False
    if abs(p.height - q.height) > ALIKE_SHARE * max(p.height, q.height):
        return False
    # Letters of one shape at different heights are different letters: comma and apostrophe.
    if abs(p.y0 - q.y0) > 1000.0 * ALIKE_SHARE:
        return False
    return overlay(a, b).rms_u < 1000.0 * SAME_SHAPE


def _apart(a: Letter, c: Counter, b: Letter, d: Counter) -> float:
    """How far two counters lie from the same place of their letters, in shares of the letters' width and height."""
    p, q = a.outline.box_u, b.outline.box_u
    u = (c.box_u.centre[0] - p.x0) / p.width - (d.box_u.centre[0] - q.x0) / q.width
    v = (c.box_u.centre[1] - p.y0) / p.height - (d.box_u.centre[1] - q.y0) / q.height
    return math.hypot(u, v)


def overlay(a: Letter, b: Letter) -> Overlay:
    """The second letter laid over the first."""
    return lay_over(a.outline, b.outline)


def typical(group: Sequence[Letter]) -> Letter:
    """The letter of a group of three or more that lies closest to all others."""
    apart = dict.fromkeys(range(len(group)), 0.0)
    for (i, a), (j, b) in combinations(enumerate(group), 2):
        rms_u = overlay(a, b).rms_u
        apart[i] += rms_u
        apart[j] += rms_u
    return group[min(apart, key=lambda k: apart[k])]
