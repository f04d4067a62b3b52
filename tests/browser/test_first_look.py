"""Every page in a real browser: nothing leaves the host, nothing stands in the way."""

from collections.abc import Callable
from typing import Any

import pytest

PAGES = (
    "/",
    "/rig",
    "/rig/1",
    "/documents",
    "/documents?discarded=yes",
    "/new?kind=day",
    "/documents/2",
    "/documents/2/history",
    "/documents/2/compare",
    "/join",
)


def fits(page: Any, width: int) -> bool:
    return bool(page.evaluate("document.documentElement.scrollWidth") <= width)


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("width", [360, 1600])
def test_every_page_has_no_barriers(
    open_page: Callable[..., Any], no_barriers: Callable[[Any], None], width: int, dark: bool
) -> None:
    page = open_page("/", width=width, dark=dark)
    for path in PAGES:
        page.goto(path)
        no_barriers(page)
        assert fits(page, width), path


@pytest.mark.parametrize("path", ["/documents/2", "/rig"])
def test_a_refused_form_has_no_barriers(
    open_page: Callable[..., Any], no_barriers: Callable[[Any], None], eyes: Any, path: str
) -> None:
    page = open_page(path, width=360)
    if path == "/rig":
        page.get_by_label("How wide is the kettle inside?").fill("wide")
        page.get_by_role("button", name="Make my rig").click()
        page.get_by_text("another look").wait_for()
    else:
        page.get_by_label("The recipe as text").fill("schema: recipe/1\nname: x\nbach: 2 L\n")
        page.get_by_role("button", name="Keep").click()
        page.get_by_text("Not kept yet").wait_for()
    no_barriers(page)
    assert fits(page, 360)
    # the browser's console notes the answer 422
    eyes.troubles[:] = [each for each in eyes.troubles if "422" not in each]


def test_one_touch_changes_the_units_and_the_light(open_page: Callable[..., Any]) -> None:
    page = open_page("/rig")
    assert page.locator("#diameter-unit").inner_text() == "cm"
    page.get_by_role("button", name="Change to US units").click()
    page.get_by_role("button", name="Change to metric units").wait_for()
    assert page.locator("#diameter-unit").inner_text() == "in"
    ground = "getComputedStyle(document.body).backgroundColor"
    assert page.evaluate(ground) == "rgb(255, 255, 255)"
    page.get_by_role("button", name="Light is as the system says").click()
    page.get_by_role("button", name="Light is light").click()
    page.get_by_role("button", name="Light is dark").wait_for()
    assert page.evaluate(ground) == "rgb(23, 25, 29)"


def test_print_leaves_out_what_cannot_be_pressed(open_page: Callable[..., Any]) -> None:
    page = open_page("/documents/2", dark=True)
    page.emulate_media(media="print", color_scheme="dark")
    assert not page.locator(".top").is_visible()
    assert not page.get_by_role("button", name="Keep").is_visible()
    assert page.evaluate("getComputedStyle(document.body).color") == "rgb(28, 32, 38)"


@pytest.mark.parametrize(("path", "at"), [("/plan/2?rig=1&day=3", "Plan"), ("/new", "Documents"),
                                          ("/", "Start"), ("/join", "Pages")])  # fmt: skip
def test_the_top_line_of_a_phone_is_one_row_that_says_where_one_is(
    open_page: Callable[..., Any], no_barriers: Callable[[Any], None], path: str, at: str
) -> None:
    page = open_page(path, width=360)
    top = page.locator("header.top")
    closed_px = top.bounding_box()["height"]
    assert closed_px < 70
    menu = top.locator("summary")
    assert menu.inner_text().split("\n")[-1] == at
    shown = page.get_by_role("navigation", name="Pages").get_by_role("link")
    assert shown.count() == 0
    menu.focus()
    page.keyboard.press("Enter")
    assert shown.all_inner_texts() == [
        "Start", "Plan", "My rig", "Documents", "Pipes", "Chill", "Lots",
    ]  # fmt: skip
    current = [each.inner_text() for each in shown.all() if each.get_attribute("aria-current")]
    assert current == ([] if at == "Pages" else [at])
    # the page moves down: nothing is ever under the list
    assert page.locator("main").bounding_box()["y"] >= top.bounding_box()["height"] > closed_px
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    no_barriers(page)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Start"
    page.get_by_role("button", name="Light is as the system says").click()
    page.locator(":root[data-light=light]").wait_for(state="attached")


def test_a_wide_top_line_has_no_folded_one(open_page: Callable[..., Any]) -> None:
    page = open_page("/plan", width=1600)
    assert page.locator(".top summary").is_visible() is False
    assert page.get_by_role("navigation", name="Pages").get_by_role("link").count() == 7


@pytest.mark.parametrize(
    "path",
    ["/rest/2?rig=1&day=3", "/chill?rig=1", "/plan/2?rig=1&day=3", "/documents",
     "/documents/2/history", "/rig/1"],
)  # fmt: skip
def test_no_table_is_cut_on_a_phone(open_page: Callable[..., Any], path: str) -> None:
    page = open_page(path, width=360)
    page.locator("table.stacks").first.wait_for()
    cut = page.evaluate(
        "[...document.querySelectorAll('.wide')].filter(e => e.scrollWidth > e.clientWidth + 1)"
        ".map(e => e.getAttribute('aria-label'))"
    )
    assert cut == []
    row = page.get_by_role("table").first.get_by_role("row").nth(1)
    assert row.get_by_role("rowheader").count() == 1
    # every value is named beside it, as the column heads are out of sight
    assert page.locator(".stacks tbody td:not(:empty):not([data-name])").count() == 0
