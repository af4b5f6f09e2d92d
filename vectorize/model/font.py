"""A font file and a word come in; out goes the Model: the font's letters of that word in letter units, in its own spacing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import Any

from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont, TTLibError

from vectorize.anatomy.measure import measure
from vectorize.curves import Contour, Cubic, Line, Segment, moved, reversed_contour, signed_area, transformed
from vectorize.curves import box as box_of
from vectorize.errors import ModelError
from vectorize.findings import Finding, Severity
from vectorize.geometry import Affine, Point
from vectorize.model.kerning import kerning, pair_lookups
from vectorize.model.records import Model, ModelLetter, ModelSource
from vectorize.model.union import united
from vectorize.outlines.outline import Outline
from vectorize.trade.critique import MODEL_HEAVIEST, MODEL_LIGHTEST
from vectorize.trade.lines import MEAN_OF_CAP

# The first bytes of font files: TrueType, OpenType, Apple, collection, WOFF, WOFF2.
SIGNATURES = (b"\x00\x01\x00\x00", b"OTTO", b"true", b"ttcf", b"wOFF", b"wOF2")
# Without a space of its own a font is given one of this share of its em (common practice).
SPACE_EM = 0.25


def is_font(data: bytes) -> bool:
    """Whether the bytes begin like a font file."""
    return data[:4] in SIGNATURES


def read_font_model(source: Path | bytes, word: str) -> Model:
    """Set the word from a font: TTF, OTF, WOFF, WOFF2, the first font of a collection, the default of a variable font.

    Gaps come from the font's advances and pair kerning, no ligatures. Raises ModelError where the font cannot be used.
    """
    data = source if isinstance(source, bytes) else bytes_of(source)
    try:
        font = TTFont(BytesIO(data), fontNumber=0, lazy=True)
        return _set(font, word)
    except ModelError:
        raise
    except ImportError as error:
        raise ModelError(
            "This WOFF2 font needs the package brotli to be unpacked. Give the font as TTF or OTF."
        ) from error
    except Exception as error:
        # A damaged font fails anywhere in fontTools, with any kind of error.
        kind = "" if isinstance(error, TTLibError) else "its tables are damaged; "
        raise ModelError(
            f"The model font cannot be read: {kind}a TTF, OTF, WOFF or WOFF2 file is needed. "
            "Fetch the font again, or give a picture of the specimen."
        ) from error


def bytes_of(path: Path) -> bytes:
    """What a model's file holds. Raises ModelError where it cannot be opened."""
    try:
        return path.read_bytes()
    except OSError as error:
        raise ModelError(
            f"The model {path.name!r} cannot be opened: {error.strerror or error}. Check its place."
        ) from error


def _set(font: Any, word: str) -> Model:
    if not {"cmap", "hmtx"} <= set(font.keys()) or not {"glyf", "CFF ", "CFF2"} & set(font.keys()):
        raise ModelError(
            "The model font cannot be read: it holds no outlines of letters. Give a TTF or OTF with outlines."
        )
    lookups = pair_lookups(font)
    letters = _letters(font, word, lookups)
    found = [x for x in letters if x]
    if not found:
        raise ModelError(
            "The model font has none of the word's letters. Choose the font that the word was drawn after."
        )
    left = found[0].outline.box_u.x0
    settled = tuple(None if x is None else replace(x, outline=x.outline.moved(-left)) for x in letters)
    names = [c for c in word if not c.isspace()]
    missing = sorted({c for c, x in zip(names, letters, strict=True) if x is None})
    kerned, weight = any(lookups) or "kern" in font, _default_weight(font)
    remarks = _remarks(missing, weight, kerned=kerned)
    return Model(_name(font), ModelSource.FONT, word, settled, gaps(settled), kerned, remarks, weight)


def _letters(font: Any, word: str, lookups: list[list[Any]]) -> list[ModelLetter | None]:
    """The word's letters one behind the other; None for one that the font does not have or leaves empty."""
    cmap, glyphs = font.getBestCmap() or {}, font.getGlyphSet()
    to_units = Affine.scale(1000.0 / _x_height(glyphs, cmap))
    letters: list[ModelLetter | None] = []
    pen, before = 0.0, None
    for c in word:
        glyph = cmap.get(ord(c))
        if glyph is None:
            pen, before = pen + (SPACE_EM * font["head"].unitsPerEm if c.isspace() else 0.0), None
            letters += [] if c.isspace() else [None]
            continue
        pen += kerning(font, before, glyph, lookups) if before else 0.0
        if not c.isspace():
            letters.append(_letter(glyphs, glyph, c, len(letters), pen, to_units))
        pen, before = pen + font["hmtx"][glyph][0], glyph
    return letters


