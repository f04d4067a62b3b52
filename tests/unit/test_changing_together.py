"""Several changes of a document at once are the same as one after the other."""

from itertools import permutations

import pytest

from wortline.app.changing import Edit, changed

TEXT = """\
schema: recipe/1
name: 'A trial'  # mine
batch: 20 L
hops:
  - {name: Bramling, mass: 30 g, when: 60 min}
  - {name: Late one, mass: 20 g}
whirlpool:
  pump: 3 min
  rest: 15 min  # as ever
boil: {for: 60 min}
"""
EDITS = (
    Edit((), {"batch": "21.5 L"}),
    Edit(("hops", 0), {"mass": "28 g", "alpha": "6 %"}),
    Edit(("hops", 0), {"when": None}),
    Edit(("hops", 1), {"mass": "25 g"}),
    Edit(("whirlpool",), {"rest": "20 min"}),
    Edit(("whirlpool",), {"lid": "on"}),
    Edit(("chill",), {"to": "18 C"}),
    Edit(("chill",), {"way": "one pass"}),
    Edit(("boil",), {"for": None}),
)


@pytest.mark.parametrize("count", [2, 3])
def test_changes_at_once_are_the_same_as_one_after_the_other(count: int) -> None:
    for edits in permutations(EDITS, count):
        one_by_one = TEXT
        for edit in edits:
            one_by_one = changed(one_by_one, [edit])
        assert changed(TEXT, edits) == one_by_one, edits
        assert "# mine" in one_by_one
        assert "# as ever" in one_by_one


def test_changes_that_are_apart_are_all_made() -> None:
    assert changed(TEXT, [EDITS[0], EDITS[3], EDITS[4]]) == TEXT.replace("20 L", "21.5 L").replace(
        "mass: 20 g", "mass: 25 g"
    ).replace("15 min", "20 min")
