"""What runs inside the helper process: a Task comes in, a drawing read, set right or written comes out."""

from __future__ import annotations

import io
import json
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, replace
from multiprocessing.connection import Connection
from pathlib import Path
from typing import TYPE_CHECKING, Final

from vectorize.brief import Brief
from vectorize.corrections import FILE_NAME, NO_CORRECTIONS, from_bytes
from vectorize.desk.bench import limit_memory, sentence, serve_tasks
from vectorize.desk.gathered import Gathering, gathered
from vectorize.desk.memory import Memory
from vectorize.errors import BriefError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from vectorize.findings import Finding
    from vectorize.reading.records import Reading
    from vectorize.study import Study

# The strip, its ink and its letters: some 30 MB. The drawing at hand and the ones looked at before it.
READINGS_KEPT: Final = 6
THUMB_PX: Final = 560
SKETCH_PX: Final = 3000


@dataclass(frozen=True, slots=True)
class Task:
    """Read a picture (its file, shown name and Brief); write its results into `out`/`folder` when `out` is given.

    pictures: whether the sketch and the thumbnail are wanted too.
    """

    picture: Path
    name: str
    brief: Brief
    folder: str
    out: Path | None = None
    pictures: bool = True


@dataclass(frozen=True, slots=True)
class Answer:
    """The page's values as JSON; sketch and thumbnail as JPEG where they were wanted.

    unwritten: why the results could not be written; the drawing can be looked at and set right all the same.
    """

    page: bytes
    sketch: bytes | None = None
    thumb: bytes | None = None
    unwritten: str = ""


def main(pipe: Connection, megabytes: int) -> None:
    """The helper's life: one Backroom, task after task."""
    import signal

    # Ctrl-C in the terminal is for the desk, which then ends its helpers.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    limit_memory(megabytes)
    serve_tasks(pipe, Backroom().do)


class Backroom:
    """Readings are remembered up to where corrections begin, so that a correction costs no new reading."""

    def __init__(self) -> None:
        self._readings: OrderedDict[tuple[str, str, Brief], Reading] = OrderedDict()
        self._memory = Memory()

    def do(self, task: Task | Gathering, on_stage: Callable[[str], None]) -> Answer | dict[str, bytes]:
        """What the task asks for."""
        return gathered(task) if isinstance(task, Gathering) else self.draw(task, on_stage)

    def draw(self, task: Task, on_stage: Callable[[str], None]) -> Answer:
        """Read and rebuild the picture; write its results if that is asked."""
        from vectorize import flow
        from vectorize.critique.judge import judge
        from vectorize.desk.page import page_values

        reading = self._reading(task, on_stage)
        study = flow.study_reading(
            reading,
            task.brief,
            on_stage=on_stage,
            draw=self._memory.draw,
            gauge=self._memory.gauge,
            follow=self._memory.follow,
        )
        on_stage("critique")
        findings = judge(study)
        values = page_values(study, findings, reading.strip.to_picture)
        answer = Answer(json.dumps(values, ensure_ascii=False, allow_nan=False).encode())
        if task.pictures:
            answer = replace(answer, sketch=jpeg(study.sketch.rgb, SKETCH_PX), thumb=jpeg(study.sketch.rgb, THUMB_PX))
        if task.out is None:
            return answer
        on_stage("writing")
        return replace(answer, unwritten=_write(study, findings, task, task.out))

    def _reading(self, task: Task, on_stage: Callable[[str], None]) -> Reading:
        from vectorize.reading.reading import read

        brief = replace(task.brief, corrections=NO_CORRECTIONS, model=None)
        key = (str(task.picture), task.name, brief)
        if key not in self._readings:
            self._readings[key] = lightened(read(task.picture.read_bytes(), task.name, brief, on_stage=on_stage))
        self._readings.move_to_end(key)
        while len(self._readings) > READINGS_KEPT:
            self._readings.popitem(last=False)
        return self._readings[key]


def lightened(reading: Reading) -> Reading:
    """The reading without the whole picture, which nothing after the strip looks at: a 48 Mpx one takes 150 MB.

    Its shape stays; in the place of its pixels stands one that is repeated.
    """
    import numpy as np

    photo = replace(reading.photo, rgb=np.broadcast_to(np.uint8(0), reading.photo.rgb.shape))
    paper = replace(reading.paper, overview=np.broadcast_to(np.float32(0.0), reading.paper.overview.shape))
    return replace(reading, photo=photo, paper=paper)


def jpeg(rgb: NDArray[np.uint8], longest_px: int) -> bytes:
    """A picture (h, w, 3) as JPEG, shrunk to at most `longest_px` on its longer side."""
    from PIL import Image

    image = Image.fromarray(rgb)
    image.thumbnail((longest_px, longest_px), Image.Resampling.BOX)
    out = io.BytesIO()
    image.save(out, "JPEG", quality=86)
    return out.getvalue()


def _write(study: Study, findings: tuple[Finding, ...], task: Task, out: Path) -> str:
    """Write the results; why they could not be, or nothing."""
    from vectorize.write.folder import files_of, write_folder

    try:
        files = files_of(study, findings)
        folder = write_folder(out, task.folder, files)
        if FILE_NAME not in files and _kept_here(folder, study.picture.digest):
            # All of them were taken back.
            (folder / FILE_NAME).unlink()
    except Exception as error:  # noqa: BLE001
        return sentence(error)
    return ""


def _kept_here(folder: Path, digest: str) -> bool:
    """Whether corrections of this very picture lie in the folder; those of another one are not ours to take away."""
    try:
        return from_bytes((folder / FILE_NAME).read_bytes(), digest) is not None
    except (OSError, BriefError):
        return False
