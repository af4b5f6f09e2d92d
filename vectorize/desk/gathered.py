"""Folders of several drawings come in; out go the files that tell of them together: the pin-up, two drafts compared."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final

from vectorize.errors import PictureError

PIN_UP: Final = "pin-up"
PROGRESS: Final = "progress"


@dataclass(frozen=True, slots=True)
class Gathering:
    """kind: PIN_UP of a class, or PROGRESS from the first of two drafts to the second."""

    kind: str
    folders: tuple[Path, ...]


def gathered(gathering: Gathering) -> dict[str, bytes]:
    """The files by name. Raises PictureError where there are too few different drawings."""
    from vectorize.batch.pin_up import pin_up_files
    from vectorize.batch.wall import different, hang, load
    from vectorize.drafts.progress import progress_files

    drafts = different(d for d in map(load, gathering.folders) if d is not None)
    if len(drafts) < 2:
        raise PictureError(
            "Only one drawing is there to be told of. Hand in another one, of other bytes, and let it be read."
        )
    return pin_up_files(hang(drafts)) if gathering.kind == PIN_UP else progress_files(drafts)
