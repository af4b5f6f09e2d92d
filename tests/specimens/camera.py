"""A drawn page becomes the bytes of a picture file: scanned, cropped, or photographed on a desk; and its truth."""

from __future__ import annotations

import io
import math
from dataclasses import dataclass

import numpy as np
from PIL import Image
from scipy import ndimage

from tests.specimens import pencil
from tests.specimens.page import Page, draw_page
from tests.specimens.recipe import Camera, Recipe

DISTANCE_MM = 420.0
ASLANT = 0.7


@dataclass(frozen=True)
class Specimen:
    """A picture file and what is true of it.

    to_picture: 3x3 homography, sheet mm -> picture px of a flat sheet through a straight lens.
    """

    recipe: Recipe
    page: Page
    data: bytes
    size_px: tuple[int, int]
    to_picture: np.ndarray

    def picture_points(self, mm: np.ndarray) -> np.ndarray:
        """Sheet mm (n, 2) as picture px."""
        flat = mapped(self.to_picture, mm)
        seen = flat
        for _ in range(30):
            seen = seen + flat - _straightened(seen, self.size_px, self.recipe)
        return seen

    def sheet_points(self, px: np.ndarray) -> np.ndarray:
        """Picture px (n, 2) as sheet mm."""
        return mapped(np.linalg.inv(self.to_picture), _straightened(np.asarray(px, float), self.size_px, self.recipe))


def take(recipe: Recipe, word: list[list[np.ndarray]] | None = None) -> Specimen:
    """The recipe's picture; word: the letters where they are drawn already, in x-heights."""
    camera = recipe.camera
    rng = np.random.default_rng(recipe.seed + 2000)
    page = draw_page(recipe, camera.px_per_mm if camera.kind != "photo" else photo_px_per_mm(recipe), word)
    if camera.kind == "photo":
        rgb, h = _photograph(page, recipe, rng)
    else:
        rgb, h = _scan(page, recipe)
    if camera.lens or camera.curl_mm:
        rgb = bent(rgb, recipe)
    rgb = ndimage.gaussian_filter(rgb, (camera.blur_px, camera.blur_px, 0))
    rgb += rng.normal(0, camera.noise, rgb.shape).astype(np.float32)
    image = Image.fromarray(np.clip(rgb, 0, 255).astype(np.uint8))
    buffer = io.BytesIO()
    extra = {"dpi": (camera.px_per_mm * 25.4,) * 2} if camera.kind == "scan" else {}
    image.save(buffer, "JPEG", quality=camera.quality, **extra)
    return Specimen(recipe, page, buffer.getvalue(), image.size, h)


def photo_px_per_mm(recipe: Recipe) -> float:
    """How finely a page must be drawn so that the photograph does not show it."""
    longest = max(recipe.sheet.width_mm, recipe.sheet.height_mm)
    return min(12.0, max(recipe.camera.size_px) / longest * 1.1 * recipe.camera.zoom)


def _scan(page: Page, recipe: Recipe) -> tuple[np.ndarray, np.ndarray]:
    camera, k = recipe.camera, page.px_per_mm
    turn = math.radians(camera.turn_deg)
    w, h = page.rgb.shape[1], page.rgb.shape[0]
    c, s = math.cos(turn), math.sin(turn)
    about = np.array([w / 2, h / 2])
    m = np.array([[c, s], [-s, c]])
    x0, y0, x1, y1 = 0, 0, w, h
    if camera.kind == "crop":
        points = np.concatenate([r for letter in page.letters for r in letter]) * k
        points = (points - about) @ m.T + about
        margin = 0.35 * recipe.x_height_mm * k
        (x0, y0), (x1, y1) = points.min(0) - margin, points.max(0) + margin
    shift = np.array([x0, y0])
    size = (int(x1 - x0), int(y1 - y0))
    matrix = np.eye(3)
    matrix[:2, :2] = m * k
    matrix[:2, 2] = about - m @ about - shift
    return warped(page.rgb, np.linalg.inv(matrix), size, k, recipe.sheet.colour), matrix


def warped(rgb: np.ndarray, to_mm: np.ndarray, size: tuple[int, int], px_per_mm: float, outside) -> np.ndarray:
    """The page resampled; `to_mm` maps picture px to sheet mm."""
    coefficients = (np.diag([px_per_mm, px_per_mm, 1.0]) @ to_mm).ravel()
    coefficients = coefficients / coefficients[8]
    source = Image.fromarray(np.clip(rgb, 0, 255).astype(np.uint8))
    image = source.transform(
        size, Image.Transform.PERSPECTIVE, tuple(coefficients[:8]), Image.Resampling.BICUBIC, fillcolor=tuple(outside)
    )
    return np.asarray(image, np.float32)


