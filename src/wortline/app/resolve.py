"""From three documents and the typical values to the case that a plan is computed from."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from wortline.app.chillers import rig_chillers
from wortline.app.ingredients import attenuation, dose, malt, oil_shares, oils
from wortline.app.inputs import Inputs
from wortline.app.whirling import swirl_gear
from wortline.documents.day import MONTHS, Climate, Day
from wortline.documents.plumbing import Plumbing
from wortline.documents.quantity import Quantity
from wortline.documents.recipe import Recipe
from wortline.documents.rig import Rig as RigDocument
from wortline.documents.words import Lid
from wortline.pipes.network import Network, network
from wortline.plan.aim import Aim
from wortline.plan.brew import Air, Brew, Chill, ChillWay, MashRest, Models, Rig, RigChiller, Values
from wortline.plan.case import Case
from wortline.plan.notes import Note
from wortline.science.bitter_losses import Losses
from wortline.science.mains_water import mains_water_burch_2007_c, middle_of_month
from wortline.science.water import standard_pressure_kpa
from wortline.units import retold, say

LID_OFF, LID_ON = Lid("off"), Lid("on")
WEATHER_KPA = 0.8
CLIMATE_TAP_DK = 2.0
"""How far mains water may be from its fit to a climate (guess)."""
LEAST_UA_SHARE = 0.2
ASSUMED = {
    "air": "temperature",
    "tap": "temperature",
    "grain": "temperature",
    "elevation": "elevation",
}


@dataclass(frozen=True)
class Resolved:
    """A case with what it aims at and what had to be assumed."""

    case: Case
    aim: Aim
    assumed: tuple[Note, ...]
    network: Network | None = None


def resolve(
    recipe: Recipe, rig: RigDocument, day: Day | None, system: str = "metric"
) -> Resolved:
    """Fill every gap with a documented value and say so; every name is known or has its numbers."""
    inputs = Inputs()
    batch = inputs.typed("recipe.batch", recipe.batch)
    malts = [malt(inputs, index, line) for index, line in enumerate(recipe.grist)]
    doses = [dose(inputs, index, hop) for index, hop in enumerate(recipe.hops)]
    pipes = _compiled(rig.plumbing) if rig.plumbing else None
    rig_of, air_of = _rig(inputs, rig, pipes), _air(inputs, day)
    models_of = _models(inputs, rig.has_pump)
    chillers = rig_chillers(rig)
    losses_of, chill_of = _losses(inputs, recipe), _chill(inputs, recipe, chillers)
    rests = [
        (
            inputs.typed(f"recipe.mash.rests.{index}.at", rest.at),
            inputs.typed(f"recipe.mash.rests.{index}.for", rest.lasts),
        )
        for index, rest in enumerate(recipe.mash.rests)
    ]
    water = recipe.mash.water
    first = inputs.typed("recipe.mash.water.first", water.first) if water.first else None
    sparge = inputs.either("recipe.mash.water.at", water.at, "C", 0.0, 100.0)
    reached = attenuation(inputs, recipe)
    boil = inputs.typed("recipe.boil.for", recipe.boil.lasts)
    whirlpool, hop_oils = recipe.whirlpool, oils()
    pumped_min = whirlpool.pump.value if whirlpool and whirlpool.pump else 0.0
    # Last, so that what is uncertain about a swirl or hop oil moves no other draw.
    swirl_of = swirl_gear(inputs, rig.swirl, pipes)
    oil_shares_of = oil_shares(inputs)

    def assemble(values: Values) -> Brew:
        return Brew(
            batch_l=values[batch],
            malts=tuple(of(values) for of in malts),
            doses=tuple(of(values) for of in doses),
            rig=rig_of(values),
            air=air_of(values),
            rests=tuple(MashRest(values[at], values[lasts]) for at, lasts in rests),
            first_water_l=None if first is None else values[first],
            sparge_c=values[sparge],
            heating_lid=(recipe.heating and recipe.heating.lid) or LID_ON,
            boil_min=values[boil],
            boil_lid=recipe.boil.lid or LID_OFF,
            pump_min=pumped_min if rig.has_pump else 0.0,
            rest_min=whirlpool.rest.value if whirlpool and whirlpool.rest else 0.0,
            whirlpool_lid=(whirlpool and whirlpool.lid) or LID_OFF,
            chill=chill_of(values),
            yeast_attenuation=values[reached],
            losses=losses_of(values),
            models=models_of(values),
            swirl=swirl_of(values),
            chillers=chillers,
            oils=hop_oils,
            oil_shares=oil_shares_of(values),
        )

    wanted = recipe.aim
    aim = Aim(
        wanted.gravity.value if wanted and wanted.gravity else None,
        wanted.bitterness.value if wanted and wanted.bitterness else None,
    )
    return Resolved(Case(inputs.found, assemble), aim, tuple(_assumed(inputs, day, system)), pipes)


@lru_cache(maxsize=16)
def _compiled(plumbing: Plumbing) -> Network:
    """Compile pipes once: a rig stays as it is while its recipe and day are tried out."""
    return network(plumbing)


@lru_cache(maxsize=16)
def _held(pipes: Network) -> tuple[float, tuple[str, ...]]:
    # Loads the graph library, for such rigs alone.
    from wortline.pipes.day import held

    return held(pipes)


def _hold_up(inputs: Inputs, rig: RigDocument, pipes: Network | None) -> str:
    """Take what stays in the line from the parts where they are given, else as typed."""
    if pipes is None:
        return inputs.typed("rig.hold_up", rig.hold_up)
    held_l, parts = _held(pipes)
    if not parts:
        return inputs.typed("rig.hold_up", rig.hold_up)
    text = f"{held_l:.2f} L in the parts {', '.join(parts)}"
    return inputs.typed("rig.hold_up", replace(rig.hold_up, value=held_l, spread=None, text=text))


def _rig(inputs: Inputs, rig: RigDocument, pipes: Network | None) -> Callable[[Values], Rig]:
    typed = {
        "diameter_m": inputs.typed("rig.kettle.diameter", rig.kettle.diameter),
        "brim_l": inputs.typed("rig.kettle.brim", rig.kettle.brim),
        "left_behind_l": inputs.typed("rig.kettle.left_behind", rig.kettle.left_behind),
        "power_w": inputs.typed("rig.element.power", rig.element.power),
        "efficiency": inputs.typed("rig.element.efficiency", rig.element.efficiency),
        "boil_off_l_h": inputs.typed("rig.boil_off", rig.boil_off),
        "conversion": inputs.either("rig.mash.conversion", rig.mash.conversion, "-", 0.0, 1.0),
        "grain_holds_l_kg": inputs.typed("rig.mash.grain_holds", rig.mash.grain_holds),
        "grain_displaces_l_kg": inputs.usual("rig.grain_displaces", "L/kg"),
        "hold_up_l": _hold_up(inputs, rig, pipes),
        "holds_free_l_kg": inputs.typed("rig.hops_hold.free", rig.hops_hold.free),
        "holds_contained_l_kg": inputs.typed("rig.hops_hold.contained", rig.hops_hold.contained),
        "bag_less": inputs.typed("rig.containment.bag", rig.containment.bag),
        "mesh_less": inputs.typed("rig.containment.mesh", rig.containment.mesh),
        "fill_l_min": inputs.either("rig.fill", rig.fill, "L/min"),
        "drain_min": inputs.either("rig.drain", rig.drain, "min"),
        "transfer_l_min": inputs.either("rig.transfer", rig.transfer, "L/min"),
    }
    metal = inputs.usual("rig.metal_per_brim", "kJ/K")
    share = rig.mash.efficiency
    efficiency = inputs.typed("rig.mash.efficiency", share) if share != "balance" else None

    def make(values: Values) -> Rig:
        return Rig(
            jacket=rig.kettle.wall == "jacket",
            mash_kind=rig.mash.kind,
            has_pump=rig.has_pump,
            metal_kj_k=values[metal] * values[typed["brim_l"]],
            mash_efficiency=None if efficiency is None else values[efficiency],
            **{field: values[name] for field, name in typed.items()},
        )

    return make


def _air(inputs: Inputs, day: Day | None) -> Callable[[Values], Air]:
    def number(field: str, unit: str, low: float, high: float) -> str:
        quantity: Quantity | None = getattr(day, field) if day else None
        return inputs.either(f"day.{field}", quantity, unit, low, high)

    temps = {
        "air_c": number("air", "C", -50.0, 60.0),
        "tap_c": _climate_tap(inputs, day) or number("tap", "C", 0.0, 95.0),
        "grain_c": number("grain", "C", -50.0, 80.0),
        "humidity": number("humidity", "-", 0.0, 1.0),
    }
    elevation = number("elevation", "m", -430.0, 6000.0)
    if day and day.pressure:
        pressure = inputs.typed("day.pressure", day.pressure)
    else:
        from_m = inputs.found[elevation]
        kpa = float(standard_pressure_kpa(from_m.value))
        text = f"standard air at {from_m.text}"
        pressure = inputs.given("day.pressure", kpa, WEATHER_KPA, from_m.trust, text, "kPa")
    return lambda values: Air(
        pressure_kpa=values[pressure], **{field: values[name] for field, name in temps.items()}
    )


def tap_of_climate_c(climate: Climate | None) -> float | None:
    """Tap water in the month of a climate [C]."""
    if climate is None:
        return None
    south = climate.south == "yes"
    in_month = middle_of_month(float(climate.month))
    return float(mains_water_burch_2007_c(in_month, climate.mean.value, climate.range.value, south))


def _climate_tap(inputs: Inputs, day: Day | None) -> str | None:
    """Take the tap from the climate where it was not measured; None where it was."""
    climate = day.climate if day else None
    tap_c = tap_of_climate_c(climate)
    if climate is None or tap_c is None:
        return None
    text = f"{tap_c:.1f} C, from the climate in {MONTHS[climate.month - 1].title()}"
    return inputs.given("day.tap", tap_c, CLIMATE_TAP_DK, "guess", text, "C", 0.0, 95.0)


def _models(inputs: Inputs, has_pump: bool) -> Callable[[Values], Models]:
    factors = {
        field: inputs.usual(f"model.{field}", "-", 0.05)
        for field in (
            "kinetic_losses",
            "oxidised_acids",
            "pellet_share",
            "tinseth",
            "surface_loss",
            "attenuation",
            "colour",
            "dms_stripping",
        )
    }
    factors["hose_loss_w_k"] = inputs.usual("model.hose_loss", "W/K")
    if has_pump:
        factors["pump_heat_w"] = inputs.usual("model.pump_heat", "W")
    return lambda values: Models(**{field: values[name] for field, name in factors.items()})


def _losses(inputs: Inputs, recipe: Recipe) -> Callable[[Values], Losses]:
    names = {"wort_ph": inputs.either("recipe.wort_ph", recipe.wort_ph, "-", 3.0, 8.0)}
    for field, factor, quantity in (
        ("clarity", "clarity", recipe.clarity),
        ("krausen", "krausen", recipe.krausen),
        ("flocculation", "flocculation", recipe.flocculation),
        ("filter_share", "filter", recipe.filter),
    ):
        if quantity is not None:
            names[field] = inputs.typed(f"recipe.{factor}", quantity)
    average = Losses()

    def make(values: Values) -> Losses:
        return Losses(
            boil_share=average.boil_share * values["model.kinetic_losses"],
            **{field: values[name] for field, name in names.items()},
        )

    return make


def _chill(
    inputs: Inputs, recipe: Recipe, chillers: tuple[RigChiller, ...]
) -> Callable[[Values], Chill]:
    wish = recipe.chill
    to = inputs.typed("recipe.chill.to", wish.to)
    rate = inputs.typed("recipe.chill.at", wish.at) if isinstance(wish.at, Quantity) else None
    within = inputs.typed("recipe.chill.in", wish.within) if wish.within else None
    lid = wish.lid or (recipe.whirlpool and recipe.whirlpool.lid) or LID_OFF
    way_of = _chill_way(inputs, recipe, chillers)
    return lambda values: Chill(
        to_c=values[to],
        rate_k_min=None if rate is None else values[rate],
        in_min=None if within is None else values[within],
        lid=lid,
        way=way_of(values),
    )


def _chill_way(
    inputs: Inputs, recipe: Recipe, chillers: tuple[RigChiller, ...]
) -> Callable[[Values], ChillWay | None]:
    wish = recipe.chill
    index, unit = next(
        ((index, unit) for index, unit in enumerate(chillers) if unit.name == wish.chiller),
        (0, None),
    )
    if unit is None:
        return lambda _: None
    ua_w_k = float(unit.chiller.ua_w_k)
    text = f"{ua_w_k:.0f} W/K {unit.source}"
    trust = "guess" if "guess" in unit.source else "typed"
    least_w_k = LEAST_UA_SHARE * ua_w_k
    ua = f"rig.chillers.{index}.ua"
    inputs.given(ua, ua_w_k, unit.spread * ua_w_k, trust, text, "W/K", least_w_k)
    switch = inputs.typed("recipe.chill.switch_at", wish.switch_at) if wish.switch_at else None
    how = wish.how or ("coil-stirred" if unit.stirred else "coil-still")

    def make(values: Values) -> ChillWay:
        here = unit.chiller._replace(ua_w_k=values[ua])
        return ChillWay(
            replace(unit, chiller=here), how, None if switch is None else values[switch]
        )

    return make


def _assumed(inputs: Inputs, day: Day | None, system: str) -> Iterator[Note]:
    for field, kind in ASSUMED.items():
        each = inputs.found[f"day.{field}"]
        if field == "tap" and day and day.climate:
            yield Note(
                "tap-from-climate",
                "note",
                f"Tap water taken as {retold(each.text, system)}: let it run and measure it.",
            )
        elif each.source != "typed":
            yield Note(
                "assumed",
                "warn",
                f"No day given: {field} taken as {say(each.value, kind, system, 0)}, a guess"
                f" ({retold(each.source, system)}).",
            )
