"""The plan page in a real browser: levers, how fast it answers, undo, silence, keyboard, axe."""

import os
import re
import statistics
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from served import Running, Served

Open = Callable[..., Any]
EXAMPLES = Path(__file__).parents[2] / "examples"
PLAN = "/plan/2?rig=1&day=3"
REDRAW_MS = 100.0

TIMED = """
async (steps) => {
  const slider = document.querySelector('[data-key="recipe.whirlpool.rest"] input[type=range]');
  const strip = document.getElementById("strip");
  const taken = [];
  for (const value of steps) {
    const drawn = new Promise((done) => {
      const seen = new MutationObserver(() => {
        seen.disconnect();
        // the next frame has the new picture on it
        requestAnimationFrame(() => {
          const channel = new MessageChannel();
          channel.port1.onmessage = () => done(performance.now());
          channel.port2.postMessage(0);
        });
      });
      seen.observe(strip, { childList: true, subtree: true });
    });
    const start = performance.now();
    slider.value = String(value);
    slider.dispatchEvent(new Event("input", { bubbles: true }));
    taken.push((await drawn) - start);
  }
  slider.dispatchEvent(new Event("change", { bubbles: true }));
  return taken;
}
"""


def settled(page: Any) -> None:
    """Wait until everything on the page is the newest."""
    newest = page.locator("#plan[data-ready]:not([aria-busy]):not(.is-old) #strip svg")
    newest.first.wait_for(state="attached")


def followed(page: Any) -> str:
    """What was moved and what follows, as it stands behind its button."""
    return " ".join((page.locator("#changed").text_content() or "").split())


def lever(page: Any, key: str) -> Any:
    return page.locator(f'[data-key="{key}"]')


def typed(page: Any, key: str, text: str) -> None:
    field = lever(page, key).locator("input[type=text]")
    field.fill(text)
    field.press("Enter")


def test_a_slider_redraws_in_a_tenth_of_a_second(open_page: Open) -> None:
    page = open_page(PLAN, width=1600)
    settled(page)
    page.evaluate(TIMED, [20, 21])
    began_s = time.process_time()
    taken = page.evaluate(TIMED, list(range(22, 46)))
    worked_ms = 1000.0 * (time.process_time() - began_s) / len(taken)
    median_ms = statistics.median(taken)
    # How many others wait for each processor: alone, the page has a tenth of a second.
    waiting = os.getloadavg()[0] / (os.cpu_count() or 1)
    print(
        f"slider to redraw: median {median_ms:.0f} ms, fastest {min(taken):.0f}, slowest"
        f" {max(taken):.0f}, of {len(taken)}; server's processor {worked_ms:.0f} ms each;"
        f" load {waiting:.1f} for each processor"
    )
    assert worked_ms < REDRAW_MS
    assert median_ms < REDRAW_MS * max(1.0, 2.0 * waiting)


def test_what_moved_and_what_follows_stand_in_words(open_page: Open) -> None:
    page = open_page(PLAN)
    settled(page)
    typed(page, "recipe.whirlpool.rest", "40 min")
    settled(page)
    assert "Length of the day: 4:36 → 4:5" in page.locator("#line").inner_text()
    page.get_by_role("button", name="What follows").click()
    page.get_by_text("Rest: 18 min → 40 min").wait_for()
    changed = followed(page)
    assert "Length of the day: 4:36 → 4:5" in changed
    assert "was 18 min" in lever(page, "recipe.whirlpool.rest").inner_text()
    assert page.locator("#others .was").count() >= 1
    assert "as it was before" in page.locator("#strip").inner_text()


