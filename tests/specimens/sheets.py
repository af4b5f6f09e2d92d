"""Sheets as classes hand them in; `python -m tests.specimens.sheets [KIND...]` reads each in three fonts and prints how well."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from PIL import Image, ImageDraw
from scipy import ndimage

from tests.specimens.camera import (
    Specimen,
    bent,
    desk_picture,
    lamplight,
    mapped,
    photo_px_per_mm,
    projection,
    shiny,
    warped,
)
from tests.specimens.page import Page, draw_page
from tests.specimens.recipe import Camera, Hand, Lines, Recipe, Sheet
from tests.specimens.score import score
from vectorize.brief import Brief
from vectorize.errors import PictureError
from vectorize.flow import study_picture
from vectorize.study import Study

Plane = np.ndarray
SIZE_PX = (1800, 2400)
PHOTO = Camera(kind="photo", size_px=SIZE_PX, tilt_x_deg=6, tilt_y_deg=4, turn_deg=1.2, falloff=0.25)
PLAIN = Recipe("plain", "tandrel", "source-sans-3", 500, x_height_mm=22.0, lines=Lines(tilt_deg=0.8), camera=PHOTO)
FONTS = (("tandrel", "source-sans-3", 500), ("manoret", "lora", 500), ("hinnelo", "barlow", 600))


@dataclass(frozen=True)
class Odd:
    """One kind of sheet on one kind of desk.

    sheet: changes the page (rgb, px_per_mm) and gives what is cut out of it, 0 to 1. desk: the desk's picture in place of
    the recipe's. over: what lies over the finished picture. light: a factor for each channel. edge: depth of a hard shadow
    that slants across the word, 0 to 1.
    """

    recipe: Recipe = PLAIN
    sheet: Callable[[Plane, float], Plane | None] | None = None
    desk: Callable[[Plane, Plane], Plane] | None = None
    over: Callable[[Plane, np.ndarray], Plane] | None = None
    light: tuple[float, float, float] = (1.0, 1.0, 1.0)
    edge: float | None = None


def shot(odd: Odd) -> Specimen:
    """The photograph."""
    recipe = odd.recipe
    rng = np.random.default_rng(recipe.seed + 2000)
    page = draw_page(recipe, photo_px_per_mm(recipe))
    cut = odd.sheet(page.rgb, page.px_per_mm) if odd.sheet else None
    matrix = projection(recipe)
    rgb = _on_desk(odd, page, cut, matrix, rng)
    if recipe.camera.lens or recipe.camera.curl_mm:
        rgb = bent(rgb, recipe)
    if odd.over:
        rgb = odd.over(rgb, matrix)
    rgb = ndimage.gaussian_filter(rgb, (recipe.camera.blur_px, recipe.camera.blur_px, 0))
    rgb = rgb + rng.normal(0, recipe.camera.noise, rgb.shape)
    image = Image.fromarray(np.clip(rgb, 0, 255).astype(np.uint8))
    buffer = io.BytesIO()
    image.save(buffer, "JPEG", quality=88)
    return Specimen(recipe, page, buffer.getvalue(), image.size, matrix)


def _on_desk(odd: Odd, page: Page, cut: Plane | None, matrix: np.ndarray, rng: np.random.Generator) -> Plane:
    camera, size = odd.recipe.camera, odd.recipe.camera.size_px
    back = np.linalg.inv(matrix)
    whole = np.full(page.rgb.shape, 255.0)
    if cut is not None:
        whole *= 1.0 - cut[:, :, None]
    rgb = shiny(page, camera.sheen, rng)
    mask = warped(whole, back, size, page.px_per_mm, (0, 0, 0)) / 255.0
    shown = warped(rgb, back, size, page.px_per_mm, (0, 0, 0))
    y, x = np.mgrid[0 : size[1], 0 : size[0]].astype(np.float32)
    desk = odd.desk(x, y) if odd.desk else desk_picture(camera, rng)
    # The sheet's own shadow on the desk.
    shade = 1.0 - 0.3 * ndimage.gaussian_filter(np.roll(mask[:, :, 0], (6, 5), (0, 1)), 5)
    picture = desk * shade[:, :, None] * (1 - mask) + shown * mask
    lit = lamplight(camera, rng)
    if odd.edge is not None:
        # A hard shadow slanting across the word.
        side = (x / size[0] - 0.5) + 0.35 * (y / size[1] - 0.5)
        lit = lit * (1.0 - odd.edge / (1.0 + np.exp(-np.clip(side * 700, -50, 50))))
    return picture * lit[:, :, None] * np.array(odd.light)


def _holes(rgb: Plane, k: float) -> Plane:
    """A spiral's holes along the left side, 5 mm wide, three to the inch."""
    image = Image.new("L", (rgb.shape[1], rgb.shape[0]))
    pen = ImageDraw.Draw(image)
    for y in np.arange(8.0, rgb.shape[0] / k - 6.0, 8.47):
        pen.ellipse([(4.0 * k, (y - 2.5) * k), (9.0 * k, (y + 2.5) * k)], fill=255)
    return np.asarray(image, float) / 255.0


