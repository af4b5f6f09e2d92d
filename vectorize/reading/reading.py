"""A picture's bytes and its name come in, the letters on their lines go out: every stage of reading in order."""

from __future__ import annotations

from vectorize.brief import Brief
from vectorize.reading.guides import settle_guides
from vectorize.reading.ink import find_ink
from vectorize.reading.letters import cut_letters
from vectorize.reading.paper import find_paper
from vectorize.reading.photo import read_photo
from vectorize.reading.records import Reading
from vectorize.reading.ruling import find_ruling
from vectorize.reading.strip import cut_strip


def read(data: bytes, name: str, brief: Brief) -> Reading:
    """Read one picture.

    Raises PictureError where it cannot be used; the text says what was seen, what is needed and what to do.
    """
    photo = read_photo(data, name, brief.page)
    paper = find_paper(photo)
    ruling = find_ruling(paper)
    strip = cut_strip(photo, paper, ruling, brief)
    ink = find_ink(strip)
    letters = cut_letters(ink, strip, brief)
    guides = settle_guides(strip, letters, brief)
    return Reading(photo, paper, ruling, strip, ink, letters, guides)
