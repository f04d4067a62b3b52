"""Parts are ticked: which have their clean mark, and which are left wet."""

from decks import Hands


def to_the_marks(hands: Hands) -> None:
    hands.tap("Begin: Set up")
    for _ in range(12):
        if "Tick the parts" in hands.words:
            return
        hands.tap("Skip" if hands.first.inner_text().startswith("Enter") else "Done")
        if hands.words.startswith("Skip this step?"):
            hands.tap("Skip it")
    raise AssertionError(hands.words)


def test_clean_marks_are_ticked_by_part(hands: Hands) -> None:
    to_the_marks(hands)
    assert "none ticked" in hands.first.inner_text()
    for part in ("H3", "chiller", "V2", "V2"):
        hands.page.get_by_role("button", name=part, exact=True).click()
    pressed = hands.page.locator('.part[aria-pressed="true"]').all_inner_texts()
    assert [each.split()[0] for each in pressed] == ["H3", "chiller"]
    assert "2 of" in hands.first.inner_text()
    hands.tap("Done")
    told = [each for each in hands.events() if each["kind"] == "surface"]
    assert [(each["part"], each["now"]) for each in told] == [
        ("H3", "sanitised"), ("chiller", "sanitised")
    ]  # fmt: skip
    done = [each for each in hands.events() if each["kind"] == "step done"]
    assert done[-1]["step"] == "setup/marks"
