"""Ink comes in, letters in reading order go out: parts joined, touching letters parted, names given where the word fits."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from vectorize.brief import Brief
from vectorize.errors import PictureError
from vectorize.findings import Finding, Severity
from vectorize.geometry import frozen
from vectorize.raster import greatest, window_of
from vectorize.reading.cutting import settled_cuts
from vectorize.reading.matching import Atom, Span, match_freely, match_word, spans_of, strangeness
from vectorize.reading.parting import Cut, between, body_mask, cuts_of
from vectorize.reading.parts import Part, Piece, counters_in, lettering, parts_of, pieces_of
from vectorize.reading.records import Ink, LetterInk, Letters, Strip
from vectorize.reading.words import words_by_gaps, words_told
from vectorize.trade.ink import DOUBTFUL_MISFIT, FULL_DARKNESS_SHARE, LIKELY_MISFIT, SMALLEST_DOT_RATIO, STRANGE_LETTER
from vectorize.trade.letter_shapes import known_shapes, shape_of
from vectorize.trade.lines import MEAN_OF_CAP

# Soft edge around a letter's level line that belongs to it, px.
SOFT_EDGE_PX = 8
# Marks beside the lettering are told from this many x-heights on.
WORTH_SAYING = 0.25
# Letters that pass the mean line and the baseline by less than this many x-heights are all of one height.
DOUBT = 0.15

NO_LETTERS = (
    "No letters were seen in this picture, only lines or marks. It should show a word drawn dark on light paper."
    " Take the picture closer, so that the word fills most of its width."
)


def cut_letters(ink: Ink, strip: Strip, brief: Brief) -> Letters:
    """The letters of the strip.

    Raises PictureError where there is no lettering.
    """
    return letters_of(ink, brief, strip.baseline_px, strip.x_height_px)


def letters_of(ink: Ink, brief: Brief, baseline_px: float, x_height_px: float) -> Letters:
    """As `cut_letters`, from a rough baseline and x-height in strip px."""
    parts, others = lettering(parts_of(ink.coverage > 0.5), ink.coverage.shape, baseline_px, x_height_px)
    pieces = pieces_of(parts, x_height_px) if parts else ()
    if not pieces:
        raise PictureError(NO_LETTERS)
    pencil = _pencil(ink)
    atoms = atoms_of(pieces, pencil, x_height_px)
    spans, names, remarks = _read(atoms, brief, baseline_px, x_height_px)
    better = settled_cuts(pieces, atoms, spans, pencil, (baseline_px, x_height_px))
    atoms = tuple(replace(a, left=better[a.left], right=better[a.right]) for a in atoms)
    owner = _owners(ink.coverage, pieces, atoms, spans)
    words = words_told(brief.word) if names else words_by_gaps(_boxes(atoms, spans), x_height_px)
    letters = _letter_inks(ink, owner, len(spans), names, words)
    return Letters(letters, (*remarks, *_left_out(others, x_height_px)))


def atoms_of(pieces: tuple[Piece, ...], pencil: NDArray[np.float32], x_height_px: float) -> tuple[Atom, ...]:
    """The pieces, and where they could be cut their parts, from left to right."""
    return tuple(a for i, p in enumerate(pieces) for a in _atoms(i, p, cuts_of(p, pencil, x_height_px), x_height_px))


def _atoms(number: int, piece: Piece, cuts: tuple[Cut, ...], x_height_px: float) -> list[Atom]:
    """A piece's atoms; a cut that leaves hardly any ink on one of its sides is none."""
    mask, top, left = body_mask(piece)
    least = (SMALLEST_DOT_RATIO * x_height_px) ** 2
    atoms: list[Atom] = []
    last: Cut | None = None
    for cut in (*cuts, None):
        inside = mask & between(mask.shape, (top, left), last, cut)
        rest = mask & between(mask.shape, (top, left), cut, None)
        if cut is not None and (np.count_nonzero(inside) < least or np.count_nonzero(rest) < least):
            continue
        columns, rows = (np.flatnonzero(inside.any(axis=0)), np.flatnonzero(inside.any(axis=1)))
        own = inside[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
        x0, x1 = ((-np.inf if last is None else last.x_px), (np.inf if cut is None else cut.x_px))
        marks = sum(x0 <= m.box.centre[0] < x1 for m in piece.marks)
        corner = left + int(columns[0]), top + int(rows[0])
        atoms.append(Atom(number, last, cut, *corner, own, counters_in(piece, x0, x1), marks))
        last = cut
    return atoms


def _pencil(ink: Ink) -> NDArray[np.float32]:
    """1 where the pencil itself has darkened the paper, 0 where not."""
    inked = ink.darkness[ink.coverage > 0.5]
    usual = float(np.median(inked)) if inked.size else 1.0
    full = max(float(FULL_DARKNESS_SHARE) * usual, 1e-3)
    return np.asarray(np.clip(ink.darkness / full, 0.0, 1.0), np.float32)


def _read(
    atoms: tuple[Atom, ...], brief: Brief, baseline_px: float, x_height_px: float
) -> tuple[tuple[Span, ...], tuple[str, ...] | None, list[Finding]]:
    names = brief.names
    spans = spans_of(atoms, baseline_px, x_height_px)
    free = match_freely(spans, known_shapes())
    if names is None:
        if not ((spans.rise > DOUBT) | (spans.fall > DOUBT)).any():
            # Of one height: they may be capitals, taken for small letters.
            tall = match_freely(spans_of(atoms, baseline_px, float(MEAN_OF_CAP) * x_height_px), known_shapes())
            free = min(free, tall, key=lambda m: m.cost)
        return free.spans, None, _surgery_told(free.spans, atoms)
    match = match_word(spans, tuple(shape_of(n) for n in names))
    doubt = np.inf if match is None else (match.cost - free.cost) / len(names)
    if match is None or doubt > DOUBTFUL_MISFIT:
        return (free.spans, None, [_word_does_not_fit(brief, len(free.spans)), *_surgery_told(free.spans, atoms)])
    strange = strangeness(spans, match, tuple(s for s, _ in known_shapes()))
    return (match.spans, names, [*_doubts(brief, doubt, strange), *_surgery_told(match.spans, atoms)])


def _doubts(brief: Brief, doubt: float, strange: tuple[float, ...]) -> list[Finding]:
    names = brief.names or ()
    odd = tuple(i for i, s in enumerate(strange, start=1) if s > STRANGE_LETTER)
    if doubt < LIKELY_MISFIT and not odd:
        return []
    seen = (
        f"{_listed(odd)} {'does' if len(odd) == 1 else 'do'} not look like {', '.join(names[i - 1] for i in odd)}"
        if odd
        else "the letters fit it only roughly"
    )
    text = f"The word {brief.word!r} was followed, but {seen}. Check that the word is the one in the picture."
    return [Finding("reading", odd, round(doubt, 2), float(LIKELY_MISFIT), "", Severity.LOOK_AGAIN, text)]


def _listed(numbers: tuple[int, ...]) -> str:
    if len(numbers) == 1:
        return f"letter {numbers[0]}"
    return "letters " + ", ".join(map(str, numbers[:-1])) + f" and {numbers[-1]}"


def _word_does_not_fit(brief: Brief, seen: int) -> Finding:
    told = len(brief.names or ())
    text = (
        f"The word {brief.word!r} has {told} letter{'s' if told > 1 else ''}; {seen} {'were' if seen > 1 else 'was'} seen,"
        " or their shapes differ, so no letter was named."
        " Check the word, or whether letters touch or have fallen apart."
    )
    return Finding("reading", (), float(seen), float(told), "letters", Severity.LOOK_AGAIN, text)


def _surgery_told(spans: tuple[Span, ...], atoms: tuple[Atom, ...]) -> list[Finding]:
    remarks = []
    for i, span in enumerate(spans, start=1):
        if atoms[span.last].right is not None:
            text = f"Letters {i} and {i + 1} touch; they were parted at the likeliest place. Check the cut."
            remarks.append(Finding("reading", (i, i + 1), None, None, "", Severity.LOOK_AGAIN, text))
        if atoms[span.first].piece != atoms[span.last].piece:
            text = f"Letter {i} is in parts that do not meet; they were taken together. Close the gap in the fill."
            remarks.append(Finding("reading", (i,), None, None, "", Severity.NOTE, text))
    return remarks


def _boxes(atoms: tuple[Atom, ...], spans: tuple[Span, ...]) -> list[tuple[float, float]]:
    return [
        (min(a.x0 for a in atoms[s.first : s.last + 1]), max(a.x1 for a in atoms[s.first : s.last + 1])) for s in spans
    ]


def _owners(
    coverage: NDArray[np.float32], pieces: tuple[Piece, ...], atoms: tuple[Atom, ...], spans: tuple[Span, ...]
) -> NDArray[np.int32]:
    """For each strip pixel the letter that owns it, from 1; the soft edge around belongs to the nearest letter."""
    owner = np.zeros(coverage.shape, np.int32)
    for number, span in enumerate(spans, start=1):
        for i in sorted({a.piece for a in atoms[span.first : span.last + 1]}):
            own = [a for a in atoms[span.first : span.last + 1] if a.piece == i]
            left, right = own[0].left, own[-1].right
            for part in pieces[i].parts:
                _claim(owner, number, part, left, right, is_mark=part in pieces[i].marks)
    left_out = (coverage > 0.5) & (owner == 0)
    for _ in range(SOFT_EDGE_PX):
        grown = greatest(owner.astype(np.float32), 3).astype(np.int32)
        owner = np.where(owner == 0, grown, owner)
    return np.where(left_out, 0, owner)


def _claim(
    owner: NDArray[np.int32], number: int, part: Part, left: Cut | None, right: Cut | None, *, is_mark: bool
) -> None:
    rows, columns = part.blob.window
    if is_mark:
        middle = part.box.centre[0]
        if (left is not None and middle < left.x_px) or (right is not None and middle >= right.x_px):
            return
        inside = part.blob.mask
    else:
        inside = part.blob.mask & between(part.blob.mask.shape, (rows.start, columns.start), left, right)
    owner[rows, columns][inside] = number


def _letter_inks(
    ink: Ink, owner: NDArray[np.int32], count: int, names: tuple[str, ...] | None, words: tuple[int, ...]
) -> tuple[LetterInk, ...]:
    letters = []
    for number in range(1, count + 1):
        window = window_of(owner == number)
        if window is None:
            continue
        own = owner[window] == number
        coverage = np.where(own, ink.coverage[window], 0.0).astype(np.float32)
        letters.append(
            LetterInk(
                index=number,
                name=names[number - 1] if names else None,
                word=words[number - 1],
                coverage=frozen(coverage),
                darkness=frozen(ink.darkness[window].copy()),
                left_px=window[1].start,
                top_px=window[0].start,
            )
        )
    return tuple(letters)


def _left_out(others: tuple[Part, ...], x_height_px: float) -> list[Finding]:
    big = [p for p in others if max(p.box.width, p.box.height) > WORTH_SAYING * x_height_px]
    if not big:
        return []
    text = (
        f"{len(big)} marks beside the lettering (writing, arrows, ticks, the sheet's edge) were left out."
        " Where one belongs to a letter, draw it as broad as the strokes."
        if len(big) > 1
        else "A mark beside the lettering (writing, an arrow, a tick, the sheet's edge) was left out."
        " If it belongs to a letter, draw it as broad as the strokes."
    )
    return [Finding("reading", (), float(len(big)), None, "parts", Severity.NOTE, text)]
