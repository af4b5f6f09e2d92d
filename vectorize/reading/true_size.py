"""A Paper, its Ruling and the Photo come in; out goes the Paper at its true size, and in words what is doubtful about it.

A sheet's shape tells Letter from A4, but all sheets of the A series have one shape (ISO 216). Which of them it is, is told
by the file's resolution where a scanner wrote it, or by the pitch of printed lines; else the usual one is taken, and said.
"""

from __future__ import annotations

from dataclasses import replace

from vectorize.geometry import Box, Homography
from vectorize.reading.paper import sheet_of_size
from vectorize.reading.records import Paper, Photo, Ruling
from vectorize.reading.resample import local_scale
from vectorize.trade.picture import PITCH_TOLERANCE, PRINTED_PITCHES_MM, SAME_SHAPE_WITHIN, SHEET_SIZES_MM

SQUARE_ON = 0.006
"""Share by which the depth may vary over a sheet on a scanner's glass; half a degree of tilt already shows more."""
MISCOUNTED = (2.0, 0.5)
"""Times the pitch that is seen, where every second line was missed, or one more seen between two."""


def truly_sized(paper: Paper, ruling: Ruling, photo: Photo) -> Paper:
    """The same paper with the name and true size that sheet, resolution and printed lines agree best on."""
    if paper.mm_source == "resolution":
        return paper
    by_file = _mm_per_px_by_file(paper, photo)
    if by_file is not None:
        name = sheet_of_size(_sheet_px(paper), by_file)
        return replace(paper, mm_per_px=by_file, mm_source="resolution", sheet_name=name)
    if paper.sheet_name is None or paper.mm_per_px is None:
        return paper
    alike = _of_one_shape(paper.sheet_name)
    if len(alike) == 1:
        return paper
    by_lines = _by_ruling(alike, paper.mm_per_px, ruling)
    if by_lines == (paper.sheet_name,):
        return paper
    if len(by_lines) == 1:
        return _resized(paper, by_lines[0], ruling)
    return replace(paper, size_doubt=_taken_for(paper.sheet_name, alike))


def _mm_per_px_by_file(paper: Paper, photo: Photo) -> float | None:
    """True length of a sheet px by the file's resolution; None where a camera looked at the sheet aslant."""
    if photo.mm_per_px is None or not isinstance(paper.to_picture, Homography):
        return None
    corners = Box(0.0, 0.0, *_sheet_px(paper)).corners
    if paper.before_turn is not None:
        corners = paper.before_turn[0].inverse().apply(corners)
    depth = corners @ paper.to_picture.matrix[2, :2] + paper.to_picture.matrix[2, 2]
    if depth.max() / depth.min() > 1.0 + SQUARE_ON:
        return None
    return photo.mm_per_px * local_scale(paper.to_picture, corners)


def _sheet_px(paper: Paper) -> tuple[int, int]:
    """(width, height) of the sheet itself: a frame turned to a drawing that lies askew is larger than its sheet."""
    return paper.size_px if paper.before_turn is None else paper.before_turn[1]


def _of_one_shape(name: str) -> tuple[str, ...]:
    """The sheets of the same aspect, the usual one first."""
    aspect = _aspect(name)
    return tuple(n for n in SHEET_SIZES_MM if abs(_aspect(n) / aspect - 1.0) < SAME_SHAPE_WITHIN)


def _aspect(name: str) -> float:
    short, long = SHEET_SIZES_MM[name]
    return short / long


def _by_ruling(alike: tuple[str, ...], usual_mm_per_px: float, ruling: Ruling) -> tuple[str, ...]:
    """The sheets on which the printed lines would lie at a pitch that is printed; empty without such lines.

    usual_mm_per_px: true length of a sheet px on the first of them.
    """
    if ruling.pitch_px is None:
        return ()
    width = SHEET_SIZES_MM[alike[0]][0]
    pitch_mm = {n: ruling.pitch_px * usual_mm_per_px * SHEET_SIZES_MM[n][0] / width for n in alike}
    if any(_printed(pitch_mm[alike[0]] * times) for times in MISCOUNTED):
        return ()
    return tuple(n for n in alike if _printed(pitch_mm[n]))


def _printed(pitch_mm: float) -> bool:
    return any(abs(pitch_mm / p - 1.0) < PITCH_TOLERANCE for p in PRINTED_PITCHES_MM)


def _resized(paper: Paper, name: str, ruling: Ruling) -> Paper:
    assert paper.mm_per_px is not None
    assert paper.sheet_name is not None
    assert ruling.pitch_px is not None
    mm_per_px = paper.mm_per_px * SHEET_SIZES_MM[name][0] / SHEET_SIZES_MM[paper.sheet_name][0]
    text = (
        f"The sheet has the shape of {paper.sheet_name}, but its printed lines would then lie "
        f"{ruling.pitch_px * paper.mm_per_px:.1f} mm apart; on {name} it is {ruling.pitch_px * mm_per_px:.1f} mm, "
        f"as paper is ruled, so it is taken for {name}. If it is not, measure from the baseline to the mean line "
        "and give that length as --x-height."
    )
    return replace(paper, sheet_name=name, mm_per_px=mm_per_px, size_doubt=text)


def _taken_for(name: str, alike: tuple[str, ...]) -> str:
    others = sorted(set(alike) - {name})
    return (
        f"The sheet has the shape of {name} and is taken for it; {', '.join(others[:-1])} and {others[-1]} have the same "
        f"shape. If it is not {name}, measure from the baseline to the mean line and give that length as --x-height; "
        "everything measured in x-heights holds as it is."
    )
