"""A request's body comes in as a stream; its bytes go out, counted while they arrive and never more than the limit."""

from __future__ import annotations

import json
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request

# A correction is a few hundred bytes; a class's worth of comments fits as well.
JSON_LIMIT = 1_000_000


async def take_bytes(request: Request, limit: int) -> bytes:
    """The whole body; raises HTTPException 413 as soon as it is longer than `limit` bytes, 400 when it is empty."""
    told = request.headers.get("content-length")
    if told is not None and (not told.isdigit() or int(told) > limit):
        raise _too_large(limit)
    parts: list[bytes] = []
    count = 0
    async for part in request.stream():
        count += len(part)
        if count > limit:
            raise _too_large(limit)
        parts.append(part)
    if not count:
        raise HTTPException(400, "The file is empty.")
    return b"".join(parts)


async def take_json(request: Request) -> dict[str, Any]:
    """The body as a JSON object; raises HTTPException 400 when it is none."""
    if request.headers.get("content-type", "").split(";")[0].strip() != "application/json":
        raise HTTPException(415, "This must be sent as JSON.")
    data = await take_bytes(request, JSON_LIMIT)
    try:
        value = json.loads(data)
    except (ValueError, RecursionError) as error:
        raise HTTPException(400, "This is not JSON.") from error
    if not isinstance(value, dict):
        raise HTTPException(400, "A JSON object is needed.")
    return value


def shown_name(told: str) -> str:
    """A file's name for showing and for the results' folder: its last part, without control characters, never a path."""
    last = told.replace("\\", "/").rsplit("/", 1)[-1]
    clean = "".join(c for c in last if c.isprintable()).strip(" .")
    return clean[:120] or "drawing"


def _too_large(limit: int) -> HTTPException:
    return HTTPException(
        413,
        f"This file is larger than {limit // 1_000_000} MB. Photograph the sheet again or save it smaller; "
        "2000 pixels across the word are enough.",
        # The rest of it is not worth waiting for.
        {"connection": "close"},
    )
