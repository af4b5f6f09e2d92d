"""Names of drafts come in, pictures or folders that `rebuild` wrote; out go the drafts, read."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from vectorize.batch.work import Task, make, shown_name
from vectorize.brief import Brief
from vectorize.drafts.draft import NEEDED, Draft, draft_from
from vectorize.errors import BriefError, PictureError


def open_drafts(names: Sequence[Path], brief: Brief) -> tuple[Draft, ...]:
    """The drafts in order; pictures among them are rebuilt with these options, without being written.

    Raises BriefError for fewer than two, PictureError with the draft's name for one that cannot be used.
    """
    if len(names) < 2:
        raise BriefError("One draft has nothing to be compared with. Name two or more, the earliest first.")
    return tuple(_opened(n, brief) for n in names)


def _opened(name: Path, brief: Brief) -> Draft:
    try:
        if not name.is_dir():
            return draft_from(shown_name(name.stem), make(Task(shown_name(name.name), brief, path=name)).files)
        try:
            files = {n: (name / n).read_bytes() for n in NEEDED}
        except OSError as error:
            raise PictureError(
                "This folder was not written by rebuild. Name one that holds measures.json, or a picture."
            ) from error
        return draft_from(shown_name(name.resolve().name), files)
    except PictureError as error:
        raise PictureError(f"{name.name}: {error}") from error
