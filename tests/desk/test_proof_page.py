"""The proof on the screen in a real browser: nearer and further, from a point to its place and back, layers, narrow screens."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import cache

import pypdf
import pytest

from tests.specimens.study import font_study, some_findings
from tests.specimens.typeset import font_path
from vectorize.findings import Finding, Severity
from vectorize.model.font import read_font_model
from vectorize.sheets.shown import shown
from vectorize.write.html import proof_html


@cache
def proof() -> bytes:
    """A page of everything: points of every weight, one on the whole word, what holds of a letter, a doubt, a model."""
    doubt = Finding("reading", (4,), None, None, "", Severity.LOOK_AGAIN, "The t was read doubtfully.")
    study = font_study("mantel", family="lora")
    study = replace(study, model=read_font_model(font_path("lora"), "mantel"), remarks=(doubt,))
    more = (
        Finding("level", (), 0.7, 0.3, "deg", Severity.NOTE, "The baseline falls to the right."),
        Finding("weight", (), 0.2, 0.1, "", Severity.NOTE, "The whole word is heavy."),
        Finding("counters", (2, 5), None, None, "", Severity.HOLDS, "The a and the e stand open."),
        doubt,
    )
    return proof_html(shown(study, (*some_findings(study), *more)))


@pytest.fixture
def page(browser, tmp_path):
    """The proof, opened from a file without any network; no script of it may have failed."""
    path = tmp_path / "proof.html"
    path.write_bytes(proof())
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
    page.locator(".points a.show").first.click()
    assert view(page)[2] < 0.8 * whole[2]
    assert page.evaluate("document.activeElement.getAttribute('aria-label')").startswith("1, ")
    page.keyboard.press("Enter")
    assert page.url.endswith("#finding-01")


def test_every_finding_leads_to_its_place_and_every_place_back(page):
    links = page.eval_on_selector_all(
        "a.show", "all => all.map(a => [a.getAttribute('href').slice(1), a.closest('li').id])"
    )
    findings = page.locator(".points > li").count()
    assert findings == 6
    assert len(links) == findings + 2
    back = page.eval_on_selector_all(
        "#stage a", "all => all.map(a => [a.querySelector('g').id, a.getAttribute('xlink:href').slice(1)])"
    )
    assert sorted(map(tuple, back)) == sorted(map(tuple, links))
    for i in range(len(links)):
        page.locator("a.show").nth(i).click()
        assert page.evaluate("document.activeElement.querySelector('g').id") == links[i][0]
        box = page.evaluate("(b => [b.width, b.height])(document.activeElement.getBoundingClientRect())")
        assert min(box) > 10
        page.keyboard.press("Enter")
        assert page.url.endswith(f"#{links[i][1]}")
        # The browser lets go of the place with its next frame; a click before that frame would lose what it went to.
        page.wait_for_function("document.activeElement === document.body")


def test_a_place_of_what_holds_is_seen_only_when_it_is_asked_for(page):
    beside = page.locator("#stage a:has([data-beside])")
    assert beside.count() == 2
    assert not any(beside.nth(i).is_visible() for i in range(2))
    page.locator(".holds a.show").first.click()
    assert [beside.nth(i).is_visible() for i in range(2)] == [True, False]


def test_the_whole_page_is_walked_by_keyboard(page):
    expected = page.evaluate(
        """() => [...document.querySelectorAll("a, button, input, [tabindex='0']")]
            .filter(e => e.checkVisibility()).length"""
    )
    seen = set()
    for _ in range(expected + 5):
        page.keyboard.press("Tab")
        mark = page.evaluate(
            """() => { const e = document.activeElement; if (e === document.body) return null;
                const all = [...document.querySelectorAll("*")], s = getComputedStyle(e);
                return [all.indexOf(e), s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2]; }"""
        )
        if mark is not None:
            assert mark[1], "the focus is not seen"
            seen.add(mark[0])
    assert len(seen) == expected


def test_one_goes_near_enough_to_see_the_edge_of_a_letter(page):
    page.focus("#stage")
    for _ in range(20):
        page.keyboard.press("+")
    # An x-height of 18 mm: a tenth of it and less across the whole window; lines stay thin.
    wide = page.evaluate("stage.getBoundingClientRect().width")
    assert view(page)[2] < 0.2 * 18.0
    assert wide / view(page)[2] > 300.0
    assert page.get_attribute("#drawn-letters path", "vector-effect") == "non-scaling-stroke"


def test_the_page_prints_all_that_it_says_and_no_button(page):
    page.click("#nearer")
    reader = pypdf.PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True, format="A4")))
    said = re.sub(r"\s+", " ", " ".join(p.extract_text() for p in reader.pages))
    for words in ("What holds", "Next", "The whole word is heavy.", "Spaces", "Letters", "Beside the model", "Figures"):
        assert words in said
    assert "Nearer" not in said
    assert "Show on the drawing" not in said
    assert float(reader.pages[0].mediabox.width) == pytest.approx(595.3, abs=1.0)
    assert len(reader.pages) <= 8


def test_without_scripts_the_page_reads_the_same_and_links_work(browser, tmp_path):
    path = tmp_path / "proof.html"
    path.write_bytes(proof())
    context = browser.new_context(java_script_enabled=False, offline=True)
    plain = context.new_page()
    plain.goto(path.as_uri())
    assert plain.get_by_text("The whole word is heavy.").is_visible()
    assert not plain.get_by_role("button", name="Nearer").is_visible()
    plain.locator(".holds a.show").first.click()
    assert plain.locator("#stage a:has(:target)").is_visible()
    context.close()


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
