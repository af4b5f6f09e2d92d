"""A shelf comes in; out goes the desk as an ASGI application behind its guard."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import AsyncIterator
from importlib.resources import files
from typing import Any

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from vectorize.desk import backroom
from vectorize.desk.guard import Guard
from vectorize.desk.routes import ROUTES
from vectorize.desk.shelf import Shelf
from vectorize.desk.ushers import Ushers
from vectorize.errors import VectorizeError


def desk_app(shelf: Shelf, *, port: int, token: str, bench_main: Any = backroom.main) -> Guard:
    """The desk over this shelf, for requests to 127.0.0.1:`port` under /`token`/."""
    static = files("vectorize.desk") / "static"
    errands: set[asyncio.Task[None]] = set()

    @contextlib.asynccontextmanager
    async def open_hours(app: Starlette) -> AsyncIterator[None]:
        app.state.ushers = Ushers(shelf, bench_main=bench_main)

        def keep(task: asyncio.Task[None]) -> None:
            errands.add(task)
            task.add_done_callback(errands.discard)

        app.state.keep = keep
        async with app.state.ushers.at_work():
            app.state.ushers.class_bench.warm()
            app.state.ushers.table_bench.warm()
            yield
            for task in errands:
                task.cancel()

    async def front(_: Request) -> Response:
        return Response((static / "index.html").read_bytes(), media_type="text/html")

    def goodbye() -> None:
        app.state.ushers.say_goodbye()

    app = Starlette(
        routes=[Route("/", front), *ROUTES, Mount("/static", StaticFiles(directory=str(static)))],
        lifespan=open_hours,
        exception_handlers={HTTPException: _refused, VectorizeError: _sorry},
    )
    return Guard(app, port=port, token=token, on_close=goodbye)


async def _refused(_: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)  # the only kind this is registered for
    return JSONResponse({"message": error.detail}, error.status_code, error.headers)


async def _sorry(_: Request, error: Exception) -> Response:
    return JSONResponse({"message": str(error)}, 422)
