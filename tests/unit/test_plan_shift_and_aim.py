"""Time shift and fit to aim, both checked by planning again what they propose.

Kind: law (inverse of inverse), unless a test says otherwise.
"""

import pytest

CLOSE_IBU = 0.02
"""A moment is typed to a thousandth of a minute; a dose earns at most 1.5 IBU in a minute."""


CLOSE_AIM_IBU = 5e-3
"""Far below the tenth that is printed."""


def total(report, number=0):
    return report["bitterness"]["doses"][number]["total_ibu"]


def phase(report, name):
    return next(each for each in report["timeline"] if each["phase"] == name)


def one_dose(papers, when, mass="22 g"):
    hop = {"hop": "Magnum", "mass": mass, "alpha": "13 %", "form": "pellets", "when": when}
    return papers.but({"recipe.hops": [hop]})


def typed_moment(report, minute):
    """A minute of the day as a `when` can say it."""
    boil, rest, chill = (phase(report, name) for name in ("boil", "rest", "chill"))
    if minute <= boil["end_min"]:
        return f"{boil['end_min'] - minute:.4f} min"
    if rest["start_min"] <= minute <= rest["end_min"]:
        return f"{minute - rest['start_min']:.4f} min into rest"
    if minute >= chill["start_min"]:
        return f"below {chill['start_c'] - 2.5 * (minute - chill['start_min']):.4f} C"
    return None


@pytest.mark.parametrize(
    "when", ["60 min", "45 min", "20 min", "heat-off", "10 min into rest", "below 75 C"]
)
@pytest.mark.parametrize("lid", ["off", "on"])
def test_a_shifted_dose_is_as_bitter_as_without_the_whirlpool(papers, when, lid):
    """Moved by what is printed and planned again; beside it the same brew without whirlpool."""
    planned = one_dose(papers, when).but({"recipe.whirlpool.lid": lid})
    report = planned.quick()
    dose = report["bitterness"]["doses"][0]
    without = {"recipe.whirlpool": None}
    if "rest" in when:
        without["recipe.hops.0.when"] = "heat-off"
    plain = planned.but(without).quick()
    assert dose["shift_min"] is not None
    moved = typed_moment(report, dose["in_min"] + dose["shift_min"])
    assert moved is not None, "the moment lies in the pumping, which no `when` says"
    again = planned.but({"recipe.hops.0.when": moved}).quick()
    assert total(again) == pytest.approx(total(plain), abs=CLOSE_IBU)


def test_early_doses_hardly_move_and_late_ones_move_by_the_rest(papers):
    """Kind: common practice, no source: the later the dose, the more of its minutes it moves."""
    shifts = [
        one_dose(papers, when).quick()["bitterness"]["doses"][0]["shift_min"]
        for when in ("60 min", "20 min", "heat-off")
    ]
    assert shifts[0] / 60.0 < 0.15
    assert shifts[1] / 20.0 > 0.25
    assert 8.0 < shifts[2] < 26.0


def test_nothing_moves_without_a_whirlpool(papers):
    report = papers.but({"recipe.whirlpool": None, "recipe.hops.2.when": "heat-off"}).quick()
    shifts = [dose["shift_min"] for dose in report["bitterness"]["doses"][:-1]]
    assert shifts == [0.0, 0.0, 0.0]


def test_where_no_moment_does_a_note_says_so(papers):
    """The shift is None where the search finds nothing; each such dose is named in a note."""
    from wortline.plan.aim import Aim
    from wortline.plan.notes import notes
    from wortline.units import say

    plan, report = papers.plain()
    assert "no-shift" not in {note["code"] for note in report["notes"]}
    found = notes(plan.fitted, Aim(), 30.0, [0.0, None, 0.0], say)
    named = [note.text for note in found if note.code == "no-shift"]
    assert len(named) == 1 and "d2" in named[0]


