"""The rest page and the chill call in a real browser."""

from collections.abc import Callable
from typing import Any

TRADE = "/rest/2?rig=1&day=3"


def test_the_slider_shows_every_length_at_once(open_page: Callable[..., Any], eyes: Any) -> None:
    page = open_page(TRADE, width=1600)
    mine = page.locator(".mine").nth(1)
    before = mine.inner_text()
    asked = len(eyes.asked)
    slider = page.get_by_role("slider")
    slider.fill("40")
    assert page.locator("#rest-now").inner_text() == "40 min"
    assert mine.inner_text() != before
    slider.press("ArrowRight")
    assert page.locator("#rest-now").inner_text() == "41 min"
    take = page.get_by_role("link", name="Take this rest")
    plan = "/plan/2?rig=1&day=3"
    assert take.get_attribute("href") == f"{plan}&recipe.whirlpool.rest=41%20min"
    assert len(eyes.asked) == asked
    take.click()
    page.get_by_text("was 18 min").first.wait_for()
    assert page.get_by_role("button", name="Undo").is_enabled()
    assert page.url.endswith(plan)


def test_lid_and_pump_redraw_picture_and_words(open_page: Callable[..., Any]) -> None:
    page = open_page(TRADE, width=1600)
    page.get_by_label("on", exact=True).check()
    page.get_by_role("columnheader", name="This rest, the lid on").wait_for()
    page.get_by_label("Pump for").fill("9")
    page.locator("[data-room] desc", has_text="pumped 9 min.").wait_for(state="attached")
    assert "lid=on" in page.url
    assert "pump=9" in page.url
    page.get_by_label("Pump for").fill("9 kg")
    page.get_by_text("is a mass").wait_for()
    assert page.get_by_label("Pump for").input_value() == "9 kg"


def test_on_a_phone_the_pictures_stand_upright(open_page: Callable[..., Any]) -> None:
    page = open_page(TRADE, width=360)
    page.locator("#now[data-drawn='1']").wait_for()
    size = page.locator("[data-room] svg").bounding_box()
    assert size["height"] > 2 * size["width"]
    assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_without_an_answer_the_rest_is_marked_as_old_and_mends_itself(
    open_page: Callable[..., Any], eyes: Any
) -> None:
    page = open_page(TRADE, width=1600)
    page.route("**/now?*", lambda route: route.abort())
    page.get_by_label("on", exact=True).check()
    page.get_by_text("These are old: the server does not answer").wait_for()
    page.unroute("**/now?*")
    page.get_by_role("columnheader", name="This rest, the lid on").wait_for()
    assert not page.get_by_text("These are old").is_visible()
    eyes.troubles.clear()


def test_the_chill_call_follows_the_tap(open_page: Callable[..., Any]) -> None:
    page = open_page("/chill", width=1600)
    page.get_by_label("Tap water, as measured").fill("27")
    page.get_by_text("Lowest reachable with this tap alone: 27.1").wait_for()
    page.get_by_label("Wort", exact=True).fill("22 kg")
    page.get_by_text("is a mass").wait_for()
    page.get_by_label("Wort", exact=True).fill("22")
    page.get_by_text("22.0\u00a0L cold").wait_for()


def test_the_chill_call_is_asked_by_keyboard_alone(open_page: Callable[..., Any]) -> None:
    page = open_page("/chill", width=360, dark=True)
    page.get_by_label("To", exact=True).fill("25")
    page.get_by_label("To", exact=True).press("Enter")
    page.get_by_text("to 25.0\u00a0C").wait_for()
