"""A Study comes in; all findings on it go out, what holds first, then by weight."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from vectorize.critique import (
    contrast,
    counters,
    edge,
    fill,
    kin,
    level,
    likeness,
    model,
    parallel,
    seat,
    size,
    spaces,
    upright,
    weight,
)
from vectorize.findings import Finding, Severity
from vectorize.study import Study

CHECKS: Final[tuple[Callable[[Study], tuple[Finding, ...]], ...]] = (
    level.check,
    parallel.check,
    upright.check,
    seat.check,
    size.check,
    fill.check,
    likeness.check,
    kin.check,
    counters.check,
    weight.check,
    contrast.check,
    edge.check,
    spaces.check,
    model.check,
)
"""Every check, in the order an instructor looks."""


def judge(study: Study) -> tuple[Finding, ...]:
    """What holds and what does not, the remarks of the reading among it.

    What holds comes first, in the order an instructor looks; then what should be put right, the heaviest first.
    """
    found = [f for check in CHECKS for f in check(study)] + list(study.remarks)
    holds = [f for f in found if f.severity is Severity.HOLDS]
    rest = [f for f in found if f.severity is not Severity.HOLDS]
    return (*holds, *sorted(rest, key=lambda f: -f.severity.rank))
