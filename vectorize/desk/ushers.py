"""Which drawing is read when: requests of the page go in, readings and news for every open page come out.

Two helpers: one reads the class in the order it was handed in and writes results, the other is kept free for the
drawing on the table, so that a correction never waits for the class.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
from collections.abc import AsyncIterator, Callable, Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

from vectorize.brief import Brief
from vectorize.corrections import Corrections
from vectorize.desk import backroom
from vectorize.desk.backroom import Answer, Task
from vectorize.desk.bench import Bench
from vectorize.desk.gathered import Gathering
from vectorize.desk.shelf import MADE_BY, Drawing, Shelf
from vectorize.errors import OutputError, VectorizeError
from vectorize.trade.desk import READING_MB, READING_SECONDS, SETTLE_SECONDS

News = dict[str, Any]


class Ushers:
    """The desk's one place where work is ordered and told about."""

    def __init__(self, shelf: Shelf, *, bench_main: Any = backroom.main) -> None:
        self.shelf = shelf
        self._queue: asyncio.Queue[int] = asyncio.Queue()
        self._listeners: set[asyncio.Queue[News | None]] = set()
        self._settling: dict[int, asyncio.Task[None]] = {}
        limits = {"seconds": float(READING_SECONDS), "megabytes": int(READING_MB)}
        self.class_bench = Bench(bench_main, **limits)  # type: ignore[arg-type]
        self.table_bench = Bench(bench_main, **limits)  # type: ignore[arg-type]
        self._tables: dict[int, asyncio.Lock] = {}

    @contextlib.asynccontextmanager
    async def at_work(self) -> AsyncIterator[None]:
        """While the desk is open: the class is read in the background; at the end, nobody is left behind."""
        for drawing in self.shelf.in_order():
            if drawing.state == "waiting" or (drawing.state == "done" and not drawing.written):
                self._queue.put_nowait(drawing.number)
        reader = asyncio.create_task(self._read_class())
        try:
            yield
        finally:
            for task in (reader, *self._settling.values()):
                task.cancel()
            await asyncio.gather(reader, *self._settling.values(), return_exceptions=True)
            self.class_bench.close()
            self.table_bench.close()

    async def listen(self) -> AsyncIterator[News]:
        """News as they come, for one open page."""
        queue: asyncio.Queue[News | None] = asyncio.Queue()
        self._listeners.add(queue)
        try:
            while (news := await queue.get()) is not None:
                yield news
        finally:
            self._listeners.discard(queue)

    def say_goodbye(self) -> None:
        """End every listening, because the desk closes."""
        for queue in self._listeners:
            queue.put_nowait(None)

    def hand_in(self, number: int) -> None:
        """A drawing is to be read (again) with the class."""
        self._put(replace(self._there(number), state="waiting", message="", written=False))
        self._queue.put_nowait(number)

    def tell(self, drawing: Drawing, **more: Any) -> None:
        """Tell every open page about a drawing."""
        self.tell_all({"drawing": summary(drawing), **more})

    def tell_all(self, news: News) -> None:
        """Tell every open page."""
        for queue in self._listeners:
            queue.put_nowait(news)

    async def set_right(self, number: int, corrections: Corrections) -> bytes:
        """A correction by hand; the page's new values.

        Raises VectorizeError where nothing can be read with it; then the drawing is as before.
        """
        return await self._change(number, lambda d: d.corrected(corrections))

    async def step(self, number: int, by: int) -> bytes:
        """Undo or redo; the page's new values."""
        return await self._change(number, lambda d: d.stepped(by))

    async def at_hand(self, number: int) -> None:
        """The drawing is on the table: have its reading ready."""
        drawing = self.shelf.drawings.get(number)
        if drawing and drawing.state == "done":
            with contextlib.suppress(VectorizeError):
                await self.table_bench.ask(self._task(drawing))

    async def written(self, number: int) -> Path:
        """The drawing's results, written if they are not yet of what holds now; their folder.

        Raises VectorizeError where they cannot be had.
        """
        drawing = self._there(number)
        folder = self.shelf.folder / drawing.folder
        # Once more where the drawing was changed meanwhile.
        while not (drawing.written and folder.is_dir()):
            await self._read(number)
            drawing = self._there(number)
            if drawing.message:
                raise OutputError(drawing.message)
        return folder

    async def gathered(self, kind: str, numbers: Iterable[int]) -> dict[str, bytes]:
        """The files that tell of several drawings together; none of them is kept, each is made from what holds now."""
        folders = [await self.written(n) for n in numbers]
        files: dict[str, bytes] = await self.class_bench.ask(Gathering(kind, tuple(folders)))
        return files

    def forget(self, number: int) -> None:
        """A drawing leaves the shelf."""
        settling = self._settling.pop(number, None)
        if settling:
            settling.cancel()
        self.shelf.take_off(number)
        self.tell_all({"gone": number})

    async def _change(self, number: int, change: Callable[[Drawing], Drawing]) -> bytes:
        async with self._tables.setdefault(number, asyncio.Lock()):
            before = self._there(number)
            changed = change(before)
            answer: Answer = await self.table_bench.ask(self._task(changed))
            now = self._there(number)
            kept = replace(now, steps=changed.steps, at=changed.at, written=False)
            # Handed in anew meanwhile (another word, another model): the class's reading takes the correction along.
            if now.state == before.state and self.shelf.brief(kept) == self.shelf.brief(changed):
                self._keep(number, answer)
                kept = replace(kept, state="done", message="", made_by=MADE_BY)
            self._put(kept)
        self._settle(number)
        return answer.page

    def _settle(self, number: int) -> None:
        waiting = self._settling.pop(number, None)
        if waiting:
            waiting.cancel()

        async def rest_then_write() -> None:
            await asyncio.sleep(SETTLE_SECONDS)
            self._queue.put_nowait(number)

        self._settling[number] = asyncio.create_task(rest_then_write())

    async def _read_class(self) -> None:
        while True:
            number = await self._queue.get()
            drawing = self.shelf.drawings.get(number)
            if drawing and not (drawing.state == "done" and drawing.written):
                # A drawing that fails is told of by its message; the class goes on.
                with contextlib.suppress(VectorizeError):
                    await self._read(number)

    async def _read(self, number: int) -> None:
        begun = self._there(number)
        first = begun.state != "done"
        if first:
            begun = replace(begun, state="reading")
            self._put(begun)

        def told(stage: str) -> None:
            if first and number in self.shelf.drawings:
                self.tell(self.shelf.drawings[number], stage=stage)

        brief = self.shelf.brief(begun)
        try:
            task = replace(self._task(begun), out=self.shelf.folder, pictures=first)
            answer: Answer = await self.class_bench.ask(task, told)
            now = self._as_begun(number, begun.state, brief)
            if now is None:
                return
            self._keep(number, answer)
        except VectorizeError as error:
            failed = self._as_begun(number, begun.state, brief)
            if failed:
                self._put(replace(failed, state="failed", message=str(error)))
            raise
        self._put(replace(now, state="done", message=answer.unwritten, written=not answer.unwritten, made_by=MADE_BY))

    def _as_begun(self, number: int, state: str, brief: Brief) -> Drawing | None:
        """The drawing, if it was neither taken off nor changed nor handed in anew since its reading was begun."""
        now = self.shelf.drawings.get(number)
        return now if now and now.state == state and self.shelf.brief(now) == brief else None

    def _there(self, number: int) -> Drawing:
        """The drawing; raises OutputError where it was taken off the wall."""
        if number not in self.shelf.drawings:
            raise OutputError("This drawing is no longer on the wall.")
        return self.shelf.drawings[number]

    def _put(self, drawing: Drawing) -> None:
        """Keep the drawing as it now is and tell of it, also where the disk has no room for it."""
        try:
            self.shelf.put(drawing)
        finally:
            self.tell(drawing)

    def _keep(self, number: int, answer: Answer) -> None:
        self.shelf.keep(number, "page.json", answer.page)
        if answer.sketch is not None and answer.thumb is not None:
            self.shelf.keep(number, "sketch.jpg", answer.sketch)
            self.shelf.keep(number, "thumb.jpg", answer.thumb)

    def _task(self, drawing: Drawing) -> Task:
        picture = self.shelf.part(drawing.number, "picture")
        return Task(picture, drawing.name, self.shelf.brief(drawing), drawing.folder, pictures=False)


def summary(drawing: Drawing) -> News:
    """What the wall shows of a drawing."""
    return {
        "number": drawing.number,
        "name": drawing.name,
        "word": drawing.word,
        "page": drawing.page,
        "line": drawing.line,
        "state": drawing.state,
        "message": drawing.message,
        "written": drawing.written,
        "can_undo": drawing.at > 0,
        "can_redo": drawing.at < len(drawing.steps) - 1,
    }


def news_line(news: News) -> bytes:
    """One line of the news stream."""
    return json.dumps(news, ensure_ascii=False).encode() + b"\n"
