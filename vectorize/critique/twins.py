"""A Study comes in; out go its groups of letters that are meant to be the same: by name, else by shape."""

from __future__ import annotations

from collections.abc import Sequence

from vectorize.anatomy.overlay import Overlay, lay_over
from vectorize.study import Letter, Study
from vectorize.trade.critique import SAME_SHAPE

# Letters whose boxes differ by more than this share are not laid over each other.
ALIKE_SHARE = 0.2


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
    if len(a.anatomy.counters) != len(b.anatomy.counters):
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


def overlay(a: Letter, b: Letter) -> Overlay:
    """The second letter laid over the first."""
    return lay_over(a.outline, b.outline)


def typical(group: Sequence[Letter]) -> Letter:
    """The letter of a group of three or more that lies closest to all others."""
    return min(group, key=lambda x: sum(overlay(x, y).rms_u for y in group if y is not x))
