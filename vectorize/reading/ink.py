"""The levelled strip with its lines comes in, how much of each pixel is letter goes out."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorize.errors import PictureError
from vectorize.findings import Finding, Severity
from vectorize.geometry import Box, frozen
from vectorize.raster import otsu
from vectorize.reading.blobs import blobs_of
from vectorize.reading.counters import settle_holes
from vectorize.reading.cracks import close_cracks
from vectorize.reading.dots import erase_dots
from vectorize.reading.erase import erase_lines, line_zone
from vectorize.reading.fill import coverage_of, edge_of, evened, local_levels
from vectorize.reading.pigment import pigment_darkness
from vectorize.reading.records import Ink, LineCourse, Strip
from vectorize.reading.smudge import ghosts_off, sweep

# Darkness that paper's own grain and JPEG noise can reach.
NOISE = 0.06
# Dots of dotted paper are no larger than so many x-heights to each side.
DOT_REACH = 0.06
# A part lower than this many x-heights is no letter by itself.
LETTER_HEIGHT = 0.4

NO_LETTERING = (
    "No lettering was seen in this picture. It should show a word drawn in pencil or ink, dark on light paper."
    " Take the picture closer and in even light, so that the word fills most of its width."
)


def find_ink(strip: Strip) -> Ink:
    """The letters' coverage of the strip, 0 to 1, its level line at 0.5 the drawn edge to a fraction of a pixel.

    Lines, smudges, specks and coloured marks are gone, the fill is one black, counters are kept, unfilled letters are
    filled. Raises PictureError where nothing is left that could be a letter.
    """
    return ink_of(strip.view.absorbance, strip.lines, strip.x_height_px, strip.uprights)


def ink_of(
    absorbance: NDArray[np.float32],
    courses: tuple[LineCourse, ...],
    x_height_px: float,
    uprights: tuple[LineCourse, ...] = (),
) -> Ink:
    """As `find_ink`, from absorbance (h, w, 3), the lines' courses and a rough x-height in px.

    uprights: courses of the upright lines of squared paper, x and y exchanged.
    """
    h, w = absorbance.shape[:2]
    zone = line_zone(courses, (h, w), x_height_px)
    if uprights:
        zone |= line_zone(uprights, (w, h), x_height_px).T
    raw = pigment_darkness(absorbance, ~zone, x_height_px)
    paper_level, ink_level = _levels(raw, zone)
    darkness = raw
    if uprights:
        rows, columns = (tuple(c.middle_px for c in x if c.printed) for x in (courses, uprights))
        darkness = erase_dots(raw, rows, columns, ink_level, paper_level, max(3, round(DOT_REACH * x_height_px)))
    darkness = erase_lines(darkness, courses, ink_level, paper_level, x_height_px)
    if uprights:
        darkness = np.ascontiguousarray(erase_lines(darkness.T, uprights, ink_level, paper_level, x_height_px).T)
    levels = local_levels(darkness, ink_level, paper_level, x_height_px)
    even, leaning = ghosts_off(evened(darkness, levels, x_height_px), darkness, levels, x_height_px)
    healed = close_cracks(even, darkness, levels, x_height_px)
    swept = sweep(healed.ink, darkness, ink_level, paper_level, x_height_px)
    if not any(b.mask.shape[0] > LETTER_HEIGHT * x_height_px for b in blobs_of(swept.ink > 0.5)):
        raise PictureError(NO_LETTERING)
    settled = settle_holes(swept.ink, darkness, levels, x_height_px)
    edge = edge_of(settled.ink, darkness, levels, x_height_px)
    # Drawn back to the true edge, the ink may show flecks that were just closed before.
    coverage = settle_holes(coverage_of(settled.ink, edge, x_height_px), darkness, levels, x_height_px).ink
    remarks = _dirt(swept.specks, swept.ghosts + leaning)
    if healed.places:
        remarks.append(_cracks(healed.places, coverage))
    if settled.hollows:
        remarks.append(_hollow())
    return Ink(frozen(coverage), frozen(darkness), edge.blur_px, tuple(remarks))


def _levels(darkness: NDArray[np.float32], zone: NDArray[np.bool_]) -> tuple[float, float]:
    """Darkness of bare paper and of the letters."""
    sample = darkness[::2, ::2][~zone[::2, ::2]]
    if sample.size < 100 or float(sample.max()) < NOISE:
        raise PictureError(NO_LETTERING)
    parting = otsu(np.clip(sample, 0.0, 1.0))
    limit = max(parting, NOISE)
    dark = sample[sample > limit]
    if dark.size < 20:
        raise PictureError(NO_LETTERING)
    return float(np.median(sample[sample <= limit])), float(np.median(dark))


def _dirt(specks: int, ghosts: int) -> list[Finding]:
    said = []
    if specks:
        said.append(f"{specks} speck{'s' if specks > 1 else ''} too small for a dot")
    if ghosts:
        said.append(
            f"{ghosts} light smudge{'s' if ghosts > 1 else ''} or ghost{'s' if ghosts > 1 else ''} of erased lines"
        )
    if not said:
        return []
    text = f"Left out of the drawing: {' and '.join(said)}. If one of them was meant, draw it as dark and broad as the letters."
    return [Finding("reading", (), float(specks + ghosts), None, "parts", Severity.NOTE, text)]


def _cracks(places: tuple[Box, ...], coverage: NDArray[np.float32]) -> Finding:
    """Tells where white scratches were closed, along the columns (h, w) that hold ink."""
    columns = np.flatnonzero((coverage > 0.5).any(axis=0))
    left, length = float(columns[0]), float(max(1, columns[-1] - columns[0]))
    at = sorted({min(10, max(0, round(10 * ((b.x0 + b.x1) / 2 - left) / length))) for b in places})
    text = (
        f"A narrow white line, as of an eraser or a fold, runs through the ink; it was closed at {_counted(len(places))},"
        f" {_listed([f'{10 * t} %' for t in at])} along the drawing from its left. If it was meant, draw it twice as wide."
    )
    return Finding("reading", (), float(len(places)), None, "places", Severity.NOTE, text)


def _counted(places: int) -> str:
    return "1 place" if places == 1 else f"{places} places"


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _hollow() -> Finding:
    text = "Parts of the letters are outlined but not filled in; they were filled for the reading. Colour them in."
    return Finding("reading", (), None, None, "", Severity.NOTE, text)
