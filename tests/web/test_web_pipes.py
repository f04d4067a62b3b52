"""The pipe map, its handles and steps without a browser, and parts and joins changed by form."""

import re
from urllib.parse import quote

import pytest
from served import Visitor


def the_text(page: str) -> str:
    """Return the text that a form of the page carries, as a browser would send it."""
    from html import unescape

    found = re.search(r'<textarea id="text".*?>\n(.*?)</textarea>', page, re.DOTALL)
    assert found
    return unescape(found[1])


def test_the_map_shows_the_start_of_the_day_with_its_verdict(visitor: Visitor) -> None:
    page = visitor.see("/pipes/1").text
    assert "Pipes of Shed rig with two valves" in page
    assert ">✓</span> Good" in page
    assert "kettle → K → H1 → P → V1 → H2 → arm → kettle" in page
    # every handle twice: drawn for a phone and for a wide page
    assert page.count('aria-label="V1, three-way valve: to arm. Press for to chiller."') == 2
    assert 'data-do="pump=off"' in page
    assert 'role="button" tabindex="0"' in page


def test_a_touch_changes_one_handle_and_keeps_the_others(visitor: Visitor) -> None:
    stands = "handles=K%3Dopen,V1%3Dchiller,V2%3Dkettle&pump=on"
    part = visitor.see(f"/pipes/1/now?{stands}&do=handles.V2%3Dfermenter").text
    assert 'value="K=open, V1=chiller, V2=fermenter"' in part
    assert ">×</span> Stop" in part
    assert "Wort of 98 C runs into fermenter; 40 C is its limit." in part
    assert "<html" not in part


def test_touches_that_waited_are_done_in_their_order(visitor: Visitor) -> None:
    part = visitor.see("/pipes/1/now?do=pump%3Doff&do=handles.K%3Dshut&do=pump%3Don").text
    assert 'name="pump" value="on"' in part
    assert 'value="K=shut, V1=arm, V2=kettle"' in part


def test_a_number_alone_is_taken_in_the_unit_beside_it(visitor: Visitor) -> None:
    part = visitor.see("/pipes/1/now?level=31&wort=90").text
    assert "wort at 90\u00a0°C" in part
    assert "31\u00a0cm deep" in part
    visitor.post("/choices", data={"units": "us"})
    part = visitor.see("/pipes/1/now?level=12&wort=194").text
    # 194 F are 90 C and 12 in are 30.48 cm; the map says them in US units
    assert "wort at 194\u00a0°F" in part
    assert "12.0\u00a0in deep" in part


def test_what_cannot_be_read_is_said_at_its_field_and_the_map_stays(visitor: Visitor) -> None:
    answer = visitor.see("/pipes/1?level=26%20kg&do=pump%3Doff")
    assert answer.status_code == 422
    assert "Depth of wort in the kettle: <code>26 kg</code> is a mass" in answer.text
    assert 'value="26 kg"' in answer.text
    assert 'name="pump" value="off"' in answer.text
    part = visitor.see("/pipes/1/now?level=26%20kg")
    assert part.headers["Wortline-Refused"] == "yes"


@pytest.mark.parametrize(
    "do", ["handles.V9=arm", "handles.V1=sideways", "boil=on", "pump", "pump=maybe", "hose_ends=x"]
)
def test_a_touch_that_cannot_be_is_refused_in_words(visitor: Visitor, do: str) -> None:
    part = visitor.see(f"/pipes/1/now?do={quote(do)}")
    assert part.status_code == 200
    assert part.headers["Wortline-Refused"] == "yes"
    assert 'class="problems"' in part.text


def test_the_day_is_stepped_through_act_by_act(visitor: Visitor) -> None:
    first = visitor.see("/pipes/1?step=1").text
    assert "1 of 9, Whirlpool." in first
    act = visitor.see("/pipes/1?step=8").text
    assert "Turn V2 from kettle to fermenter." in act
    assert act.index("Turn it in one movement") < act.index("8 of 9, Chill into the fermenter")
    last = visitor.see("/pipes/1?step=9").text
    assert ">✓</span> Good" in last
    assert "Taken as done by then: wort leaves the chiller at 40 C or below" in last


def test_the_caution_stands_before_the_act_while_the_wort_is_hot(visitor: Visitor) -> None:
    act = visitor.see("/pipes/1?step=5").text
    assert act.index("Wort of 98 C stands in the line") < act.index("Turn V1 from arm to chiller.")
    assert "<b>Caution:</b>" not in visitor.see("/pipes/1?step=3").text
    assert "<b>Caution:</b>" not in visitor.see("/pipes/1?step=5&wort=30").text
    visitor.post("/choices", data={"units": "us"})
    assert "Wort of 208 F stands in the line" in visitor.see("/pipes/1?step=5").text


def test_a_turned_handle_is_told_from_the_step(visitor: Visitor) -> None:
    part = visitor.see("/pipes/1/now?step=9&do=handles.K%3Dshut").text
    assert "You have turned something since" in part


