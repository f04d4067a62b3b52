"""The nearest plan works, whatever the rig: kind law, by planning what is proposed."""

import json

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

# A plan takes a while: a failing example is shown as it was found.
NO_SHRINK = (Phase.explicit, Phase.generate)
SOME = settings(max_examples=15, deadline=None, derandomize=True, phases=NO_SHRINK)


@SOME
@given(
    brim=st.floats(12.0, 60.0),
    batch=st.floats(8.0, 45.0),
    kg=st.floats(1.5, 14.0),
    first=st.sampled_from([None, 1.9, 2.5, 3.5]),
    rest=st.booleans(),
    gravity=st.sampled_from([None, "1.040", "1.060", "1.090"]),
    efficiency=st.sampled_from(["76 %", "balance"]),
    boil_off=st.floats(0.5, 4.5),
)
def test_a_kettle_that_overflows_is_answered_by_a_plan_that_does_not(
    papers, brim, batch, kg, first, rest, gravity, efficiency, boil_off
):
    changes = {
        "rig.kettle.brim": f"{brim:.2f} L",
        "recipe.batch": f"{batch:.2f} L",
        "recipe.grist.0.mass": f"{kg:.3f} kg",
        "rig.mash.efficiency": efficiency,
        "rig.boil_off": f"{boil_off:.2f} L/h",
    }
    if first is not None:
        litres = first * (kg + 0.5)
        changes["recipe.mash.water"] = {"first": f"{litres:.2f} L", "sparge": "remainder"}
    if not rest:
        changes |= {"recipe.whirlpool": None, "recipe.hops.2.when": "heat-off"}
    if gravity is not None:
        changes["recipe.aim"] = {"gravity": gravity}
    changed = papers.but(changes)
    report = changed.quick()
    json.dumps(report, allow_nan=False)
    asked = [change for cant in report["cant"] for change in cant["nearest"]["changes"]]
    assert report["fits"] == (not report["cant"])
    if any(not cant["nearest"]["changes"] for cant in report["cant"]):
        # Only where not even an empty kettle would do: the steam of the boil alone overflows it.
        assert "No batch" in " ".join(cant["nearest"]["text"] for cant in report["cant"])
        return
    again = changed.changed(asked).quick()
    assert [cant["text"] for cant in again["cant"]] == []


@SOME
@given(
    boil_s=st.integers(60, 9000),
    rest_s=st.integers(1, 6000),
    when=st.integers(1, 600),
    into=st.integers(1, 600),
    below=st.floats(0.0, 100.0),
    to=st.floats(1.0, 40.0),
    tap=st.floats(1.0, 35.0),
)
def test_moments_that_do_not_exist_are_answered_by_some_that_do(
    papers, boil_s, rest_s, when, into, below, to, tap
):
    changed = papers.but(
        {
            "recipe.boil.for": f"{boil_s} s",
            "recipe.whirlpool.rest": f"{rest_s} s",
            "recipe.hops.0.when": f"{when} min",
            "recipe.hops.1.when": f"below {below:.3f} C",
            "recipe.hops.2.when": f"{into} min into rest",
            "recipe.chill.to": f"{to:.3f} C",
            "day.tap": f"{tap:.3f} C",
        }
    )
    report = changed.quick()
    asked = [change for cant in report["cant"] for change in cant["nearest"]["changes"]]
    codes = {cant["code"] for cant in report["cant"]}
    assert ("dose-before-boil" in codes) == (60 * when > boil_s)
    assert ("dose-after-rest" in codes) == (60 * into > rest_s)
    assert ("chill-below-tap" in codes) == (round(to, 3) <= round(tap, 3))
    assert [cant["text"] for cant in changed.changed(asked).quick()["cant"]] == []


@SOME
@given(
    power=st.floats(100.0, 6000.0),
    boil_off=st.floats(0.1, 12.0),
    wall=st.sampled_from(["bare", "jacket"]),
    lid=st.sampled_from(["on", "off"]),
    at=st.floats(30.0, 80.0),
    elevation=st.floats(0.0, 4000.0),
)
def test_too_little_power_is_answered_by_enough(papers, power, boil_off, wall, lid, at, elevation):
    changed = papers.but(
        {
            "rig.element.power": f"{power:.0f} W",
            "rig.boil_off": f"{boil_off:.2f} L/h",
            "rig.kettle.wall": wall,
            "rig.kettle.brim": "90 L",
            "recipe.heating": {"lid": lid},
            "recipe.mash.rests.0.at": f"{at:.1f} C",
            "day.elevation": f"{elevation:.0f} m",
        }
    )
    report = changed.quick()
    asked = [change for cant in report["cant"] for change in cant["nearest"]["changes"]]
    assert [cant["text"] for cant in changed.changed(asked).quick()["cant"]] == []
