"""Curves that bend one way and then the other change over between nodes."""

from __future__ import annotations

import numpy as np
import pytest

from tests.outlines.glyphs import inked, letter_ink
from vectorize.outlines.check import faults
from vectorize.outlines.draw import draw_outline
from vectorize.outlines.fit import Fitted, Samples, fit
from vectorize.outlines.inflections import without_inflections
from vectorize.outlines.pieces import inflects_between
from vectorize.outlines.plan import CORNER, FREE, SMOOTH, Plan
from vectorize.outlines.ring import directions, resampled
from vectorize.trade.outlines import TREMOR_DEPTH


def waving(depth: float, waves: float, slope: float) -> np.ndarray:
    """A broad stroke that waves as it rises, its ends cut straight; x-heights."""
    u = np.linspace(0.0, 1.0, 201)
    v = slope * u + depth * np.sin(2 * np.pi * waves * u)
    return np.vstack((np.column_stack((u, v - 0.09)), np.column_stack((u, v + 0.09))[::-1]))


def fitted_with_nodes_at(places: list[float], depth: float, slope: float) -> tuple[Fitted, Samples]:
    """A stroke of one wave, with smooth nodes so far along its lower edge."""
    ring = resampled(waving(depth, 1.0, slope), 0.006)
    spots = [waving(depth, 1.0, slope)[round(200 * p)] for p in (0.0, *places, 1.0)]
    spots += [waving(depth, 1.0, slope)[201 + k] for k in (0, 50, 150, 200)]
    at = np.array([int(np.hypot(*(ring.points - s).T).argmin()) for s in spots])
    corner = np.array([True, *(False for _ in places), True, True, False, False, True])
    line = np.zeros(len(at), bool)
    line[[len(places) + 1, -1]] = True
    free = np.full((len(at), 2), FREE)
    plan = Plan(at, np.where(corner, CORNER, SMOOTH), free, line, np.full(len(at), np.nan))
    n = len(ring.points)
    samples = Samples(ring.points, directions(ring, 0.01), np.ones(n), 0.0015, ring.step, np.full(n, 0.02))
    return fit(plan, samples), samples


def inflecting(f: Fitted) -> int:
    smooth = (f.plan.kind != CORNER) & ~f.plan.line & ~np.roll(f.plan.line, 1)
    return sum(inflects_between(f.control[k - 1], f.control[k]) for k in np.flatnonzero(smooth))


@pytest.mark.parametrize("slope", [0.5, 0.9])
@pytest.mark.parametrize("depth", [0.02, 0.04, 0.06])
def test_a_node_at_the_inflection_goes_and_the_curve_stays_on_the_edge(depth: float, slope: float):
    fitted, samples = fitted_with_nodes_at([0.5], depth, slope)
    assert inflecting(fitted) == 1
    better = without_inflections(fitted, samples)
    assert inflecting(better) == 0
    assert len(better.plan.at) <= len(fitted.plan.at)
    assert np.abs(better.off).max() < max(TREMOR_DEPTH, np.abs(fitted.off).max()) + 0.001


def test_nodes_within_the_bends_stay():
    fitted, samples = fitted_with_nodes_at([0.25, 0.75], 0.04, 0.9)
    assert inflecting(fitted) == 0
    assert without_inflections(fitted, samples) is fitted


@pytest.mark.parametrize(("depth", "slope"), [(0.02, 1.3), (0.02, 0.8), (0.045, 1.3)])
def test_a_waving_stroke_is_drawn_without_nodes_at_its_inflections(depth: float, slope: float):
    cover, to_units = inked([1000.0 * waving(depth, 1.5, slope)], 250.0)
    drawn = draw_outline(letter_ink(cover), to_units, 0.85)
    assert faults(drawn.contours) == ()
    assert drawn.fit_error_u < 10.0
