"""Ruled paper: sloping lines stay between the margins however far they lean."""

from __future__ import annotations

import pytest

from vectorize.sheets.drawing import Rule, walk
from vectorize.sheets.guidelines import guidelines, iso_lines
from vectorize.trade.paper import MARGIN_MM


@pytest.mark.parametrize(("x_height_mm", "slant_deg"), [(10.0, 15.0), (70.0, 45.0), (70.0, -45.0), (20.0, 80.0)])
def test_no_sloping_line_leaves_the_margins(x_height_mm, slant_deg):
    page = guidelines(iso_lines(x_height_mm, tails=True), sheet="A5", slant_deg=slant_deg)
    ends = [p[0] for i in walk(page.items) if isinstance(i, Rule) for p in (i.start, i.end)]
    assert min(ends) >= MARGIN_MM - 1e-6
    assert max(ends) <= page.width_mm - MARGIN_MM + 1e-6
