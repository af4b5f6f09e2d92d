"""A Paper and the level lines found on it come in; where the drawing lies askew, Paper and Ruling go out turned to it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from vectorize.geometry import Affine, Homography, chained
from vectorize.reading.orientation import turned_deg
from vectorize.reading.paper import overview_grid, view
from vectorize.reading.records import Paper, Photo, Ruling
from vectorize.reading.ruling import find_ruling

# The first look at a steep drawing is rough, and perspective spreads its lines: a second one settles the turn.
ROUNDS = 2


def turned_level(photo: Photo, paper: Paper, ruling: Ruling) -> tuple[Paper, Ruling]:
    """The sheet's frame turned so that the drawing's lines lie nearly level in it, and the lines found there.

    Both as they were where the drawing lies straight enough, which costs nothing.
    """
    turn = 0.0
    turned, found = paper, ruling
    for _ in range(ROUNDS):
        more = turned_deg(turned.overview, found.lines, turned.overview_scale)
        if more == 0.0:
            break
        turn += more
        turned = turned_by(photo, paper, turn)
        found = find_ruling(turned)
    return turned, found


def turned_by(photo: Photo, paper: Paper, deg: float) -> Paper:
    """The same sheet in a frame whose rows run along lines that rise by `deg` on it."""
    w, h = paper.size_px
    c, s = math.cos(math.radians(deg)), math.sin(math.radians(deg))
    size_px = math.ceil(w * abs(c) + h * abs(s)), math.ceil(w * abs(s) + h * abs(c))
    about = Affine.shift(-size_px[0] / 2.0, -size_px[1] / 2.0)
    to_sheet = Homography.from_affine(about.then(Affine(c, s, -s, c, 0.0, 0.0)).then(Affine.shift(w / 2.0, h / 2.0)))
    turned = replace(
        paper, to_picture=chained(to_sheet, paper.to_picture), size_px=size_px, before_turn=(to_sheet, paper.size_px)
    )
    scale, overview_px = overview_grid(size_px)
    seen = view(photo, turned, Homography.from_affine(Affine.scale(1.0 / scale)), overview_px)
    return replace(turned, overview=np.asarray(seen.absorbance), overview_scale=scale)