def _torn(rgb: Plane, k: float) -> Plane:
    """A side torn out of a pad: notches up to 4 mm deep along the top."""
    cut = np.zeros(rgb.shape[:2])
    rng = np.random.default_rng(4)
    x = np.arange(rgb.shape[1])
    deep = (1.2 + 1.2 * np.sin(x / (2.1 * k)) + ndimage.gaussian_filter1d(rng.normal(0, 6, len(x)), 0.6 * k)) * k
    cut[np.arange(rgb.shape[0])[:, None] < deep[None, :]] = 1.0
    return cut


def _fold(rgb: Plane, k: float) -> None:
    """Folded twice for a bag: a crease upright through the word and one level below it, the quarters lit differently."""
    h, w = rgb.shape[:2]
    x, y = np.arange(w) / k - w / k / 2 - 3.0, np.arange(h) / k - h / k / 2
    for t, axis in ((x, 1), (y, 0)):
        crease = 1.0 - 0.16 * np.exp(-((t / 0.5) ** 2)) + 0.04 * np.exp(-(((t - 1.2) / 0.6) ** 2))
        lit = crease * np.where(t > 0, 0.94, 1.0)
        rgb *= (lit[None, :] if axis else lit[:, None])[:, :, None].astype(np.float32)


def _checked(x: Plane, y: Plane) -> Plane:
    return np.where((((x // 130) + (y // 130)) % 2)[:, :, None] > 0, (226.0, 224.0, 220.0), (150.0, 40.0, 44.0))


def _striped(x: Plane, y: Plane) -> Plane:
    wave = 0.5 + 0.5 * np.sin((x + 0.3 * y) / 33.0)
    return (60.0 + 150.0 * wave)[:, :, None] * np.array([0.9, 1.0, 0.95])


def _white_desk(x: Plane, y: Plane) -> Plane:
    return np.ones((*x.shape, 1)) * np.array([228.0, 228.0, 226.0])


def _pad(x: Plane, y: Plane) -> Plane:
    """Another white sheet under it, laid askew, on a dark desk."""
    u, v = (x - 900) * 0.995 + (y - 1200) * 0.1, -(x - 900) * 0.1 + (y - 1200) * 0.995
    pad = (np.abs(u) < 830) & (np.abs(v) < 1130)
    return np.where(pad[:, :, None], (238.0, 237.0, 232.0), (62.0, 58.0, 55.0))


def _thumb(rgb: Plane, matrix: np.ndarray) -> Plane:
    """A thumb on the lower right corner."""
    ((cx, cy),) = mapped(matrix, np.array([(206.0, 292.0)]))
    y, x = np.mgrid[0 : rgb.shape[0], 0 : rgb.shape[1]]
    u, v = (x - cx - 40) * 0.8 + (y - cy - 60) * 0.6, -(x - cx - 40) * 0.6 + (y - cy - 60) * 0.8
    inside = (u / 330) ** 2 + (v / 120) ** 2 < 1
    return np.where(inside[:, :, None], (196.0, 140.0, 118.0), rgb)


def _camera(**changes: object) -> Recipe:
    return replace(PLAIN, camera=replace(PHOTO, **changes))


def _sheet(**changes: object) -> Recipe:
    return replace(PLAIN, sheet=replace(Sheet(), **changes))


def _size(width: float, height: float, **changes: object) -> Recipe:
    return replace(_sheet(width_mm=width, height_mm=height, **changes), x_height_mm=22.0 * width / 210.0)


ODD: dict[str, Odd] = {
    "plain": Odd(),
    "tilt 15": Odd(_camera(tilt_x_deg=14, tilt_y_deg=-15)),
    "turned 6": Odd(_camera(turn_deg=6, tilt_x_deg=-9)),
    "shadow edge": Odd(_camera(shadow=0.4)),
    "hard shadow": Odd(edge=0.45),
    "lamp": Odd(_camera(falloff=0.9)),
    "sheen": Odd(_camera(sheen=0.7)),
    "warm light": Odd(light=(1.0, 0.82, 0.55)),
    "cream": Odd(_sheet(colour=(240, 228, 196))),
    "kraft": Odd(_sheet(colour=(190, 156, 112))),
    "blue paper": Odd(_sheet(colour=(150, 190, 222))),
    "pink paper": Odd(_sheet(colour=(236, 170, 178))),
    "ruled": Odd(_sheet(pattern="ruled")),
    "squared": Odd(_sheet(pattern="squared")),
    "dotted": Odd(_sheet(pattern="dotted")),
    "holes": Odd(sheet=_holes),
    "torn": Odd(sheet=_torn),
    "fold": Odd(sheet=_fold),
    "bright desk": Odd(_camera(desk="bright")),
    "white desk": Odd(desk=_white_desk),
    "checked desk": Odd(desk=_checked),
    "striped desk": Odd(desk=_striped),
    "on a pad": Odd(desk=_pad),
    "hidden corner": Odd(over=_thumb),
    "cut off": Odd(_camera(zoom=1.25)),
    "Letter": Odd(_size(215.9, 279.4)),
    "A5 ruled": Odd(_size(148.0, 210.0, pattern="ruled")),
    "A3 ruled": Odd(replace(_size(297.0, 420.0, pattern="ruled"), x_height_mm=30.0)),
}


def drawing_deg(specimen: Specimen) -> float:
    """The baseline's true angle on the sheet."""
    (x0, y0), (x1, y1) = specimen.page.lines["baseline"]
    return float(np.degrees(np.arctan2(y0 - y1, x1 - x0)))


def report(kinds: list[str]) -> None:
    """One row a kind and font."""
    print(
        "kind            font  letters  base deg  base xh  gap med/max   outline  x-height %  drawing deg  sheet, source; notes"
    )
    for kind in kinds or ODD:
        for number, (word, family, weight) in enumerate(FONTS):
            recipe = replace(
                ODD[kind].recipe, word=word, family=family, weight=weight, seed=number + 1, hand=Hand(gaps={2: 0.08})
            )
            specimen = shot(replace(ODD[kind], recipe=recipe))
            try:
                study = study_picture(specimen.data, f"{kind}.jpg", Brief(word=word))
            except PictureError as refusal:
                print(f"{kind:15} {number}  REFUSED {refusal}", flush=True)
                continue
            print(f"{kind:15} {number}  {_row(specimen, study)}", flush=True)


def _row(specimen: Specimen, study: Study) -> str:
    s = score(specimen, study)
    size = 100 * (study.scale.x_height_mm / specimen.recipe.x_height_mm - 1)
    drawn = "    -" if study.level.drawing_deg is None else f"{study.level.drawing_deg - drawing_deg(specimen):+.3f}"
    said = " | ".join(r.text[:40] for r in study.remarks)
    gaps = (
        f"{np.median(s.gaps_ratio):.3f}/{max(s.gaps_ratio):.3f} {np.median(s.outlines):5.1f}"
        if s.count_right
        else "WRONG"
    )
    level = "   -        -  " if s.baseline_deg is None else f"{s.baseline_deg:6.3f} {s.baseline_ratio:7.4f}"
    return f"{len(study.letters)}/{len(specimen.recipe.word)} {level} {gaps}  {size:+6.2f}  {drawn}  {study.sheet_name} {study.scale.source}; {said}"


if __name__ == "__main__":
    report(sys.argv[1:])
