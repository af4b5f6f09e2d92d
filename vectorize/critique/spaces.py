"""A Study comes in; out goes what its spaces do: which look alike, which look wide or tight, and what the word does.

The judgement is the area rule's (see `vectorize.spacing`): each white against the median white of its word. The trade's
order of spaces by what faces them is told where it holds in letters without serifs and is never used to judge.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from vectorize.critique.fractions import compared
from vectorize.critique.setting import order, tightness, word_spaces
from vectorize.critique.words import called, in_mm, ladder, listed, ordinal, percent, sentence
from vectorize.findings import Finding, Severity
from vectorize.spacing.records import Kind, Pair, Verdict
from vectorize.spacing.setting import spans_of_words
from vectorize.study import Letter, Study
from vectorize.trade.spacing import EVEN_WITHIN, FIX_BEYOND, LOOK_AGAIN_BEYOND, SPLITS_FROM

CHECK = "spaces"


def check(study: Study) -> tuple[Finding, ...]:
    """What holds of the spaces, then each space that does not, word by word; then the words' distance and tightness."""
    found: list[Finding] = list(_alone(study))
    for letters, median in zip(_words(study.letters), study.setting.median_white_ratio, strict=True):
        own = {x.index for x in letters}
        pairs = [p for p in study.setting.pairs if p.left in own and p.right in own]
        if pairs and median:
            found.extend(_word(study, letters, pairs, median))
    return (*found, *word_spaces(study), *tightness(study), *order(study))


def _words(letters: Sequence[Letter]) -> list[Sequence[Letter]]:
    """The letters of each word of the line."""
    return [letters[start:stop] for start, stop in spans_of_words([x.word for x in letters])]


def _alone(study: Study) -> tuple[Finding, ...]:
    """Words of a single letter: nothing to judge, and said."""
    single = [called(g[0], study.letters) for g in _words(study.letters) if len(g) == 1]
    if not single:
        return ()
    stands = "stands" if len(single) == 1 else "stand"
    text = sentence(f"{listed(single)} {stands} alone: there is no space to judge.")
    return (Finding(CHECK, (), None, None, "", Severity.HOLDS, text),)


def _word(study: Study, letters: Sequence[Letter], pairs: Sequence[Pair], median: float) -> list[Finding]:
    off = sorted((p for p in pairs if p.verdict is not Verdict.EVEN), key=lambda p: -abs(p.excess_ratio or 0.0))
    if len(pairs) == 2 and off:
        return [_two(study, letters, pairs)]
    found = [_holding(letters, pairs, off)] if len(pairs) > len(off) else []
    parted = [p for p in off if (p.white_ratio or 0.0) >= SPLITS_FROM * median]
    for p in off:
        effect = _effect(letters, p, parted)
        found.append(_finding(study, p, f"{_sentence_space(letters, pairs, p)} {_looks(p, median)}: {effect}."))
    return found


def _two(study: Study, letters: Sequence[Letter], pairs: Sequence[Pair]) -> Finding:
    """Two spaces that differ: neither can be called the wrong one."""
    wide, tight = sorted(pairs, key=lambda p: -(p.white_ratio or 0.0))
    told, other = (tight, wide) if tight.nearest_ratio <= 0.0 else (wide, tight)
    ends = _ends(letters, other)
    than = "the other" if ends == _ends(letters, told) else f"the one between {ends}"
    looks = _looks(told, other.white_ratio or 1.0, than)
    text = f"{_sentence_space(letters, pairs, told)} {looks}. With only two spaces neither is the measure: make them alike."
    return _finding(study, told, text)


def _holding(letters: Sequence[Letter], pairs: Sequence[Pair], off: Sequence[Pair]) -> Finding:
    even = [p for p in pairs if p.verdict is Verdict.EVEN]
    worst = max(abs(p.excess_ratio or 0.0) for p in even)
    spelt = _spelt(letters)
    if len(pairs) == 1:
        text = f"The one space of {spelt} has no other to be compared with."
    elif not off:
        text = f"The {len(pairs)} spaces of {spelt} look alike: the eye takes in one word."
    else:
        text = f"{len(even)} of the {len(pairs)} spaces of {spelt} look alike: the word has its measure."
    indices = () if not off else tuple(sorted({i for p in even for i in (p.left, p.right)}))
    return Finding(CHECK, indices, round(worst, 3), float(EVEN_WITHIN), "x-heights", Severity.HOLDS, text)


def _finding(study: Study, pair: Pair, text: str) -> Finding:
    excess = pair.excess_ratio or 0.0
    severity = ladder(abs(excess), EVEN_WITHIN, LOOK_AGAIN_BEYOND, FIX_BEYOND)
    return Finding(
        CHECK,
        (pair.left, pair.right),
        round(excess, 3),
        float(EVEN_WITHIN),
        "x-heights",
        severity,
        f"{text} {_advice(study, pair)}",
        _place(pair),
    )


def _place(pair: Pair) -> tuple[float, float, float, float] | None:
    if pair.white_shape_u is None:
        return None
    (x0, y0), (x1, y1) = pair.white_shape_u.min(axis=0), pair.white_shape_u.max(axis=0)
    return float(x0), float(y0), float(x1), float(y1)


def _advice(study: Study, pair: Pair) -> str:
    """How far the letters should come together or part, in mm where the true size is known."""
    excess = pair.excess_ratio or 0.0
    way = "closer" if excess > 0.0 else "further apart"
    return f"Set the two about {in_mm(study, excess) or f'{percent(excess)} of the x-height'} {way}."


def _looks(pair: Pair, white_ratio: float, other: str = "the others") -> str:
    """How a space looks beside another white."""
    if pair.nearest_ratio <= 0.0:
        return "is closed, the letters touch"
    return f"looks {compared((pair.white_ratio or 0.0) / white_ratio, other)}"


def _effect(letters: Sequence[Letter], pair: Pair, parted: Sequence[Pair]) -> str:
    """What the space does to the word."""
    if pair.verdict is Verdict.TIGHT:
        return "the two letters run into one dark spot"
    if pair not in parted:
        return "the eye halts there"
    if pair is parted[0]:
        return f"the word falls into {listed(_parts(letters, parted))}"
    return "the word parts there as well"


def _parts(letters: Sequence[Letter], parted: Sequence[Pair]) -> list[str]:
    cuts = sorted(p.right for p in parted)
    edges = [letters[0].index, *cuts, letters[-1].index + 1]
    return [_spelt([x for x in letters if start <= x.index < stop]) for start, stop in pairwise(edges)]


def _spelt(letters: Sequence[Letter]) -> str:
    """The letters as a word; by number where they are not known."""
    names = [x.name for x in letters]
    if all(names):
        return "".join(n or "" for n in names)
    first, last = letters[0].index, letters[-1].index
    return f"letter {first}" if first == last else f"letters {first} to {last}"


def _ends(letters: Sequence[Letter], pair: Pair) -> str:
    by_index = {x.index: x for x in letters}
    a, b = by_index[pair.left].name, by_index[pair.right].name
    return f"{a} and {b}" if a and b else f"letters {pair.left} and {pair.right}"


def _sentence_space(letters: Sequence[Letter], pairs: Sequence[Pair], pair: Pair) -> str:
    """'The space between t and e', told apart by its number where the word has several of the same letters."""
    ends = _ends(letters, pair)
    twins = [p.left for p in pairs if p.kind is not Kind.WORD_SPACE and _ends(letters, p) == ends]
    if len(twins) == 1:
        return f"The space between {ends}"
    return f"The {ordinal(twins.index(pair.left))} space between {ends}"
