"""Bytes or JSON of what was set right by hand on one picture come in, frozen records go out; and the way back.

Places are in the upright picture's own pixels (x right, y down), so that the corrections can be repeated on the same
bytes whatever the reading makes of them: a letter is meant by a point on it, never by its number.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Callable
from dataclasses import asdict, dataclass, fields
from typing import Any, Final, TypeAlias, TypeVar

from vectorize.errors import BriefError
from vectorize.geometry import Point

FILE_NAME: Final = "corrections.json"
SCHEMA_VERSION: Final = 1

GUIDE_NAMES: Final = ("baseline", "mean_line", "cap_line", "ascender_line", "descender_line")
DIVISIONS: Final = ("join", "cut", "drop", "erase")

# A file that holds more than this was not made by a hand; it is refused before it costs time.
MOST_ENTRIES: Final = 2000
LONGEST_TEXT: Final = 2000

# From the height of a pencil's line to that of the largest sheet (A0 with room to spare).
X_HEIGHTS_MM: Final = (0.5, 2000.0)

Record = TypeVar("Record")
Json: TypeAlias = dict[str, Any]


@dataclass(frozen=True, slots=True)
class GivenGuide:
    """A guideline drawn by hand: its name (see GUIDE_NAMES) and two ends in picture px, left end first."""

    name: str
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class Division:
    """The letters divided another way by a straight stroke from `start` to `end`, picture px.

    kind: "join" makes all letters that the stroke touches one; "cut" parts the letter it crosses, along it;
    "drop" leaves out the letter at `start`; "erase" the single mark at `start`.
    """

    kind: str
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class Named:
    """The letter at this place is `name`."""

    at: Point
    name: str


@dataclass(frozen=True, slots=True)
class Placed:
    """The letter at this place stands `move_u` letter units right of where it was drawn.

    by_hand: the hand put it there; False for a letter that was evened around those.
    """

    at: Point
    move_u: float
    by_hand: bool = True


@dataclass(frozen=True, slots=True)
class Comment:
    """A remark of the instructor, pinned to a place."""

    at: Point
    text: str


@dataclass(frozen=True, slots=True)
class Corrections:
    """All hand corrections of one picture.

    guides: guidelines as given. no_guides: names of lines that are none, though they were read.
    divisions: in the order they were made. x_height_mm: true height from baseline to mean line.
    """

    guides: tuple[GivenGuide, ...] = ()
    divisions: tuple[Division, ...] = ()
    names: tuple[Named, ...] = ()
    x_height_mm: float | None = None
    placed: tuple[Placed, ...] = ()
    comments: tuple[Comment, ...] = ()
    no_guides: tuple[str, ...] = ()


NO_CORRECTIONS: Final = Corrections()


def to_json(corrections: Corrections) -> Json:
    """The corrections as plain JSON values."""
    return asdict(corrections)


def to_bytes(corrections: Corrections, digest: str) -> bytes:
    """The file that is kept beside the results; `digest` is the SHA-256 of the picture's bytes, in hex."""
    document = {"schema_version": SCHEMA_VERSION, "picture_sha256": digest, **to_json(corrections)}
    return (json.dumps(document, ensure_ascii=False, indent=1) + "\n").encode()


def from_bytes(data: bytes, digest: str) -> Corrections | None:
    """The corrections kept in such a file; None when they were made on another picture.

    Raises BriefError when the file is damaged.
    """
    try:
        document = json.loads(data)
    except (ValueError, RecursionError) as error:
        raise BriefError(_damaged("it is not JSON")) from error
    if not isinstance(document, dict):
        raise BriefError(_damaged("it holds no corrections"))
    if document.pop("picture_sha256", None) != digest:
        return None
    if document.pop("schema_version", None) != SCHEMA_VERSION:
        raise BriefError(_damaged("it was written by another version"))
    try:
        return _corrections(document)
    except _SenselessError as error:
        raise BriefError(_damaged(str(error))) from error


def _damaged(why: str) -> str:
    return f"The corrections in {FILE_NAME} cannot be read: {why}. Take the file away to go on without them."


def from_json(document: object) -> Corrections:
    """Corrections from plain JSON values, as they are made; raises BriefError naming the entry that makes no sense."""
    try:
        return _corrections(document)
    except _SenselessError as error:
        raise BriefError(f"This correction cannot be followed: {error}. Make it in another way.") from error


