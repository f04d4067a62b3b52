"""Parts and joins changed in a rig's own text: every other line stays as it was typed."""

import difflib
from importlib.resources import files

import pytest

from wortline.app.repiping import edited
from wortline.documents.loading import load
from wortline.errors import DocumentRefused

RIG = (files("wortline.data") / "first" / "rig.yaml").read_text(encoding="utf-8")


def changed(before: str, after: str) -> tuple[list[str], list[str]]:
    """Return the lines that went and the lines that came."""
    told = list(difflib.ndiff(before.splitlines(), after.splitlines()))
    return (
        [line[2:].strip() for line in told if line.startswith("- ")],
        [line[2:].strip() for line in told if line.startswith("+ ")],
    )


def test_a_new_name_is_taken_over_in_every_join() -> None:
    after = edited(RIG, {"act": "rename", "part": "V1", "name": "first-valve"})
    gone, new = changed(RIG, after)
    assert [line.replace("V1", "first-valve") for line in gone] == new
    assert new[1:] == ["- [P.out, first-valve.in]", "- [first-valve.arm, H2.a]",
                       "- [first-valve.chiller, H3.a]"]  # fmt: skip
    plumbing = load("rig", after, "rig").plumbing
    assert plumbing is not None
    assert "first-valve" in {part.name for part in plumbing.parts}


def test_a_part_goes_with_its_joins_and_a_comment_below_it_stays() -> None:
    told = RIG.replace("    - {name: W, kind", "    # the garden tap\n    - {name: W, kind")
    after = edited(told, {"act": "remove", "part": "fermenter"})
    gone, new = changed(told, after)
    assert gone[0].startswith("- {name: fermenter, kind: fermenter, height: 45 cm,")
    assert gone[1:] == ["- [H4.b, fermenter.in]"]
    assert new == []
    assert "# the garden tap" in after


def test_a_part_of_many_lines_goes_whole() -> None:
    gone, new = changed(RIG, edited(RIG, {"act": "remove", "part": "P"}))
    assert gone[0] == "- name: P"
    assert gone[-3] == "- {flow: 24 L/min, head: 0.6 m}"
    assert gone[-2:] == ["- [H1.b, P.in]", "- [P.out, V1.in]"]
    assert new == []


def test_a_new_hose_is_joined_in_place_of_an_old_join() -> None:
    text = edited(RIG, {"act": "add", "name": "H9", "kind": "hose"})
    text = edited(text, {"act": "part", "a": "V2.kettle", "b": "H5.a"})
    text = edited(text, {"act": "join", "a": "V2.kettle", "b": "H9.a"})
    text = edited(text, {"act": "join", "a": "H9.b", "b": "H5.a"})
    text = edited(text, {"act": "set", "part": "H9", "field": "length", "value": "40 cm"})
    gone, new = changed(RIG, text)
    assert gone == ["- [V2.kettle, H5.a]"]
    assert new == ["- {name: H9, kind: hose, bore: 12.7 mm, length: 40 cm}",
                   "- [V2.kettle, H9.a]", "- [H9.b, H5.a]"]  # fmt: skip
    plumbing = load("rig", text, "rig").plumbing
    assert plumbing is not None
    assert len(plumbing.joins) == 16


def test_a_cap_comes_and_goes() -> None:
    text = edited(RIG, {"act": "part", "a": "H4.b", "b": "fermenter.in"})
    assert edited(edited(text, {"act": "cap", "a": "H4.b"}), {"act": "uncap", "a": "H4.b"}).count(
        "H4.b"
    ) == 0


@pytest.mark.parametrize("act", [
    {"act": "rename", "part": "V1", "name": "V7"}, {"act": "set", "part": "K", "field": "bore",
                                                   "value": "19 mm"},
])  # fmt: skip
def test_texts_that_look_like_other_things_stay_texts(act: dict[str, str]) -> None:
    odd = RIG.replace(
        "schema: rig/1\nname: Shed rig with two valves",
        "schema: rig/1\nname: yes   # a 'name'\norigin: 1e3\n",
    ).replace("brim: 45 L", "brim: '45 L'")
    gone, new = changed(odd, edited(odd, act))
    assert len(gone) == len(new) == (4 if act["act"] == "rename" else 1)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"act": "rename", "part": "V9", "name": "x"}, "`V9` is no part of this rig"),
        ({"act": "rename", "part": "V1", "name": "V2"}, "there is a part `V2` already"),
        ({"act": "rename", "part": "V1", "name": " "}, "give `V1` a name"),
        ({"act": "add", "name": "x", "kind": "boiler"}, "`boiler` is no kind of part"),
        ({"act": "add", "name": "V1", "kind": "tee"}, "there is a part `V1` already"),
        ({"act": "add", "name": "", "kind": "tee"}, "give the new part a name"),
        ({"act": "part", "a": "K.a", "b": "P.in"}, "`K.a` and `P.in` are not joined"),
        ({"act": "join", "a": "K.a", "b": ""}, "choose two ports"),
        ({"act": "uncap", "a": "K.a"}, "`K.a` is not capped"),
        ({"act": "set", "part": "K", "field": "hue", "value": "red"}, "`hue` is not set here"),
        ({"act": "explode"}, "this is no change here"),
    ],
)
def test_a_change_that_cannot_be_is_refused_in_words(change: dict[str, str], said: str) -> None:
    with pytest.raises(DocumentRefused) as refusal:
        edited(RIG, change)
    assert said in refusal.value.problems[0].text


def test_a_rig_without_plumbing_says_so() -> None:
    with pytest.raises(DocumentRefused) as refusal:
        edited("schema: rig/1\nname: bare\n", {"act": "add", "name": "H1", "kind": "hose"})
    assert "no `plumbing`" in refusal.value.problems[0].text
