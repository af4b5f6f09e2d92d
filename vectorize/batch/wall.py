"""The folders of a run come in; out goes the class's wall: every drawing once, and what many of them share."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from vectorize.batch.lessons import lesson_of
from vectorize.drafts.changes import is_fault
from vectorize.drafts.draft import NEEDED, Draft, draft_from
from vectorize.errors import VectorizeError
from vectorize.findings import Finding, Severity
from vectorize.outlines.outline import Outline
from vectorize.sheets.pin_up import Example, Lesson, Pinned

LESSONS_TOLD: Final = 3
EXAMPLES: Final = 3
# So much of the letters beside a space is shown with it, letter units: half of a stem.
EDGE_SEEN_U: Final = 60.0


@dataclass(frozen=True, slots=True, eq=False)
class Wall:
    """Drafts in the order in which they want attention, as pinned, and the lessons they share."""

    drafts: tuple[Draft, ...]
    pinned: tuple[Pinned, ...]
    lessons: tuple[Lesson, ...]


def load(folder: Path) -> Draft | None:
    """The draft in a folder that a run wrote; None where it is gone or changed by another hand."""
    try:
        return draft_from(folder.name, {name: (folder / name).read_bytes() for name in NEEDED})
    except (OSError, VectorizeError):
        return None


def different(drafts: Iterable[Draft]) -> tuple[Draft, ...]:
    """Each picture once: the same bytes handed in twice are one drawing."""
    seen: dict[str, Draft] = {}
    for draft in drafts:
        seen.setdefault(draft.picture_digest, draft)
    return tuple(seen.values())


def hang(drafts: Sequence[Draft]) -> Wall:
    """The wall of different drawings; those that want the most attention first, of equals the first handed in."""
    ordered = tuple(sorted(drafts, key=_attention))
    return Wall(ordered, tuple(_pinned(d) for d in ordered), _lessons(ordered))


def faults(draft: Draft, least: Severity = Severity.LOOK_AGAIN) -> list[Finding]:
    """What should be looked at again or put right, the heaviest first; doubts of the reading are no faults."""
    open_ = [f for f in draft.findings if f.severity.rank >= least.rank and is_fault(f)]
    return sorted(open_, key=lambda f: -f.severity.rank)


def _attention(draft: Draft) -> tuple[int, ...]:
    weights = Counter(f.severity for f in faults(draft, Severity.NOTE))
    return tuple(-weights[s] for s in reversed(Severity))[:-1]


def _pinned(draft: Draft) -> Pinned:
    first = next(iter(faults(draft, Severity.NOTE)), None)
    return Pinned(draft.name, draft.name, draft.letters, corrected(draft), first.text if first else None)


def corrected(draft: Draft) -> tuple[Outline, ...]:
    """The letters where corrected.svg has them."""
    return tuple(o.moved(m) for o, m in zip(draft.letters, draft.moves_u, strict=True))


def _lessons(drafts: Sequence[Draft]) -> tuple[Lesson, ...]:
    """The faults that at least two drawings share, the commonest first."""
    shown = {d.name: {f.check for f in faults(d)} for d in drafts}
    counts = Counter(check for checks in shown.values() for check in sorted(checks))
    common = [(check, n) for check, n in counts.most_common() if n > 1][:LESSONS_TOLD]
    return tuple(_lesson(check, n, drafts) for check, n in common)


def _lesson(check: str, count: int, drafts: Sequence[Draft]) -> Lesson:
    title, practise = lesson_of(check)
    clearest = sorted(
        ((d, f) for d in drafts for f in faults(d) if f.check == check), key=lambda both: -both[1].severity.rank
    )
    examples: dict[str, Example] = {}
    for draft, finding in clearest:
        examples.setdefault(
            draft.name, Example(draft.name, draft.name, draft.letters, _stretch(draft, finding), finding.text)
        )
    shared = f"in {count} of the {len(drafts)} drawings"
    return Lesson(title, shared, practise, tuple(examples.values())[:EXAMPLES])


def _stretch(draft: Draft, finding: Finding) -> tuple[float, float] | None:
    """From where to where the finding speaks, in letter units: a space between its letters, else the letters themselves."""
    boxes = [draft.letters[i - 1].box_u for i in finding.letters if 0 < i <= len(draft.letters)]
    if not boxes:
        return None
    if finding.check == "spaces" and len(boxes) == 2:
        x0, x1 = sorted((boxes[0].x1, boxes[1].x0))
        return x0 - EDGE_SEEN_U, x1 + EDGE_SEEN_U
    return min(b.x0 for b in boxes), max(b.x1 for b in boxes)
