"""The pages say what the code says."""

from __future__ import annotations

from tests.docs import DEVELOPERS, between_marks, trade_table


def test_the_table_of_trade_figures_is_current():
    assert between_marks(DEVELOPERS.read_text(encoding="utf-8"), "trade") == trade_table()


def test_every_trade_figure_has_a_reason_and_a_source():
    for row in trade_table().splitlines()[2:]:
        assert all(cell.strip() for cell in row.strip("|").split(" | ")), row