def test_even_a_very_long_rest_has_its_moment(papers):
    planned = one_dose(papers, "heat-off").but(
        {"recipe.whirlpool": {"pump": "1 min", "rest": "600 min", "lid": "on"},
         "rig.kettle.wall": "jacket"}
    )  # fmt: skip
    report = planned.quick()
    dose = report["bitterness"]["doses"][0]
    plain = planned.but({"recipe.whirlpool": None}).quick()
    moved = typed_moment(report, dose["in_min"] + dose["shift_min"])
    again = planned.but({"recipe.hops.0.when": moved}).quick()
    assert dose["shift_min"] > 300.0
    assert total(again) == pytest.approx(total(plain), abs=CLOSE_IBU)


def test_no_moment_gives_more_than_the_most(papers):
    """The search itself: None for a bitterness that is never reached, 0 for the one that is."""
    from wortline.plan.shift import shift_min

    line = papers.plain()[0].day.lines[0]
    end_min = float(papers.plain()[0].day.hot.end_min)
    now_ibu = float(line.ibu(end_min))
    assert shift_min(line, 10.0 * now_ibu, 0.0, end_min) is None
    assert shift_min(line, now_ibu, 0.0, end_min) == 0.0


# ---- aim


def codes(report):
    return {note["code"] for note in report["notes"]}


def text_of(report, code):
    return next(note["text"] for note in report["notes"] if note["code"] == code)


AIMS = [(1.050, 32.0), (1.040, 20.0), (1.065, 60.0), (1.050, None), (None, 40.0)]


@pytest.mark.parametrize(("gravity", "ibu"), AIMS)
@pytest.mark.parametrize("efficiency", ["76 %", "balance"])
@pytest.mark.parametrize("method", ["kinetic", "tinseth"])
def test_the_aim_is_met(papers, gravity, ibu, efficiency, method):
    aim = {"gravity": gravity and f"{gravity:.3f}", "bitterness": ibu and f"{ibu:g}"}
    aim = {key: value for key, value in aim.items() if value}
    report = papers.but(
        {"recipe.aim": aim, "rig.mash.efficiency": efficiency, "rig.kettle.brim": "60 L"}
    ).quick(method)
    assert report["fits"]
    assert report["fermenter_l"] == pytest.approx(23.0, abs=1e-9)
    if gravity:
        assert report["gravity"]["original_sg"] == pytest.approx(gravity, abs=2e-6)
        assert "aim-gravity" in codes(report)
    if ibu:
        assert report["bitterness"]["ibu"]["mid"] == pytest.approx(ibu, abs=CLOSE_AIM_IBU)
        assert "aim-bitterness" in codes(report)


def test_grist_and_first_dose_alone_are_scaled_and_it_is_said(papers):
    aim = {"recipe.aim": {"gravity": "1.060", "bitterness": "45"}}
    before, after = papers.quick(), papers.but(aim).quick()
    factors = [
        two["mass_kg"] / one["mass_kg"]
        for one, two in zip(before["grist"], after["grist"], strict=True)
    ]
    assert factors[0] == pytest.approx(factors[1], rel=1e-12)
    assert f"scaled by {factors[0]:.3f}" in text_of(after, "aim-gravity")
    masses = [
        (one["mass_kg"], two["mass_kg"])
        for one, two in zip(
            before["bitterness"]["doses"][:-1], after["bitterness"]["doses"][:-1], strict=True
        )
    ]
    assert masses[1][0] == masses[1][1] and masses[2][0] == masses[2][1]
    assert f"scaled by {masses[0][1] / masses[0][0]:.3f}" in text_of(after, "aim-bitterness")
    assert "d1" in text_of(after, "aim-bitterness")


