"""A recipe becomes a sheet of paper seen straight on: rgb in sheet px, and the truth about what was drawn on it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw
from scipy import ndimage

from tests.specimens import hand, pencil
from tests.specimens.recipe import Lines, Recipe, Sheet

GRAPHITE = np.array([58.0, 58.0, 62.0])
INKS = {
    "ink": np.array([22.0, 22.0, 40.0]),
    "marker": np.array([18.0, 18.0, 20.0]),
    "coloured": np.array([120.0, 45.0, 38.0]),
}
HEIGHTS = {"baseline": 0.0, "mean": 1.0}


@dataclass(frozen=True)
class Page:
    """The drawn sheet. rgb: float32 (h, w, 3), 0 to 255; graphite: (h, w) darkness for sheen; px_per_mm.

    letters: for each letter its drawn rings in sheet mm (x right, y down); lines: guideline name -> ends in sheet mm.
    """

    rgb: np.ndarray
    graphite: np.ndarray
    px_per_mm: float
    letters: tuple[tuple[np.ndarray, ...], ...]
    lines: dict[str, tuple[tuple[float, float], tuple[float, float]]]


def draw_page(recipe: Recipe, px_per_mm: float, word: list[list[np.ndarray]] | None = None) -> Page:
    """The sheet with paper, pattern, guidelines and filled letters; word: the letters where they are drawn already."""
    rng = np.random.default_rng(recipe.seed + 1000)
    word = word or hand.drawn_word(recipe)
    to_mm = _placer(recipe, word)
    letters = tuple(tuple(to_mm(r) for r in letter) for letter in word)
    size = round(recipe.sheet.width_mm * px_per_mm), round(recipe.sheet.height_mm * px_per_mm)
    rgb = _paper(recipe, size, px_per_mm, rng)
    lines = _guideline_ends(recipe, word, to_mm)
    tint = np.array(recipe.lines.colour, float) if recipe.lines.colour else GRAPHITE
    _mix(rgb, _draw_lines(lines, recipe.lines, size, px_per_mm, rng), tint)
    dark = _letters(letters, recipe, size, px_per_mm, rng)
    _mix(rgb, dark, INKS.get(recipe.fill.pencil, GRAPHITE))
    if recipe.sheet.handwriting:
        _mix(rgb, _scribble(letters, size, px_per_mm, rng), GRAPHITE)
    if recipe.sheet.smudge:
        _mix(rgb, recipe.sheet.smudge * ndimage.gaussian_filter(dark, 1.6 * px_per_mm), GRAPHITE)
    return Page(rgb.astype(np.float32), dark.astype(np.float32), px_per_mm, letters, lines)


def cap_height(recipe: Recipe) -> float:
    """Height of the capital H of the model in x-heights."""
    from tests.specimens.typeset import font_path, outline_word

    return outline_word(font_path(recipe.family), "H", recipe.weight)[0].box_u.y1 / 1000.0


def _placer(recipe: Recipe, word: list[list[np.ndarray]]):
    everything = np.concatenate([r for letter in word for r in letter])
    middle = (everything[:, 0].min() + everything[:, 0].max()) / 2
    turn = math.radians(recipe.lines.tilt_deg)
    c, s = math.cos(turn), math.sin(turn)
    at = np.array([recipe.sheet.width_mm / 2, recipe.sheet.height_mm * 0.46])

    def to_mm(points: np.ndarray) -> np.ndarray:
        p = (np.asarray(points, float) - (middle, 0.0)) * recipe.x_height_mm
        return at + np.column_stack((c * p[:, 0] - s * p[:, 1], -s * p[:, 0] - c * p[:, 1]))

    return to_mm


def _guideline_ends(
    recipe: Recipe, word: list[list[np.ndarray]], to_mm
) -> dict[str, tuple[tuple[float, float], tuple[float, float]]]:
    everything = np.concatenate([r for letter in word for r in letter])
    reach = recipe.lines.overrun_mm / recipe.x_height_mm
    x0, x1 = everything[:, 0].min(), everything[:, 0].max()
    if recipe.lines.span:
        x0, x1 = (x0 + t * (x1 - x0) for t in recipe.lines.span)
    else:
        x0, x1 = x0 - reach, x1 + reach
    heights = HEIGHTS | {"cap": cap_height(recipe), "ascender": cap_height(recipe) * 1.06, "descender": -0.42}
    ends = {}
    for name in recipe.lines.names:
        extra = math.tan(math.radians(recipe.lines.extra_deg.get(name, 0.0))) * (x1 - x0) / 2
        p = to_mm(np.array([(x0, heights[name] - extra), (x1, heights[name] + extra)]))
        ends[name] = (tuple(map(float, p[0])), tuple(map(float, p[1])))
    return ends


def _strokes(ends: dict, lines: Lines) -> list:
    """The strokes that make the lines, each with its line's name: one a line, or two."""
    strokes = list(ends.items())
    if lines.doubled_mm:
        d = lines.doubled_mm
        strokes += [(name, ((x0, y0 + 0.7 * d), (x1, y1 + 1.3 * d))) for name, ((x0, y0), (x1, y1)) in ends.items()]
    return strokes


