"""The files of one studied word, made once for all tests, and how independent libraries read them."""

from __future__ import annotations

import re
from functools import cache

import svgpathtools
from lxml import etree

from tests.specimens.study import font_study, some_findings
from vectorize.study import Study
from vectorize.write.folder import files_of

SVG = "{http://www.w3.org/2000/svg}"
LAYERS = ("sketch", "guides", "whites", "letters", "notes")


@cache
def made(text: str = "mantel", family: str = "lato", *, named: bool = True) -> tuple[Study, dict[str, bytes]]:
    """A word with a wide and a tight space, and its files."""
    study = font_study(text, family=family, named=named)
    return study, files_of(study, some_findings(study))


def root(data: bytes) -> etree._Element:
    return etree.fromstring(data, etree.XMLParser(resolve_entities=False, huge_tree=True))


def letters(tree: etree._Element, prefix: str = "") -> list[etree._Element]:
    (layer,) = tree.xpath(f"//*[@id='{prefix}letters']")
    return list(layer.iter(f"{SVG}path"))


def box(path: etree._Element) -> tuple[float, float, float, float]:
    """x0, x1, y0, y1 of a path as svgpathtools reads it."""
    return svgpathtools.parse_path(path.get("d")).bbox()


def points(path: etree._Element) -> list[float]:
    return [float(v) for v in re.findall(r"-?\d+\.?\d*", path.get("d"))]


def line(tree: etree._Element, name: str) -> tuple[float, float, float, float]:
    (found,) = tree.xpath(f"//*[@id='{name}']")
    return tuple(float(found.get(k)) for k in ("x1", "y1", "x2", "y2"))