def test_undo_and_redo_by_buttons_and_keys(open_page: Open) -> None:
    page = open_page(PLAN)
    settled(page)
    rest = lever(page, "recipe.whirlpool.rest").locator("input[type=text]")
    held = lever(page, "recipe.whirlpool.lid").locator("select")
    typed(page, "recipe.whirlpool.rest", "30 min")
    held.select_option("on")
    page.get_by_role("button", name="Undo").click()
    assert (rest.input_value(), held.input_value()) == ("30 min", "off")
    page.keyboard.press("Control+z")
    assert rest.input_value() == "18 min"
    assert page.get_by_role("button", name="Undo").is_disabled()
    page.keyboard.press("Control+Shift+z")
    assert rest.input_value() == "30 min"
    page.keyboard.press("Control+y")
    assert held.input_value() == "on"
    assert page.get_by_role("button", name="Redo").is_disabled()
    settled(page)
    assert "Lid after heat-off: off → on" in followed(page)


def test_sliding_is_one_step(open_page: Open) -> None:
    page = open_page(PLAN)
    settled(page)
    page.evaluate(TIMED, [25, 30, 35])
    page.get_by_role("button", name="Undo").click()
    field = lever(page, "recipe.whirlpool.rest").locator("input[type=text]")
    assert field.input_value() == "18 min"
    assert page.get_by_role("button", name="Undo").is_disabled()


def test_accepting_keeps_it_and_undo_reaches_across(open_page: Open, server: Running) -> None:
    page = open_page(PLAN)
    settled(page)
    typed(page, "recipe.whirlpool.rest", "25 min")
    typed(page, "day.tap", "16 C")
    page.locator("#why-line").fill("a warmer week")
    page.get_by_role("button", name="Accept").click()
    page.get_by_text("Kept as new revisions").wait_for()
    recipe = server.services.documents.latest(2)
    assert "rest: 25 min" in recipe.text
    assert recipe.why == "a warmer week"
    settled(page)
    assert followed(page) == ""
    page.get_by_role("button", name="Undo").click()
    settled(page)
    assert "Tap water: 16 C → 14 C" in followed(page)
    page.get_by_role("button", name="Accept").click()
    page.locator("#nothing-moved").wait_for()
    assert "tap: 14 C" in server.services.documents.latest(3).text


def test_what_was_moved_outlives_a_reload(open_page: Open) -> None:
    page = open_page(PLAN)
    settled(page)
    page.locator("summary", has_text="d1 Magnum").click()
    typed(page, "recipe.hops.0.mass", "30 g")
    settled(page)
    page.reload()
    settled(page)
    assert "d1 Magnum, mass: 22 g → 30 g" in followed(page)
    page.get_by_role("button", name="Undo").click()
    settled(page)
    assert followed(page) == ""


def test_a_refused_value_is_said_at_its_field(open_page: Open, eyes: Any) -> None:
    page = open_page(PLAN)
    settled(page)
    typed(page, "recipe.whirlpool.rest", "a while")
    field = lever(page, "recipe.whirlpool.rest")
    field.get_by_text("is not a time").wait_for()
    assert field.locator("input[type=text]").get_attribute("aria-invalid") == "true"
    assert field.locator("input[type=text]").input_value() == "a while"
    settled(page)
    assert "Left out, for it cannot be read: Rest." in page.locator("#old").inner_text()
    typed(page, "recipe.whirlpool.rest", "20 min")
    settled(page)
    assert page.locator("#old").inner_text() == ""
    eyes.troubles.clear()


def test_silence_marks_the_numbers_old_and_mends_itself(
    open_page: Open, eyes: Any, serve: Callable[..., Running]
) -> None:
    first = Served(serve().services)
    running = first.__enter__()
    page = open_page(PLAN, base_url=running.url)
    settled(page)
    first.__exit__()
    typed(page, "recipe.whirlpool.rest", "33 min")
    page.locator("#plan.is-old").wait_for(timeout=3000)
    assert "the server does not answer" in page.locator("#old").inner_text()
    number = page.locator("#numbers .number").first
    assert "(old)" in number.evaluate("e => getComputedStyle(e, '::after').content")
    with Served(running.services, int(running.url.rpartition(":")[2])):
        settled(page)
        assert page.locator("#old").inner_text() == ""
        assert "Rest: 18 min → 33 min" in followed(page)
        page.context.set_offline(True)
        typed(page, "recipe.whirlpool.rest", "34 min")
        page.locator("#plan.is-old").wait_for(timeout=3000)
        page.context.set_offline(False)
        settled(page)
        assert "Rest: 18 min → 34 min" in followed(page)
    eyes.troubles.clear()


