"""What the deck works out from its table by itself is what the computer says, within its bound."""

from typing import Any

import numpy as np
import pytest
from decks import Hands

from wortline.app.lots import lot_of
from wortline.app.ways import standing_of
from wortline.lot.bench import Bench
from wortline.lot.replan import Known, replan
from wortline.lot.tables import WITHIN
from wortline.lot.ways_out import ways_out
from wortline.science.extract import plato_from_sg
from wortline.units import say

LANDED = """async ([deck, points]) => {
  const folder = document.querySelector("script[type=module]").src.replace(/deck.js$/, "");
  const {landing, ownWaysOf, boundWords} = await import(folder + "deck_table.js");
  const read = (quantity, value, instrument) =>
    ({event: {kind: "measured", of: "preboil", quantity, value, instrument, sample_c: 20}});
  return points.map(([litres, gravity]) => {
    const readings = [read("volume", litres, "jug"), read("gravity", gravity, "hydrometer")];
    const run = {deck, state: {readings}};
    const lands = landing(run);
    const troubles = ["gravity-low", "gravity-high", "volume-short", "volume-over"];
    return {lands, bound: boundWords(run),
      ways: Object.fromEntries(troubles.map((each) => [each, ownWaysOf(run, each, lands)]))};
  });
}"""
FIRST = {
    "gravity-low": "add-malt-extract",
    "gravity-high": "add-water",
    "volume-over": "set-aside",
}


def test_landing_and_first_way_without_the_computer(hands: Hands, begun: Any) -> None:
    dice = np.random.default_rng(11)
    points = [(27.0, 1.051), (24.0, 1.051), (32.0, 1.041), (29.9, 1.044)]
    points += [(dice.uniform(22.0, 36.0), dice.uniform(1.025, 1.065)) for _ in range(20)]
    carried = hands.page.evaluate("fetch('/api/lots/1/deck').then((each) => each.json())")
    found = hands.page.evaluate(LANDED, [carried, points])
    standing = standing_of(begun.documents, lot_of(begun.lots, 1))
    for (litres, gravity), told in zip(points, found, strict=True):
        known = Known(preboil_l=litres, preboil_plato=float(plato_from_sg(gravity)))
        bench = Bench(replan(standing.base, known), say)
        for name in ("fermenter_l", "original_sg", "ibu"):
            off = abs(told["lands"][name] - getattr(bench.now.after, name))
            assert off <= WITHIN[name] + 1e-3 * (name == "fermenter_l"), (litres, gravity, name)
        assert told["lands"]["where"] == bench.now.misses[0].text.replace(
            "One of the readings must be wrong: there cannot be that much extract.",
            told["lands"]["where"],
        )
        for trouble, code in FIRST.items():
            server = {way.code: way for way in ways_out(bench, trouble)}
            own = {way["code"]: way for way in told["ways"][trouble]}
            if code not in own or code not in server:
                continue
            assert own[code]["fermenter_l"] == pytest.approx(server[code].fermenter_l, abs=0.15)
            assert own[code]["original_sg"] == pytest.approx(server[code].original_sg, abs=6e-4)
            assert own[code]["ibu"] == pytest.approx(server[code].ibu, abs=0.5)
            assert own[code]["minutes_min"] == pytest.approx(server[code].minutes_min, abs=0.5)
    assert found[0]["bound"] == (
        "Worked out on this device from a table: within 0.05 L, 0.0003 and 0.3 IBU of the"
        " computer's answer where it lands."
    )
