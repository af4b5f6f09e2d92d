"""What the page can ask for: requests in, values, pictures and files out. Who asks was checked by `guard`."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from dataclasses import replace
from pathlib import Path
from typing import Any, Final
from urllib.parse import unquote

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from vectorize.corrections import from_json
from vectorize.desk.bundle import FILES, GATHERED, SERVED, in_pieces, zip_of
from vectorize.desk.gathered import PIN_UP, PROGRESS
from vectorize.desk.intake import shown_name, take_bytes, take_json
from vectorize.desk.shelf import FONTS, MADE_BY, Drawing
from vectorize.desk.ushers import Ushers, news_line, summary
from vectorize.trade.desk import PICTURES_IN_A_CLASS, UPLOAD_MB

MODEL_KINDS: Final = (*FONTS, ".png", ".jpg", ".jpeg", ".heic", ".tif", ".tiff", ".pdf")
PARTS_SERVED: Final = {"sketch.jpg": "image/jpeg", "thumb.jpg": "image/jpeg", "page.json": "application/json"}


def _ushers(request: Request) -> Ushers:
    ushers: Ushers = request.app.state.ushers
    return ushers


def _drawing(request: Request) -> Drawing:
    drawing = _ushers(request).shelf.drawings.get(request.path_params["number"])
    if drawing is None:
        raise HTTPException(404, "This drawing is no longer on the wall.")
    return drawing


async def the_class(request: Request) -> Response:
    """GET: what the class draws and every drawing of it. PATCH: another word."""
    ushers = _ushers(request)
    if request.method == "PATCH":
        asked = await take_json(request)
        _redraw_class(ushers, _text(asked.get("word", ushers.shelf.sheet.word), 80))
    return JSONResponse(
        {
            "word": ushers.shelf.sheet.word,
            "model": ushers.shelf.sheet.model,
            "folder": str(ushers.shelf.folder),
            "drawings": [summary(d) for d in ushers.shelf.in_order()],
        }
    )


def _redraw_class(ushers: Ushers, word: str | None) -> None:
    changed = word != ushers.shelf.sheet.word
    ushers.shelf.set_sheet(replace(ushers.shelf.sheet, word=word))
    for drawing in list(ushers.shelf.in_order()):
        if changed and drawing.word is None:
            ushers.hand_in(drawing.number)


async def model(request: Request) -> Response:
    """PUT: the model typeface, a font file or a picture of it. DELETE: none."""
    ushers = _ushers(request)
    if request.method == "DELETE":
        ushers.shelf.set_sheet(replace(ushers.shelf.sheet, model=None))
    else:
        name = shown_name(unquote(request.headers.get("x-file-name", "")))
        suffix = Path(name).suffix.lower()
        if suffix not in MODEL_KINDS:
            raise HTTPException(415, "A model is a font file (ttf, otf, woff) or a picture of the typeface.")
        ushers.shelf.set_model(await take_bytes(request, _limit()), name, suffix)
    for drawing in list(ushers.shelf.in_order()):
        ushers.hand_in(drawing.number)
    return JSONResponse({"model": ushers.shelf.sheet.model})


async def hand_in(request: Request) -> Response:
    """POST a picture's bytes; its name in X-File-Name, its word in X-Word, both percent-encoded."""
    ushers = _ushers(request)
    if len(ushers.shelf.drawings) >= PICTURES_IN_A_CLASS:
        raise HTTPException(
            409, f"A wall takes {PICTURES_IN_A_CLASS:.0f} drawings. Open another folder for the next class."
        )
    data = await take_bytes(request, _limit())
    name = shown_name(unquote(request.headers.get("x-file-name", "")))
    word = _text(unquote(request.headers.get("x-word", "")), 80)
    drawing = ushers.shelf.add(data, name, word)
    ushers.hand_in(drawing.number)
    return JSONResponse(summary(drawing), 201)


async def drawing(request: Request) -> Response:
    """GET: the drawing as last read; `?look` only to look at it. PATCH: another word, page or line. DELETE: off the wall."""
    ushers, it = _ushers(request), _drawing(request)
    if request.method == "DELETE":
        ushers.forget(it.number)
        return Response(status_code=204)
    if request.method == "PATCH":
        asked = await take_json(request)
        it = _drawing(request)  # as it is now that all has come
        page, line = (_count(asked.get(key, getattr(it, key))) for key in ("page", "line"))
        ushers.shelf.put(replace(it, word=_text(asked.get("word", it.word), 80), page=page or 1, line=line))
        ushers.hand_in(it.number)
        return JSONResponse(summary(ushers.shelf.drawings[it.number]))
    path = ushers.shelf.part(it.number, "page.json")
    page_bytes = await asyncio.to_thread(path.read_bytes) if it.made_by == MADE_BY and path.exists() else b"null"
    if "look" not in request.query_params:
        request.app.state.keep(asyncio.create_task(ushers.at_hand(it.number)))
    return _opened(it, page_bytes)


def _opened(it: Drawing, page: bytes) -> Response:
    head = JSONResponse(summary(it)).body
    return Response(b'{"drawing":%b,"study":%b}' % (bytes(head), page), media_type="application/json")


