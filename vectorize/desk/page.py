"""A Study and its critique come in; plain values for the page go out: shapes, lines, whites, figures, words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import reduce
from itertools import pairwise
from typing import Any

import numpy as np

from vectorize.anatomy.overlay import lay_over
from vectorize.corrections import GUIDE_NAMES, to_json
from vectorize.curves import Contour, Line
from vectorize.findings import Finding
from vectorize.geometry import Box, Homography, PlaneMap, Point, Points, box_around, chained, frozen
from vectorize.model.compare import partners
from vectorize.spacing.profile import BOTTOM_RATIO, ROW_RATIO, profile
from vectorize.spacing.white import bands, tall_weights
from vectorize.study import GuideLine, Letter, Sketch, Study
from vectorize.trade.spacing import EVEN_WITHIN, NARROWNESS, TOUCHING

Values = dict[str, Any]


def page_values(study: Study, findings: Sequence[Finding], to_picture: PlaneMap) -> Values:
    """Everything the page draws, in letter units (y up), and the way back into the picture.

    to_picture: from the pixels of study.sketch to those of the upright picture.
    """
    sketch = study.sketch
    units_to_picture = chained(Homography.from_affine(sketch.to_units.inverse()), to_picture)
    return {
        "word": study.brief.word,
        "x_height_mm": study.scale.x_height_mm,
        "scale_source": study.scale.source,
        "units_to_picture": _way_back(units_to_picture, _seen_u(sketch)),
        "sketch": {
            "width": int(sketch.rgb.shape[1]),
            "height": int(sketch.rgb.shape[0]),
            "to_units": [getattr(sketch.to_units, k) for k in ("xx", "yx", "xy", "yy", "dx", "dy")],
        },
        "guides": {name: _guide(getattr(study.guides, name)) for name in GUIDE_NAMES},
        "letters": [_letter(x, units_to_picture) for x in study.letters],
        "model": _model(study),
        "moves_u": list(study.setting.moves_u),
        "rule": _rule(study),
        "findings": [_finding(f, study) for f in findings if f.check != "comment"],
        "corrections": to_json(study.brief.corrections),
    }


BENT_COLUMNS, BENT_ROWS = 49, 9
"""Steps of the table that a bent map is told by; between them a bow of a tenth strays by less than .1 px."""


def _seen_u(sketch: Sketch) -> Box:
    """What the sketch shows, in letter units."""
    height, width = sketch.rgb.shape[:2]
    return box_around(sketch.to_units.apply(Box(0.0, 0.0, float(width), float(height)).corners))


def _way_back(units_to_picture: PlaneMap, seen: Box) -> Values:
    """The map as the page takes it: a homography, and where the picture is bent a table of what it leaves over.

    The table's rows run up from the box's lower side; each has a pair (dx, dy) of picture px a column.
    """
    if isinstance(units_to_picture, Homography):
        return {"flat": _nine(units_to_picture), "bent": None}
    flat = _nearest_flat(units_to_picture, seen)
    x, y = np.meshgrid(np.linspace(seen.x0, seen.x1, BENT_COLUMNS), np.linspace(seen.y0, seen.y1, BENT_ROWS))
    at = np.column_stack((x.ravel(), y.ravel()))
    left = (units_to_picture.apply(at) - flat.apply(at)).reshape(BENT_ROWS, BENT_COLUMNS, 2)
    box = [seen.x0, seen.y0, seen.x1, seen.y1]
    return {"flat": _nine(flat), "bent": {"box": box, "left": np.round(left, 3).tolist()}}


def _nine(h: Homography) -> list[float]:
    return [float(v) for v in (h.matrix / h.matrix[2, 2]).ravel()]


def _nearest_flat(bent: PlaneMap, seen: Box) -> Homography:
    """The homography through what becomes of the box's corners."""
    rows, right = [], []
    for (x, y), (u, v) in zip(seen.corners, bent.apply(seen.corners), strict=True):
        rows += [(x, y, 1, 0, 0, 0, -u * x, -u * y), (0, 0, 0, x, y, 1, -v * x, -v * y)]
        right += [u, v]
    return Homography(frozen(np.append(np.linalg.solve(np.array(rows), np.array(right)), 1.0).reshape(3, 3)))


def _guide(line: GuideLine | None) -> Values | None:
    return None if line is None else {"source": str(line.source), "ends": [_rounded(p) for p in line.units]}


def _letter(letter: Letter, units_to_picture: PlaneMap) -> Values:
    box = letter.outline.box_u
    at = units_to_picture.apply(np.array([box.centre]))[0]
    return {
        "index": letter.index,
        "name": letter.name,
        "path": path_data(letter.outline.contours),
        "nodes": [_rounded(p) for c in letter.outline.contours for p in c.nodes],
        "box": [round(v, 3) for v in (box.x0, box.y0, box.x1, box.y1)],
        "at": [float(v) for v in at],
    }


def _model(study: Study) -> Values | None:
    """The model's letters, each laid over the drawn one it stands for; None without a model."""
    if study.model is None:
        return None
    found = zip(study.letters, partners([x.name for x in study.letters], study.model), strict=True)
    laid = [
        m.outline.moved(lay_over(x.outline, m.outline, upright_too=False).move_u[0]) if m else None for x, m in found
    ]
    return {"name": study.model.name, "letters": [path_data(o.contours) if o else None for o in laid]}


def path_data(contours: Iterable[Contour]) -> str:
    """The contours as SVG path data: absolute M L C Z in letter units, y up."""
    parts: list[str] = []
    for contour in contours:
        parts.append("M" + _xy(contour.segments[0].start))
        for s in contour.segments:
            if isinstance(s, Line):
                parts.append("L" + _xy(s.end))
            else:
                parts.append(f"C{_xy(s.leaving)} {_xy(s.arriving)} {_xy(s.end)}")
        parts.append("Z")
    return "".join(parts)


def _rule(study: Study) -> Values:
    """The area rule's rows for the page, which respaces live: constants, and for each word its letters and bands."""
    words = []
    for number in sorted({x.word for x in study.letters}):
        letters = [x for x in study.letters if x.word == number]
        profiles = [profile(x.outline) for x in letters]
        rows = bands(profiles)
        words.append(
            {
                "letters": [x.index for x in letters],
                "edges": [[p.box.x0, p.box.x1] for p in profiles],
                "spaces": [
                    {
                        "first_row": start,
                        "weight": weight,
                        "left": [float(v) for v in a.right[start:stop]],
                        "right": [float(v) for v in b.left[start:stop]],
                    }
                    for (a, b), (start, stop), weight in zip(
                        pairwise(profiles), rows, tall_weights(profiles, rows), strict=True
                    )
                ],
            }
        )
    return {
        "row": ROW_RATIO,
        "bottom": BOTTOM_RATIO,
        "narrowness": float(NARROWNESS),
        "touching": float(TOUCHING),
        "even_within": float(EVEN_WITHIN),
        "words": words,
    }


def _finding(finding: Finding, study: Study) -> Values:
    boxes = [x.outline.box_u for x in study.letters if x.index in finding.letters]
    around = reduce(Box.joined, boxes) if boxes else None
    place = finding.place_u or (around and (around.x0, around.y0, around.x1, around.y1))
    return {
        "letters": list(finding.letters),
        "severity": str(finding.severity),
        "text": finding.text,
        "place": [float(v) for v in place] if place else None,
    }


def _rounded(point: Point | Points) -> list[float]:
    return [round(float(v), 3) for v in point]


def _xy(point: Point) -> str:
    return f"{point[0]:.2f} {point[1]:.2f}"
