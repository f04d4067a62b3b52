"""From an empty start to one's own rig, by mouse and by keyboard alone."""

import re
from collections.abc import Callable
from typing import Any

ANSWERS = (
    ("How wide is the kettle inside?", "38"),
    ("How deep is it from the brim", "40"),
    ("Pour water into the kettle", "8"),
    ("Drain it through the outlet", "6.8"),
    ("What power is on the element", "3 kW"),
    ("What do you call this rig?", "Cellar rig"),
)


def test_from_first_start_to_an_own_rig(open_page: Callable[..., Any]) -> None:
    page = open_page("/")
    page.get_by_role("link", name="Measure my rig").first.click()
    for question, answer in ANSWERS:
        page.get_by_label(re.compile(re.escape(question))).fill(answer)
    page.get_by_role("button", name="Make my rig").click()
    page.get_by_role("heading", name="Cellar rig").wait_for()
    assert page.get_by_role("row", name=re.compile("Kettle to the brim 45.4 L")).is_visible()
    page.get_by_role("link", name="Start page").click()
    page.get_by_text("Still a guess").wait_for()


def test_the_rig_page_works_by_keyboard_alone(open_page: Callable[..., Any]) -> None:
    page = open_page("/rig")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the page"
    page.keyboard.press("Enter")
    typed = {"diameter": "38", "depth": "40", "poured": "8", "drained": "6.8", "power": "3000"}
    typed["name"] = "By keys"
    for _ in range(20):
        page.keyboard.press("Tab")
        field = page.evaluate("document.activeElement.name || ''")
        if field in typed:
            page.keyboard.type(typed[field])
        if page.evaluate("document.activeElement.textContent.trim()") == "Make my rig":
            break
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="By keys").wait_for()
