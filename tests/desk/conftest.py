"""A browser for the desk's tests: Debian's Chromium through Playwright; skipped where there is none, never in CI."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--no-first-run",
]
# A camera of the browser's own making, so that taking a photograph can be tried.
CAMERA = ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"]


@pytest.fixture(scope="session")
def browser():
    """One browser for all tests."""
    wanted = bool(os.environ.get("CI"))
    if CHROMIUM is None and not wanted:
        pytest.skip("no Chromium is installed (apt-get install chromium)")
    if wanted:
        import playwright.sync_api as api
    else:
        api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed (pip install playwright)")
    with api.sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=QUIET + CAMERA)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def axe() -> str:
    """The source of axe-core, fetched by `.ci/run` into .cache/axe."""
    path = Path(__file__).parents[2] / ".cache/axe/node_modules/axe-core/axe.min.js"
    if not path.exists() and not os.environ.get("CI"):
        pytest.skip("axe-core is not there (npm install --prefix .cache/axe axe-core)")
    return path.read_text()


@pytest.fixture
def opened(browser):
    """Opens pages; afterwards no page may have complained, and none may have asked another address for anything."""
    contexts, faults = [], []

    def open_page(url: str, width: int = 1280, height: int = 800, **more):
        context = browser.new_context(viewport={"width": width, "height": height}, accept_downloads=True, **more)
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(30_000)
        origin = "/".join(url.split("/")[:3])
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
        page.on("request", lambda asked: None if asked.url.startswith((origin, "blob:")) else faults.append(asked.url))
        page.goto(url)
        return page

    open_page.faults = faults
    yield open_page
    for context in contexts:
        context.close()
    assert faults == []
