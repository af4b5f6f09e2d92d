"""Courses of drawn lines and Letters come in; out go the courses with the straight lines that bowed ones stand for,
and what is said of their bows."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from vectorize.findings import Finding, Severity
from vectorize.reading.bend import Shared, Track, shared_bow, track_of
from vectorize.reading.records import LetterInk, LineCourse
from vectorize.reading.standing import following, straight_kept
from vectorize.trade.lines import BOWED

# A line is bowed when it strays from its straight by so much, root mean square in x-heights; ruled lines stay below half.
STRAYS = 0.0018
# So sure, as a logarithm of odds, before it is said whether letters follow a line.
SURE_ODDS = 3.0


def straightened(
    courses: tuple[LineCourse, ...], letters: tuple[LetterInk, ...], x_height_px: float
) -> tuple[LineCourse, ...]:
    """The courses; the straight of a bowed one is the one that the letters keep to.

    A bowed line's nearest straight lies off the marks it was drawn between by two thirds of its bow; where letters stand
    on it or reach it, they tell the straight that was meant.
    """
    return tuple(_straightened(c, letters, x_height_px) for c in courses)


def _straightened(course: LineCourse, letters: tuple[LetterInk, ...], x_height_px: float) -> LineCourse:
    found = None if course.printed else _bow_of(course, x_height_px)
    if found is None:
        return course
    track, shared = found
    slope, height = straight_kept(track, shared.bow, letters, x_height_px)
    start, end = ((x, slope * x + height) for x in (course.start[0], course.end[0]))
    return replace(course, start=start, end=end)


def _bow_of(course: LineCourse, x_height_px: float) -> tuple[Track, Shared] | None:
    track = track_of(course, x_height_px)
    if track is None:
        return None
    shared = shared_bow((track,), x_height_px)
    return (track, shared) if shared.own_px[0] > STRAYS * x_height_px else None


def bows_told(named: dict[str, LineCourse], letters: tuple[LetterInk, ...], x_height_px: float) -> tuple[Finding, ...]:
    """A finding on drawn lines whose middle lies off the straight between their ends; `named` as it is to be said."""
    sags = {name: _sag_ratio(course, x_height_px) for name, course in named.items()}
    deep = {name: sag for name, sag in sags.items() if abs(sag) >= BOWED}
    if not deep:
        return ()
    said = [f"the {name} {'sags' if sag > 0 else 'rises'} by {abs(sag):.0%}" for name, sag in deep.items()]
    seen = " and ".join((", ".join(said[:-1]), said[-1])) if len(said) > 1 else said[0]
    going = _going([named[name] for name in deep], letters, x_height_px)
    text = (
        f"Drawn lines bow in the middle: {seen} of the x-height; {going}. "
        "Level, seat and heights are judged by the straight lines that the letters keep to. "
        "Rule the lines along a straight edge, and lay the sheet flat for the picture."
    )
    worst = max(deep.values(), key=abs)
    return (Finding("reading", (), round(worst, 3), float(BOWED), "x-heights", Severity.LOOK_AGAIN, text),)


def _going(lines: list[LineCourse], letters: tuple[LetterInk, ...], x_height_px: float) -> str:
    """Whether the letters go along with the bows, as far as it can be told."""
    found = [b for b in (_bow_of(c, x_height_px) for c in lines) if b is not None]
    odds = following(tuple((track, shared.bow) for track, shared in found), letters, x_height_px).log_odds
    them = "it" if len(lines) == 1 else "them"
    if abs(odds) < SURE_ODDS:
        return f"whether the letters go along with {them} cannot be told"
    return f"the letters go along with {them}" if odds > 0 else f"the letters keep straight beside {them}"


def _sag_ratio(course: LineCourse, x_height_px: float) -> float:
    x = np.flatnonzero(np.isfinite(course.middle_px))
    bend = float(np.polyfit(x, course.middle_px[x], 2)[0])
    return -bend * float(np.ptp(x)) ** 2 / 4.0 / x_height_px