def test_a_rig_without_pipes_and_a_recipe_say_what_to_do(visitor: Visitor) -> None:
    text = visitor.see("/api/documents/1").json()["text"].split("\n# The pipes")[0] + "\n"
    made = visitor.post("/api/documents", json={"kind": "rig", "name": "Bare", "text": text})
    bare = made.json()["document"]
    assert "Give Bare its pipes" in visitor.see(f"/pipes/{bare}").text
    start = visitor.post(
        f"/pipes/{bare}/edit",
        data={"text": text, "parent": made.json()["number"], "act": "start", "pipes": "one-pump"},
    )
    assert "These pipes are a start" in start.text
    assert "The rig can be read" in start.text
    assert visitor.see("/pipes/2").status_code == 422
    assert visitor.see("/pipes/99").status_code == 404


def test_parts_are_changed_one_by_one_and_kept_with_a_why(visitor: Visitor) -> None:
    page = visitor.see("/pipes/1/edit").text
    text = the_text(page)
    done = visitor.post("/pipes/1/edit", data={
        "text": text, "parent": 1, "act": "change", "part": "V1", "name": "first", "field": "bore",
        "value": "19 mm",
    })  # fmt: skip
    assert "V1 is now first, in its joins as well." in done.text
    new = the_text(done.text)
    assert "- [P.out, first.in]" in new
    assert "bore: 19 mm" in new
    assert "# one to three points as measured or from its sheet" in new
    # nothing is kept yet
    assert visitor.see("/api/documents/1").json()["number"] == 1
    kept = visitor.post("/pipes/1/keep", data={"text": new, "parent": 1, "why": "a wider valve"})
    assert kept.status_code == 303
    latest = visitor.see("/api/documents/1").json()
    assert latest["why"] == "a wider valve"
    assert latest["text"] == new
    assert ">V1<" not in visitor.see("/pipes/1").text


def test_half_a_change_shows_what_is_missing_with_its_line_and_is_not_kept(
    visitor: Visitor,
) -> None:
    text = the_text(visitor.see("/pipes/1/edit").text)
    done = visitor.post("/pipes/1/edit", data={
        "text": text, "parent": 1, "act": "add", "name": "H9", "kind": "hose",
    })  # fmt: skip
    assert "A join is missing: <code>H9.a</code> leads nowhere" in done.text
    assert '<option>H9.a</option>' in done.text
    line = text[: text.index("  joins:")].count("\n") + 1
    assert f">Line {line}</button>" in done.text
    kept = visitor.post("/pipes/1/keep", data={"text": the_text(done.text), "parent": 1})
    assert kept.status_code == 422
    assert "name: H9" in the_text(kept.text)
    assert visitor.see("/api/documents/1").json()["number"] == 1


def test_a_rig_changed_elsewhere_meanwhile_is_not_overwritten(visitor: Visitor) -> None:
    text = the_text(visitor.see("/pipes/1/edit").text)
    other = {"kind": "rig", "text": text + "# other\n", "parent": 1, "name": "Shed rig"}
    newest = visitor.post("/api/documents", json=other).json()["number"]
    mine = text + "# mine\n"
    kept = visitor.post("/pipes/1/keep", data={"text": mine, "parent": 1})
    assert kept.status_code == 409
    assert the_text(kept.text) == mine
    assert f'name="parent" value="{newest}"' in kept.text
    assert visitor.see("/api/documents/1").json()["number"] == newest


def test_a_rig_with_faults_in_its_pipes_says_them_with_their_lines(visitor: Visitor) -> None:
    text = visitor.see("/api/documents/1").json()["text"]
    text = text.replace("[V1.arm, H2.a]", "[V1.arm, H9.a]")
    broken = {"kind": "rig", "name": "Broken", "text": text, "even_so": True}
    made = visitor.post("/api/documents", json=broken).json()["document"]
    page = visitor.see(f"/pipes/{made}")
    assert page.status_code == 422
    line = text[: text.index("H9.a")].count("\n") + 1
    assert f"Line {line}</button>" in page.text
    assert "names no part of this rig" in page.text
    assert visitor.see(f"/pipes/{made}/edit").status_code == 200


def test_names_with_markup_are_text_on_the_map(visitor: Visitor) -> None:
    text = visitor.see("/api/documents/1").json()["text"]
    made = visitor.post("/api/documents", json={
        "kind": "rig", "name": "<b>x</b>", "text": text.replace(
            "name: Shed rig with two valves", "name: '<script>alert(1)</script>'"),
    }).json()["document"]  # fmt: skip
    page = visitor.see(f"/pipes/{made}").text
    assert "<b>x</b>" not in page
    assert "<script>alert" not in page


def test_the_api_draws_the_map_and_says_the_handles(visitor: Visitor) -> None:
    answer = visitor.post("/api/pipes/map", json={
        "rig": {"document": 1}, "do": "handles.V1=chiller", "words": {"pump": "on"},
    }).json()  # fmt: skip
    handle = next(each for each in answer["handles"] if each["name"] == "V1")
    assert handle["now"] == "to chiller"
    assert answer["svg"].startswith("<svg ")
    assert answer["words"]["handles"] == "K=open, V1=chiller, V2=kettle"
    refused = visitor.post("/api/pipes/map", json={"rig": {"document": 1}, "do": "boil=on"})
    assert refused.status_code == 422
    assert refused.json()["error"]["problems"][0]["typed"] == "boil=on"
