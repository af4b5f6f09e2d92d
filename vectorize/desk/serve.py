"""A folder comes in; the desk is served on 127.0.0.1 until it is closed."""

from __future__ import annotations

import contextlib
import os
import socket
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO, TYPE_CHECKING, Final

from vectorize.errors import OutputError

if TYPE_CHECKING:
    from vectorize.desk.guard import Guard

HOST: Final = "127.0.0.1"


def serve(folder: Path, *, port: int | None, on_open: Callable[[str], None]) -> None:
    """Serve the desk over `folder` until it is interrupted.

    port: the one to use, None for any that is free. on_open: told the page's address once it can be opened.
    Raises OutputError where the folder or the port cannot be had.
    """
    from vectorize.desk.app import desk_app
    from vectorize.desk.guard import new_token
    from vectorize.desk.shelf import Shelf

    shelf = Shelf.open(folder.resolve())
    with alone_in(shelf.hidden), contextlib.closing(bound_socket(port)) as listening:
        listening.listen()
        own_port = listening.getsockname()[1]
        token = new_token()
        app = desk_app(shelf, port=own_port, token=token)
        # The socket already queues whoever knocks before the server answers.
        on_open(f"http://{HOST}:{own_port}/{token}/")
        run(app, listening)


def run(app: Guard, listening: socket.socket) -> None:
    """Serve on a socket until interrupted; open pages are told goodbye first, so that none holds the desk open."""
    import uvicorn

    class Server(uvicorn.Server):
        async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
            app.on_close()
            await super().shutdown(sockets)

    # The token is part of every path: it must not be written to a log.
    config = uvicorn.Config(app, log_level="error", access_log=False, server_header=False, timeout_graceful_shutdown=2)
    # Ctrl-C is how a desk is closed, no fault to be told of.
    with contextlib.suppress(KeyboardInterrupt):
        Server(config).run(sockets=[listening])


def bound_socket(port: int | None) -> socket.socket:
    """A socket on the loopback address; raises OutputError where a port that was asked for is taken."""
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if port and os.name == "posix":
        # A desk just closed leaves its port waiting; on Windows this option would let two share one.
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((HOST, port or 0))
    except OSError as error:
        listening.close()
        raise OutputError(f"Port {port} is in use. Leave --port out, and the desk takes one that is free.") from error
    return listening


@contextlib.contextmanager
def alone_in(hidden: Path) -> Iterator[None]:
    """Hold the folder for one desk; raises OutputError while another desk has it open.

    The system lets go of the lock when a desk ends in whatever way, so that a killed one leaves nothing to clear.
    """
    with (hidden / "open").open("w") as file:
        try:
            _lock(file)
        except OSError as error:
            raise OutputError(
                f"The folder {hidden.parent} lies open on another desk. "
                "Close that one with Ctrl-C, or open another folder."
            ) from error
        yield


def _lock(file: IO[str]) -> None:
    if os.name == "posix":
        import fcntl

        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    else:
        import msvcrt

        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined,unused-ignore]