def test_what_was_weighed_for_the_aim_makes_it_without_one(papers):
    """Typed masses of the fitted plan, planned again without an aim, give the same beer."""
    fitted = papers.but({"recipe.aim": {"gravity": "1.058", "bitterness": "38"}}).quick()
    typed = {
        f"recipe.grist.{i}.mass": f"{each['mass_kg']!r} kg"
        for i, each in enumerate(fitted["grist"])
    } | {
        f"recipe.hops.{i}.mass": f"{each['mass_kg'] * 1000.0!r} g"
        for i, each in enumerate(fitted["bitterness"]["doses"][:-1])
    }
    again = papers.but(typed).quick()
    assert again["gravity"]["original_sg"] == pytest.approx(1.058, abs=2e-6)
    assert again["bitterness"]["ibu"]["mid"] == pytest.approx(38.0, abs=CLOSE_AIM_IBU)
    assert again["water_l"] == pytest.approx(fitted["water_l"], abs=1e-6)


def test_the_earliest_dose_is_earliest_in_time_not_in_the_document(papers):
    hops = papers.recipe["hops"]
    aim = {"recipe.hops": hops[::-1], "recipe.aim": {"bitterness": "40"}}
    report = papers.but(aim).quick()
    assert "d3" in text_of(report, "aim-bitterness")
    first_wort = papers.but(
        {"recipe.hops.1.when": "first wort", "recipe.aim": {"bitterness": "40"}}
    ).quick()
    assert "d2" in text_of(first_wort, "aim-bitterness")


@pytest.mark.parametrize("method", ["kinetic", "tinseth"])
def test_late_doses_alone_above_the_aim(papers, method):
    report = papers.but(
        {"recipe.hops.1.mass": "150 g", "recipe.hops.1.alpha": "12 %",
         "recipe.aim": {"bitterness": "8"}}
    ).quick(method)  # fmt: skip
    assert "aim-bitterness-exceeded" in codes(report)
    first = report["bitterness"]["doses"][0]
    assert first["mass_kg"] == 0.0 and first["total_ibu"] == 0.0
    mid = report["bitterness"]["ibu"]["mid"]
    assert mid > 8.0
    assert f"{mid:.1f} IBU" in text_of(report, "aim-bitterness-exceeded")
    assert all(dose["mass_kg"] >= 0.0 for dose in report["bitterness"]["doses"])


def test_malt_alone_above_the_aim_of_a_single_dose(papers):
    report = one_dose(papers, "60 min").but({"recipe.aim": {"bitterness": "0.5"}}).quick()
    assert "aim-bitterness-exceeded" in codes(report)
    assert total(report) == 0.0


def test_a_single_dose_meets_its_aim(papers):
    report = one_dose(papers, "60 min").but({"recipe.aim": {"bitterness": "25"}}).quick()
    assert report["bitterness"]["ibu"]["mid"] == pytest.approx(25.0, abs=CLOSE_AIM_IBU)


@pytest.mark.parametrize("hops", [None, "dry"])
def test_no_hops_in_the_kettle(papers, hops):
    changed = papers.but({"recipe.hops": None}) if hops is None else one_dose(papers, "dry hop")
    report = changed.but({"recipe.aim": {"gravity": "1.050", "bitterness": "30"}}).quick()
    assert "aim-no-dose" in codes(report)
    assert report["gravity"]["original_sg"] == pytest.approx(1.050, abs=2e-6)


def test_an_aim_beyond_what_dissolves_is_said(papers):
    report = one_dose(papers, "heat-off").but({"recipe.aim": {"bitterness": "400"}}).quick()
    assert "aim-bitterness-out-of-reach" in codes(report)
    assert "aim-bitterness" not in codes(report)


def test_large_doses_meet_a_high_aim(papers):
    """Above the soft limit bitterness no longer goes with the mass; the aim is met all the same."""
    report = papers.but({"recipe.aim": {"bitterness": "110"}, "rig.kettle.brim": "60 L"}).quick()
    assert report["bitterness"]["ibu"]["mid"] == pytest.approx(110.0, abs=CLOSE_AIM_IBU)
    assert report["bitterness"]["doses"][0]["mass_kg"] > 0.08


def test_without_an_aim_nothing_is_changed_or_said(papers):
    report = papers.quick()
    assert not {code for code in codes(report) if code.startswith("aim")}
    assert [each["mass_kg"] for each in report["grist"]] == [4.8, 0.5]
