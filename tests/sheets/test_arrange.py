"""A drawing within another page: everything on it is moved and scaled alike."""

from __future__ import annotations

import pytest

from vectorize.curves import box, polygon
from vectorize.geometry import Affine
from vectorize.sheets.arrange import arranged
from vectorize.sheets.drawing import Drawing, Group, Label, Picture, Rule, Shape, Strokes, walk


def test_shapes_lines_type_and_pictures_are_moved_and_scaled_alike():
    items = (
        Shape((polygon([(1.0, 2.0), (5.0, 2.0), (5.0, 8.0)]),), "#000000", "#000000", 0.4, (1.0, 2.0)),
        Rule((1.0, 2.0), (5.0, 2.0), width_mm=0.4, dash_mm=(1.0, 2.0)),
        Strokes((((1.0, 2.0), (5.0, 8.0)),), width_mm=0.4, dash_mm=(1.0, 2.0)),
        Label("on", (1.0, 2.0), 3.0),
        Picture(b"", "image/jpeg", 40, 60, Affine(0.1, 0.0, 0.0, 0.1, 1.0, 2.0)),
    )
    moved = arranged(Drawing(10.0, 10.0, "part", (Group(items, "part"),)), 20.0, 30.0, 0.5)
    shape, rule, strokes, label, picture = [i for i in walk(moved.items) if not isinstance(i, Group)]
    around = box(shape.contours)
    assert (around.x0, around.y0, around.x1, around.y1) == pytest.approx((20.5, 31.0, 22.5, 34.0))
    assert (rule.start, rule.end) == ((20.5, 31.0), (22.5, 31.0))
    assert strokes.lines == (((20.5, 31.0), (22.5, 34.0)),)
    assert (shape.stroke_mm, rule.width_mm, strokes.width_mm) == (0.2, 0.2, 0.2)
    assert shape.dash_mm == rule.dash_mm == strokes.dash_mm == (0.5, 1.0)
    assert (label.at, label.size_mm) == ((20.5, 31.0), 1.5)
    assert picture.to_mm.point((40.0, 60.0)) == pytest.approx((22.5, 34.0))
    assert [g.id for g in walk(moved.items) if isinstance(g, Group)] == ["part"]
