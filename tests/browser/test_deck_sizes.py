"""What wet gloves and far eyes need: sizes, gaps, digits, and nothing in the way."""

from collections.abc import Callable
from functools import partial
from typing import Any

from decks import Hands

TARGET_PX, GAP_PX, DIGITS_PX = 82, 8, 96
BOXES = """() => [...document.querySelectorAll("button, a, input, textarea, select")]
  .filter((each) => each.checkVisibility()).map((each) => {
    const box = each.getBoundingClientRect();
    return {name: each.innerText.slice(0, 30), left: box.left, top: box.top, right: box.right,
            bottom: box.bottom, scrolls: Boolean(each.closest(".scroll"))};
  })"""


def crowded(page: Any) -> list[str]:
    """Targets that are too small, or too near to another one."""
    boxes = page.evaluate(BOXES)
    small = [
        f"{each['name']}: {each['right'] - each['left']:.0f} x {each['bottom'] - each['top']:.0f}"
        for each in boxes
        if min(each["right"] - each["left"], each["bottom"] - each["top"]) < TARGET_PX
    ]
    near = [
        f"{a['name']} and {b['name']}"
        for place, a in enumerate(boxes)
        for b in boxes[place + 1 :]
        if a["scrolls"] == b["scrolls"] and apart(a, b) < GAP_PX
    ]
    return small + near


def apart(a: Any, b: Any) -> float:
    """The free space between two boxes, the wider of both ways [px]."""
    across = max(a["left"] - b["right"], b["left"] - a["right"])
    along = max(a["top"] - b["bottom"], b["top"] - a["bottom"])
    return float(max(across, along))


def fits(hands: Hands, no_barriers: Callable[[Any], None], seen: list[str], name: str) -> None:
    """Look at what the screen shows now."""
    seen.append(name)
    assert crowded(hands.page) == [], name
    assert hands.page.evaluate("document.documentElement.scrollWidth") <= 360, name
    hands.looked_at(no_barriers)


def test_correcting_has_large_targets_too(hands: Hands, no_barriers: Callable[[Any], None]) -> None:
    look = partial(fits, hands, no_barriers, [])
    hands.tap("Other")
    hands.tap("A reading")
    hands.tap("Before the boil: gravity")
    hands.read("1.034", warm="20 C")
    hands.tap("Other")
    hands.tap("A handle")
    hands.tap("V1: arm")
    hands.tap("Other")
    hands.tap("What is written")
    look("what is written")
    hands.tap("Correct: V1")
    look("correct a handle")
    hands.tap("V1: chiller")
    hands.tap("Correct: Before the boil")
    look("correct a reading")
    hands.read("1.044", warm="20 C")
    hands.tap("Take back: Before the boil")
    look("take back")
    hands.tap("Take it back")
    look("corrected and taken back")


def test_every_target_is_large_and_apart(hands: Hands, no_barriers: Callable[[Any], None]) -> None:
    seen: list[str] = []
    look = partial(fits, hands, no_barriers, seen)
    look("before the day")
    hands.tap("Alarms not on")
    look("alarms on")
    hands.tap("Other")
    look("other")
    for name in ("A reading", "A handle", "Something is off", "A note", "Pump on"):
        hands.tap(name)
        look(name)
        hands.tap("Back")
        hands.tap("Other")
    hands.tap("Power or heat was off")
    look("interruption")
    hands.tap("Back")
    hands.tap("Skip")
    look("asked twice")
    hands.tap("Leave it out")
    hands.tap("Begin: Fill")
    look("filling")
    hands.tap("Enter the reading")
    look("keys")
    hands.read("35.0")
    look("how warm")
    hands.tap("14 C")
    hands.tap("Done")
    hands.tap("Begin: Heat the water")
    look("heating, with meanwhile and alarms")
    assert len(seen) > 10


