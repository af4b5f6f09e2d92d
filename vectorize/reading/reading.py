"""A picture's bytes and its name come in, the letters on their lines go out: every stage of reading in order."""

from __future__ import annotations

from collections.abc import Callable

from vectorize.brief import Brief
from vectorize.reading.guides import settle_guides
from vectorize.reading.holes import without_holes
from vectorize.reading.ink import find_ink
from vectorize.reading.letters import cut_letters
from vectorize.reading.paper import find_paper
from vectorize.reading.photo import read_photo
from vectorize.reading.records import Reading
from vectorize.reading.ruling import find_ruling
from vectorize.reading.sharpness import check_edges
from vectorize.reading.strip import cut_strip, unbent
from vectorize.reading.true_size import truly_sized
from vectorize.reading.turned import turned_level
from vectorize.reading.unbend import bend_of


def read(data: bytes, name: str, brief: Brief, *, on_stage: Callable[[str], None] = lambda _: None) -> Reading:
    """Read one picture.

    on_stage: told the name of each stage as it begins.
    Raises PictureError where it cannot be used; the text says what was seen, what is needed and what to do.
    """
    on_stage("photo")
    photo = read_photo(data, name, brief.page)
    on_stage("sheet")
    paper = find_paper(photo)
    on_stage("lines")
    paper, ruling = turned_level(photo, paper, find_ruling(paper))
    paper = without_holes(truly_sized(paper, ruling, photo))
    strip = cut_strip(photo, paper, ruling, brief)
    on_stage("ink")
    ink = find_ink(strip)
    bend = bend_of(strip, ink, paper)
    if bend is not None:
        strip = unbent(photo, paper, ruling, strip, *bend)
        ink = find_ink(strip)
    check_edges(ink, strip.x_height_px)
    on_stage("letters")
    letters = cut_letters(ink, strip, brief)
    guides = settle_guides(strip, letters, brief)
    return Reading(photo, paper, ruling, strip, ink, letters, guides)