def _photograph(page: Page, recipe: Recipe, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    camera = recipe.camera
    matrix = projection(recipe)
    size = camera.size_px
    big = warped(shiny(page, camera.sheen, rng), np.linalg.inv(matrix), size, page.px_per_mm, (0, 0, 0))
    mask = (
        warped(np.full((*page.rgb.shape[:2], 3), 255.0), np.linalg.inv(matrix), size, page.px_per_mm, (0, 0, 0)) / 255.0
    )
    picture = desk_picture(camera, rng) * (1 - mask) + big * mask
    picture = picture * lamplight(camera, rng)[:, :, None]
    return picture.astype(np.float32), matrix


def shiny(page: Page, sheen: float, rng: np.random.Generator) -> np.ndarray:
    """The page's rgb with a glare on its graphite; sheen: 0 to 1."""
    if not sheen:
        return page.rgb
    glare = np.clip(pencil.noise(rng, page.graphite.shape, 30 * page.px_per_mm) * 0.5 + 0.5, 0, 1) * sheen
    return page.rgb + (235 - page.rgb) * (glare * page.graphite)[:, :, None].astype(np.float32) * 0.6


def projection(recipe: Recipe) -> np.ndarray:
    """Sheet mm -> picture px of a pinhole camera above the middle of the sheet."""
    camera, sheet = recipe.camera, recipe.sheet
    ax, ay, az = (math.radians(v) for v in (camera.tilt_x_deg, camera.tilt_y_deg, -camera.turn_deg))
    rx = np.array([[1, 0, 0], [0, math.cos(ax), -math.sin(ax)], [0, math.sin(ax), math.cos(ax)]])
    ry = np.array([[math.cos(ay), 0, math.sin(ay)], [0, 1, 0], [-math.sin(ay), 0, math.cos(ay)]])
    rz = np.array([[math.cos(az), -math.sin(az), 0], [math.sin(az), math.cos(az), 0], [0, 0, 1]])
    rotation = rx @ ry @ rz
    w, h = camera.size_px
    fit = 0.86 * camera.zoom * min(w / sheet.width_mm, h / sheet.height_mm)
    focal = fit * DISTANCE_MM
    place = np.column_stack((rotation[:, 0], rotation[:, 1], (0.0, 0.0, DISTANCE_MM)))
    centre = np.array([[1, 0, -sheet.width_mm / 2], [0, 1, -sheet.height_mm / 2], [0, 0, 1]])
    matrix = np.array([[focal, 0, w / 2], [0, focal, h / 2], [0, 0, 1]]) @ place @ centre
    return matrix / matrix[2, 2]


def desk_picture(camera: Camera, rng: np.random.Generator) -> np.ndarray:
    """The bare desk, rgb 0 to 255, as large as the photograph."""
    w, h = camera.size_px
    base = {"wood": (134, 98, 66), "dark": (52, 54, 58), "bright": (206, 202, 194)}[camera.desk]
    grain = ndimage.gaussian_filter1d(
        ndimage.gaussian_filter1d(rng.normal(size=(h // 4 + 1, w // 4 + 1)), 40, axis=1), 0.8, axis=0
    )
    grain = ndimage.zoom(grain / grain.std(), 4, order=1)[:h, :w]
    return np.clip(np.array(base)[None, None] * (1 + 0.07 * grain)[:, :, None], 0, 255).astype(np.float32)


def lamplight(camera: Camera, rng: np.random.Generator) -> np.ndarray:
    """How much light falls on each pixel of the photograph, 1 for all of it."""
    w, h = camera.size_px
    y, x = np.mgrid[0:h, 0:w].astype(np.float32)
    x, y = x / w - 0.5, y / h - 0.5
    lit = 1.0 - camera.falloff * (0.6 * (x + 0.3) ** 2 + 0.8 * (y - 0.2) ** 2 + 0.25 * x)
    if camera.shadow:
        edge = 0.75 * x + 0.66 * y + 0.12 * np.sin(4 * x) + rng.uniform(-0.05, 0.05)
        lit *= 1.0 - camera.shadow / (1.0 + np.exp(-edge * 60))
    return lit


def mapped(matrix: np.ndarray, points: np.ndarray) -> np.ndarray:
    """Points (n, 2) through a 3x3 homography."""
    q = np.column_stack((points, np.ones(len(points)))) @ matrix.T
    return q[:, :2] / q[:, 2:]


def _straightened(points: np.ndarray, size_px: tuple[int, int], recipe: Recipe) -> np.ndarray:
    """Where points (n, 2) of the picture would lie through a straight lens and with the sheet flat.

    The sheet bulges like half a wave along its width; bulging by z towards the camera, `DISTANCE_MM` away and aslant by
    `ASLANT`, it is shifted by z ASLANT and enlarged by z / DISTANCE_MM.
    """
    camera, (w, h) = recipe.camera, size_px
    half = w / 2.0
    px_per_mm = camera.px_per_mm if camera.kind != "photo" else h / recipe.sheet.height_mm
    u, v = (points[:, 0] - half) / half, (points[:, 1] - h / 2.0) / half
    bulge_mm = camera.curl_mm / ASLANT * np.sin((u + 1) * math.pi / 2)
    bend = (1.0 + camera.lens * (u * u + v * v)) * (1.0 - bulge_mm / DISTANCE_MM)
    return np.column_stack((u * bend * half + half, v * bend * half + h / 2.0 + bulge_mm * ASLANT * px_per_mm))


def bent(picture: np.ndarray, recipe: Recipe) -> np.ndarray:
    """The picture as the lens and the curl of the sheet show it; `_straightened` leads back."""
    h, w = picture.shape[:2]
    y, x = np.mgrid[0:h, 0:w] + 0.5
    sx, sy = (_straightened(np.column_stack((x.ravel(), y.ravel())), (w, h), recipe) - 0.5).T.reshape(2, h, w)
    return np.stack(
        [ndimage.map_coordinates(picture[:, :, c], (sy, sx), order=3, mode="nearest") for c in range(3)], axis=2
    ).astype(np.float32)
