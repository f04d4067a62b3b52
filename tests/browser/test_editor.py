"""The editor: complaints while typing, drafts that survive, old complaints marked as old."""

from collections.abc import Callable
from typing import Any

import pytest


def text_of(page: Any) -> Any:
    return page.get_by_label("The recipe as text")


def test_complaints_come_while_typing_and_lead_to_their_line(open_page: Callable[..., Any]) -> None:
    page = open_page("/documents/2")
    text = text_of(page)
    text.fill(text.input_value().replace("batch: 23 L", "batch: 23 kg"))
    page.get_by_role("button", name="Line 3").click()
    chosen = "t => t.value.slice(t.selectionStart, t.selectionEnd)"
    assert text.evaluate(chosen).startswith("batch: 23 kg")
    text.fill(text.input_value().replace("23 kg", "23 L"))
    page.get_by_text("None. Everything here can be read.").wait_for()


def test_a_draft_survives_a_reload_until_it_is_kept(open_page: Callable[..., Any]) -> None:
    page = open_page("/documents/2")
    text = text_of(page)
    typed = text.input_value().replace("batch: 23 L", "batch: 21 L")
    text.fill(typed)
    page.reload()
    page.get_by_role("button", name="Take it up").click()
    assert text.input_value() == typed
    page.get_by_label("Why this change").fill("a smaller fermenter")
    page.get_by_role("button", name="Keep", exact=True).click()
    page.get_by_text("a smaller fermenter").wait_for()
    page.goto("/documents/2")
    assert text_of(page).input_value() == typed
    assert not page.get_by_role("button", name="Take it up").is_visible()


def test_without_an_answer_old_complaints_are_marked_and_mend_themselves(
    open_page: Callable[..., Any], eyes: Any
) -> None:
    page = open_page("/documents/2")
    page.route("**/api/check", lambda route: route.abort())
    text = text_of(page)
    text.fill(text.input_value().replace("batch: 23 L", "batch: 23 kg"))
    page.get_by_text("These are old: the server does not answer").wait_for()
    assert "stale" in page.locator("#found").get_attribute("class")
    page.unroute("**/api/check")
    page.get_by_role("button", name="Line 3").wait_for()
    assert "stale" not in (page.locator("#found").get_attribute("class") or "")
    eyes.troubles.clear()


@pytest.mark.parametrize("name", ["<img src=x onerror=alert(1)>", "../../../etc/passwd"])
def test_a_name_with_markup_is_text_on_the_page(open_page: Callable[..., Any], name: str) -> None:
    page = open_page("/documents/3")
    page.get_by_label("Name").fill(name)
    page.get_by_role("button", name="Keep", exact=True).click()
    page.get_by_role("heading", name=name).wait_for()
    assert page.locator("img").count() == 0
