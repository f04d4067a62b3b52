"""The plan as `plan/1`: plain numbers in core units, for JSON, pictures and the printed day."""

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from wortline.documents.words import (
    BeforeHeatOff,
    Below,
    DryHop,
    FirstWort,
    HeatOff,
    IntoRest,
)
from wortline.pipes.state import setting_values
from wortline.plan.brew_day import first_water_l, mash_hot_l
from wortline.plan.chill_call import TWO_STAGE_C, Wish
from wortline.plan.chill_finish import all_ways
from wortline.plan.hot_side import chill_batch
from wortline.plan.plain import number
from wortline.plan.plan import Plan
from wortline.plan.report_aroma import aroma, clog
from wortline.plan.report_swirl import whirlpool
from wortline.science.kettle import wetted_wall_m2
from wortline.science.real import Real
from wortline.science.water import expansion

if TYPE_CHECKING:
    from wortline.plan.line_ups import Stand

Array = npt.NDArray[np.float64]

SCHEMA = "plan/1"
MOMENTS = {
    FirstWort: "first wort",
    BeforeHeatOff: "boil",
    HeatOff: "heat-off",
    IntoRest: "rest",
    Below: "below",
    DryHop: "dry hop",
}
STEP_MIN = 1e-6


@np.errstate(invalid="ignore")
def numbers(values: Real) -> list[float | None]:
    """The same for a whole line."""
    listed: list[float | None] = np.asarray(values, dtype=np.float64).tolist()
    return listed if np.isfinite(values).all() else [number(each) for each in listed]


# What never comes is read off as no number here; that must not warn on the way.
@np.errstate(invalid="ignore", over="ignore", divide="ignore")
def report(plan: Plan, names: dict[str, str | None]) -> dict[str, Any]:
    """The whole plan as nested plain values; `names` says what recipe, rig and day are called."""
    day = plan.day
    strong, beer, central = day.strength, day.beer, plan.central
    return {
        "schema": SCHEMA,
        **names,
        "fits": not plan.cants,
        "cant": [asdict(cant) for cant in plan.cants],
        "water_l": number(central["water_l"]),
        "strike_c": number(day.strike_c),
        "fermenter_l": number(day.volumes.fermenter_l),
        "mash_kind": day.brew.rig.mash_kind,
        "has_pump": day.brew.rig.has_pump,
        "ledger": ledger(plan),
        "grist": grist(plan),
        "efficiency": {
            "fraction": number(day.pot.efficiency),
            "from": "balance" if day.brew.rig.mash_efficiency is None else "typed",
        },
        "gravity": {
            "preboil_sg": number(strong.preboil_sg),
            "postboil_sg": number(strong.postboil_sg),
            "original_sg": number(strong.original_sg),
            "final_sg": number(beer.final_sg),
            "apparent_attenuation_fraction": number(beer.attenuation),
        },
        "abv_fraction": number(beer.abv),
        "colour_ebc": number(beer.colour_ebc),
        "bitterness": bitterness(plan),
        "timeline": [
            {
                **asdict(phase),
                "end_min": number(phase.end_min),
                "start_min": number(phase.start_min),
                "cautions": list(phase.cautions),
                **(piped(plan, plan.stands[index]) if plan.stands else {}),
            }
            for index, phase in enumerate(plan.track.phases)
        ],
        "heat": {
            key.removeprefix("heat."): number(value)
            for key, value in central.items()
            if key.startswith("heat.")
        },
        "dms_ug_l": {
            key.removeprefix("dms_ug_l."): number(value)
            for key, value in central.items()
            if key.startswith("dms_ug_l.")
        },
        "whirlpool": whirlpool(plan.swirl, float(day.brew.rig.brim_l), plan.clouded),
        "chill": None if plan.containment is None else chill(plan),
        "aroma": None
        if plan.containment is None
        else aroma(day, plan.containment, plan.aroma_members),
        "clog": clog(plan.clog),
        "energy_kwh": number(central["energy_kwh"]),
        "ranges": {
            key: {
                "low": each.low,
                "mid": each.mid,
                "high": each.high,
                "trust": each.trust,
                "because": list(each.because),
            }
            for key, each in plan.ranges.items()
        },
        "lines": lines(plan),
        "notes": [asdict(note) for note in plan.notes],
    }


