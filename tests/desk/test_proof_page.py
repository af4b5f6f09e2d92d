"""The proof on the screen in a real browser: nearer and further, from a point to its place and back, layers, narrow screens."""

from __future__ import annotations

import pytest

from tests.write.made import made


@pytest.fixture
def page(browser, tmp_path):
    """The proof, opened from a file without any network; no script of it may have failed."""
    path = tmp_path / "proof.html"
    path.write_bytes(made()[1]["proof.html"])
    context = browser.new_context(viewport={"width": 1200, "height": 900}, offline=True)
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda e: faults.append(str(e)))
    page.goto(path.as_uri())
    yield page
    context.close()
    assert not faults


def view(page) -> list[float]:
    return [float(v) for v in page.get_attribute("#stage", "viewBox").split()]


def test_nearer_and_further_by_buttons_keys_and_wheel(page):
    whole = view(page)
    page.click("#nearer")
    near = view(page)
    assert near[2] < whole[2]
    page.focus("#stage")
    page.keyboard.press("+")
    assert view(page)[2] < near[2]
    page.keyboard.press("ArrowRight")
    assert view(page)[0] > near[0]
    box = page.locator("#stage").bounding_box()
    page.mouse.move(box["x"] + 200, box["y"] + 100)
    before = view(page)[2]
    page.mouse.wheel(0, -300)
    page.wait_for_function("w => Number(stage.getAttribute('viewBox').split(' ')[2]) < w", arg=before)
    page.keyboard.press("0")
    assert view(page) == whole
    page.click("#nearer")
    page.click("#whole")
    assert view(page) == whole


def test_a_point_leads_to_its_place_and_back(page):
    whole = view(page)
    page.locator("a.show").first.click()
    assert view(page)[2] < 0.8 * whole[2]
    assert page.evaluate("document.activeElement.getAttribute('aria-label')").startswith("1, ")
    page.keyboard.press("Enter")
    assert page.url.endswith("#finding-01")


def test_layers_are_shown_and_hidden(page):
    def shown(layer):
        return page.eval_on_selector(f"#drawn-{layer}", "e => getComputedStyle(e).display") != "none"

    assert shown("whites")
    assert not shown("edge")
    page.uncheck("#see-whites")
    page.check("#see-edge")
    assert not shown("whites")
    assert shown("edge")


@pytest.mark.parametrize("width", [320, 360])
def test_a_narrow_screen_needs_no_scrolling_sideways(page, width):
    # WCAG 2.2, 1.4.10: reflow at 320 CSS px.
    page.set_viewport_size({"width": width, "height": 700})
    assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_barriers(page, axe, scheme):
    page.emulate_media(color_scheme=scheme)
    page.evaluate(axe)
    found = page.evaluate("axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']})")
    assert [(v["id"], [n["html"][:120] for n in v["nodes"]]) for v in found["violations"]] == []
