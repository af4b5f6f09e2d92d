"""Helper processes for tests: one that sets the word from a font, and what a bad file may do to one."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from multiprocessing.connection import Connection

import numpy as np

from tests.desk.typeset_study import some_findings, typeset_study
from vectorize.desk.backroom import Answer, Task, jpeg
from vectorize.desk.bench import limit_memory, serve_tasks
from vectorize.desk.bundle import FILES
from vectorize.desk.gathered import Gathering
from vectorize.desk.page import page_values
from vectorize.errors import PictureError


def main(pipe: Connection, megabytes: int) -> None:
    limit_memory(megabytes)
    serve_tasks(pipe, do)


CHANGES = {
    "summary": "Between the two drafts 1 is gone.",
    "changes": [{"state": "gone", "text": "Earlier: the b leaned."}],
}


def do(task: Task | Gathering, on_stage: Callable[[str], None]) -> Answer | dict[str, bytes]:
    if isinstance(task, Gathering):
        return {f"{task.kind}.json": json.dumps(CHANGES).encode()}
    return draw(task, on_stage)


def draw(task: Task, on_stage: Callable[[str], None]) -> Answer:
    first = task.picture.read_bytes()
    if first.startswith(b"refuse"):
        raise PictureError("No sheet was seen.")
    if first.startswith(b"crash"):
        import os

        os._exit(1)
    if first.startswith(b"hang"):
        time.sleep(60)
    if first.startswith(b"swell"):
        np.ones(312_500_000)  # 2.5 GB: more than the limit, less than this computer has
    if first.startswith(b"bug"):
        raise KeyError("whatever")
    for stage in ("photo", "outlines", "spaces", "critique"):
        on_stage(stage)
        if first.startswith(b"slow"):
            time.sleep(0.5)
    study, to_picture = typeset_study(task.brief.word or "hamburgs", task.brief)
    page = json.dumps(page_values(study, some_findings(study), to_picture)).encode()
    if task.out is not None:
        folder = task.out / task.folder
        folder.mkdir(exist_ok=True)
        for name in FILES:
            (folder / name).write_bytes(f"{name} {task.brief.word}".encode())
    if not task.pictures:
        return Answer(page, None, None)
    return Answer(page, jpeg(study.sketch.rgb, 3000), jpeg(study.sketch.rgb, 560))
