"""A changed value changes its own letters and nothing else of the document."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wortline.app.changing import Edit, Unchangeable, changed, opened_again, scalar, value_at
from wortline.documents.reading import read

RECIPE = """\
# My own words stay.
schema: recipe/1
name: "Rain # day"            # in quotes
batch: 23 L                      # cold, in the fermenter
grist:
  - {malt: pale, mass: 4.80 kg, extract: 79 %}   # as is

  - malt: munich
    mass: 0.50 kg
mash: {rests: [{at: 66 C, for: 60 min}], water: all}
boil: {for: 60 min, lid: off}
hops:
  - {hop: Magnum, mass: 22 g, alpha: {value: 13 %, spread: 0.5 %, from: typical}, when: 60 min}
  - hop: Saaz
    mass: 40 g     # weighed
    when: heat-off
    held: free
chill: {to: 18 C, at: 2.5 K/min}   # slow
yeast: {kind: clean American ale}
# the end
"""


def lines_apart(before: str, after: str) -> list[str]:
    old, new = before.split("\n"), after.split("\n")
    assert len(old) == len(new)
    return [b for a, b in zip(old, new, strict=True) if a != b]


@pytest.mark.parametrize(
    ("edit", "line"),
    [
        (Edit((), {"batch": "21 L"}), "batch: 21 L                      # cold, in the fermenter"),
        (
            Edit(("hops", 0), {"alpha": "11.5 %"}),
            "  - {hop: Magnum, mass: 22 g, alpha: {value: 11.5 %, spread: 0.5 %, from: typical},"
            " when: 60 min}",
        ),
        (Edit(("hops", 1), {"mass": "55 g"}), "    mass: 55 g     # weighed"),
        (Edit(("chill",), {"at": "instant"}), "chill: {to: 18 C, at: instant}   # slow"),
        (
            Edit(("chill",), {"at": None, "with": "plate", "how": "circulate"}),
            "chill: {to: 18 C, with: plate, how: circulate}   # slow",
        ),
        (Edit(("boil",), {"lid": None}), "boil: {for: 60 min}"),
        (Edit(("boil",), {"for": None}), "boil: {lid: off}"),
        (
            Edit(("hops", 0), {"held": "bag"}),
            "  - {hop: Magnum, mass: 22 g, alpha: {value: 13 %, spread: 0.5 %, from: typical},"
            " when: 60 min, held: bag}",
        ),
        (Edit((), {"name": "It's: [new]"}), "name: 'It''s: [new]'            # in quotes"),
    ],
)
def test_one_line_changes(edit: Edit, line: str) -> None:
    assert lines_apart(RECIPE, changed(RECIPE, [edit])) == [line]


def test_a_missing_part_is_added_at_the_end() -> None:
    edit = Edit(("whirlpool",), {"rest": "15 min", "pump": "3 min"})
    after = changed(RECIPE, [edit])
    assert after == RECIPE.replace(
        "ale}\n", "ale}\nwhirlpool: {rest: 15 min, pump: 3 min}\n"
    )
    assert value_at(after, ("whirlpool", "rest")) == "15 min"


def test_a_field_of_a_block_is_added_and_taken_out() -> None:
    after = changed(RECIPE, [Edit(("hops", 1), {"alpha": "3.8 %"})])
    assert "    held: free\n    alpha: 3.8 %\nchill:" in after
    gone = changed(after, [Edit(("hops", 1), {"alpha": None})])
    assert gone == RECIPE
    # the comment of a line that goes is the person's own and stays
    assert "\n    # weighed\n    when" in changed(RECIPE, [Edit(("hops", 1), {"mass": None})])


def test_several_edits_of_one_document() -> None:
    edits = [Edit(("hops", 1), {"mass": "1 kg", "held": "mesh"}), Edit((), {"batch": "7 L"})]
    after = changed(RECIPE, edits)
    assert len(lines_apart(RECIPE, after)) == 3
    recipe = opened_again("r", after, "recipe")
    assert recipe is opened_again("r", after, "recipe")


def test_a_place_that_is_not_there_is_refused() -> None:
    for edit in (Edit(("hops", 9), {"mass": "1 g"}), Edit(("batch",), {"x": "1"})):
        with pytest.raises(Unchangeable):
            changed(RECIPE, [edit])


EDITS = (
    [Edit((), {"batch": "21 L"})],
    [Edit(("hops", 1), {"mass": "1 kg", "held": "mesh"}), Edit((), {"batch": "7 L"})],
    [Edit(("chill",), {"at": None, "with": "plate", "how": "circulate"})],
    [Edit(("whirlpool",), {"rest": "15 min"}), Edit(("hops", 1), {"alpha": "3.8 %"})],
    [Edit(("hops", 1), {"held": None}), Edit((), {"gallons": "us"})],
)


@pytest.mark.parametrize("mark", ["", "\ufeff"], ids=["", "mark"])
@pytest.mark.parametrize("end", ["\r\n", "\r", "\n"], ids=["crlf", "cr", "lf"])
@pytest.mark.parametrize("edits", EDITS)
@pytest.mark.parametrize("last", [True, False], ids=["ended", "open"])
def test_line_ends_and_the_mark_before_a_file_stay(
    edits: list[Edit], end: str, mark: str, last: bool
) -> None:
    plain = RECIPE if last else RECIPE.removesuffix("\n")
    after = changed(mark + plain.replace("\n", end), edits)
    assert after == mark + changed(plain, edits).replace("\n", end)


def test_a_line_that_stays_keeps_the_end_it_has() -> None:
    mixed = "schema: day/1\r\nair: 16 C\ntap: 14 C # cold\r\n\ngrain: 12 C\n# end"
    assert changed(mixed, [Edit((), {"air": "17 C"})]) == mixed.replace("16 C", "17 C")
    assert changed(mixed, [Edit((), {"air": None})]) == mixed.replace("air: 16 C\n", "")
    added = changed(mixed, [Edit((), {"elevation": "220 m"})])
    assert added == mixed.replace("12 C\n", "12 C\nelevation: 220 m\n")


VALUES = st.text(
    st.characters(exclude_categories=("Cs", "Cc", "Zl", "Zp")), min_size=1, max_size=40
).map(lambda typed: " ".join(typed.split())).filter(bool)


@settings(deadline=None)
@given(VALUES)
def test_whatever_is_typed_comes_back_as_typed(typed: str) -> None:
    after = changed(RECIPE, [Edit((), {"batch": typed}), Edit(("hops", 0), {"mass": typed})])
    tree = read("r", after).tree
    assert tree["batch"] == tree["hops"][0]["mass"] == typed
    assert {**tree, "batch": 0, "hops": 0} == {**read("r", RECIPE).tree, "batch": 0, "hops": 0}


@settings(deadline=None)
@given(VALUES)
def test_a_scalar_is_read_back(typed: str) -> None:
    assert read("r", f"a: {{b: {scalar(typed)}}}\n").tree == {"a": {"b": typed}}
