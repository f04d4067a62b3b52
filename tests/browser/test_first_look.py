"""The start page in a real browser: nothing leaves the host, nothing stands in the way."""

from collections.abc import Callable
from typing import Any

import pytest


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("width", [360, 1600])
def test_the_start_page_has_no_barriers(
    open_page: Callable[..., Any], no_barriers: Callable[[Any], None], width: int, dark: bool
) -> None:
    page = open_page("/", width=width, dark=dark)
    no_barriers(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_one_touch_changes_the_units(open_page: Callable[..., Any]) -> None:
    page = open_page("/")
    page.get_by_role("button", name="Change to US units").click()
    page.get_by_role("button", name="Change to metric units").wait_for()
