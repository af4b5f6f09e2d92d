"""Two drafts come in; out goes what became of each finding between them, in figures and in words."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from vectorize.drafts.draft import Draft
from vectorize.findings import Finding, Severity
from vectorize.trade.drafts import HARDLY, NEW_NOTE


class State(StrEnum):
    """What became of a finding; the order of the members is the order in which they are told."""

    GONE = "gone"
    BETTER = "better"
    SAME = "same"
    WORSE = "worse"
    NEW = "new"


@dataclass(frozen=True, slots=True)
class Change:
    """One finding of the earlier draft, of the later one, or of both."""

    state: State
    was: Finding | None
    now: Finding | None

    @property
    def said(self) -> Finding:
        """The finding that speaks: the later one where there is one."""
        found = self.now or self.was
        assert found is not None
        return found


@dataclass(frozen=True, slots=True)
class Figures:
    """How a draft stands as a whole.

    uneven_ratio: root mean square of how far its gaps are from even, x-heights; None with fewer than two gaps.
    baseline_deg: the drawing's own tilt on the sheet. stem_spread_deg: how much its stems differ in lean.
    """

    uneven_ratio: float | None
    baseline_deg: float | None
    stem_spread_deg: float | None


def changes(earlier: Draft, later: Draft) -> tuple[Change, ...]:
    """Every finding that weighs something in one of the drafts, gone first and new last, the heavier first.

    Findings are the same when check and letters are the same. Where the drafts differ in their letters, only findings on
    the whole word are compared.
    """
    same_letters = earlier.spelt == later.spelt and len(earlier.letters) == len(later.letters)
    was, now = (_open(d, with_letters=same_letters) for d in (earlier, later))
    keys = list(dict.fromkeys([*was, *now]))
    found = [_change(was.get(k), now.get(k)) for k in keys]
    order = list(State)
    return tuple(sorted(found, key=lambda c: (order.index(c.state), -_heaviest(c))))


def _heaviest(change: Change) -> int:
    return max(f.severity.rank for f in (change.was, change.now) if f is not None)


def _open(draft: Draft, *, with_letters: bool) -> dict[tuple[str, tuple[int, ...], str], Finding]:
    """The findings that do not hold; of two on the same place by the same check and unit the heavier."""
    found: dict[tuple[str, tuple[int, ...], str], Finding] = {}
    for f in draft.findings:
        key = (f.check, f.letters, f.unit)
        if not is_fault(f) or (f.letters and not with_letters):
            continue
        if key not in found or found[key].severity.rank < f.severity.rank:
            found[key] = f
    return found


def is_fault(finding: Finding) -> bool:
    """Whether a finding speaks against the drawing: what holds, and what the reading could not tell, does not."""
    doubt = finding.severity is Severity.NOTE and finding.limit is None
    return finding.severity is not Severity.HOLDS and finding.check != "reading" and not doubt


def _change(was: Finding | None, now: Finding | None) -> Change:
    if now is None:
        return Change(State.GONE, was, None)
    if was is None:
        return Change(State.NEW if _told(now) else State.SAME, None, now)
    before, after, limit = departure(was), departure(now), abs(now.limit or was.limit or 0.0)
    if before is None or after is None or not limit:
        step = now.severity.rank - was.severity.rank
    else:
        step = 0 if abs(after - before) < HARDLY * limit else int(math.copysign(1, after - before))
    state = State.SAME if step == 0 else State.BETTER if step < 0 else State.WORSE
    return Change(state, was, now)


def _told(now: Finding) -> bool:
    """Whether a finding that was not there before is more than a limit just passed, which could be chance."""
    beyond = departure(now)
    return now.severity is not Severity.NOTE or beyond is None or not now.limit or beyond >= NEW_NOTE * abs(now.limit)


def departure(finding: Finding) -> float | None:
    """How far the figure lies beyond its limit, whichever side is the wrong one; None without figures."""
    if finding.measured is None or finding.limit is None:
        return None
    return abs(abs(finding.measured) - abs(finding.limit))


def figures(draft: Draft) -> Figures:
    """The whole draft in three figures."""
    moves = [p.excess_ratio for p in draft.setting.pairs if p.excess_ratio is not None]
    level = draft.measures.get("level") or {}
    leans = [x.get("stem_deg") for x in draft.measures.get("letters", ()) if x.get("stem_deg") is not None]
    return Figures(
        _rms(moves) if len(moves) > 1 else None,
        level.get("drawing_deg") if level.get("drawing_deg") is not None else level.get("baseline_deg"),
        max(leans) - min(leans) if len(leans) > 1 else None,
    )


def _rms(values: Sequence[float]) -> float:
    return math.sqrt(sum(v * v for v in values) / len(values))


def sentence(change: Change) -> str:
    """The change in words, with its figures where both drafts have one."""
    f = change.said
    if change.now is None:
        # What is gone needs no advice any more, and that is what comes after the first sentence.
        return f"Earlier: {f.text.split('. ')[0].rstrip('.')}."
    if change.was is None or change.was.measured is None or change.now.measured is None:
        return f.text
    unit = {"deg": "degrees"}.get(f.unit, f.unit)
    figures_ = f"{_figure(change.was.measured)} before, {_figure(change.now.measured)} now"
    return f"{f.text} ({figures_}{', ' if unit else ''}{unit})"


def _figure(value: float) -> str:
    """At most three decimals and a true minus."""
    return f"{value:.3f}".rstrip("0").rstrip(".").replace("-", "\u2212")
