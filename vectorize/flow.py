"""The way through the house: a picture's bytes, its name and a Brief come in, a Study goes out; nothing is written."""

from __future__ import annotations

from collections.abc import Callable

from vectorize import bearings, by_hand
from vectorize.anatomy.measure import measure
from vectorize.anatomy.records import Anatomy
from vectorize.brief import Brief
from vectorize.errors import PictureError
from vectorize.findings import Finding, Severity
from vectorize.geometry import Affine
from vectorize.model.records import Model
from vectorize.outlines.draw import draw_outline
from vectorize.outlines.outline import Outline
from vectorize.reading.reading import read
from vectorize.reading.records import LetterInk, Reading
from vectorize.spacing.setting import space
from vectorize.study import Letter, PictureFacts, Sketch, Study


def study_picture(data: bytes, name: str, brief: Brief, *, on_stage: Callable[[str], None] | None = None) -> Study:
    """Read, rebuild, re-space and measure one picture.

    on_stage: told the name of each stage as it begins.
    Raises PictureError where the picture cannot be used, ModelError where the brief's model cannot.
    """
    tell = on_stage or (lambda _: None)
    reading = read(data, name, brief, on_stage=tell)
    return study_reading(reading, brief, on_stage=tell)


def study_reading(
    reading: Reading,
    brief: Brief,
    *,
    on_stage: Callable[[str], None],
    draw: Callable[[LetterInk, Affine, float], Outline] = draw_outline,
    gauge: Callable[[Outline, LetterInk, Affine], Anatomy] = measure,
    follow: Callable[[Brief], Model | None] | None = None,
) -> Study:
    """Rebuild, re-space and measure what was read, with what the brief sets right by hand.

    draw, gauge, follow: how a letter is drawn and measured and the model read; the desk remembers what did not change.
    """
    reading = by_hand.reading_set_right(reading, brief)
    on_stage("outlines")
    drawn, lost = draw_letters(reading, draw)
    on_stage("measures")
    letters = tuple(_letter(reading, i + 1, ink, outline, gauge) for i, (ink, outline) in enumerate(drawn))
    on_stage("spaces")
    outlines, words = [x.outline for x in letters], [x.word for x in letters]
    setting = space(outlines, words, brief.letterspacing_percent)
    setting = by_hand.letters_placed(setting, outlines, words, reading, brief)
    lines = bearings.guide_lines(reading)
    scale, assumed = bearings.scale(reading, brief)
    width_px, height_px = reading.photo.size_px
    return Study(
        brief=brief,
        picture=PictureFacts(reading.photo.name, width_px, height_px, reading.photo.digest),
        sheet_name=reading.paper.sheet_name,
        scale=scale,
        level=bearings.level(reading, lines),
        guides=lines,
        sketch=Sketch(reading.strip.view.rgb, reading.guides.to_units),
        letters=letters,
        setting=setting,
        remarks=reading.remarks + lost + assumed + by_hand.comments(reading, brief),
        model=(follow or model_of)(brief),
    )


def model_of(brief: Brief) -> Model | None:
    """The brief's model, read; None where there is none. Raises ModelError."""
    if brief.model is None:
        return None
    from vectorize.model.picture import read_model  # it loads what reads fonts

    return read_model(brief.model, brief.word, _model_outlines)


def _model_outlines(data: bytes, name: str, brief: Brief) -> list[Outline]:
    return [outline for _, outline in draw_letters(read(data, name, brief))[0]]


def draw_letters(
    reading: Reading, draw: Callable[[LetterInk, Affine, float], Outline] = draw_outline
) -> tuple[list[tuple[LetterInk, Outline]], tuple[Finding, ...]]:
    """Each letter with its outline; a letter of which no outline is left is told in a remark.

    Raises PictureError when no outline is left at all.
    """
    blur = reading.ink.edge_blur_px
    both = [(x, draw(x, reading.guides.to_units, blur)) for x in reading.letters.letters]
    kept = [(ink, outline) for ink, outline in both if outline.contours]
    if not kept:
        raise PictureError(
            "Marks were seen, but none of them has an edge that an outline could follow. "
            "A word with letters drawn clearly darker than the paper is needed; "
            "photograph it closer, in even light."
        )
    lost = tuple(_too_faint(ink) for ink, outline in both if not outline.contours)
    plain = tuple(_plain(k, ink, outline) for k, (ink, outline) in enumerate(kept, start=1) if outline.plain)
    return kept, lost + plain


def _too_faint(ink: LetterInk) -> Finding:
    called = f"What was read as the {ink.name}" if ink.name else "The mark"
    return Finding(
        "reading",
        (),
        None,
        None,
        "",
        Severity.LOOK_AGAIN,
        f"{called} in place {ink.index} is too small or too faint for an outline and is left out. "
        "Colour it in darker and photograph the sheet again.",
    )


def _plain(index: int, ink: LetterInk, outline: Outline) -> Finding:
    called = f"The {ink.name} in place {index}" if ink.name else f"Letter {index}"
    b = outline.box_u
    return Finding(
        "reading",
        (index,),
        None,
        None,
        "",
        Severity.LOOK_AGAIN,
        f"{called} has an edge that no clean curve follows, so it is traced with many short straight lines "
        "and is not drawn the way type is. Its edge is very ragged or runs into itself: "
        "draw a firm edge round it, fill it in evenly and photograph the sheet again.",
        (b.x0, b.y0, b.x1, b.y1),
    )


def _letter(
    reading: Reading,
    index: int,
    ink: LetterInk,
    outline: Outline,
    gauge: Callable[[Outline, LetterInk, Affine], Anatomy],
) -> Letter:
    return Letter(
        index,
        ink.name,
        ink.word,
        outline,
        bearings.box_px(reading, outline),
        gauge(outline, ink, reading.guides.to_units),
    )
