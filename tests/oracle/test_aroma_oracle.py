"""Hop oil against scipy's solver: the equations alone, and the whole hot side of a plan.

Kind: oracle, `solve_ivp`, with constants typed here: loose pellets 0.35 per min from 90 C, halved
for every 25 K less (common practice); effective volatility 31.875 of linalool (60 and a film limit
of 68) and 67.827 of hydrocarbons; steam of an open surface from `kettle`, checked elsewhere.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from wortline.science import aroma
from wortline.science.extract import plato_from_sg, wort_density_kg_m3
from wortline.science.kettle import LID_LEAK, lidded_surface

AREA_M2 = np.pi / 4 * 0.38**2
KPA = 101.325 * (1.0 - 2.25577e-5 * 220.0) ** 5.25588
EFFECTIVE = {"linalool": 60.0 * 68.0 / 128.0, "hydrocarbons": 26600.0 * 68.0 / 26668.0}


def test_a_curve_of_steps():
    rng = np.random.default_rng(11)
    for _ in range(6):
        extract, strip = rng.uniform(0, 0.5, 7), rng.uniform(0, 0.2, 7)
        step_min = rng.uniform(0.5, 12.0, 7)
        edges = np.cumsum(step_min)
        in_min, until_min = 0.2 * edges[-1], 0.9 * edges[-1]

        def change(_, y, turned, lost):
            return [-turned * y[0], turned * y[0] - lost * y[1], lost * y[1]]

        state = np.array([1.0, 0.0, 0.0])
        begins = np.clip(np.append(0.0, edges[:-1]), in_min, until_min)
        stops = np.clip(edges, in_min, until_min)
        for begin, stop, turned, lost in zip(begins, stops, extract, strip, strict=True):
            if stop > begin:
                solved = solve_ivp(
                    change, (begin, stop), state, args=(turned, lost), rtol=1e-10, atol=1e-13
                )
                state = solved.y[:, -1]
        found = aroma.oil_shares(extract, strip, step_min, in_min, until_min)
        assert [found.in_hops, found.kept, found.stripped] == pytest.approx(state, abs=1e-8)


def phase(report, name):
    return next(each for each in report["timeline"] if each["phase"] == name)


def pace_per_min(temp_c):
    """Loose pellets; below 60 C straight in the logarithm to 0.005 at 20 C."""
    if temp_c >= 90.0:
        return 0.35
    at_60 = 0.35 * 2.0 ** (-30.0 / 25.0)
    if temp_c >= 60.0:
        return 0.35 * 2.0 ** ((temp_c - 90.0) / 25.0)
    return at_60 * (0.005 / at_60) ** ((60.0 - max(temp_c, 20.0)) / 40.0)


@pytest.mark.parametrize("lid", ["off", "on"])
def test_every_dose_along_the_hot_side_of_a_plan(papers, lid):
    report = papers.but({"recipe.whirlpool.lid": lid}).quick()
    lines = report["lines"]
    time_min, temp_c = np.array(lines["time_min"]), np.array(lines["temp_c"])
    wort_l = next(row["cold_l"] for row in report["ledger"] if row["step"] == "wort")
    plato = float(plato_from_sg(report["gravity"]["original_sg"]))
    end_kg = wort_l * float(wort_density_kg_m3(plato, 20.0)) / 1000.0
    leak = 1.0 if lid == "off" else LID_LEAK
    start = {name: phase(report, name)["start_min"] for name in ("boil", "whirlpool")}
    chilled = phase(report, "chill")["end_min"]
    grid = np.linspace(start["whirlpool"], chilled, 400)
    surface_c = np.interp(grid, time_min, temp_c)
    steam = np.maximum(lidded_surface(surface_c, 16.0, KPA, leak).evaporation_kg_m2_min, 0.0)
    steam_kg_min = AREA_M2 * np.asarray(steam)
    gone_kg = np.append(
        0.0, np.cumsum(0.5 * (steam_kg_min[1:] + steam_kg_min[:-1]) * np.diff(grid))
    )
    boil_kg_min = 2.9 * 0.998207 / 60.0

    def pace(t):
        if t < start["whirlpool"]:
            before_kg = end_kg + gone_kg[-1] + boil_kg_min * (start["whirlpool"] - t)
            return boil_kg_min / before_kg
        return np.interp(t, grid, steam_kg_min) / (
            end_kg + gone_kg[-1] - np.interp(t, grid, gone_kg)
        )

    for dose, from_bitter in zip(
        report["aroma"]["doses"], report["bitterness"]["doses"], strict=False
    ):
        for name, effective in EFFECTIVE.items():

            def change(t, y, effective=effective):
                out = pace_per_min(float(np.interp(t, time_min, temp_c))) * y[0]
                lost = effective * pace(t) * y[1]
                return [-out, out - lost, lost]

            state = np.array([1.0, 0.0, 0.0])
            begin = from_bitter["in_min"]
            for stop in (start["whirlpool"], chilled):
                if stop > begin:
                    solved = solve_ivp(change, (begin, stop), state, rtol=1e-8, max_step=1.0)
                    state, begin = solved.y[:, -1], stop
            found = next(oil for oil in dose["oils"] if oil["name"] == name)
            assert found["kept_fraction"]["mid"] == pytest.approx(state[1], rel=2e-2, abs=1e-4)
            assert found["stripped_fraction"] == pytest.approx(state[2], rel=2e-2)
            assert found["extracted_fraction"] == pytest.approx(1.0 - state[0], rel=2e-3)