async def corrections(request: Request) -> Response:
    """PUT: all corrections that are to hold now; answers with the drawing read anew."""
    ushers, it = _ushers(request), _drawing(request)
    page = await ushers.set_right(it.number, from_json(await take_json(request)))
    return _opened(ushers.shelf.drawings[it.number], page)


async def step(request: Request) -> Response:
    """POST to .../undo or .../redo; answers with the drawing read anew."""
    ushers, it = _ushers(request), _drawing(request)
    page = await ushers.step(it.number, -1 if request.path_params["way"] == "undo" else 1)
    return _opened(ushers.shelf.drawings[it.number], page)


async def part(request: Request) -> Response:
    """GET a picture of the drawing for the page."""
    it, name = _drawing(request), request.path_params["part"]
    path = _ushers(request).shelf.part(it.number, name) if name in PARTS_SERVED else None
    if path is None or not path.exists():
        raise HTTPException(404, "There is no such picture yet.")
    return FileResponse(path, media_type=PARTS_SERVED[name])


async def result(request: Request) -> Response:
    """GET one file of the results; `?open` shows it instead of saving it."""
    it, name = _drawing(request), request.path_params["file"]
    if name not in FILES:
        raise HTTPException(404, "There is no such file.")
    folder = await _ushers(request).written(it.number)
    kind, policy = SERVED[name]
    saved_as = f"{it.folder}-{name}"
    way = "inline" if "open" in request.query_params else "attachment"
    return FileResponse(
        folder / name,
        media_type=kind,
        filename=saved_as,
        content_disposition_type=way,
        headers={"content-security-policy": policy},
    )


async def everything(request: Request) -> Response:
    """GET all files of one drawing, or of the whole class, as a ZIP."""
    ushers = _ushers(request)
    if "number" in request.path_params:
        wanted = [_drawing(request)]
    else:
        wanted = [d for d in ushers.shelf.in_order() if d.state == "done"]
    if not wanted:
        raise HTTPException(404, "There is nothing to take home yet.")
    folders = [await ushers.written(d.number) for d in wanted]
    bundle = await asyncio.to_thread(zip_of, folders)
    name = f"{wanted[0].folder}.zip" if len(wanted) == 1 else "class.zip"
    # The name in the header is plain ASCII; the folders inside keep theirs.
    plain = "".join(c if c.isascii() and (c.isalnum() or c in "-_.") else "-" for c in name)
    headers = {"content-disposition": f'attachment; filename="{plain}"'}
    return StreamingResponse(in_pieces(bundle), media_type="application/zip", headers=headers)


async def together(request: Request) -> Response:
    """GET the class's pin-up, or one draft compared with an earlier one; `?open` shows it instead of saving it."""
    ushers, file = _ushers(request), request.path_params["file"]
    kind = Path(file).stem
    if "number" in request.path_params:
        numbers = [request.path_params["earlier"], request.path_params["number"]]
        known = all(n in ushers.shelf.drawings for n in numbers) and kind == PROGRESS
    else:
        numbers = [d.number for d in ushers.shelf.in_order() if d.state == "done"]
        known = kind == PIN_UP
    files = await ushers.gathered(kind, numbers) if known and Path(file).suffix in GATHERED else {}
    if file not in files:
        raise HTTPException(404, "There is no such file.")
    media, policy = GATHERED[Path(file).suffix]
    way = "inline" if "open" in request.query_params else "attachment"
    headers = {"content-security-policy": policy, "content-disposition": f'{way}; filename="{file}"'}
    return Response(files[file], media_type=media, headers=headers)


async def news(request: Request) -> Response:
    """GET what happens, one JSON object a line, as long as the page is open."""
    ushers = _ushers(request)

    async def lines() -> AsyncIterator[bytes]:
        # A first line at once, so that the page knows that it is heard.
        yield news_line({"hello": True})
        async for item in ushers.listen():
            yield news_line(item)

    return StreamingResponse(lines(), media_type="application/x-ndjson")


def _limit() -> int:
    return int(UPLOAD_MB * 1_000_000)


def _count(value: Any) -> int | None:
    if value is not None and (isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= 9999):
        raise HTTPException(400, "Pages and lines count from 1.")
    return value


def _text(value: Any, longest: int) -> str | None:
    if value is None:
        return None
    if not isinstance(value, str) or len(value) > longest:
        raise HTTPException(400, f"A text of at most {longest} letters is needed.")
    return "".join(c for c in value if c.isprintable()).strip() or None


ROUTES: Final = [
    Route("/api/class", the_class, methods=["GET", "PATCH"]),
    Route("/api/class/everything.zip", everything),
    Route("/api/class/together/{file}", together),
    Route("/api/model", model, methods=["PUT", "DELETE"]),
    Route("/api/news", news),
    Route("/api/drawings", hand_in, methods=["POST"]),
    Route("/api/drawings/{number:int}", drawing, methods=["GET", "PATCH", "DELETE"]),
    Route("/api/drawings/{number:int}/corrections", corrections, methods=["PUT"]),
    Route("/api/drawings/{number:int}/step/{way}", step, methods=["POST"]),
    Route("/api/drawings/{number:int}/everything.zip", everything),
    Route("/api/drawings/{number:int}/results/{file}", result),
    Route("/api/drawings/{number:int}/after/{earlier:int}/{file}", together),
    Route("/api/drawings/{number:int}/{part}", part),
]
