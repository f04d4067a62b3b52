"""The pipe map in a real browser: handles by mouse, touch and keyboard, steps, old marks."""

import statistics
from collections.abc import Callable
from typing import Any

import pytest
from served import Running, Served

from wortline.web.services import memory_services

MAP_V1 = '.map-wide [data-key="map V1"], .map-only [data-key="map V1"]'
MEASURED = "performance.getEntriesByName('redraw').map(each => each.duration)"


def stands(page: Any) -> str:
    return str(page.locator("input[name=handles]").get_attribute("value"))


def test_a_handle_turns_by_mouse_and_the_verdict_follows(open_page: Callable[..., Any]) -> None:
    page = open_page("/pipes/1", width=1600)
    page.get_by_role("heading", name="Good").wait_for()
    page.locator(MAP_V1).click()
    page.get_by_role("button", name="V1, three-way valve: to chiller").wait_for()
    assert stands(page) == "K=open, V1=chiller, V2=kettle"
    page.get_by_role("button", name="V2 to fermenter").click()
    page.get_by_role("heading", name="Stop").wait_for()
    assert page.get_by_text("40 C is its limit").is_visible()
    pressed = page.get_by_role("button", name="V2 to fermenter").get_attribute("aria-pressed")
    assert pressed == "true"
    assert "V2%3Dfermenter" in page.url
    page.reload()
    assert stands(page) == "K=open, V1=chiller, V2=fermenter"


def test_handles_turn_by_keyboard_alone_and_keep_the_focus(open_page: Callable[..., Any]) -> None:
    page = open_page("/pipes/1", width=1600)
    page.locator(MAP_V1).focus()
    key = "document.activeElement.getAttribute('data-key')"
    page.keyboard.press("Enter")
    page.get_by_role("button", name="V1, three-way valve: to chiller").wait_for()
    assert page.evaluate(key) == "map V1"
    page.keyboard.press("Space")
    page.get_by_role("button", name="V1, three-way valve: off").wait_for()
    assert page.evaluate(key) == "map V1"
    page.keyboard.press("Tab")
    assert page.evaluate(key) != "map V1"
    page.get_by_role("button", name="P off").focus()
    page.keyboard.press("Enter")
    page.locator("input[name=pump][value=off]").wait_for(state="attached")
    assert page.evaluate(key) == "list pump=off"
    assert "No wort moves." in page.locator("#told").inner_text()


def test_handles_turn_by_touch_on_a_phone(open_page: Callable[..., Any]) -> None:
    page = open_page("/pipes/1", width=360, has_touch=True)
    page.locator('.map-phone [data-key="map V1"]').tap()
    page.locator("input[name=handles][value='K=open, V1=chiller, V2=kettle']").wait_for(
        state="attached"
    )
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    page.get_by_role("button", name="W on").tap()
    page.locator("input[name=water][value=on]").wait_for(state="attached")
    small = [
        box
        for each in page.locator(".choices button, .hit").all()
        if (box := each.bounding_box()) and min(box["height"], box["width"]) < 43.9
    ]
    assert small == []


def test_a_redraw_takes_less_than_a_tenth_of_a_second(open_page: Callable[..., Any]) -> None:
    page = open_page("/pipes/1", width=1600)
    for turn in range(1, 13):
        page.locator(MAP_V1).click()
        page.locator(f"#now[data-drawn='{turn}']").wait_for()
    took = page.evaluate(MEASURED)
    assert statistics.median(took[1:]) < 100.0


def test_what_is_typed_is_judged_without_leaving_its_field(open_page: Callable[..., Any]) -> None:
    page = open_page("/pipes/1", width=1600)
    level = page.get_by_label("Depth of wort in the kettle")
    level.fill("4")
    page.get_by_text("4\u00a0cm deep").first.wait_for()
    assert level.evaluate("each => each === document.activeElement")
    level.fill("4 kg")
    page.get_by_text("is a mass").wait_for()
    assert "stale" in page.locator("#now").get_attribute("class")
    level.fill("30")
    page.get_by_text("30\u00a0cm deep").first.wait_for()
    assert page.get_by_text("is a mass").count() == 0
    assert "stale" not in page.locator("#now").get_attribute("class")


def test_the_day_is_stepped_through(open_page: Callable[..., Any]) -> None:
    page = open_page("/pipes/1")
    page.get_by_role("link", name="First step").click()
    page.get_by_text("1 of 9, Whirlpool.").wait_for()
    for at in range(2, 10):
        page.get_by_role("link", name="Next step").click()
        page.get_by_text(f"{at} of 9,").wait_for()
    assert stands(page) == "K=open, V1=chiller, V2=fermenter"
    page.get_by_role("link", name="Step before").click()
    page.get_by_text("Turn it in one movement").wait_for()
    page.get_by_role("button", name="K shut").click()
    page.get_by_text("You have turned something since").wait_for()
    page.get_by_role("link", name="Back to the step").click()
    page.get_by_text("You have turned something since").wait_for(state="detached")


def test_a_dead_server_is_said_and_touches_are_made_up_for(
    open_page: Callable[..., Any], eyes: Any
) -> None:
    with Served(memory_services()) as first:
        page = open_page("/pipes/1", base_url=first.url, width=1600)
    port = int(first.url.rpartition(":")[2])
    page.locator(MAP_V1).click()
    page.get_by_text("These are old: the server does not answer").wait_for()
    assert "stale" in page.locator("#now").get_attribute("class")
    page.get_by_role("button", name="P off").click()
    with Served(memory_services(), port):
        page.locator("input[name=pump][value=off]").wait_for(state="attached")
        assert stands(page) == "K=open, V1=chiller, V2=kettle"
        assert "stale" not in page.locator("#now").get_attribute("class")
        assert not page.get_by_text("These are old").is_visible()
        page.close()
    eyes.troubles.clear()


