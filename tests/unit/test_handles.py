"""Handles as a page shows them, and the day step by step, on the rigs that come along."""

import re
from importlib.resources import files
from itertools import pairwise

import pytest

from wortline.app.day_steps import day_steps
from wortline.app.files import File
from wortline.app.handles import Stand, map_svg, parts_in_words, pipes_in, stand_of
from wortline.app.starting import starting_document
from wortline.errors import DocumentRefused

FIRST = File("rig", (files("wortline.data") / "first" / "rig.yaml").read_bytes())
RIGS = {
    name: File(name, starting_document("rig", name).encode())
    for name in ("two-valves", "one-valve", "one-pump", "coil")
}


def stands(stand: Stand) -> dict[str, str]:
    return {each.name: each.now for each in stand.handles}


def test_touches_of_one_handle_go_round_its_places_of_rest() -> None:
    pipes = pipes_in(FIRST)
    stand = stand_of(pipes, {})
    seen = []
    for _ in range(3):
        handle = next(each for each in stand.handles if each.name == "V1")
        seen.append(handle.now)
        stand = stand_of(pipes, stand.words, handle.next.do)
    assert seen == ["to arm", "to chiller", "off"]
    assert stands(stand)["V1"] == "to arm"


def test_every_choice_leads_where_it_says_and_changes_nothing_else() -> None:
    pipes = pipes_in(FIRST)
    before = stand_of(pipes, {})
    for handle in before.handles:
        for choice in handle.choices:
            after = stand_of(pipes, before.words, choice.do)
            now = next(each for each in after.handles if each.name == handle.name)
            assert now.now == choice.words
            assert [each.words for each in now.choices if each.stands] == [choice.words]
            rest = {name: how for name, how in stands(after).items() if name != handle.name}
            assert rest.items() <= stands(before).items()


@pytest.mark.parametrize("name", RIGS)
def test_every_rig_that_comes_along_can_be_touched_and_drawn(name: str) -> None:
    stand = stand_of(pipes_in(RIGS[name]), {})
    svg = map_svg(stand, 330)
    buttons = re.findall(r'aria-label="([^"]+)" data-do="([^"]+)"', svg)
    wanted = {each.label for each in stand.handles if each.kind != "hose"}
    named = {each.name for each in stand.handles if each.name in stand.pipes.network.parts}
    assert {label for label, _ in buttons} == {
        label for label in wanted if label.partition(",")[0] in named
    }
    assert 'role="button" tabindex="0"' in svg or not wanted
    assert "role=\"button\"" not in map_svg(stand, 330, buttons=False)


@pytest.mark.parametrize("name", RIGS)
def test_each_line_up_of_the_day_is_good_once_its_needs_are_met(name: str) -> None:
    pipes = pipes_in(RIGS[name])
    steps = day_steps(RIGS[name], None, {})
    assert any(each.is_line_up for each in steps)
    for step in steps:
        if step.is_line_up:
            judged = stand_of(pipes, {**step.words, **step.taken}, "", step.phase).judged
            assert judged["verdict"] != "stop", (step.name, judged["findings"])


def test_an_act_leads_from_one_step_to_the_next_by_one_hand() -> None:
    steps = day_steps(FIRST, None, {})
    for before, after in pairwise(steps):
        changed = sum(
            one != other
            for key in ("handles", "hose_ends", "pump", "water")
            for one, other in zip(
                before.words[key].split(", "), after.words[key].split(", "), strict=True
            )
        )
        assert changed == (0 if after.is_line_up else 1)


def test_what_is_taken_for_a_step_gives_way_to_what_is_said() -> None:
    steps = day_steps(FIRST, None, {"outlet": "16 C", "clean": "all=acid"})
    assert steps[-1].taken == {}
    taken = day_steps(FIRST, None, {})[-1].taken
    assert taken == {"outlet": "40 C", "clean": "all=heat"}


def test_parts_are_told_in_the_order_of_the_wort() -> None:
    told = parts_in_words(stand_of(pipes_in(FIRST), {"handles": "V1=arm, K=open, V2=kettle"}))
    assert [each.partition(" (")[0] for each in told[:4]] == ["1. kettle", "2. K", "3. H1", "4. P"]
    assert len(told) == 15


@pytest.mark.parametrize("do", ["handles.V1=nowhere", "handles=V1", "pump.P=on", "", "boil=on"])
def test_what_no_hand_can_do_is_refused(do: str) -> None:
    pipes = pipes_in(FIRST)
    if not do:
        assert stand_of(pipes, {}, do).settled == stand_of(pipes, {}).settled
        return
    with pytest.raises(DocumentRefused):
        stand_of(pipes, {}, do)
