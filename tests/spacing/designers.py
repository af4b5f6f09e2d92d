"""Type designers' own spacing as the truth: words set from open fonts, and how far a rule is from their gaps.

The gaps are those of HarfBuzz advances and kerning between the exact boxes of the outlines (see
tests/specimens/typeset.py), in x-heights; a rule is given the word's sum of gaps, as the setting is.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from tests.specimens.typeset import font_path, outline_word
from vectorize.spacing.profile import Profile, profile
from vectorize.spacing.white import channels, even_gaps, gaps_with_white, whites

WORDS = [
    "lantern",
    "harvest",
    "minimum",
    "pottery",
    "clover",
    "hamburg",
    "window",
    "garden",
    "violet",
    "quartz",
    "waltz",
    "rhythm",
    "ticket",
    "anvil",
    "bakery",
    "carpet",
    "donkey",
    "evening",
    "fjord",
    "glimmer",
    "hollow",
    "island",
    "jumper",
    "kettle",
    "lavender",
    "mosaic",
    "nutmeg",
    "orchard",
    "pebble",
    "quiver",
    "raven",
    "sextant",
    "thimble",
    "umbrella",
    "velvet",
    "willow",
    "yarrow",
    "zephyr",
    "flavour",
    "tavern",
    "kitten",
    "wharf",
    "pylon",
    "fable",
    "typo",
    "award",
]

CLASSES: dict[str, Callable[[str], str]] = {"lower": str.lower, "Title": str.capitalize, "CAPS": str.upper}


@dataclass(frozen=True)
class SetWord:
    """A word as a designer spaces it: its letters' profiles and its gaps."""

    text: str
    family: str
    kind: str
    profiles: tuple[Profile, ...]
    gaps: np.ndarray


def set_words(family: str, words: Sequence[str] = WORDS, kinds: Sequence[str] = tuple(CLASSES)) -> list[SetWord]:
    """The words in each class of case, set from one family."""
    path = font_path(family)
    out = []
    for kind in kinds:
        for word in words:
            profiles = tuple(profile(o) for o in outline_word(path, CLASSES[kind](word)))
            gaps = np.array([b.box.x0 - a.box.x1 for a, b in pairwise(profiles)])
            out.append(SetWord(CLASSES[kind](word), family, kind, profiles, gaps))
    return out


def targets(word: SetWord, gaps: np.ndarray) -> np.ndarray:
    """The rule's gaps for the word as drawn with `gaps`."""
    return even_gaps(channels(word.profiles), float(gaps.sum()))


def equal_gaps(word: SetWord, gaps: np.ndarray) -> np.ndarray:
    """The plain rule to compare with: one gap, box to box."""
    return np.full(len(word.profiles) - 1, gaps.mean())


def excess(word: SetWord, gaps: np.ndarray) -> np.ndarray:
    """How far each gap is from where its white would be the word's median."""
    channel = channels(word.profiles)
    return gaps - gaps_with_white(channel, float(np.median(whites(channel, gaps))))


@dataclass
class Agreement:
    """Differences of target and designer's gaps, and both without their word's mean."""

    off: list[float] = field(default_factory=list)
    target: list[float] = field(default_factory=list)
    designer: list[float] = field(default_factory=list)

    def add(self, word: SetWord, aim: np.ndarray) -> None:
        """One more word and the gaps a rule gives it."""
        self.off.extend(aim - word.gaps)
        self.target.extend(aim - aim.mean())
        self.designer.extend(word.gaps - word.gaps.mean())

    @property
    def rms(self) -> float:
        """Root mean square difference within words, x-heights."""
        return float(np.sqrt(np.mean(np.square(self.off))))

    @property
    def p95(self) -> float:
        """95 % of the gaps differ by at most this."""
        return float(np.percentile(np.abs(self.off), 95))

    @property
    def r(self) -> float:
        """Correlation within words."""
        return float(np.corrcoef(self.target, self.designer)[0, 1])


def agreement(words: Sequence[SetWord], rule: Callable[[SetWord, np.ndarray], np.ndarray] = targets) -> Agreement:
    """How well a rule's gaps agree with the designers'."""
    total = Agreement()
    for word in words:
        total.add(word, rule(word, word.gaps))
    return total


@dataclass(frozen=True)
class Disturbed:
    """What the rule makes of words with one gap changed by `by`: share found first; RMS left after correcting
    as a share of the RMS of the disturbance, both within words."""

    by: float
    found: float
    left: float


def disturbed(words: Sequence[SetWord], by: float, seed: int = 7) -> Disturbed:
    """One gap of each word of at least four letters widened or narrowed."""
    rng = np.random.default_rng(seed)
    found, after, before = [], [], []
    for word in words:
        n = len(word.gaps)
        if n < 3:
            continue
        at = int(rng.integers(n))
        change = np.zeros(n)
        change[at] = by * rng.choice((-1.0, 1.0))
        drawn = word.gaps + change
        found.append(int(np.argmax(np.abs(excess(word, drawn)))) == at)
        aim = targets(word, drawn)
        after.extend((aim - aim.mean()) - (word.gaps - word.gaps.mean()))
        before.extend(change - change.mean())
    left = np.sqrt(np.mean(np.square(after)) / np.mean(np.square(before)))
    return Disturbed(by, float(np.mean(found)), float(left))