def piped(plan: Plan, stand: "Stand") -> dict[str, Any]:
    """How the pipes stand in a phase, and the acts of the hand in it."""
    if plan.piping is None:
        return {}
    return {
        "lineup": setting_values(plan.piping.network, stand.setting),
        "turns": [
            {
                "at_min": number(turn.at_min),
                "for": turn.to,
                "act": turn.act,
                "part": turn.part,
                "from": turn.was,
                "to": turn.then,
                "first": list(turn.first),
                "text": turn.text,
            }
            for turn in stand.turns
        ],
    }


def ledger(plan: Plan) -> list[dict[str, Any]]:
    """Litres at every step; what leaves is a row of its own, `kind: loss`."""
    day, brew, litres = plan.day, plan.day.brew, plan.day.volumes
    boiling_c = day.hot.boiling_c
    first_l = first_water_l(brew, litres.water_l)
    mash_c = brew.rests[0].at_c
    displaced_l = brew.rig.grain_displaces_l_kg * brew.grist_kg
    kettle_m2 = np.pi / 4.0 * brew.rig.diameter_m**2

    def row(step: str, kind: str, cold_l: Real, temp_c: Real | None, hot_l: Real | None = None,
            in_kettle: bool = True) -> dict[str, Any]:  # fmt: skip
        if hot_l is None and temp_c is not None:
            hot_l = cold_l * expansion(temp_c)
        shown = in_kettle and hot_l is not None
        mark_cm = 100.0 * hot_l / 1000.0 / kettle_m2 if shown and hot_l is not None else None
        return {
            "step": step,
            "kind": kind,
            "cold_l": number(cold_l),
            "hot_l": number(hot_l),
            "temp_c": number(temp_c),
            "mark_cm": number(mark_cm),
        }

    def loss(step: str, cold_l: Real) -> dict[str, Any]:
        return row(step, "loss", cold_l, None)

    # With a sparge, what is in the kettle at first is the first water alone.
    rows = [row("water", "stage", litres.water_l, brew.air.tap_c)]
    if brew.first_water_l is not None:
        rows.append(row("first_water", "stage", first_l, brew.air.tap_c))
        rows.append(row("sparge", "stage", litres.sparge_l, brew.sparge_c, in_kettle=False))
    rows += [
        row("mash", "stage", first_l + displaced_l, mash_c, mash_hot_l(brew, first_l)),
        loss("grain_holds", litres.grain_holds_l),
        row("preboil", "stage", litres.preboil_l, boiling_c),
        loss("boil_off", litres.boil_off_l),
        row("postboil", "stage", litres.postboil_l, boiling_c),
        loss("rest_loss", litres.rest_loss_l),
        row("wort", "stage", litres.wort_l, plan.track.temp_c[-1]),
        loss("hops_hold", litres.hop_held_l),
        loss("left_behind", litres.left_behind_l),
        loss("hold_up", litres.hold_up_l),
        row("fermenter", "stage", litres.fermenter_l, brew.chill.to_c, in_kettle=False),
    ]
    return rows


def chill(plan: Plan) -> dict[str, Any]:
    """Every way this rig has to chill, beside the one the recipe asks for."""
    day, brew = plan.day, plan.day.brew
    way, cold_l = brew.chill.way, day.volumes.postboil_l
    start_c = float(day.hot.stretches["chill"].ends_c[0])
    batch = chill_batch(brew, cold_l, day.pot.postboil_plato)
    ways: dict[str, Any] = {"ways": [], "lowest_c": None, "best": None}
    if np.isfinite(start_c) and np.isfinite(float(batch.heat_kj_k)):
        kettle_m2 = np.pi / 4.0 * brew.rig.diameter_m**2
        switch_c = TWO_STAGE_C if way is None or way.switch_c is None else way.switch_c
        wish = Wish(
            batch=batch,
            start_c=start_c,
            to_c=float(brew.chill.to_c),
            tap_c=float(brew.air.tap_c),
            gain_w=float(brew.models.pump_heat_w),
            wall_m2=float(wetted_wall_m2(brew.rig.diameter_m, cold_l / 1000.0 / kettle_m2)),
            switch_c=float(switch_c),
        )
        ways = all_ways(brew.chillers, wish)
    chosen = None if way is None else {"chiller": way.unit.name, "how": way.how}
    return {**ways, "chosen": chosen}


