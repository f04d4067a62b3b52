"""Parts and joins changed by form: a wrong value stays where it was typed; a step can be undone."""

import re
from html import unescape
from typing import Any

import pytest
from served import Visitor


def carried(page: str, form: str) -> str:
    """Return the text that a form carries, as a browser would send it."""
    part = page.partition(f'id="{form}"')[2]
    found = re.search(r"<textarea[^>]*>\n(.*?)</textarea>", part, re.DOTALL)
    assert found
    return unescape(found[1])


def change(visitor: Visitor, text: str, **fields: str) -> Any:
    typed = {"text": text, "parent": "1", "act": "change", "name": fields.get("part", ""), **fields}
    return visitor.post("/pipes/1/edit", data=typed)


@pytest.fixture
def text(visitor: Visitor) -> str:
    return carried(visitor.see("/pipes/1/edit").text, "keep")


@pytest.mark.parametrize("value", ["-3", "3 kg", "long"])
def test_a_value_that_cannot_be_stays_beside_its_field(
    visitor: Visitor, text: str, value: str
) -> None:
    done = change(visitor, text, part="H1", field="length", value=value)
    assert done.status_code == 422
    page = done.text
    assert "Not done" in page
    assert "is now" not in page
    assert carried(page, "keep") == text
    own = page.partition('<details data-key="H1" open>')[2].partition("</details>")[0]
    assert f'value="{value}"' in own
    assert "<option selected>length</option>" in own
    assert f"<code>{value}</code>" in own.partition('id="wrong-here"')[2]
    assert page.count('id="wrong-here"') == 1


def test_a_name_that_is_taken_is_said_at_its_part_and_at_the_new_one(
    visitor: Visitor, text: str
) -> None:
    page = change(visitor, text, part="H1", name="H2", field="length", value="").text
    own = page.partition('<details data-key="H1" open>')[2].partition("</details>")[0]
    assert "There is a part <code>H2</code> already." in own
    assert 'name="name" value="H2"' in own
    page = change(visitor, text, act="add", part="", name="H2", kind="valve2").text
    assert 'id="add-name" name="name" value="H2"' in page
    assert '<option value="valve2" selected>' in page
    assert page.index("There is a part") > page.index('id="add-name"')


def test_a_new_length_says_that_the_hold_up_is_as_typed(visitor: Visitor, text: str) -> None:
    page = change(visitor, text, part="H1", field="length", value="4 ft").text
    assert "length of H1 is now 4 ft." in page
    assert "Its hold_up stays 0.12 L, as typed." in page
    after = carried(page, "keep")
    done = change(visitor, after, act="follow", part="H1").text
    assert "The hold-up of H1 follows from its length and bore again." in done
    made = carried(done, "keep")
    row = next(line for line in made.splitlines() if "name: H1" in line)
    assert "hold_up" not in row
    assert "length: 4 ft" in row
    # a height says nothing of what is held
    page = change(visitor, text, part="H1", field="height", value="0.3 m").text
    assert "hold_up stays" not in page
    page = change(visitor, made, part="H1", field="length", value="1 m").text
    assert "hold_up stays" not in page


def test_the_last_change_can_be_undone(visitor: Visitor, text: str) -> None:
    first = visitor.see("/pipes/1/edit").text
    assert re.search(r'<form id="undo"[^>]* hidden>', first)
    page = change(visitor, text, part="H1", act="remove").text
    assert not re.search(r'<form id="undo"[^>]* hidden>', page)
    assert carried(page, "undo") == text
    back = change(visitor, carried(page, "undo"), act="undo").text
    assert "The last change is taken back." in back
    assert carried(back, "keep") == text
    assert "Nothing is changed yet." in back
