"""Where a difference sits, and what a hot reading means, against sums done by hand.

Densities of sucrose solutions at 20 C as tabulated by ICUMSA (Bubnik et al. 1995): 10 degP
1038.115, 12 degP 1046.444, 15 degP 1059.162 kg/m3; water 998.204. Planned: 28 L of 12 degP, which
are 29.300432 kg with 3.516052 kg of extract and 25.784380 kg of water.
"""

import pytest

from wortline.lot.events import Measured
from wortline.lot.misses import told_apart
from wortline.lot.readings import cold_l, doubts, strength_plato
from wortline.science.extract import sg_from_plato

PLANNED = (28.0, 12.0)


def test_missing_sugar():
    # 28 L of 10 degP: 29.06722 kg, 2.906722 kg of it extract, 26.160498 kg water.
    miss = told_apart(*PLANNED, 28.0, 10.0)
    assert miss.codes == ("sugar missing",)
    assert miss.extract_kg == pytest.approx(0.609330, abs=2e-4)
    assert miss.water_l == pytest.approx(-0.376118 / 0.998204, abs=1e-3)


def test_missing_water():
    # The same extract at 15 degP: 23.440347 kg, 22.13103 L, 19.924295 kg water.
    miss = told_apart(*PLANNED, 22.13103, 15.0)
    assert miss.codes == ("water missing",)
    assert miss.extract_kg == pytest.approx(0.0, abs=3e-4)
    assert miss.water_l == pytest.approx(5.860085 / 0.998204, abs=2e-3)


def test_missing_wort():
    miss = told_apart(*PLANNED, 25.0, 12.0)
    assert miss.codes == ("wort missing",)
    assert miss.wort_l == pytest.approx(3.0)
    # 3 L of 12 degP: 3.139332 kg, 0.376720 kg of it extract.
    assert miss.extract_kg == pytest.approx(0.376720, abs=1e-4)


def test_missing_both():
    # 25 L of 10 degP: 25.952875 kg, 2.5952875 kg of it extract, 23.3575875 kg water.
    miss = told_apart(*PLANNED, 25.0, 10.0)
    assert miss.codes == ("both",)
    assert miss.extract_kg == pytest.approx(0.920765, abs=2e-4)
    assert miss.water_l == pytest.approx(2.4267925 / 0.998204, abs=1e-3)


def test_too_much_of_each():
    assert told_apart(*PLANNED, 32.0, 10.55).codes == ("water too much",)
    assert told_apart(*PLANNED, 28.0, 13.5).codes == ("sugar too much",)
    assert told_apart(*PLANNED, 30.5, 12.0).codes == ("wort too much",)
    assert told_apart(*PLANNED, 28.2, 12.1).codes == ("as planned",)


def test_more_extract_than_the_malt_holds_is_a_wrong_reading():
    # 28 L of 15 degP hold 4.448480 kg.
    assert told_apart(*PLANNED, 28.0, 15.0, malt_holds_kg=4.44).codes == ("reading wrong",)
    assert told_apart(*PLANNED, 28.0, 15.0, malt_holds_kg=4.46).codes == ("sugar too much",)


def test_litres_read_hot_and_taken_for_cold_are_named():
    # Water grows by 4.16 % from 20 to 100 C (IAPWS-95: 998.207 / 958.38).
    miss = told_apart(28.0, 12.0, 28.0 * 1.0416, 12.0, hot_c=100.0)
    assert miss.codes == ("mark read hot", "wort too much")


# Points to add at 20 C to a hydrometer made for 20 C; glass 25e-6/K, ICUMSA densities, by hand.
@pytest.mark.parametrize(
    ("reading_sg", "sample_c", "points"),
    [(1.010, 40.0, 5.79), (1.050, 30.0, 2.84), (1.050, 50.0, 10.88), (1.080, 60.0, 16.72)],
)
def test_a_hot_sample(reading_sg, sample_c, points):
    reading = Measured("preboil", "gravity", reading_sg, "hydrometer", sample_c)
    right_sg = float(sg_from_plato(strength_plato(reading)))
    assert (right_sg - reading_sg) * 1000.0 == pytest.approx(points, abs=0.02)
    (doubt,) = doubts(reading, 99.0)
    assert doubt.code == "sample-hot"
    assert doubt.corrected == pytest.approx(right_sg, abs=1e-9)


def test_a_hot_mark_on_steel():
    # Hot water is 4.16 % larger at 100 C, the kettle 0.41 %: 30 L read are 30.1224 / 1.0416 cold.
    reading = Measured("preboil", "volume", 30.0, "mark", 100.0)
    assert cold_l(reading, 20.0) == pytest.approx(30.1224 / 1.0416, abs=0.005)
    jug = Measured("preboil", "volume", 30.0, "jug", 100.0)
    assert cold_l(jug, 20.0) == pytest.approx(30.0 / 1.0416, abs=0.005)
    assert cold_l(Measured("water", "volume", 30.0, "mark", 20.0), 99.0) == pytest.approx(30.0)


def test_a_refractometer_in_wort_and_in_beer():
    # Wort correction 1.04 (Terrill 2010): 12 degP read 12.48 Bx. Plato's tables have 12.388 at
    # 1.050 and 14.741 at 1.060: 12.48 stand at 1.05039.
    wort = Measured("preboil", "gravity", 1.05039, "refractometer", 20.0)
    assert strength_plato(wort) == pytest.approx(12.0, abs=0.005)
    # 6.5 Bx in a beer of 12.5/1.04 degP: 1.0120 by refraction, 1.0115 Terrill's line, 1.0125 his
    # cubic, 1.0110 Novotny, 1.0100 Bonham.
    beer = Measured("final", "gravity", 1.02562, "refractometer", 20.0)
    (doubt,) = doubts(beer, original_plato=12.5 / 1.04)
    assert doubt.code == "refractometer-in-beer"
    assert doubt.corrected == pytest.approx(1.0120, abs=2e-4)
    assert doubt.low == pytest.approx(1.0100, abs=2e-4)
    assert doubt.high == pytest.approx(1.0125, abs=2e-4)
    (asked,) = doubts(beer)
    assert "original gravity" in asked.ask


def test_what_else_is_questioned():
    def codes(reading, **known):
        return [doubt.code for doubt in doubts(reading, **known)]

    gravity = Measured("preboil", "gravity", 1.050, "hydrometer")
    assert codes(gravity, wort_c=99.0) == ["sample-temperature"]
    assert codes(gravity, wort_c=20.0) == []
    boiling = Measured("preboil", "gravity", 1.050, "hydrometer", 80.0)
    assert codes(boiling) == ["sample-too-hot"]
    # 30 L of 1.050 hold 30 x 1.04813 x 0.12388 = 3.895 kg.
    assert codes(gravity, cold_beside_l=30.0, malt_holds_kg=3.88) == ["more-than-the-malt"]
    assert codes(gravity, cold_beside_l=30.0, malt_holds_kg=3.91) == []
    litres = Measured("preboil", "volume", 31.0, "mark")
    assert codes(litres, wort_c=99.0) == ["mark-temperature"]
    assert codes(litres, wort_c=20.0, brim_l=30.0) == ["above-the-brim"]
    hot = Measured("preboil", "volume", 31.0, "mark", 99.0)
    assert codes(hot, wort_c=99.0) == ["mark-hot"]
    drop = Measured("preboil", "gravity", 1.050, "refractometer", 70.0)
    assert codes(drop) == ["drop-hot"]
