"""A desk for tests: served in a process of its own, on a folder of the test's."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator
from pathlib import Path

import httpx

from vectorize.desk.app import desk_app
from vectorize.desk.serve import alone_in, bound_socket, run
from vectorize.desk.shelf import Shelf

TOKEN = "token-of-the-test"


class Desk:
    """What a test knows of a desk that runs."""

    def __init__(self, port: int, folder: Path, token: str = TOKEN) -> None:
        self.port = port
        self.folder = folder
        self.token = token
        self.origin = f"http://127.0.0.1:{port}"
        self.root = f"{self.origin}/{token}/"

    def ask(self, method: str, path: str, **more) -> httpx.Response:
        """One request as the page sends it; `headers` replace or, with None, take away."""
        headers = {"origin": self.origin, "sec-fetch-site": "same-origin"} | more.pop("headers", {})
        with httpx.Client(trust_env=False, verify=False, timeout=60) as client:
            return client.request(
                method, self.root + path, headers={k: v for k, v in headers.items() if v is not None}, **more
            )

    def hand_in(self, data: bytes, name: str = "page.png") -> int:
        """A picture handed in; its number."""
        return self.ask("POST", "api/drawings", content=data, headers={"x-file-name": name}).json()["number"]

    def settled(self, number: int, seconds: float = 60.0) -> dict:
        """The drawing once it is read, written or refused."""
        import time

        end = time.monotonic() + seconds
        while time.monotonic() < end:
            seen = self.ask("GET", f"api/drawings/{number}?look").json()
            drawing = seen["drawing"]
            if drawing["state"] == "failed" or (drawing["state"] == "done" and drawing["written"]):
                return seen
            time.sleep(0.05)
        raise AssertionError(f"drawing {number} was not read within {seconds} s")


@contextlib.contextmanager
def desk_in_process(folder: Path, bench: str, *, seconds: float | None = None) -> Iterator[tuple[Desk, int]]:
    """A desk in a process of its own, so that it can be killed; and the process's id."""
    import json
    import subprocess

    options = json.dumps({"folder": str(folder), "bench": bench, "seconds": seconds})
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.desk.serving", options], stdout=subprocess.PIPE, text=True, cwd=Path.cwd()
    )
    try:
        line = process.stdout.readline()
        yield Desk(int(line), folder), process.pid
    finally:
        process.terminate()
        process.wait(20)
        process.stdout.close()


def main(options: dict) -> None:
    """Serve until terminated; the port is printed once it listens."""
    from tests.desk import bench_mains
    from vectorize.desk import backroom, ushers

    if options["seconds"]:
        ushers.READING_SECONDS = options["seconds"]
        ushers.READING_MB = 1500
    mains = {"typeset": bench_mains.main, "real": backroom.main}
    shelf = Shelf.open(Path(options["folder"]))
    with alone_in(shelf.hidden), contextlib.closing(bound_socket(None)) as listening:
        listening.listen()
        port = listening.getsockname()[1]
        app = desk_app(shelf, port=port, token=TOKEN, bench_main=mains[options["bench"]])
        print(port, flush=True)
        run(app, listening)


if __name__ == "__main__":
    import json

    main(json.loads(sys.argv[1]))
