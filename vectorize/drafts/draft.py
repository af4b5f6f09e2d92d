"""The files of a rebuilt picture come in; out goes a draft that can be laid beside another: letters, findings, figures."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import Any, Final

from lxml import etree

from vectorize.curves import Contour, Cubic, Line, Segment, transformed
from vectorize.errors import PictureError
from vectorize.findings import Finding, Severity
from vectorize.geometry import Affine, Point
from vectorize.outlines.outline import Outline
from vectorize.spacing.records import Setting
from vectorize.spacing.setting import space

NEEDED: Final = ("measures.json", "original.svg")
"""The files of a folder that a draft is read from."""

SVG: Final = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True, slots=True, eq=False)
class Draft:
    """One draft in letter units, so that drafts of any size and paper can be compared.

    name: of its folder. file: of the picture; picture_digest: SHA-256 of its bytes. letters: as the learner drew them.
    moves_u: how far each stands from there in corrected.svg. words: number of each letter's word. setting: their spaces,
    as drawn and as they should be. findings: of its critique. measures: all its figures, as in measures.json.
    """

    name: str
    file: str
    picture_digest: str
    letters: tuple[Outline, ...]
    moves_u: tuple[float, ...]
    words: tuple[int, ...]
    setting: Setting
    findings: tuple[Finding, ...]
    measures: Mapping[str, Any]

    @property
    def spelt(self) -> str:
        """The letters' names, '?' for one that is not known."""
        return "".join(o.name or "?" for o in self.letters)


def draft_from(name: str, files: Mapping[str, bytes]) -> Draft:
    """The draft in the files of a folder that `rebuild` wrote.

    Raises PictureError where the files are not those of a rebuilt picture.
    """
    try:
        return _draft(name, files)
    except (
        ArithmeticError,
        AttributeError,
        LookupError,
        RecursionError,
        TypeError,
        ValueError,
        etree.LxmlError,
    ) as error:
        raise PictureError(
            f"The folder {name} does not hold what rebuild writes ({type(error).__name__}: {error}). "
            "Rebuild the picture again and compare that."
        ) from error


def _draft(name: str, files: Mapping[str, bytes]) -> Draft:
    measures = json.loads(files["measures.json"])
    letters = _letters(files["original.svg"], float(measures["scale"]["x_height_mm"]))
    moves_u = tuple(accumulate((1000.0 * float(p["move_ratio"]) for p in measures["pairs"]), initial=0.0))
    words = tuple(int(x["word"]) - 1 for x in measures["letters"])
    if not len(letters) == len(words) == len(moves_u):
        raise ValueError(f"{len(letters)} letters are drawn, {len(words)} are measured")
    return Draft(
        name,
        str(measures["picture"]["file"]),
        str(measures["made_from"]["picture_sha256"]),
        letters,
        moves_u,
        words,
        space(letters, words, None),
        tuple(_finding(f) for f in measures["findings"]),
        measures,
    )


def _finding(said: Mapping[str, Any]) -> Finding:
    ratios = said.get("place_ratio")
    place = None if ratios is None else tuple(1000.0 * float(v) for v in ratios)
    return Finding(
        str(said["check"]),
        tuple(int(i) for i in said["letters"]),
        said["measured"],
        said["limit"],
        said["unit"] or "",
        Severity(said["severity"]),
        str(said["text"]),
        None if place is None else (place[0], place[1], place[2], place[3]),
    )


def _letters(svg: bytes, x_height_mm: float) -> tuple[Outline, ...]:
    """The outlines of the layer `letters`, in letter units from the first letter's left edge."""
    root = etree.fromstring(svg, etree.XMLParser(resolve_entities=False, no_network=True, huge_tree=True))
    baseline = root.find(f".//{SVG}line[@id='baseline']")
    (x0, y0), (x1, y1) = ((float(baseline.get(f"x{i}")), float(baseline.get(f"y{i}"))) for i in "12")
    slope = (y1 - y0) / (x1 - x0)
    scale = 1000.0 / x_height_mm
    to_units = Affine(scale, 0.0, slope * scale, -scale, 0.0, (y0 - slope * x0) * scale)
    drawn = [
        Outline(
            tuple(transformed(c, to_units) for c in path_contours(path.get("d"))),
            path.get("data-letter"),
        )
        for path in root.iterfind(f"{SVG}g[@id='letters']/{SVG}path")
    ]
    left = min((o.box_u.x0 for o in drawn), default=0.0)
    return tuple(o.moved(-left) for o in drawn)


def path_contours(data: str) -> tuple[Contour, ...]:
    """The contours of path data that holds the absolute commands M, L, C and Z only.

    Raises ValueError for anything else.
    """
    contours: list[Contour] = []
    segments: list[Segment] = []
    start = at = (0.0, 0.0)
    for command, text in re.findall(r"([A-Za-z])([^A-Za-z]*)", data):
        if command not in "MLCZz":
            raise ValueError(f"the path command {command} is not one of M L C Z")
        numbers = [float(n) for n in re.split(r"[\s,]+", text.strip()) if n]
        points: list[Point] = list(zip(numbers[::2], numbers[1::2], strict=True))
        if command == "M":
            start = at = points[0]
            segments = [Line(p, q) for p, q in pairwise(points)]
            at = points[-1]
        elif command == "L":
            for p in points:
                segments.append(Line(at, p))
                at = p
        elif command == "C":
            for a, b, c in zip(points[::3], points[1::3], points[2::3], strict=True):
                segments.append(Cubic(at, a, b, c))
                at = c
        else:
            if at != start:
                segments.append(Line(at, start))
            at = start
            if segments:
                contours.append(Contour(tuple(segments)))
    return tuple(contours)