class _SenselessError(Exception):
    """Why an entry cannot be what was meant, for the end of a sentence."""


def _corrections(document: object) -> Corrections:
    """Raises _SenselessError naming the entry that makes no sense."""
    entries = _object(document, "the whole", Corrections)
    x_height_mm = entries.get("x_height_mm")
    return Corrections(
        guides=_many(entries.get("guides"), "guides", _guide),
        divisions=_many(entries.get("divisions"), "divisions", _division),
        names=_many(entries.get("names"), "names", _named),
        x_height_mm=None if x_height_mm is None else _number(x_height_mm, "x_height_mm", *X_HEIGHTS_MM),
        placed=_many(entries.get("placed"), "placed", _placed),
        comments=_many(entries.get("comments"), "comments", _comment),
        no_guides=_many(entries.get("no_guides"), "no_guides", _no_guide),
    )


def _object(value: object, where: str, record: type) -> Json:
    names = {f.name for f in fields(record)}
    if not isinstance(value, dict) or not set(value) <= names:
        raise _SenselessError(f"{where} is not as expected")
    return value


def _many(value: object, where: str, read: Callable[[object, str], Record]) -> tuple[Record, ...]:
    if value is None:
        return ()
    if not isinstance(value, list | tuple) or len(value) > MOST_ENTRIES:
        raise _SenselessError(f"{where} is not a list of sensible length")
    return tuple(read(v, where) for v in value)


def _number(value: object, where: str, low: float, high: float) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _SenselessError(f"a number in {where} is missing")
    if not low <= value <= high:
        raise _SenselessError(f"a number in {where} is out of reach")
    return float(value)


def _text(value: object, where: str, longest: int) -> str:
    if not isinstance(value, str) or not value.strip() or len(value) > longest:
        raise _SenselessError(f"a text in {where} is empty or too long")
    if not is_text(value):
        raise _SenselessError(f"a text in {where} holds what is no character")
    return value.strip()


def is_text(value: str) -> bool:
    """Whether all of it can stand in a file of results: the characters of XML 1.0 (its production 2)."""
    return re.search("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]", value) is None


def _point(value: object, where: str) -> Point:
    if not isinstance(value, list | tuple) or len(value) != 2:
        raise _SenselessError(f"a place in {where} is not two numbers")
    x, y = (_number(v, where, -1e6, 1e6) for v in value)
    return x, y


def _division(value: object, where: str) -> Division:
    entry = _object(value, where, Division)
    start, end = _point(entry.get("start"), where), _point(entry.get("end"), where)
    if entry.get("kind") not in DIVISIONS:
        raise _SenselessError(f"one of {where} is of no known kind")
    if entry["kind"] == "cut" and start == end:
        raise _SenselessError(f"a cut in {where} has no length")
    return Division(str(entry["kind"]), start, end)


def _guide(value: object, where: str) -> GivenGuide:
    entry = _object(value, where, GivenGuide)
    if entry.get("name") not in GUIDE_NAMES:
        raise _SenselessError(f"a line in {where} has no known name")
    start, end = sorted((_point(entry.get("start"), where), _point(entry.get("end"), where)))
    if start[0] == end[0]:
        raise _SenselessError(f"a line in {where} stands upright")
    return GivenGuide(str(entry["name"]), start, end)


def _no_guide(value: object, where: str) -> str:
    # Without a baseline there are no letter units; it can be moved, never taken away.
    if value not in GUIDE_NAMES[1:]:
        raise _SenselessError(f"a line in {where} has no known name")
    return str(value)


def _named(value: object, where: str) -> Named:
    entry = _object(value, where, Named)
    # A letter may be several code points (an accent that no single one has), never a word.
    name = unicodedata.normalize("NFC", _text(entry.get("name"), where, 8))
    return Named(_point(entry.get("at"), where), name)


def _placed(value: object, where: str) -> Placed:
    entry = _object(value, where, Placed)
    by_hand = entry.get("by_hand", True)
    if not isinstance(by_hand, bool):
        raise _SenselessError(f"by_hand in {where} is neither true nor false")
    return Placed(_point(entry.get("at"), where), _number(entry.get("move_u"), where, -1e5, 1e5), by_hand)


def _comment(value: object, where: str) -> Comment:
    entry = _object(value, where, Comment)
    return Comment(_point(entry.get("at"), where), _text(entry.get("text"), where, LONGEST_TEXT))
