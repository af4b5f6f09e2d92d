"""The page a learner opens first: nothing lies over anything else, picture and outline coincide, verdicts without colour."""

from __future__ import annotations

import io
from itertools import combinations

import numpy as np
import pytest
from PIL import Image

from tests.specimens.study import font_study
from vectorize.curves import flatten
from vectorize.sheets.comparison import comparison
from vectorize.sheets.drawing import Anchor, Drawing, Group, Label, Picture, Shape, Strokes, walk
from vectorize.sheets.original import original
from vectorize.sheets.type import width_mm
from vectorize.spacing.records import Verdict

WORDS = {
    2: "no", 5: "illit", 9: "fjillitjf", 14: "illuminatorial",
}  # fmt: skip


def labels(drawing: Drawing) -> list[Label]:
    return [i for i in walk(drawing.items) if isinstance(i, Label)]


def label_box(label: Label) -> tuple[float, float, float, float]:
    width = width_mm(label.text, label.size_mm, bold=label.bold)
    x0 = label.at[0] - width * {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}[label.anchor]
    return x0, label.at[1] - 0.72 * label.size_mm, x0 + width, label.at[1] + 0.2 * label.size_mm


def group(drawing: Drawing, name: str) -> Group:
    return next(i for i in walk(drawing.items) if isinstance(i, Group) and i.id == name)


@pytest.mark.parametrize("text", WORDS.values(), ids=str)
@pytest.mark.parametrize("family", ["lato", "lora"])
def test_no_label_lies_over_another_or_leaves_the_page(text, family):
    drawing = comparison(font_study(text, family=family, changed_u={0: -60.0, 1: 90.0}))
    boxes = [label_box(x) for x in labels(drawing)]
    for a, b in combinations(boxes, 2):
        apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
        assert apart, (a, b)
    assert min(b[0] for b in boxes) >= 0.0
    assert max(b[2] for b in boxes) <= drawing.width_mm
    assert max(b[3] for b in boxes) <= drawing.height_mm


@pytest.mark.parametrize("text", ["mantel", "in two"])
def test_every_gap_is_labelled_with_its_look_and_its_whites(text):
    study = font_study(text)
    said = [x.text for x in labels(comparison(study))]
    for pair in study.setting.pairs:
        if pair.verdict is not None:
            assert pair.verdict.value in said
            assert f"{100.0 * pair.white_ratio:.0f}" in said
            assert f"{100.0 * pair.target_white_ratio:.0f}" in said


def test_wide_and_tight_are_told_by_strokes_and_even_by_none():
    study = font_study("mantel")
    drawing = comparison(study)
    looks = {}
    for pair in study.setting.pairs:
        white = group(drawing, f"original-white-{pair.left:02d}")
        looks.setdefault(pair.verdict, []).extend(
            line for i in white.items if isinstance(i, Strokes) for line in i.lines
        )
    assert not looks[Verdict.EVEN]
    assert all(a[1] == b[1] for a, b in looks[Verdict.WIDE])
    assert all(a[0] == b[0] for a, b in looks[Verdict.TIGHT])


def test_the_white_that_is_drawn_is_the_one_that_is_counted():
    study = font_study("mantel")
    drawing = comparison(study)
    for pair in study.setting.pairs:
        for prefix, ring in (("original-", pair.white_shape_u), ("corrected-", pair.target_shape_u)):
            (shape,) = [i for i in group(drawing, f"{prefix}white-{pair.left:02d}").items if isinstance(i, Shape)]
            drawn = np.array(shape.contours[0].nodes)
            size = np.ptp(ring, axis=0) * study.scale.mm_per_unit
            assert np.ptp(drawn, axis=0) == pytest.approx(size, abs=1e-6)


@pytest.mark.parametrize("sheet", [original, comparison])
def test_the_picture_lies_under_its_outlines(sheet):
    # Where the outline says letter the sketch is dark, 60 units outside it the sketch is light.
    study = font_study("hod")
    drawing = sheet(study)
    (picture,) = [i for i in walk(drawing.items) if isinstance(i, Picture)]
    grey = np.asarray(Image.open(io.BytesIO(picture.data)).convert("L"), float)
    assert grey.shape == (picture.height_px, picture.width_px)
    prefix = "original-" if sheet is comparison else ""
    to_px = picture.to_mm.inverse()
    mm = study.scale.mm_per_unit
    for k in range(3):
        shape = next(i for i in walk(drawing.items) if isinstance(i, Shape) and i.id == f"{prefix}letter-{k + 1:02d}")
        inside, outside = [], []
        for contour in shape.contours:
            ring = flatten(contour, 0.01)
            edge = np.roll(ring, -1, axis=0) - ring
            long = np.hypot(*edge.T) > 0.3 * mm * 100.0
            # Contours run counter-clockwise where y points up, so clockwise on the page: letter lies to the right.
            normal = np.column_stack((-edge[:, 1], edge[:, 0]))[long] / np.hypot(*edge[long].T)[:, None]
            middle = ((ring + np.roll(ring, -1, axis=0)) / 2.0)[long]
            for way, kept in ((-60.0, inside), (60.0, outside)):
                at = to_px.apply(middle + way * mm * normal)
                kept.extend(grey[np.clip(at[:, 1].astype(int), 0, None), np.clip(at[:, 0].astype(int), 0, None)])
        assert abs(np.median(inside) - np.median(outside)) > 60.0


def test_both_words_stand_at_the_same_size():
    study = font_study("mantel")
    drawing = comparison(study)
    for k in range(1, 7):
        a, b = (
            np.array(
                next(i for i in walk(drawing.items) if isinstance(i, Shape) and i.id == f"{p}letter-{k:02d}")
                .contours[0]
                .nodes
            )
            for p in ("original-", "corrected-")
        )
        assert np.ptp(a, axis=0) == pytest.approx(np.ptp(b, axis=0), abs=1e-9)