def test_what_comes_while_a_finger_is_down_takes_no_touch_away(hands: Hands) -> None:
    """The first touch unlocks the sound, and with it the key beside changes its words."""
    box = hands.page.get_by_role("button", name="Other").bounding_box()
    hands.page.mouse.move(box["x"] + 0.5 * box["width"], box["y"] + 0.5 * box["height"])
    hands.page.mouse.down()
    hands.passes(0.01)
    assert "Alarms not on" in hands.page.locator(".wake").inner_text()
    hands.page.mouse.up()
    hands.page.get_by_role("button", name="A reading").wait_for()
    hands.tap("Back")
    hands.passes(0.01)
    assert hands.page.locator(".wake").inner_text().startswith("Alarms on")


def test_the_digits_read_across_the_room(hands: Hands) -> None:
    hands.tap("Skip")
    hands.tap("Leave it out")
    hands.tap("Begin: Fill")
    assert inked_px(hands.page) >= DIGITS_PX


def inked_px(page: Any) -> int:
    """How high the ink of the digits is, counted in the rows of a picture [px]."""
    import base64

    picture = base64.b64encode(page.locator(".clock svg").screenshot()).decode()
    return int(
        page.evaluate(
            """async (data) => {
              const image = new Image();
              image.src = "data:image/png;base64," + data;
              await image.decode();
              const canvas = document.createElement("canvas");
              [canvas.width, canvas.height] = [image.width, image.height];
              const pen = canvas.getContext("2d");
              pen.drawImage(image, 0, 0);
              const {data: dots} = pen.getImageData(0, 0, image.width, image.height);
              let rows = 0;
              for (let y = 0; y < image.height; y++) {
                let dark = false;
                const row = 4 * y * image.width;
                for (let x = 0; x < image.width; x++) dark ||= dots[row + 4 * x] < 128;
                rows += dark;
              }
              return rows;
            }""",
            picture,
        )
    )


def test_without_colour_and_sound_everything_is_told(hands: Hands) -> None:
    """Standing and alarms are words or signs, and the alarm is seen as a frame that turns."""
    hands.page.emulate_media(forced_colors="active")
    assert "Sound is off. Touch here" in hands.page.locator(".head").inner_text()
    hands.tap("Skip")
    hands.tap("Leave it out")
    hands.tap("Begin: Fill")
    hands.tap("Not yet")
    hands.passes(2.02)
    assert "Touch here: heard" in hands.page.locator(".ring").inner_text()
    frame = 'getComputedStyle(document.body, "::after")'
    assert hands.page.evaluate(f"{frame}.animationName") == "frame"
    assert float(hands.page.evaluate(f"parseFloat({frame}.animationDuration)")) >= 2 / 3
    assert hands.page.evaluate("document.documentElement.className") == "ringing"
    hands.hear()
    assert hands.page.evaluate("document.documentElement.className") == ""
    assert "Due and not done" in hands.page.locator(".side").inner_text()


def test_on_its_side_a_phone_shows_the_step_and_every_key(hands: Hands) -> None:
    hands.skip_phase()
    hands.tap("Begin: Fill")
    hands.page.set_viewport_size({"width": 640, "height": 360})
    hands.passes(0.01)
    foot = hands.page.locator(".foot").bounding_box()["y"]
    heading = hands.page.locator(".next h1").bounding_box()
    assert heading["height"] > 0
    assert heading["y"] >= 0
    assert heading["y"] + heading["height"] <= foot
    assert hands.page.locator(".clock svg").bounding_box()["height"] >= 60
    assert crowded(hands.page) == []
    hands.tap("Enter the reading")
    for key in hands.page.locator(".keys button").all():
        box = key.bounding_box()
        assert box["y"] >= 0
        assert box["y"] + box["height"] <= 360
    assert crowded(hands.page) == []
    hands.tap("Back")
    assert "Fill 35.1 L" in hands.words


def test_the_keys_stay_where_they_are_when_a_number_is_refused(hands: Hands) -> None:
    hands.tap("Other")
    hands.tap("A reading")
    hands.tap("Clean flow")
    unit = hands.page.locator(".unit").nth(1)
    assert unit.evaluate("(each) => each.scrollWidth <= each.clientWidth")
    before = hands.page.get_by_role("button", name="7", exact=True).bounding_box()
    hands.key("999")
    hands.tap("Keep")
    assert "It can be" in hands.page.locator(".told").inner_text()
    assert hands.page.get_by_role("button", name="7", exact=True).bounding_box() == before
