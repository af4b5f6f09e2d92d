"""What became of each finding, and how it is told."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.drafts.made import draft
from vectorize.drafts.changes import State, changes, departure, figures, sentence
from vectorize.drafts.draft import Draft
from vectorize.drafts.progress import summary
from vectorize.findings import Finding, Severity

PLAIN = draft("plain", {})


def with_findings(*findings: Finding) -> Draft:
    return replace(PLAIN, findings=findings)


def found(measured: float | None, severity: Severity = Severity.LOOK_AGAIN, limit: float | None = 1.0) -> Finding:
    return Finding("upright", (2,), measured, limit, "deg", severity, "The stem of the a leans. Hold it upright.")


def states(earlier: Draft, later: Draft) -> list[State]:
    return [c.state for c in changes(earlier, later)]


def test_a_space_put_right_is_gone_and_one_spoilt_is_new() -> None:
    good, bad = draft("good", {}), draft("bad", {1: 150.0})
    gone = changes(bad, good)
    assert [c.state for c in gone] == [State.GONE]
    assert gone[0].was is not None
    assert gone[0].was.letters == (2, 3)
    assert sentence(gone[0]).startswith("Earlier: The space between a and n looks ")
    assert "closer" not in sentence(gone[0])
    assert states(good, bad) == [State.NEW]


@pytest.mark.parametrize(
    ("was", "now", "state"),
    [(3.0, 1.5, State.BETTER), (1.5, 3.0, State.WORSE), (2.0, 2.1, State.SAME), (-2.0, 2.1, State.SAME)],
)
def test_figures_decide_between_better_same_and_worse(was: float, now: float, state: State) -> None:
    assert states(with_findings(found(was)), with_findings(found(now))) == [state]


def test_a_limit_that_a_figure_must_reach_counts_from_below() -> None:
    # A fill evenness of .5 is further below .8 than .7 is.
    assert departure(found(0.5, limit=0.8)) == pytest.approx(0.3)
    assert states(with_findings(found(0.3, limit=0.8)), with_findings(found(0.7, limit=0.8))) == [State.BETTER]


def test_a_limit_hardly_passed_is_not_called_new() -> None:
    assert states(PLAIN, with_findings(found(1.1, Severity.NOTE))) == [State.SAME]
    assert states(PLAIN, with_findings(found(2.1, Severity.NOTE))) == [State.NEW]
    assert states(PLAIN, with_findings(found(1.1, Severity.LOOK_AGAIN))) == [State.NEW]


def test_what_holds_and_what_is_doubted_is_no_fault() -> None:
    doubt = Finding("level", (), 0.4, None, "deg", Severity.NOTE, "The camera cannot be told from the drawing.")
    assert states(with_findings(found(0.1, Severity.HOLDS), doubt), PLAIN) == []


def test_without_figures_the_weight_decides() -> None:
    heavy, light = found(None, Severity.FIX, None), found(None, Severity.LOOK_AGAIN, None)
    assert states(with_findings(heavy), with_findings(light)) == [State.BETTER]


def test_other_letters_are_compared_as_a_whole_only() -> None:
    shorter = draft("shorter", {}, text="mante")
    whole = Finding("level", (), 2.0, 0.3, "deg", Severity.FIX, "The baseline falls.")
    earlier = replace(shorter, findings=(whole, found(4.0)))
    assert [c.was for c in changes(earlier, PLAIN)] == [whole]


@given(st.lists(st.tuples(st.integers(1, 6), st.floats(0.0, 9.0), st.sampled_from(list(Severity))), max_size=6))
@settings(max_examples=40)
def test_nothing_is_lost_and_a_draft_beside_itself_is_the_same(
    said: list[tuple[int, float, Severity]],
) -> None:
    findings = tuple(
        Finding("upright", (i,), m, 1.0, "deg", s, "It leans.") for i, m, s in {x[0]: x for x in said}.values()
    )
    one = with_findings(*findings)
    faults = sum(s is not Severity.HOLDS for s in (f.severity for f in findings))
    assert states(one, one) == [State.SAME] * faults
    assert states(one, PLAIN) == [State.GONE] * faults


def test_drafts_of_different_size_and_paper_compare_in_x_heights() -> None:
    small, large = draft("small", {1: 150.0}, x_height_mm=8.0), draft("large", {1: 150.0}, x_height_mm=40.0)
    a, b = figures(small), figures(large)
    assert a.uneven_ratio == pytest.approx(b.uneven_ratio, abs=1e-3)
    assert states(small, large) == [State.SAME]
    assert [o.box_u.width for o in small.letters] == pytest.approx([o.box_u.width for o in large.letters], abs=1.0)


def test_the_summary_says_what_is_better_first() -> None:
    both = changes(draft("bad", {1: 150.0}), draft("worse", {3: 150.0}))
    assert summary(both, 2) == "Between the two drafts, of what the critique says, 1 is gone and 1 is new."
    assert "nothing needs putting right" in summary((), 2)