def test_by_keyboard_alone(open_page: Open) -> None:
    page = open_page(PLAN)
    settled(page)
    slider = lever(page, "recipe.whirlpool.rest").locator("input[type=range]")
    slider.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    settled(page)
    assert slider.get_attribute("aria-valuetext") == "20 min"
    assert "Rest: 18 min → 20 min" in followed(page)
    page.keyboard.press("Control+z")
    page.keyboard.press("Control+z")
    settled(page)
    assert slider.input_value() == "18"
    number = page.locator("#numbers a.why-link").nth(3)
    number.focus()
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="Bitterness of the young beer").wait_for()
    page.keyboard.press("Escape")
    assert not page.locator("#why").is_visible()
    assert number.evaluate("e => e === document.activeElement")


@pytest.mark.parametrize("width", [360, 1600])
def test_the_focus_never_hides_under_the_bar(open_page: Open, width: int) -> None:
    page = open_page(PLAN, width=width)
    settled(page)
    page.get_by_role("slider").first.press("ArrowRight")
    page.locator("#changed li").first.wait_for(state="attached")
    settled(page)
    page.locator("main").focus()
    hidden = """() => {
      const has = document.activeElement;
      const bar = document.querySelector(".moved");
      if (has === document.body || bar.contains(has)) return "";
      const box = has.getBoundingClientRect();
      const under = document.elementFromPoint(box.left + box.width / 2, box.top + 4);
      return bar.contains(under) ? has.outerHTML.slice(0, 90) : "";
    }"""
    found = []
    for _ in range(70):
        page.keyboard.press("Tab")
        found.append(page.evaluate(hidden))
    assert set(found) == {""}


def test_us_units_with_one_touch(open_page: Open) -> None:
    page = open_page(PLAN)
    page.get_by_role("button", name="Change to US units").click()
    page.get_by_role("button", name="Change to metric units").wait_for()
    settled(page)
    assert "US gal" in page.locator("#numbers").inner_text()
    assert "°F" in page.locator("#strip").inner_text()
    typed(page, "day.tap", "70 F")
    settled(page)
    assert "Tap water: 57.2 F → 70 F" in followed(page)


