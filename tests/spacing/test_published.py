"""The rule against spacing that others published, on open fonts whose letters it has not been told the names of."""

from __future__ import annotations

from functools import cache
from itertools import pairwise, product
from string import ascii_uppercase

import numpy as np
import pytest
from scipy.stats import spearmanr

from tests.spacing.published import SIDES_2000, classes, code, gap_2000
from tests.specimens.typeset import font_path, outline_word
from vectorize.spacing.kinds import Side, kind, sides
from vectorize.spacing.profile import Profile, profile
from vectorize.spacing.records import Kind
from vectorize.spacing.white import channels, even_gaps, gaps_with_white, whites

SANS = ("source-sans-3", "lato", "overpass")


@cache
def letter(family: str, name: str) -> Profile:
    return profile(outline_word(font_path(family), name)[0])


def drawn_gaps(family: str, word: str) -> tuple[list[Profile], np.ndarray]:
    letters = [profile(o) for o in outline_word(font_path(family), word)]
    return letters, np.array([b.box.x0 - a.box.x1 for a, b in pairwise(letters)])


@cache
def even(family: str, word: str) -> np.ndarray:
    """The word's gaps in the corrected setting."""
    letters, gaps = drawn_gaps(family, word)
    return even_gaps(channels(letters), float(gaps.sum()))


@cache
def capital_pairs(family: str) -> dict[str, float]:
    """All 676 pairs at the white of the designer's HH, as fractions of the gap of HH."""
    letters, gaps = drawn_gaps(family, "HH")
    white = float(whites(channels(letters), gaps)[0])
    pairs = ("".join(p) for p in product(ascii_uppercase, repeat=2))
    set_ = {p: gaps_with_white(channels([letter(family, p[0]), letter(family, p[1])]), white)[0] for p in pairs}
    return {p: float(g / set_["HH"]) for p, g in set_.items()}


@pytest.mark.parametrize("family", SANS)
def test_what_faces_a_space_falls_into_the_road_signs_classes(family: str) -> None:
    # FHWA 1966: letters before a gap fall into stems, bowls, arms and open counters, diagonals; G J K R S X Z are left
    # out, whose classes there follow their width and not their edge.
    right = (Side.STRAIGHT, Side.CURVE, Side.OPEN, Side.OPEN)
    left = (Side.STRAIGHT, Side.CURVE, Side.OPEN)
    agreed = []
    for a, b in product([c for c in ascii_uppercase if c not in "GJKRSXZ"], repeat=2):
        before, after = classes(a + b)
        found = kind(sides(letter(family, a), None)[1], sides(letter(family, b), None)[0])
        agreed.append(found is kind(right[before], left[after]))
        assert (found is Kind.STRAIGHT_STRAIGHT) == (before == 0 and after == 0), a + b
    assert np.mean(agreed) >= 0.95


@pytest.mark.parametrize("family", SANS)
def test_capital_pairs_stand_in_the_road_signs_order(family: str) -> None:
    # FHWA 1966, four steps of 1.5, 1.2, .8 and .4 stroke widths.
    pairs = capital_pairs(family)
    means = [np.mean([g for p, g in pairs.items() if code(p) == c]) for c in (1, 2, 3, 4)]
    assert means == sorted(means, reverse=True)
    assert len(set(np.round(means, 2))) == 4
    order = spearmanr([-code(p) for p in pairs], list(pairs.values()))
    assert order.statistic >= 0.66


@pytest.mark.parametrize("family", SANS)
def test_lettering_as_a_handbook_spaces_it(family: str) -> None:
    # French & Meiklejohn, The Essentials of Lettering, 1912, ch. III, figs 38-39: L, E, T closer, TT closest, IN widest,
    # NG a little closer than IN.
    gaps = dict(zip(map("".join, pairwise("LETTERING")), even(family, "LETTERING"), strict=True))
    assert gaps["IN"] >= 0.99 * max(gaps.values())
    assert min(gaps, key=gaps.__getitem__) == "TT"
    assert gaps["NG"] < gaps["IN"]
    assert gaps["LE"] < gaps["IN"]
    assert gaps["ET"] < gaps["IN"]


@pytest.mark.parametrize("family", SANS)
def test_round_letters_stand_closer_than_stems(family: str) -> None:
    # 37 open sans families lie within these, and so does FHWA 2000: .79-.82 for no/nn, .63-.71 for oo/nn, .73-.83 for
    # OO/HH.
    nn, no, oo = even(family, "nnoon")[[0, 1, 2]]
    hh, ho, oo_capital = even(family, "HHOOH")[[0, 1, 2]]
    published = [
        {
            pair: gap_2000(series, pair) / gap_2000(series, stems)
            for pair, stems in (("no", "nn"), ("oo", "nn"), ("OO", "HH"))
        }
        for series in SIDES_2000
    ]
    for shares in ({"no": no / nn, "oo": oo / nn, "HO": ho / hh, "OO": oo_capital / hh}, *published):
        for pair, share in shares.items():
            low, high = {"no": (0.68, 0.93), "oo": (0.46, 0.83), "HO": (0.60, 0.92), "OO": (0.39, 0.84)}[pair]
            assert low <= share <= high, pair


@pytest.mark.parametrize("family", SANS)
def test_none_as_an_army_manual_spaces_it(family: str) -> None:
    # US Army SS0525, Lettering Techniques, 1994, p. 1-10: three units N-N, two N-O, one O-O; its example is NONE.
    gaps = even(family, "NONEOO")
    pairs = capital_pairs(family)
    assert gaps[0] == pytest.approx(gaps[1], rel=0.05)
    assert pairs["OO"] < pairs["NO"] < pairs["NN"]


@pytest.mark.parametrize("family", SANS)
@pytest.mark.parametrize("word", ["HINI", "nnn", "IHHI"])
def test_between_upright_stems_equal_gaps(family: str, word: str) -> None:
    # ISO 3098-0:1997: one distance a between characters. n has a shoulder, so a hundredth is allowed.
    gaps = even(family, word)
    assert np.ptp(gaps) <= 0.01 * gaps.mean()


@pytest.mark.parametrize("family", SANS)
def test_the_hard_pairs_close_up(family: str) -> None:
    # ISO 3098-0:1997: a spacing may be halved where it looks better (LA, TV); LT and LA are Claflin's hard pairs
    # (Standard Lettering, 1922, p. 40). In 37 open sans families TV, AV and LT lie below half of HH, LA below .7.
    pairs = capital_pairs(family)
    assert pairs["TV"] <= 0.5
    assert pairs["AV"] <= 0.5
    assert pairs["LT"] <= 0.5
    assert pairs["LA"] <= 0.7


@pytest.mark.parametrize("family", SANS)
def test_masonry(family: str) -> None:
    # A technical-drawing manual of low authority: O-S stands about half as far apart as N-R; only the order is held.
    gaps = dict(zip(map("".join, pairwise("MASONRY")), even(family, "MASONRY"), strict=True))
    assert gaps["SO"] < gaps["NR"]
    assert 0.3 <= gaps["SO"] / gaps["NR"] <= 0.85


@pytest.mark.parametrize("family", SANS)
def test_small_letters_stand_in_tracys_order(family: str) -> None:
    # Tracy, Letters of Credit, 1986, pp. 71-80 (quoted second-hand): n has the widest sides, o less, diagonals least.
    # Johnston, Writing & Illuminating, & Lettering, 1906, pp. 77-79: curves very near each other, straights well apart.
    gaps = even(family, "nnoovvn")
    nn, oo, vv = gaps[0], gaps[2], gaps[4]
    assert vv < oo < nn