def test_parts_are_changed_and_kept_by_keyboard(open_page: Callable[..., Any]) -> None:
    page = open_page("/pipes/1/edit")
    page.get_by_role("button", name="Take apart V2.kettle and H5.a").press("Enter")
    page.get_by_text("are no longer joined").wait_for()
    page.get_by_label("Its name").fill("H9")
    page.get_by_role("button", name="Add it").press("Enter")
    page.get_by_text("H9 is added").wait_for()
    for a, b in (("V2.kettle", "H9.a"), ("H9.b", "H5.a")):
        page.get_by_label("Join this free port").select_option(a)
        page.get_by_label("with this one").select_option(b)
        page.get_by_role("button", name="Join", exact=True).click()
        page.get_by_text(f"{a} and {b} are joined.").wait_for()
    page.get_by_text("The rig can be read").wait_for()
    page.get_by_label("Why this change").fill("a longer way back")
    page.get_by_role("button", name="Keep as a new revision").click()
    page.get_by_role("heading", name="Pipes of Shed rig").wait_for()
    # the picture may have been drawn again for its width by now
    page.locator("#now svg text:visible", has_text="H9").first.wait_for()


def test_a_change_that_was_not_kept_is_offered_again(open_page: Callable[..., Any]) -> None:
    page = open_page("/pipes/1/edit")
    page.get_by_role("button", name="Take apart H4.b and fermenter.in").click()
    page.get_by_text("are no longer joined").wait_for()
    page.goto("/pipes/1/edit")
    page.get_by_role("button", name="Take it up").click()
    page.get_by_text("Your earlier changes are back").wait_for()
    assert page.get_by_role("button", name="Take apart H4.b and fermenter.in").count() == 0
    page.get_by_role("button", name="Keep as a new revision").click()
    page.get_by_role("heading", name="Pipes of Shed rig").wait_for()
    page.goto("/pipes/1/edit")
    page.get_by_role("heading", name="Parts and joins").wait_for()
    assert not page.get_by_role("button", name="Take it up").is_visible()


def test_a_complaint_leads_to_its_line(open_page: Callable[..., Any]) -> None:
    page = open_page("/pipes/1/edit")
    page.get_by_role("button", name="Take apart H4.b and fermenter.in").click()
    page.get_by_label("Its name").fill("H9")
    page.get_by_role("button", name="Add it").click()
    page.get_by_role("button", name="Line").first.click()
    chosen = "t => t.value.slice(t.selectionStart, t.selectionEnd)"
    assert "name: H9" in page.locator("#text").evaluate(chosen)


PAGES = ("/pipes/1", "/pipes/1?step=8", "/pipes/1/edit", "/rest/2?rig=1&day=3", "/chill",
         "/chill?rig=1&volume=22&from=98&to=18&tap=27&day=none")  # fmt: skip


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("width", [360, 1600])
def test_these_pages_have_no_barriers(
    open_page: Callable[..., Any], no_barriers: Callable[[Any], None], width: int, dark: bool
) -> None:
    page = open_page("/", width=width, dark=dark)
    for path in PAGES:
        page.goto(path)
        page.wait_for_load_state("networkidle")
        no_barriers(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path


def test_us_units_reach_map_words_and_fields(open_page: Callable[..., Any]) -> None:
    page = open_page("/pipes/1", width=1600)
    page.get_by_role("button", name="Change to US units").click()
    page.get_by_role("button", name="Change to metric units").wait_for()
    assert page.get_by_text("wort at 208\u00a0°F").first.is_visible()
    assert page.locator("#u-level").inner_text() == "in"
    assert "US\u00a0gal/min" in page.locator(".flow").inner_text()


def test_without_scripts_the_handles_turn_too(browser: Any, server: Running) -> None:
    context = browser.new_context(base_url=server.url, java_script_enabled=False)
    page = context.new_page()
    page.goto("/pipes/1")
    page.get_by_role("button", name="V1 to chiller").click()
    page.wait_for_load_state()
    assert "V1=chiller" in str(page.locator("input[name=handles]").get_attribute("value"))
    context.close()


def test_a_line_of_the_key_stands_beside_its_words(open_page: Callable[..., Any]) -> None:
    page = open_page("/pipes/1", width=1600)
    page.get_by_text("What the lines mean").click()
    items = page.locator(".plain-key li").all()
    assert len(items) == 4
    for item in items:
        line, row = item.locator("svg").bounding_box(), item.bounding_box()
        assert line["x"] - row["x"] < 5.0
        assert abs(line["y"] + line["height"] / 2 - row["y"] - row["height"] / 2) < 2.0


def test_changes_of_parts_are_undone_step_by_step(open_page: Callable[..., Any]) -> None:
    page = open_page("/pipes/1/edit", width=1200)
    for name in ("H8", "H9"):
        page.get_by_label("Its name").fill(name)
        page.get_by_role("button", name="Add it").click()
        page.get_by_text(f"{name} is added.").wait_for()
    undo = page.get_by_role("button", name="Undo the last change")
    undo.click()
    page.get_by_text("The last change is taken back.").wait_for()
    kept = page.locator("#text")
    assert "name: H8" in kept.input_value()
    assert "name: H9" not in kept.input_value()
    page.locator("h1").click()
    page.keyboard.press("Control+z")
    page.get_by_text("Nothing is changed yet.").wait_for()
    assert "name: H8" not in kept.input_value()
    assert not undo.is_visible()