def test_levers_speak_us_units_and_write_only_what_moved(
    open_page: Open, server: Running
) -> None:
    page = open_page("/")
    page.get_by_role("button", name="Change to US units").click()
    page.get_by_role("button", name="Change to metric units").wait_for()
    page.goto(PLAN)
    settled(page)
    page.locator("summary", has_text="d1 Magnum").click()
    shown = {
        key: lever(page, key).locator("input[type=text]").input_value()
        for key in ("recipe.whirlpool.rest", "recipe.chill.to", "recipe.batch", "day.tap",
                    "recipe.hops.0.mass", "recipe.hops.0.when")
    }  # fmt: skip
    # 23 L are 6.08 US gal (231 cubic inches), 22 g are 0.78 oz (28.35 g); F = C x 9 / 5 + 32
    assert shown == {
        "recipe.whirlpool.rest": "18 min", "recipe.chill.to": "64.4 F",
        "recipe.batch": "6.08 US gal", "day.tap": "57.2 F", "recipe.hops.0.mass": "0.78 oz",
        "recipe.hops.0.when": "60 min",
    }  # fmt: skip
    slider = lever(page, "recipe.hops.0.mass").locator("input[type=range]")
    assert slider.get_attribute("aria-valuetext") == "0.78 oz"
    slider.focus()
    page.keyboard.press("ArrowRight")
    assert slider.get_attribute("aria-valuetext") == "0.85 oz"
    settled(page)
    assert "mass: 0.78 oz → 0.85 oz" in followed(page)
    page.get_by_role("button", name="Accept").click()
    page.get_by_text("Kept as new revisions").wait_for()
    store = server.services.documents
    assert store.latest(2).text == store.revision(2).text.replace("mass: 22 g", "mass: 0.85 oz")
    assert store.latest(3).number == 3
    # back across what was kept: what was typed first stands there again, to the letter
    page.get_by_role("button", name="Undo").click()
    field = lever(page, "recipe.hops.0.mass").locator("input[type=text]")
    assert field.input_value() == "0.78 oz"
    assert "was 0.85 oz" in lever(page, "recipe.hops.0.mass").inner_text()
    page.get_by_role("button", name="Accept").click()
    page.locator("#nothing-moved").wait_for()
    assert store.latest(2).text == store.revision(2).text


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("width", [360, 1600])
def test_no_barriers(
    open_page: Open, no_barriers: Callable[[Any], None], width: int, dark: bool
) -> None:
    page = open_page(PLAN, width=width, dark=dark)
    settled(page)
    typed(page, "recipe.whirlpool.rest", "31 min")
    settled(page)
    no_barriers(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.locator("#numbers a.why-link").first.click()
    page.get_by_role("heading", name="Wort in the fermenter").wait_for()
    no_barriers(page)


@pytest.mark.parametrize("path", ["/plan", "/plan/2/print?rig=1&day=3",
                                  "/plan/2/show.html?rig=1&day=3"])  # fmt: skip
@pytest.mark.parametrize("width", [360, 1600])
def test_no_barriers_on_the_other_pages(
    open_page: Open, no_barriers: Callable[[Any], None], path: str, width: int
) -> None:
    page = open_page(path, width=width)
    no_barriers(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize(
    ("recipe", "rig", "pages"),
    [("rainday-pale", "shed-two-valves", 2), ("fogbank-hazy", "shed-two-valves", 2),
     ("rainday-pale", "shed-45", 1), ("lantern-strong-lager", "shed-45", 1)],
)  # fmt: skip
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_print_view_is_one_page_and_one_of_pipes(
    open_page: Open, server: Running, paper: str, recipe: str, rig: str, pages: int
) -> None:
    store = server.services.documents
    numbers = [
        store.save(kind, name, (EXAMPLES / f"{name}.yaml").read_text()).document
        for kind, name in (("recipe", recipe), ("rig", rig))
    ]
    page = open_page(f"/plan/{numbers[0]}/print?rig={numbers[1]}&day=3")
    made = page.pdf(format=paper)
    assert len(re.findall(rb"/Type\s*/Page\b", made)) == pages
    page.emulate_media(media="print")
    smallest = page.evaluate("""() => Math.min(...[...document.querySelectorAll('.sheet-day span')]
        .filter((each) => each.textContent.trim() && !each.closest('.to-write'))
        .map((each) => parseFloat(getComputedStyle(each).fontSize) * 0.75))""")
    assert round(smallest, 2) >= 8.5
    assert page.locator("header.top").is_visible() is False


def test_the_shown_page_needs_no_network(open_page: Open, eyes: Any, tmp_path: Any) -> None:
    page = open_page("/plan/2/show.html?rig=1&day=3")
    file = tmp_path / "show.html"
    file.write_text(page.context.request.get(page.url).text(), encoding="utf-8")
    page.context.set_offline(True)
    eyes.asked.clear()
    page.goto(file.as_uri())
    assert eyes.asked == [file.as_uri()]
    eyes.asked.clear()
    assert page.get_by_role("heading", name="Rainday Pale").is_visible()
    # the style came along
    assert page.locator("svg:visible").count() >= 1
    assert page.locator("div.narrow").first.is_visible() is False
