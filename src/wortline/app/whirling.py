"""The whirlpool of a rig as numbers: from its own section, from its pipes, or as usual."""

from collections.abc import Callable

from wortline.app.inputs import Inputs
from wortline.documents.quantity import Quantity
from wortline.documents.rig import Swirl
from wortline.pipes.network import Network
from wortline.plan.brew import SwirlGear, Values
from wortline.science.swirl_constants import KNOWN

MODEL = "model.swirl."
STANDARD_KPA = 101.325


def swirl_gear(
    inputs: Inputs, swirl: Swirl | None, pipes: Network | None
) -> Callable[[Values], SwirlGear]:
    """Take what drives the swirl, what stands in its way, and what the brewer has counted."""
    given = swirl or Swirl()
    by_pipes = _from_pipes(pipes)
    names = {
        "flow_l_min": _one(inputs, "flow", given.flow, "L/min", by_pipes),
        "nozzle_m": _one(inputs, "nozzle", given.nozzle, "m", by_pipes),
        "outlet_m": _one(inputs, "outlet", given.outlet, "m", by_pipes),
        "obstacle_m2": _one(inputs, "obstacle", given.obstacle, "m2", by_pipes),
    }
    turns = [
        inputs.typed(f"rig.swirl.turns.{number}", each)
        for number, each in enumerate(given.turns or ())
    ]
    others = {
        field: inputs.typed(f"rig.swirl.{key}", quantity)
        for field, key, quantity in (
            ("clear_after_min", "clear_after", given.clear_after),
            ("read_wort_hot_l", "wort", given.wort),
            ("read_hops_kg", "hops", given.hops),
        )
        if quantity is not None
    }
    if turns or given.clear_after is not None:
        others["read_pumped_min"] = _one(inputs, "pumped", given.pumped, "min", {})
    shares = {name: _share(inputs, name) for name in KNOWN}

    def make(values: Values) -> SwirlGear:
        return SwirlGear(
            floor_open=0.0 if given.floor == "screen" else 1.0,
            shares={name: values[each] for name, each in shares.items()},
            turns_per_min=tuple(values[name] for name in turns),
            **{field: values[name] for field, name in (names | others).items()},
        )

    return make


def _one(
    inputs: Inputs, field: str, typed: Quantity | None, unit: str, by_pipes: dict[str, Quantity]
) -> str:
    """Take a number as typed, else as the pipes have it, else as usual."""
    name = f"rig.swirl.{field}"
    return inputs.either(name, typed or by_pipes.get(field), unit, 0.0)


def _share(inputs: Inputs, name: str) -> str:
    known = KNOWN[name]
    text = f"{known.value:g}, may well be {known.low:g} to {known.high:g}: {known.why}"
    return inputs.in_range(MODEL + name, text, known.basis)


def _from_pipes(pipes: Network | None) -> dict[str, Quantity]:
    """What the plumbing says: flow to the return arm, its bore, the height of the outlet."""
    if pipes is None:
        return {}
    # Loads the graph library, for such rigs alone.
    from wortline.app.piping import limits_at
    from wortline.pipes.day import whirled

    found = whirled(pipes, limits_at(STANDARD_KPA))
    if found is None:
        return {}
    rows = (
        ("flow", found.flow_l_min, "flow", found.flow_text),
        ("nozzle", found.nozzle_m, "length", "bore of the return arm"),
        ("outlet", found.outlet_m, "length", "outlet of the kettle"),
    )
    return {
        field: Quantity(value, kind, None, "typed", f"{text}, from the plumbing", 0.0)
        for field, value, kind, text in rows
        if value is not None and value > 0.0
    }