def gaps(letters: Sequence[ModelLetter | None]) -> tuple[float | None, ...]:
    """Box to box gaps of neighbours in x-heights; None beside a missing letter."""
    return tuple(
        None if a is None or b is None else (b.outline.box_u.x0 - a.outline.box_u.x1) / 1000.0
        for a, b in pairwise(letters)
    )


def _letter(glyphs: Any, glyph: str, name: str, place: int, pen: float, to_units: Affine) -> ModelLetter | None:
    contours = glyph_contours(glyphs, glyph)
    if not contours:
        return None
    outline = Outline(united([transformed(moved(c, pen), to_units) for c in contours]), name)
    return ModelLetter(place, name, outline, measure(outline, None, None))


def _x_height(glyphs: Any, cmap: dict[int, str]) -> float:
    for letter, share in (("x", 1.0), ("z", 1.0), ("H", MEAN_OF_CAP), ("E", MEAN_OF_CAP)):
        contours = glyph_contours(glyphs, cmap[ord(letter)]) if ord(letter) in cmap else []
        if contours:
            return box_of(contours).y1 * share
    raise ModelError("The model font has neither x nor H, so its x-height is unknown. Choose a font of Latin letters.")


def glyph_contours(glyphs: Any, glyph: str) -> list[Contour]:
    """A glyph's contours in font units, components and quadratics resolved, outer ones counter-clockwise."""
    pen = DecomposingRecordingPen(glyphs)
    glyphs[glyph].draw(pen)
    contours: list[Contour] = []
    segments: list[Segment] = []
    start = at = (0.0, 0.0)
    for verb, args in pen.value:
        if verb == "moveTo":
            start = at = _point(args[0])
            segments = []
        elif verb == "lineTo":
            segments.append(Line(at, _point(args[0])))
        elif verb == "curveTo":
            segments.append(Cubic(at, _point(args[0]), _point(args[1]), _point(args[2])))
        elif verb == "qCurveTo":
            pieces = _cubics(at, args)
            start = pieces[0].start if args[-1] is None else start
            segments += pieces
        else:
            closed = [*segments, Line(at, start)]
            kept = tuple(s for s in closed if not (isinstance(s, Line) and s.start == s.end))
            contours += [Contour(kept)] if len(kept) > 1 else []
            continue
        at = segments[-1].end if segments else at
    return _oriented(contours)


def _point(p: Sequence[float]) -> Point:
    return float(p[0]), float(p[1])


def _cubics(at: Point, args: Sequence[Any]) -> list[Segment]:
    """A chain of quadratic curves with implied on-curve points as cubics; a last None closes a ring without any."""
    off = [_point(p) for p in args if p is not None]
    if args[-1] is None:
        at = _between(off[-1], off[0], 0.5)
        off.append(at)
    if len(off) == 1:
        return [Line(at, off[0])]
    pieces: list[Segment] = []
    for i, q in enumerate(off[:-1]):
        end = off[i + 1] if i + 2 == len(off) else _between(q, off[i + 1], 0.5)
        pieces.append(Cubic(at, _between(at, q, 2 / 3), _between(end, q, 2 / 3), end))
        at = end
    return pieces


def _between(a: Point, b: Point, t: float) -> Point:
    return a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])


def _oriented(contours: list[Contour]) -> list[Contour]:
    """All turned if the biggest runs clockwise, as TrueType's outer contours do."""
    if contours and signed_area(max(contours, key=lambda c: abs(signed_area(c)))) < 0.0:
        return [reversed_contour(c) for c in contours]
    return contours


def _name(font: Any) -> str:
    names = font.get("name")
    full = names.getBestFullName() or names.getBestFamilyName() if names else None
    return full or "the model font"


def _default_weight(font: Any) -> float | None:
    """Where the weight axis of a variable font stands by default (OpenType 1.9, 'fvar'); None without such an axis."""
    axes = font["fvar"].axes if "fvar" in font else []
    return next((float(a.defaultValue) for a in axes if a.axisTag == "wght"), None)


def _remarks(missing: Sequence[str], weight: float | None, *, kerned: bool) -> tuple[Finding, ...]:
    found = []
    if missing:
        text = f"The model font has no {', '.join(missing)}; those letters are not compared with it."
        found.append(Finding("model", (), None, None, "", Severity.NOTE, text))
    if weight is not None and not MODEL_LIGHTEST <= weight <= MODEL_HEAVIEST:
        text = (
            f"The model font holds many weights and is shown in its default, {weight:.0f}; Regular is 400, so "
            f"{'thin' if weight < MODEL_LIGHTEST else 'heavy'} strokes are its own and no fault of the drawing. "
            "If the word was drawn after another weight, give a font file of that weight, or a scan of the specimen."
        )
        found.append(Finding("model", (), weight, 400.0, "weight", Severity.NOTE, text))
    if not kerned:
        text = "The model font has no kerning; its own spacing is shown by its advances alone."
        found.append(Finding("model", (), None, None, "", Severity.NOTE, text))
    return tuple(found)
