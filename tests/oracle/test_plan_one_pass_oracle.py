"""A dose for below 80 C before one pass: its moment and what it earns, litre by litre.

Kind: oracle, `scipy.integrate.solve_ivp` on the loss of the kettle itself and on the rates typed
here as published (M. G. Malowicki, T. H. Shellhammer, 2005, J. Agric. Food Chem. 53, 4434-4439).
Nothing is read off the plan's own temperatures after the start of the rest; the chiller is taken
from its reading alone: at the same flows it takes the same share of the distance to the water.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from wortline.science.extract import plato_from_sg, wort_density_kg_m3
from wortline.science.isomerisation import at, iso_share_between
from wortline.science.kettle import kettle_loss
from wortline.science.kettle_heating import heat_capacity_kj_k
from wortline.science.water import expansion

READING = {"wort_in": "96 C", "wort_out": "31 C", "wort": "5 L/min", "water": "9 L/min",
           "water_in": "14 C"}  # fmt: skip
PLATE = {"rig.chillers": [{"name": "plate", "kind": "plate", "reading": READING}]}
TAKEN = (96.0 - 31.0) / (96.0 - 14.0)
AREA_M2 = np.pi / 4 * 0.38**2
METAL_KJ_K = 0.06 * 45.0
BELOW_C = 80.0
DOSE = [{"hop": "Saaz", "mass": "40 g", "alpha": "3.8 %", "form": "pellets", "when": "below 80 C"}]


def planned(papers, how, rest, tap="14 C"):
    chill = {"with": "plate", "how": how, "to": "20 C"}
    if how == "two-stage":
        chill["switch_at"] = "60 C"
    return papers.but({"recipe.hops": DOSE, "recipe.chill": chill, "day.tap": tap,
                       "recipe.whirlpool.rest": rest, **PLATE}).plain()  # fmt: skip


def phase(report, name):
    return next(each for each in report["timeline"] if each["phase"] == name)


def kettle_of(report):
    """Litres at heat-off, the heat of them and of the kettle for each kelvin, and the strength."""
    cold_l = next(row["cold_l"] for row in report["ledger"] if row["step"] == "postboil")
    plato = float(plato_from_sg(report["gravity"]["postboil_sg"]))
    wort_kg = cold_l * float(wort_density_kg_m3(plato, 20.0)) / 1000.0
    return cold_l, float(heat_capacity_kj_k(wort_kg, plato, METAL_KJ_K)), plato


def cooling(report, day):
    """The open kettle standing still, from the start of the rest on."""
    cold_l, heat_kj_k, _ = kettle_of(report)
    start_c, air = phase(report, "rest")["start_c"], day.brew.air

    def fall(_, temp_c):
        lost = kettle_loss(
            temp_c[0], air.air_c, air.pressure_kpa, 0.38, cold_l / 1000.0 / AREA_M2, 1.0
        )
        return [-float(lost.loss_w) / (heat_kj_k * 1000.0 / 60.0)]

    def there(_, temp_c):
        return temp_c[0] - BELOW_C

    return solve_ivp(fall, (0.0, 90.0), [start_c], events=there, rtol=1e-9, dense_output=True)


def rates(temp_c):
    kelvin = temp_c + 273.15
    return 7.9e11 * np.exp(-11858.0 / kelvin), 4.1e12 * np.exp(-12994.0 / kelvin)


def followed(temp_at, from_min, to_min, state):
    """Alpha, iso, and iso summed over the time, along a temperature."""

    def change(minute, y):
        k1, k2 = rates(temp_at(minute))
        return [-k1 * y[0], k1 * y[0] - k2 * y[1], y[1]]

    found = solve_ivp(change, (from_min, to_min), state, rtol=1e-9, atol=1e-13, max_step=0.5)
    return found.y[:, -1]


@pytest.mark.parametrize("rest", ["40 min", "70 min"])
def test_below_80_c_before_one_pass(papers, rest):
    """It goes in as the still kettle passes 80 C, and each litre stops where it is drawn."""
    worked, report = planned(papers, "one-pass", rest)
    cooled = cooling(report, worked.day)
    (reached_min,) = cooled.t_events[0]
    resting, chill = phase(report, "rest"), phase(report, "chill")
    rest_min = resting["end_min"] - resting["start_min"]
    assert 5.0 < reached_min < rest_min
    in_min = report["bitterness"]["doses"][0]["in_min"] - resting["start_min"]
    # The table of losses is straight between whole degrees: within 0.05 K, which are 0.1 min.
    assert in_min == pytest.approx(reached_min, abs=0.1)

    state = followed(lambda minute: cooled.sol(minute)[0], reached_min, rest_min, [1.0, 0.0, 0.0])
    waits_c = float(cooled.sol(rest_min)[0])
    passes_min = chill["end_min"] - chill["start_min"]
    drawn = followed(lambda _: waits_c, 0.0, passes_min, [state[0], state[1], 0.0])
    line, end_min = worked.day.lines[0], worked.day.hot.end_min
    found = float(iso_share_between(at(line.hot, line.in_min), at(line.hot, end_min)))
    assert found == pytest.approx(drawn[2] / passes_min, rel=3e-3)
    # Neither what has been earned as the pass begins, nor what the last litre has at its end.
    assert state[1] < 0.99 * found and found < 0.99 * drawn[1]


def test_below_80_c_while_it_circulates_before_one_pass(papers):
    """Hotter than 80 C at the start of the chill: it is met on the way to the switch at 60 C."""
    worked, report = planned(papers, "two-stage", "10 min")
    _, heat_kj_k, plato = kettle_of(report)
    chill = phase(report, "chill")
    assert chill["start_c"] > 82.0
    # Litres run through the pump as hot as they are, on average between the start and 80 C.
    pumped_c = 0.5 * (chill["start_c"] + BELOW_C)
    litre_kg = float(wort_density_kg_m3(plato, 20.0) / expansion(pumped_c)) / 1000.0
    passed_kj_k_min = 5.0 * litre_kg * float(heat_capacity_kj_k(1.0, plato)) * TAKEN
    gain_kj_min = 60.0 * float(worked.day.brew.models.pump_heat_w) / 1000.0

    def fall(_, temp_c):
        return [(gain_kj_min - passed_kj_k_min * (temp_c[0] - 14.0)) / heat_kj_k]

    def there(_, temp_c):
        return temp_c[0] - BELOW_C

    cooled = solve_ivp(fall, (0.0, 60.0), [chill["start_c"]], events=there, rtol=1e-9)
    (reached_min,) = cooled.t_events[0]
    in_min = report["bitterness"]["doses"][0]["in_min"] - chill["start_min"]
    assert in_min == pytest.approx(reached_min, rel=0.02)
    assert 0.2 < reached_min < chill["end_min"] - chill["start_min"]


def test_a_kettle_that_stays_hotter_never_gets_it(papers):
    """By the same integration 80 C are not reached in 10 min, and one pass cools no kettle."""
    worked, report = planned(papers, "one-pass", "10 min")
    cooled = cooling(report, worked.day)
    assert cooled.t_events[0][0] > 10.0
    assert report["bitterness"]["doses"][0]["in_min"] is None
    assert "dose-never-reached" in [each["code"] for each in report["cant"]]
