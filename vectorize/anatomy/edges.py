"""An Outline comes in; out go evenly spaced samples of its edge with tangents, and the ink's thickness behind each."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorize.curves import Contour, flatten
from vectorize.geometry import Points, frozen
from vectorize.outlines.outline import Outline

# Letter units between samples: a tenth of a light stem, so that no stroke falls between two of them.
STEP_U = 8.0
# Flattening far below what any measure is read to.
FLAT_U = 0.3
# A tangent is taken over this length on either side, about half a light stem: shorter follows the tremor.
REACH_U = 16.0
# The far edge of a stroke runs back within 32 degrees of parallel.
FACING_COSINE = -0.85
# Nearer than this, letter units, a ray meets only the edge that it starts from.
AHEAD_U = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class EdgeSamples:
    """Samples along all contours of a letter, letter units.

    points, tangents (unit, ink on the left hand): (n, 2). contour: (n,) number of the contour. closed rings in order.
    """

    points: Points
    tangents: Points
    contour: NDArray[np.int64]

    @property
    def normals(self) -> Points:
        """Unit vectors into the ink, (n, 2)."""
        return np.column_stack((-self.tangents[:, 1], self.tangents[:, 0]))


def sample(outline: Outline, step_u: float = STEP_U) -> EdgeSamples:
    """Evenly spaced samples along every contour of a letter that has at least one."""
    rings = [even_ring(c, step_u) for c in outline.contours]
    tangents = [_tangents(r, max(1, round(REACH_U / step_u))) for r in rings]
    return EdgeSamples(
        frozen(np.concatenate(rings)),
        frozen(np.concatenate(tangents)),
        frozen(np.repeat(np.arange(len(rings)), [len(r) for r in rings])),
    )


def even_ring(contour: Contour, step_u: float) -> Points:
    """Points about `step_u` apart along a closed contour, at least twelve; shape (n, 2)."""
    return even_polyline(flatten(contour, FLAT_U), step_u)


def even_polyline(closed: Points, step_u: float) -> Points:
    """The same along a closed polyline (n, 2), the first point not repeated."""
    ring = np.vstack((closed, closed[:1]))
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(ring, axis=0).T))))
    at = np.linspace(0.0, along[-1], max(12, round(along[-1] / step_u)), endpoint=False)
    return np.column_stack((np.interp(at, along, ring[:, 0]), np.interp(at, along, ring[:, 1])))


def _tangents(ring: Points, reach: int) -> Points:
    chord = np.roll(ring, -reach, axis=0) - np.roll(ring, reach, axis=0)
    length = np.hypot(chord[:, 0], chord[:, 1])
    return np.asarray(chord / np.where(length > 0.0, length, 1.0)[:, None])


def thickness(samples: EdgeSamples) -> NDArray[np.float64]:
    """How thick the stroke is behind each sample, (n,); nan where the edge behind it runs elsewhere.

    A ray goes from the sample into the ink, square to the edge; where it leaves the ink the other edge must run
    within 32 degrees of parallel, otherwise the ray ran along a stroke or into a joint and says nothing about it.
    """
    hit, through = _first_hits(samples)
    facing = np.einsum("ij,ij->i", samples.tangents, samples.tangents[hit])
    # A ray square to one edge of a tapering stroke is longer than the stroke is thick; half the angle between them.
    lean = np.sqrt(np.clip((1.0 - facing) / 2.0, 0.0, 1.0))
    return np.where((facing < FACING_COSINE) & np.isfinite(through), through * lean, np.nan)


def _first_hits(samples: EdgeSamples) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Per sample: the number of the sample where a ray into the ink first leaves it, and how far that is (inf: never).

    A ray crosses an edge whose ends lie on different sides of it; only those few crossings are worked out.
    """
    p, d, following = samples.points, samples.normals, _next_in_ring(samples)
    beside = np.column_stack((-d[:, 1], d[:, 0]))
    side = beside @ p.T
    side -= np.einsum("ij,ij->i", beside, p)[:, None]
    behind = side <= 0.0
    ray, edge = np.nonzero(behind != np.take(behind, following, axis=1))
    here, there = side[ray, edge], side[ray, following[edge]]
    at = p[edge] + (here / (here - there))[:, None] * (p[following[edge]] - p[edge])
    far = np.einsum("ij,ij->i", at - p[ray], d[ray])
    ahead = far > AHEAD_U
    ray, edge, far = ray[ahead], edge[ahead], far[ahead]
    order = np.lexsort((far, ray))
    first = order[np.unique(ray[order], return_index=True)[1]]
    hit, through = np.zeros(len(p), np.int64), np.full(len(p), np.inf)
    hit[ray[first]], through[ray[first]] = edge[first], far[first]
    return hit, through


def _next_in_ring(samples: EdgeSamples) -> NDArray[np.int64]:
    """Number of the sample that follows each one around its contour, (n,)."""
    following = np.arange(1, len(samples.points) + 1)
    for k in np.unique(samples.contour):
        where = np.nonzero(samples.contour == k)[0]
        following[where[-1]] = where[0]
    return following
