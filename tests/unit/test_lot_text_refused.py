"""A text file with many lines of one fault says it once, and counts them."""

from wortline.lot.text import read_text

NEWER = '{"schema": "lot/2", "id": "x", "event": {"kind": "note", "text": "later"}}'


def test_one_reason_is_said_once_for_all_its_lines():
    text = "\n".join(["The record (lot/1, 155 entries)", *[NEWER] * 155])
    said = read_text(text).problems
    newer = [each for each in said if "by a newer Wortline" in each]
    assert len(newer) == 1
    assert newer[0].startswith("155 lines, from line 2 to line 156: ")


def test_a_single_line_keeps_its_number():
    text = "\n".join(["The record (lot/1, 1 entries)", NEWER])
    assert any(each.startswith("line 2: ") for each in read_text(text).problems)
