"""Strip and Ink come in; out goes the bend of the picture, where the lines show one, or how the drawing's own lines bow.

Lines of printed ruling were straight on paper. Drawn guidelines that all bow alike show a bent picture as well, unless
the letters' feet and heads keep straight beside them: then it is the lines that are bowed.
"""

from __future__ import annotations

import numpy as np

from vectorize.findings import Finding, Severity
from vectorize.raster import spread
from vectorize.reading.bend import Bow, Shared, Track, shared_bow, track_of
from vectorize.reading.blobs import blobs_of
from vectorize.reading.records import Ink, LetterInk, Paper, Strip
from vectorize.reading.resample import scale_at_middle
from vectorize.reading.standing import following

# A line is bowed when it strays from its straight by so much, root mean square in x-heights; ruled lines stay below half.
STRAYS = 0.0018
# Several lines bow as one when this share of their bows, at most, is left unexplained.
PRINTED_LEFT, ALIKE, ALIKE_IN_HEIGHT = 0.25, 0.25, 0.15
PRINTED_WITNESSES, DRAWN_WITNESSES = 3, 2
# Smaller marks than this many x-heights are no letters.
LETTER = 0.25
# The soft rim of a piece of ink that is its own, px.
RIM_PX = 2
# Logarithms of odds for a bent picture before the letters are asked: what bends lines bends the sheet's sides at least half
# as far; scanners press sheets flat; any three bows may lie evenly in height by chance. Sure is twenty to one.
SIDES_ODDS, SCANNED_ODDS, IN_HEIGHT_ODDS, SURE_ODDS = 3.0, -1.0, -2.0, 3.0

FLAT = "Lay the sheet flat and photograph it from straight above, a little farther away."


def bend_of(strip: Strip, ink: Ink, paper: Paper) -> tuple[Bow, Finding] | None:
    """The bend that the strip's lines show, and a remark on it; None where the picture is straight."""
    printed = _tracks(strip, printed=True)
    if len(printed) >= PRINTED_WITNESSES:
        shared = shared_bow(printed, strip.x_height_px)
        bent = _strays(shared, strip) and _left(shared) < PRINTED_LEFT
        return (shared.bow, _by_ruling(_depth_ratio(shared.bow, strip))) if bent else None
    drawn = _tracks(strip, printed=False)
    if len(drawn) < DRAWN_WITNESSES:
        return None
    shared = shared_bow(drawn, strip.x_height_px)
    if not _strays(shared, strip):
        return None
    alike = _left(shared_bow(drawn, strip.x_height_px, parallel=True)) < ALIKE
    if not alike and (len(drawn) <= DRAWN_WITNESSES or _left(shared) > ALIKE_IN_HEIGHT):
        return None
    followed = following(tuple((t, shared.bow) for t in drawn), _pieces(ink, strip.x_height_px), strip.x_height_px)
    odds = followed.log_odds + _odds_of_the_sheet(shared.bow, strip, paper) + (0.0 if alike else IN_HEIGHT_ODDS)
    if odds < 0.0:
        return None
    return shared.bow, _by_guidelines(_depth_ratio(shared.bow, strip), sure=odds > SURE_ODDS)


def _odds_of_the_sheet(bow: Bow, strip: Strip, paper: Paper) -> float:
    """For a bent picture, by what is seen of the sheet."""
    h, w = strip.view.rgb.shape[:2]
    depth_px = _depth_ratio(bow, strip) * strip.x_height_px
    depth_px *= scale_at_middle(strip.to_picture, (w, h))
    if paper.bow_px is not None:
        return SIDES_ODDS if paper.bow_px > 0.5 * depth_px else -SIDES_ODDS
    return SCANNED_ODDS if paper.mm_source == "resolution" else 0.0


def _tracks(strip: Strip, *, printed: bool) -> tuple[Track, ...]:
    found = (track_of(c, strip.x_height_px) for c in strip.lines if c.printed == printed)
    return tuple(t for t in found if t is not None)


def _strays(shared: Shared, strip: Strip) -> bool:
    return float(shared.own_px.max()) > STRAYS * strip.x_height_px


def _left(shared: Shared) -> float:
    """Share of the lines' bows, root mean square, that the common one does not explain."""
    return float(np.sqrt((shared.left_px**2).sum() / max(float((shared.own_px**2).sum()), 1e-12)))


def _depth_ratio(bow: Bow, strip: Strip) -> float:
    return bow.depth_px((0.0, float(strip.view.rgb.shape[1]))) / strip.x_height_px


def _pieces(ink: Ink, x_height_px: float) -> tuple[LetterInk, ...]:
    """The connected pieces of ink that are as large as letters."""
    pieces = []
    for i, blob in enumerate(blobs_of(ink.coverage > 0.5, eight=False), start=1):
        if blob.mask.shape[0] >= LETTER * x_height_px:
            window, own = blob.with_margin(RIM_PX, ink.coverage.shape)
            own = spread(own, RIM_PX)
            coverage = np.where(own, ink.coverage[window], 0.0).astype(np.float32)
            pieces.append(LetterInk(i, None, 0, coverage, coverage, window[1].start, window[0].start))
    return tuple(pieces)


def _by_ruling(depth_ratio: float) -> Finding:
    text = (
        f"The paper's printed lines bow by {depth_ratio:.1%} of the x-height along the word: the sheet was curled or the "
        f"lens bent it. The word was straightened by them. {FLAT}"
    )
    return _told(depth_ratio, Severity.NOTE, text)


def _by_guidelines(depth_ratio: float, *, sure: bool) -> Finding:
    seen = f"The guidelines bow as one, by {depth_ratio:.1%} of the x-height along the word"
    if sure:
        text = (
            f"{seen}, and the letters go with them: the sheet was curled or the lens bent it. "
            f"The word was straightened by them. {FLAT}"
        )
        return _told(depth_ratio, Severity.NOTE, text)
    text = (
        f"{seen}. Whether the sheet was curled or the lines were drawn so cannot be told for sure; "
        f"the word was straightened by them. {FLAT}"
    )
    return _told(depth_ratio, Severity.LOOK_AGAIN, text)


def _told(depth_ratio: float, severity: Severity, text: str) -> Finding:
    return Finding("reading", (), round(depth_ratio, 4), None, "x-heights", severity, text)