def grist(plan: Plan) -> list[dict[str, Any]]:
    """What to weigh, after fitting to the aim."""
    return [
        {
            "name": malt.name,
            "mass_kg": number(malt.mass_kg),
            "extract_fraction": number(malt.extract),
        }
        for malt in plan.day.brew.malts
    ]


def bitterness(plan: Plan) -> dict[str, Any]:
    """Bitterness in all, and what each dose earns in boil, rest and chill."""
    day, hot = plan.day, plan.day.hot
    ibu = plan.ranges.get("bitterness.ibu")
    mid = number(plan.central["bitterness.ibu"])
    chill_min, end_min = hot.start_min("chill"), hot.end_min
    doses = []
    for line, shift in zip(day.lines, plan.shifts, strict=True):
        dose = line.dose
        boil = earned(line.in_min, hot.heat_off_min, line.ibu(hot.heat_off_min))
        rested = earned(line.in_min, chill_min, line.ibu(chill_min))
        total = float(line.ibu(end_min))
        doses.append(
            {
                "id": dose.id,
                "name": dose.name,
                "at": dose.typed_when,
                "moment": MOMENTS[type(dose.when)],
                "held": dose.held,
                "form": dose.form,
                "mass_kg": number(dose.mass_kg),
                "alpha_fraction": number(dose.alpha),
                "in_min": number(line.in_min + plan.hot_start_min),
                "boil_ibu": number(boil),
                "rest_ibu": number(rested - boil),
                "chill_ibu": number(total - rested),
                "total_ibu": number(total),
                "shift_min": shift,
            }
        )
    malt = number(day.malt_ibu) or 0.0
    doses.append(
        {
            "id": "malt",
            "name": "malt",
            "at": "grist",
            "moment": "grist",
            "held": "free",
            "form": None,
            "mass_kg": number(day.brew.grist_kg),
            "alpha_fraction": 0.0,
            "in_min": None,
            "boil_ibu": malt,
            "rest_ibu": 0.0,
            "chill_ibu": 0.0,
            "total_ibu": malt,
            "shift_min": None,
        }
    )
    return {
        "method": day.method,
        "ibu": {"low": ibu.low if ibu else mid, "mid": mid, "high": ibu.high if ibu else mid},
        "wort_ibu": number(plan.central["bitterness.wort_ibu"]),
        "tinseth_ibu": number(plan.central["bitterness.tinseth_ibu"]),
        "doses": doses,
    }


def earned(in_min: Real, by_min: Real, ibu: Real) -> float:
    """What a dose has earned by a moment: nothing at the very moment it goes in."""
    return float(ibu) if float(in_min) < float(by_min) else 0.0


def lines(plan: Plan) -> dict[str, Any]:
    """Every line of the day on one time axis."""
    day = plan.day
    time_min, temp_c, cold_l = with_moments(plan)
    hot_min = time_min - plan.hot_start_min
    dms = day.dms
    kept = np.isfinite(time_min)
    shown_min = np.where(kept, hot_min, 0.0)
    return {
        "time_min": numbers(time_min),
        "temp_c": numbers(temp_c),
        "cold_l": numbers(cold_l),
        "dms_ug_l": numbers(np.interp(shown_min, dms.time_min, dms.dms_ug_l, left=0.0)),
        "doses": [{"id": line.dose.id, "ibu": numbers(line.ibu(shown_min))} for line in day.lines]
        + [{"id": "malt", "ibu": [number(day.malt_ibu)] * len(time_min)}],
    }


def with_moments(plan: Plan) -> tuple[Array, Array, Array]:
    """The points of the day, with one just before and one just after every dose."""
    track = plan.track
    time_min = np.array(track.time_min)
    moments = [float(line.in_min) + plan.hot_start_min for line in plan.day.lines]
    doses = np.array([moment for moment in moments if np.isfinite(moment)])
    steps = np.concatenate([doses - STEP_MIN, doses + STEP_MIN])
    added = np.array(sorted(set(steps).difference(time_min.tolist())))
    if not len(added) or not np.isfinite(time_min).all():
        return time_min, np.array(track.temp_c), np.array(track.cold_l)
    places = np.searchsorted(time_min, added, side="right")
    return (
        np.insert(time_min, places, added),
        np.insert(track.temp_c, places, np.interp(added, time_min, track.temp_c)),
        np.insert(track.cold_l, places, np.interp(added, time_min, track.cold_l)),
    )
