"""A pencilled draft with a planted fault and the same draft without it, from pictures to what is told of them."""

from __future__ import annotations

import pytest

from tests.specimens.camera import take
from tests.specimens.recipe import Camera, Hand, Recipe, Sheet
from vectorize.batch.work import Task, make
from vectorize.brief import Brief
from vectorize.drafts.changes import State, changes
from vectorize.drafts.draft import Draft, draft_from


def pencilled(name: str, word: str, hand: Hand) -> Draft:
    recipe = Recipe(
        name,
        word,
        "lato",
        x_height_mm=14.0,
        hand=hand,
        camera=Camera(px_per_mm=6.0),
        sheet=Sheet(width_mm=148.0, height_mm=105.0),
        seed=3,
    )
    return draft_from(name, make(Task(f"{name}.jpg", Brief(word=word), take(recipe).data)).files)


@pytest.mark.parametrize(
    ("word", "fault", "check", "letters"),
    [
        ("lantern", Hand(gaps={3: 0.3}), "spaces", (4, 5)),
        ("minimum", Hand(lean={2: 7.0}), "upright", (3,)),
        ("hamburg", Hand(drop={4: 0.15}), "seat", (5,)),
    ],
)
def test_a_planted_fault_put_right_is_gone_and_nothing_is_claimed_worse(
    word: str, fault: Hand, check: str, letters: tuple[int, ...]
) -> None:
    found = changes(pencilled("first", word, fault), pencilled("second", word, Hand()))
    gone = [c.was for c in found if c.state is State.GONE]
    assert any(f is not None and (f.check, f.letters) == (check, letters) for f in gone)
    assert not [c for c in found if c.state in {State.WORSE, State.NEW}]
