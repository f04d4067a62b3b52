"""The bar of the plan page: where the person is, it stays small and still, and shows a way on."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from served import Running

Open = Callable[..., Any]
PLAN = "/plan/2?rig=1&day=3"
SIZES = [(360, 740), (1000, 800), (1600, 1000)]


def settled(page: Any) -> None:
    """Wait until everything on the page is the newest."""
    newest = page.locator("#plan[data-ready]:not([aria-busy]):not(.is-old) #strip svg")
    newest.first.wait_for(state="attached")


def field_of(page: Any, key: str) -> Any:
    return page.locator(f'[data-key="{key}"] input[type=text]')


def typed(page: Any, key: str, text: str) -> None:
    field = field_of(page, key)
    field.fill(text)
    field.press("Enter")


def followed(page: Any) -> str:
    return " ".join((page.locator("#changed").text_content() or "").split())


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_nothing_moves_under_the_finger(open_page: Open, width: int, height: int) -> None:
    page = open_page(PLAN, width=width)
    page.set_viewport_size({"width": width, "height": height})
    settled(page)
    # the first answer to each move comes late, so that the numbers are marked as old meanwhile
    late: list[Any] = []
    page.route(
        "**/api/plan/moved", lambda route: route.continue_() if late[1:] else late.append(route)
    )
    slider = page.locator('[data-key="recipe.whirlpool.rest"] input[type=range]')
    slider.evaluate("e => e.scrollIntoView({block: 'center'})")
    bar = page.locator("#moved-bar")
    places = [(slider.bounding_box()["y"], bar.bounding_box()["height"])]
    for minutes in (20, 45, 10, 59):
        slider.evaluate(
            "(e, v) => { e.value = v; e.dispatchEvent(new Event('input', {bubbles: true})); }",
            str(minutes),
        )
        page.locator("#plan.is-old").wait_for()
        assert "the server is still working" in page.locator("#old").inner_text()
        late.append(late[0].continue_())
        places.append((slider.bounding_box()["y"], bar.bounding_box()["height"]))
        settled(page)
        late.clear()
        places.append((slider.bounding_box()["y"], bar.bounding_box()["height"]))
    assert max(y for y, _ in places) - min(y for y, _ in places) < 1.0
    assert len({round(high) for _, high in places}) == 1
    # a thumb's breadth of a phone, no more
    assert places[0][1] < 0.14 * height


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_the_field_that_is_typed_in_stays_in_sight(
    open_page: Open, width: int, height: int
) -> None:
    page = open_page(PLAN, width=width)
    page.set_viewport_size({"width": width, "height": height})
    settled(page)
    for key in ("recipe.whirlpool.rest", "recipe.batch", "recipe.boil.for", "day.tap"):
        field = field_of(page, key)
        field.focus()
        typed(page, key, {"recipe.batch": "22 L", "day.tap": "13 C"}.get(key, "50 min"))
        settled(page)
        box = field.bounding_box()
        top = page.locator("#moved-bar").bounding_box()["y"]
        assert box["y"] >= 0 and box["y"] + box["height"] <= top, key


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_a_wish_that_cannot_be_is_said_where_the_person_is(
    open_page: Open, width: int, height: int
) -> None:
    page = open_page(PLAN, width=width)
    page.set_viewport_size({"width": width, "height": height})
    settled(page)
    field = field_of(page, "recipe.batch")
    field.evaluate("e => e.scrollIntoView({block: 'center'})")
    before = field.bounding_box()["y"]
    typed(page, "recipe.batch", "60 L")
    cant = page.locator("#cant .cant")
    cant.wait_for()
    settled(page)
    box = cant.bounding_box()
    assert box["y"] >= 0 and box["y"] + box["height"] <= height
    assert abs(field.bounding_box()["y"] - before) < 1.0
    assert "because" in cant.inner_text()
    assert "Can't, because Can't" not in page.locator("main").inner_text()
    assert page.locator("#cant").get_attribute("aria-live") == "polite"
    page.get_by_role("button", name="Take it").first.click()
    page.locator("#cant .cant").wait_for(state="detached")
    settled(page)
    assert re.fullmatch(r"[0-9.]+ L", field.input_value())
    assert field.input_value() != "60 L"
    page.get_by_role("button", name="Undo").click()
    assert field.input_value() == "60 L"


def test_what_was_said_of_the_last_act_goes_with_the_next(open_page: Open) -> None:
    page = open_page(PLAN)
    settled(page)
    typed(page, "recipe.batch", "22 L")
    settled(page)
    page.get_by_role("button", name="Put all back").click()
    page.get_by_text("All is as it is kept.").wait_for()
    typed(page, "recipe.batch", "21 L")
    settled(page)
    assert page.locator("#said").text_content() == ""
    assert "It follows:" in page.locator(".bar-line").inner_text()


def test_a_number_alone_takes_the_unit_that_stood_there(open_page: Open) -> None:
    page = open_page(PLAN)
    settled(page)
    typed(page, "recipe.batch", "21.5")
    assert field_of(page, "recipe.batch").input_value() == "21.5 L"
    typed(page, "recipe.batch", "6 US gal")
    typed(page, "recipe.batch", "5.5")
    assert field_of(page, "recipe.batch").input_value() == "5.5 US gal"
    page.locator("summary", has_text="d3 Saaz").click()
    typed(page, "recipe.hops.2.when", "15")
    assert field_of(page, "recipe.hops.2.when").input_value() == "15 min into rest"
    settled(page)
    assert "Batch, cold: 23 L → 5.5 US gal" in followed(page)
    assert page.locator("[aria-invalid]").count() == 0


def test_one_bad_field_does_not_stop_the_others(open_page: Open) -> None:
    page = open_page(PLAN)
    settled(page)
    typed(page, "recipe.batch", "abc")
    page.locator('[data-key="recipe.batch"]').get_by_text("`abc`").wait_for()
    typed(page, "recipe.whirlpool.rest", "40 min")
    settled(page)
    assert "Rest: 18 min → 40 min" in followed(page)
    assert "Length of the day: 4:36 →" in followed(page)
    assert "Left out, for it cannot be read: Batch, cold." in page.locator("#old").inner_text()
    assert field_of(page, "recipe.batch").get_attribute("aria-invalid") == "true"
    assert field_of(page, "recipe.batch").input_value() == "abc"


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("width", [360, 1600])
def test_no_barriers_while_it_is_old_or_does_not_fit(
    open_page: Open, no_barriers: Callable[[Any], None], eyes: Any, width: int, dark: bool
) -> None:
    page = open_page(PLAN, width=width, dark=dark)
    settled(page)
    typed(page, "recipe.batch", "60 L")
    page.locator("#cant .cant").wait_for()
    settled(page)
    no_barriers(page)
    typed(page, "recipe.batch", "abc")
    settled(page)
    page.context.set_offline(True)
    typed(page, "recipe.whirlpool.rest", "33 min")
    page.locator("#plan.is-old").wait_for()
    no_barriers(page)
    page.context.set_offline(False)
    settled(page)
    eyes.troubles.clear()


def test_a_window_of_a_hand_s_breadth_is_no_mistake(open_page: Open) -> None:
    page = open_page(PLAN, width=120)
    settled(page)
    typed(page, "recipe.whirlpool.rest", "40 min")
    settled(page)
    assert page.locator("#old").text_content() == ""
    assert "Rest: 18 min → 40 min" in followed(page)


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_the_page_prints_the_same_whatever_the_screen(
    open_page: Open, width: int, height: int
) -> None:
    page = open_page(PLAN, width=width)
    page.set_viewport_size({"width": width, "height": height})
    settled(page)
    typed(page, "recipe.whirlpool.rest", "40 min")
    settled(page)
    made = page.pdf(format="A4")
    assert len(re.findall(rb"/Type\s*/Page\b", made)) == 3
    page.emulate_media(media="print")
    shown = page.locator("svg:visible")
    assert shown.count() == 1
    assert "as it was before" in (shown.text_content() or "")
    assert page.locator("#moved-bar button:visible").count() == 0


def test_two_pages_move_the_same_plan_and_both_are_kept(
    open_page: Open, server: Running, eyes: Any
) -> None:
    mine, other = open_page(PLAN), open_page(PLAN)
    for page, key, text in ((other, "recipe.boil.for", "70 min"),
                            (mine, "recipe.whirlpool.rest", "25 min")):  # fmt: skip
        settled(page)
        typed(page, key, text)
        settled(page)
    other.locator("#why-line").fill("a longer boil")
    other.get_by_role("button", name="Accept").click()
    other.get_by_text("Kept as new revisions").wait_for()
    mine.get_by_role("button", name="Accept").click()
    newer = mine.locator("#newer")
    newer.wait_for()
    assert "was changed elsewhere since: a longer boil." in newer.inner_text()
    look = newer.get_by_role("link", name="Look at what changed")
    shown = mine.context.request.get(server.url + look.get_attribute("href"))
    assert "for: 70 min" in shown.text()
    mine.get_by_role("button", name="Keep mine on top").click()
    mine.locator("#nothing-moved").wait_for()
    settled(mine)
    text = server.services.documents.latest(2).text
    assert "for: 70 min" in text
    assert "rest: 25 min" in text
    assert field_of(mine, "recipe.boil.for").input_value() == "70 min"
    assert field_of(mine, "recipe.whirlpool.rest").input_value() == "25 min"
    eyes.troubles.clear()
