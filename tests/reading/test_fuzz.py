"""Files damaged in thousands of ways: each is read or refused with a sentence, never anything else.

The short form runs with the suite. The long form: VECTORIZE_FUZZ=20000 pytest tests/reading/test_fuzz.py
tries that many damaged files of each kind (some minutes a thousand), always the same ones.
"""

from __future__ import annotations

import io
import os

import numpy as np
import pillow_heif
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from reportlab.pdfgen import canvas

from vectorize.errors import PictureError
from vectorize.reading.paper import find_paper
from vectorize.reading.photo import read_photo

EXAMPLES = int(os.environ.get("VECTORIZE_FUZZ", "25"))


def drawing() -> Image.Image:
    rgb = np.full((96, 128, 3), 240, np.uint8)
    rgb[30:70, 20:30] = rgb[30:70, 60:70] = rgb[60:70, 20:70] = 60
    return Image.fromarray(rgb)


def seed(kind: str) -> bytes:
    buffer = io.BytesIO()
    if kind == "PDF":
        sheet = canvas.Canvas(buffer, pagesize=(200, 150))
        sheet.drawInlineImage(drawing(), 0, 0, 200, 150)
        sheet.showPage()
        sheet.save()
    elif kind == "HEIC":
        pillow_heif.from_pillow(drawing()).save(buffer, quality=60)
    elif kind == "progressive JPEG":
        drawing().save(buffer, "JPEG", progressive=True)
    elif kind == "deep PNG":
        Image.fromarray(np.asarray(drawing().convert("L")).astype(np.uint16) * 257).save(buffer, "PNG")
    else:
        drawing().save(buffer, kind)
    return buffer.getvalue()


KINDS = ("JPEG", "progressive JPEG", "PNG", "deep PNG", "TIFF", "WEBP", "GIF", "BMP", "HEIC", "PDF")
SEEDS = {kind: seed(kind) for kind in KINDS}

DAMAGE = st.lists(
    st.tuples(
        st.sampled_from(("set", "cut", "drop", "repeat", "swap")),
        st.floats(0, 1, exclude_max=True),
        st.integers(1, 40),
        st.integers(0, 255),
    ),
    min_size=1,
    max_size=6,
)


def damaged(data: bytes, damage: list[tuple[str, float, int, int]]) -> bytes:
    for what, where, length, value in damage:
        at = int(where * len(data))
        if what == "set":
            data = data[:at] + bytes([value]) + data[at + 1 :]
        elif what == "cut":
            data = data[:at]
        elif what == "drop":
            data = data[:at] + data[at + length :]
        elif what == "repeat":
            data = data[:at] + data[at : at + length] * 3 + data[at + length :]
        else:
            data = data[:at] + data[at : at + length][::-1] + data[at + length :]
    return data


@pytest.mark.parametrize("kind", KINDS)
@given(damage=DAMAGE)
@settings(max_examples=EXAMPLES, derandomize=True, deadline=None)
def test_a_damaged_file_is_read_or_refused(kind, damage):
    try:
        photo = read_photo(damaged(SEEDS[kind], damage), "x", 1)
    except PictureError:
        return
    assert photo.rgb.dtype == np.uint8
    assert min(photo.size_px) >= 64


@given(data=st.binary(max_size=400))
@settings(max_examples=4 * EXAMPLES, derandomize=True, deadline=None)
def test_any_bytes_are_refused(data):
    with pytest.raises(PictureError):
        read_photo(data, "x", 1)


@given(data=st.binary(max_size=200), start=st.sampled_from((b"\xff\xd8\xff\xe0", b"%PDF-1.4\n", b"II*\0", b"GIF89a")))
@settings(max_examples=4 * EXAMPLES, derandomize=True, deadline=None)
def test_bytes_that_only_start_like_a_picture_are_refused(data, start):
    with pytest.raises(PictureError):
        read_photo(start + data + b"%%EOF", "x", 1)


@given(
    seed_=st.integers(0, 2**31),
    size=st.tuples(st.integers(64, 240), st.integers(64, 240)),
    grain=st.sampled_from((0, 3, 60)),
    patches=st.integers(0, 5),
)
@settings(max_examples=max(5, EXAMPLES // 2), derandomize=True, deadline=None)
def test_any_picture_has_some_paper(seed_, size, grain, patches):
    rng = np.random.default_rng(seed_)
    rgb = np.full((size[1], size[0], 3), rng.uniform(0, 255, 3))
    for _ in range(patches):
        x0, y0 = rng.integers(0, size[0]), rng.integers(0, size[1])
        rgb[y0 : y0 + rng.integers(1, size[1]), x0 : x0 + rng.integers(1, size[0])] = rng.uniform(0, 255, 3)
    rgb = np.clip(rgb + rng.normal(0, grain + 1e-9, rgb.shape), 0, 255).astype(np.uint8)
    buffer = io.BytesIO()
    Image.fromarray(rgb).save(buffer, "PNG")
    paper = find_paper(read_photo(buffer.getvalue(), "x", 1))
    assert np.isfinite(paper.overview).all()
    assert np.isfinite(paper.to_picture.apply(np.array([(0.0, 0.0), paper.size_px]))).all()
    assert 0 <= paper.overview.min() <= paper.overview.max() <= 1
    assert max(paper.size_px) < 40 * max(size)
