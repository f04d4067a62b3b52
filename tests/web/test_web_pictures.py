"""Every picture of the pages as a file, in the state that the page shows."""

import re
from html import unescape
from xml.etree import ElementTree

import pytest
from served import Visitor

SVG = "{http://www.w3.org/2000/svg}"


def links(page: str) -> dict[str, str]:
    """Return the pictures' files that a page leads to, by path."""
    found = [unescape(each) for each in re.findall(r'href="([^"]+)" download', page)]
    return {each.partition("?")[0]: each for each in found}


def words(visitor: Visitor, address: str) -> str:
    """Return what stands on an SVG, having looked at its PNG too."""
    svg = visitor.see(address)
    assert svg.status_code == 200
    assert svg.headers["content-type"] == "image/svg+xml"
    png = visitor.see(address.replace(".svg", ".png", 1))
    assert png.headers["content-type"] == "image/png"
    assert png.content.startswith(b"\x89PNG")
    made = ElementTree.fromstring(svg.text)
    return " ".join("".join(each.itertext()) for each in made.iter(f"{SVG}text"))


def test_the_trade_and_the_kettle_come_as_they_are_shown(visitor: Visitor) -> None:
    found = links(visitor.see("/rest/2/now?rig=1&day=3&lid=on&pump=9").text)
    assert sorted(found) == [f"/rest/2/{each}" for each in
                             ("kettle.png", "kettle.svg", "trade.png", "trade.svg")]  # fmt: skip
    assert "pumped 9 min" in words(visitor, found["/rest/2/trade.svg"])
    assert "pumped 9 min" in words(visitor, found["/rest/2/kettle.svg"])
    assert "day=none" in links(visitor.see("/rest/2?rig=1&day=none").text)["/rest/2/trade.svg"]


def test_the_pipe_map_comes_with_its_handles_step_and_units(visitor: Visitor) -> None:
    stands = "handles=K%3Dopen,V1%3Dchiller,V2%3Dkettle&pump=on&wort=90"
    found = links(visitor.see(f"/pipes/1/now?{stands}&do=handles.V2%3Dfermenter").text)
    said = words(visitor, found["/pipes/1/map.svg"])
    assert "STOP" in said
    assert "points to fermenter" in said
    assert "90\u00a0°C" in said
    visitor.post("/choices", data={"units": "us"})
    found = links(visitor.see("/pipes/1/now?wort=194").text)
    said = words(visitor, found["/pipes/1/map.svg"])
    assert "194\u00a0°F" in said
    assert "°C" not in said
    assert " L/min" not in said


def test_a_step_of_the_day_is_judged_in_its_picture_as_on_its_page(visitor: Visitor) -> None:
    for step in range(1, 10):
        page = visitor.see(f"/pipes/1/now?step={step}").text
        head = re.search(r"</span> (Good|Warning|Stop)\n?</h2>", page)
        assert head
        found = links(page)["/pipes/1/map.svg"]
        assert f"step={step}" in found
        said = ElementTree.fromstring(visitor.see(found).text)
        verdict = [each.text for each in said.iter(f"{SVG}text") if each.get("class") == "verdict"]
        assert verdict == [{"Good": "PASS", "Warning": "WARNING", "Stop": "STOP"}[head[1]]]


def test_what_is_open_to_standing_wort_is_drawn_as_the_key_says(visitor: Visitor) -> None:
    def looks(handles: str) -> dict[str, int]:
        stands = f"handles={handles}&pump=off"
        drawn = ElementTree.fromstring(visitor.see(f"/pipes/1/map.svg?{stands}").text)
        found = [each.get("class") or "" for each in drawn.iter(f"{SVG}g")]
        return {look: found.count(f"pipe {look}") for look in ("live", "wet", "dry")}

    rest = looks("K%3Dopen,V1%3Darm,V2%3Dkettle")
    assert rest["live"] == 0
    # kettle-K-H1-P-V1-H2-arm are six pipes, and the arm's mouth is the seventh
    assert rest["wet"] == 7
    # shut off on both sides: H1, the pump and what is between are no longer open to it
    assert looks("K%3Dshut,V1%3Dchiller,V2%3Dkettle")["wet"] == 4
    page = visitor.see("/pipes/1?step=3").text
    assert "H1 (hose, 0.6 m): open to the wort, stands still" in page.replace("\u00a0", " ")
    assert "H5 (hose, 1.2 m): no flow" in page.replace("\u00a0", " ")


def test_a_lot_gives_plan_against_fact(visitor: Visitor) -> None:
    begun = visitor.post("/lots", data={"recipe": "2", "rig": "1", "day": "3"})
    page = visitor.see(begun.headers["location"]).text
    assert words(visitor, links(page)["/lots/1/strip.svg"])


@pytest.mark.parametrize(
    "address",
    ["/rest/2/trade.gif?rig=1", "/rest/2/trade.svg?rig=1&pump=9%20kg", "/rest/1/kettle.svg?rig=1",
     "/pipes/1/map.svg?wort=90%20kg", "/pipes/2/map.svg", "/pipes/1/map.svg?do=jump",
     "/lots/9/strip.svg"],
)  # fmt: skip
def test_a_picture_that_cannot_be_is_refused(visitor: Visitor, address: str) -> None:
    assert visitor.see(address).status_code in (404, 422)