def _paper(recipe: Recipe, size: tuple[int, int], px_per_mm: float, rng: np.random.Generator) -> np.ndarray:
    w, h = size
    rgb = np.ones((h, w, 3), np.float32) * np.array(recipe.sheet.colour, np.float32)
    rgb *= (1.0 + 0.006 * pencil.noise(rng, (h, w), 0.25 * px_per_mm))[:, :, None]
    pattern = _pattern(recipe.sheet, size, px_per_mm)
    if pattern is not None:
        _mix(rgb, pattern, np.array(recipe.sheet.pattern_colour, float))
    for _ in range(recipe.sheet.specks):
        x, y, r = rng.uniform(0, w), rng.uniform(0, h), rng.uniform(0.08, 0.3) * px_per_mm
        x0, y0 = max(0, int(x - r)), max(0, int(y - r))
        rgb[y0 : int(y + r) + 1, x0 : int(x + r) + 1] *= 0.5
    return rgb


def _pattern(sheet: Sheet, size: tuple[int, int], px_per_mm: float) -> np.ndarray | None:
    kind = sheet.pattern
    if kind == "plain":
        return None
    usual = 150 if kind == "dotted" else 120
    strength = usual if sheet.pattern_strength is None else round(255 * sheet.pattern_strength)
    image = Image.new("L", size)
    draw = ImageDraw.Draw(image)
    pitch = {"squared": 5.0, "dotted": 5.0, "ruled": 8.0}[kind] * px_per_mm
    width = max(1, round(0.2 * px_per_mm))
    rows = np.arange(pitch / 2, size[1], pitch)
    columns = np.arange(pitch / 2, size[0], pitch)
    if kind == "dotted":
        r = 0.28 * px_per_mm
        for y in rows:
            for x in columns:
                draw.ellipse((x - r, y - r, x + r, y + r), fill=strength)
    else:
        for y in rows:
            draw.line((0, y, size[0], y), fill=strength, width=width)
        for x in columns if kind == "squared" else ():
            draw.line((x, 0, x, size[1]), fill=strength, width=width)
    return np.asarray(image, float) / 255.0


def _draw_lines(
    ends: dict, lines: Lines, size: tuple[int, int], px_per_mm: float, rng: np.random.Generator
) -> np.ndarray:
    k = 3
    total = np.zeros((size[1], size[0]))
    for name, ((x0, y0), (x1, y1)) in _strokes(ends, lines):
        t = np.linspace(0, 1, 240)
        sag = (lines.bow_mm + lines.bows_mm.get(name, 0.0)) * 4 * t * (1 - t)
        x, y = (x0 + t * (x1 - x0)) * px_per_mm, (y0 + t * (y1 - y0) + sag) * px_per_mm
        top, bottom = max(0, int(y.min()) - 12), min(size[1], int(y.max()) + 13)
        image = Image.new("L", (size[0] * k, (bottom - top) * k))
        draw = ImageDraw.Draw(image)
        width = max(1, round(lines.width_mm * px_per_mm * k))
        points = np.column_stack((x * k - 0.5, (y - top) * k - 0.5))
        for i in range(len(points) - 1):
            if not lines.dashed or i % 8 < 5:
                draw.line([tuple(points[i]), tuple(points[i + 1])], fill=255, width=width)
        strip = np.asarray(image.reduce(k), float) / 255.0
        strip *= np.clip(1 + 0.25 * pencil.noise(rng, strip.shape, 0.3 * px_per_mm), 0.2, 1.4)
        total[top:bottom] = np.maximum(total[top:bottom], strip * lines.darkness)
    return np.clip(total, 0, 1)


def _letters(letters, recipe: Recipe, size: tuple[int, int], px_per_mm: float, rng: np.random.Generator) -> np.ndarray:
    everything = np.concatenate([r for letter in letters for r in letter]) * px_per_mm
    x0, y0 = np.maximum(np.floor(everything.min(0)).astype(int) - 10, 0)
    x1, y1 = np.minimum(np.ceil(everything.max(0)).astype(int) + 10, size)
    local = [[r * px_per_mm - (x0, y0) for r in letter] for letter in letters]
    fills = [recipe.fills.get(i, recipe.fill) for i in range(len(letters))]
    dark = np.zeros((size[1], size[0]))
    dark[y0:y1, x0:x1] = pencil.darkness(local, (int(x1 - x0), int(y1 - y0)), fills, px_per_mm, rng)
    return dark


def _scribble(letters, size: tuple[int, int], px_per_mm: float, rng: np.random.Generator) -> np.ndarray:
    """A line of joined handwriting well below the word, as of a name and a date."""
    low = max(float(r[:, 1].max()) for letter in letters for r in letter) + 22.0
    t = np.linspace(0, 14 * math.pi, 900)
    x = 30.0 + t * 0.9 + 1.6 * np.cos(t * 1.35)
    y = low + 2.2 * np.sin(t) * (0.6 + 0.4 * np.sin(t * 0.37)) + rng.normal(0, 0.02, len(t)).cumsum() * 0.2
    image = Image.new("L", size)
    ImageDraw.Draw(image).line(
        [tuple(p) for p in np.column_stack((x, y)) * px_per_mm], fill=170, width=max(1, round(0.4 * px_per_mm))
    )
    return np.asarray(image, float) / 255.0


def _mix(rgb: np.ndarray, amount: np.ndarray, tint: np.ndarray) -> None:
    rows = np.flatnonzero(amount.max(axis=1) > 0)
    if len(rows):
        part = slice(rows[0], rows[-1] + 1)
        a = amount[part, :, None].astype(np.float32)
        rgb[part] += (tint.astype(np.float32) - rgb[part]) * a
