"""A rig from what a tape measure, a bucket and a watch say about it."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot, pi, sqrt

from wortline.app.round_trip import quoted
from wortline.documents.quantity import Measure
from wortline.errors import DocumentRefused, Problem, UnitError
from wortline.science.standards import COLD_C
from wortline.science.water import density_kg_m3, latent_heat_kj_kg
from wortline.units import parse, say

TAPE_M = 0.002
"""How well a tape is read [m, one standard deviation]; common practice, no source."""
BUCKET_SHARE = 0.05
"""How well a household bucket's marks hold; common practice, no source."""
HEATS = 0.95
"""Share of an element's power that reaches the water; common practice, no source."""
BOILS_DOWN = 0.7
"""Boil-off as a share of what full power could evaporate; a guess, brewers turn the boil down."""
BOIL_OFF_SHARE = 0.25
BOILING_C = 100.0


@dataclass(frozen=True)
class Asked:
    """One question of the rig page."""

    field: str
    tool: str
    question: str
    why: str
    measure: Measure
    metric: str
    us: str
    needed: bool = True


def _length(high_m: float) -> Measure:
    return Measure("length", 0.0, high_m, low_open=True)


_LITRES = Measure("volume", 0.0, 5000.0, low_open=True)
_SHORT = Measure("time", 0.0, 600.0, low_open=True)
_LONG = Measure("time", 10.0, 600.0)

QUESTIONS = (
    Asked("diameter", "tape", "How wide is the kettle inside?",
          "Width turns depth into litres, and the open surface is where heat and water leave.",
          _length(5.0), "cm", "in"),
    Asked("depth", "tape", "How deep is it from the brim to the bottom?",
          "Width and depth give the litres to the brim. No plan may fill it higher.",
          _length(5.0), "cm", "in"),
    Asked("poured", "bucket", "Pour water into the kettle from a marked bucket. How much?",
          "About half a bucket will do. It only has to cover the outlet.",
          _LITRES, "L", "US qt"),
    Asked("drained", "bucket", "Drain it through the outlet into the bucket. How much comes out?",
          "What stays in the kettle never reaches the fermenter, so the plan makes that much more.",
          Measure("volume", 0.0, 5000.0), "L", "US qt"),
    Asked("through", "bucket",
          "Pour the same again and drain it through pump, hoses and chiller. How much comes out?",
          "The rest stays in the line. Leave this empty if you have neither pump nor chiller.",
          Measure("volume", 0.0, 5000.0), "L", "US qt", needed=False),
    Asked("filled", "watch", "Fill the bucket from your tap or hose. How long does that take?",
          "It says when to begin so that the mash starts on time.",
          _SHORT, "s", "s", needed=False),
    Asked("ran_in", "watch", "And how much water ran in during that time?",
          "The bucket, full to its mark: type what the mark says. Half a bucket does as well; the"
          " water and the time only have to belong together.",
          _LITRES, "L", "US qt", needed=False),
    Asked("emptied", "watch", "How long did the water take through hoses and chiller?",
          "The slower wort leaves the kettle, the longer the late hops stay in hot wort.",
          _SHORT, "s", "s", needed=False),
    Asked("boiled", "watch", "If you have boiled in it before: how long, with the lid off?",
          "Boil-off is litres for each hour. Leave both empty if you do not know; it is then a"
          " guess that the plan shows as one.",
          _LONG, "min", "min", needed=False),
    Asked("fell", "watch", "And how far did the level fall in that time?",
          "Measure from the brim down to the boiling wort, before and after.",
          _length(1.0), "cm", "in", needed=False),
)  # fmt: skip
POWER = Asked("power", "plate", "What power is on the element's plate?",
              "It sets how fast the water heats and how much can boil away.",
              Measure("power", 0.0, 200_000.0, low_open=True), "W", "W")  # fmt: skip
TOGETHER = (("boiled", "fell", "time and fall"), ("filled", "ran_in", "time and water"))
KINDS = ("basket", "bag", "tun")
PUMPS = ("yes", "no")


def measured_rig(
    name: str, kind: str, typed: Mapping[str, str], system: str = "metric", pump: str = ""
) -> str:
    """Return the rig that was measured, as a document that says how well each number is known.

    A bare number is in the unit that stood beside its question. Where it is not said whether
    there is a pump, there is one if water was measured through it.

    Raises
    ------
    DocumentRefused
        With a problem for each answer that cannot be used.
    """
    problems: list[Problem] = []
    values = {
        each.field: _value(each, typed.get(each.field, ""), system, problems)
        for each in (*QUESTIONS, POWER)
    }
    if not name.strip():
        problems.append(_problem("name", "", "a name", "give your rig a name"))
    if kind not in KINDS:
        problems.append(_problem("kind", kind, ", ".join(KINDS), "say how the grain is held"))
    if pump and pump not in PUMPS:
        problems.append(_problem("pump", pump, ", ".join(PUMPS), "say whether there is a pump"))
    _compare(values, typed, problems)
    if problems:
        raise DocumentRefused(problems)
    told = pump or ("no" if values["through"] is None else "yes")
    return _written(name, kind, values, system) + _pump_line(told)


def _pump_line(pump: str) -> str:
    says = "wort is pumped" if pump == "yes" else "no plan pumps; write yes if you have one"
    return f"pump: {pump}    # {says}\n"


def _value(asked: Asked, typed: str, system: str, problems: list[Problem]) -> float | None:
    text = " ".join(typed.split())
    if not text:
        if asked.needed:
            problems.append(
                _problem(asked.field, "", asked.measure.allowed, "it is needed for a first plan")
            )
        return None
    unit = asked.us if system == "us" else asked.metric
    # a minus or a plus is no unit: what is wrong with -4 is not the cm beside it
    bare = text.lstrip("+-").replace(",", "").replace(".", "").isdigit()
    try:
        value = parse(f"{text} {unit}" if bare else text, asked.measure.kind, "us")
    except UnitError as error:
        problems.append(_problem(asked.field, text, asked.measure.allowed, str(error)))
        return None
    low, high = asked.measure.low, asked.measure.high
    if not low <= value <= high or (asked.measure.low_open and value == low):
        told = f"`{text}` is outside what is possible: {asked.measure.allowed}"
        problems.append(_problem(asked.field, text, asked.measure.allowed, told))
        return None
    return value


def _compare(
    values: Mapping[str, float | None], typed: Mapping[str, str], problems: list[Problem]
) -> None:
    """Refuse answers that cannot all be true."""

    def above(field: str, limit: str, words: str) -> None:
        small, large = values[field], values[limit]
        if small is not None and large is not None and small > large:
            problems.append(_problem(field, typed.get(field, ""), "", words))

    above("drained", "poured", "more came out than was poured in; read both marks again")
    above("through", "drained", "more came through the line than without it; drain it empty first")
    above("fell", "depth", "the level fell by more than the kettle is deep")
    for one, other, words in TOGETHER:
        for given, missing in ((one, other), (other, one)):
            if values[given] is not None and not typed.get(missing, "").strip():
                told = f"{words} belong together; give both"
                problems.append(_problem(missing, "", "", told))
    if values["emptied"] is not None and not typed.get("through", "").strip():
        told = "a time through the line needs the litres that came through it"
        problems.append(_problem("through", "", "", told))


def _problem(field: str, value: str, allowed: str, text: str) -> Problem:
    return Problem("", 0, field, value, allowed, "", text)


def boil_off_l_h(fell_m: float, diameter_m: float, boiled_min: float) -> float:
    """Cold litres that boil away in an hour, from the fall of the boiling surface [L/h]."""
    hot_l = 250.0 * pi * diameter_m**2 * fell_m
    share = float(density_kg_m3(BOILING_C)) / float(density_kg_m3(COLD_C))
    return hot_l * share * 60.0 / boiled_min


def most_boil_off_l_h(power_w: float) -> float:
    """Cold litres in an hour if all heat of an element made steam [L/h]."""
    kg_h = HEATS * power_w * 3.6 / float(latent_heat_kj_kg(BOILING_C))
    return kg_h * 1000.0 / float(density_kg_m3(COLD_C))


def _written(name: str, kind: str, values: Mapping[str, float | None], system: str) -> str:
    """Return the document; every number carries its spread and where it is from."""
    wide_m, deep_m = values["diameter"] or 0.0, values["depth"] or 0.0
    poured_l, drained_l = values["poured"] or 0.0, values["drained"] or 0.0
    power_w = values["power"] or 0.0
    through_l, emptied_min = values["through"], values["emptied"]
    filled_min, ran_in_l = values["filled"], values["ran_in"]
    brim_l = 250.0 * pi * wide_m**2 * deep_m
    brim_share = hypot(2.0 * TAPE_M / wide_m, TAPE_M / deep_m)
    behind_l = poured_l - drained_l
    # two readings of one bucket: its own fault cancels, what is left is reading the marks
    reading_l = sqrt(2.0) * 0.1 * BUCKET_SHARE * max(poured_l, 1.0)
    held_l = None if through_l is None else drained_l - through_l

    def known(value: float, kind: str, spread: float, origin: str) -> str:
        return (
            f"{{value: {_short(say(value, kind, system, 3))},"
            f" spread: {_short(say(spread, kind, system, 3))}, from: {origin}}}"
        )

    lines = [
        "# Measured with a tape, a bucket and a watch. Every number says how well it is known:",
        "# spread is one standard deviation; from is measured, typical or guess.",
        "schema: rig/1",
        f"name: {quoted(name)}",
        "kettle:",
        f"  diameter: {known(wide_m, 'length', TAPE_M, 'measured')}    # inside",
        f"  brim: {known(brim_l, 'volume', brim_share * brim_l, 'measured')}"
        "    # from width and depth",
        f"  left_behind: {known(behind_l, 'volume', reading_l, 'measured')}    # cold",
        "element:",
        f"  power: {known(power_w, 'power', 0.03 * power_w, 'typical')}    # from its plate",
        f"  efficiency: {{value: {100 * HEATS:g} %, spread: 3 %, from: guess}}",
        _boil_off_line(values, known),
        "mash:",
        f"  kind: {kind}",
        "  grain_holds: {value: 0.9 L/kg, spread: 0.1 L/kg, from: typical}",
        "  efficiency: {value: 74 %, spread: 5 %, from: guess}    # measure it on your first brew",
        "hold_up: "
        + (
            known(held_l, "volume", reading_l, "measured")
            if held_l is not None
            else "{value: 0 L, spread: 0.1 L, from: guess}    # no pump, hose or chiller measured"
        ),
        "hops_hold: {free: {value: 9 L/kg, spread: 1.5 L/kg, from: typical},"
        " contained: {value: 5 L/kg, spread: 1 L/kg, from: typical}}",
        "containment: {bag: {value: 5 %, spread: 3 %, from: guess},"
        " mesh: {value: 10 %, spread: 4 %, from: guess}}",
    ]
    if filled_min is not None and ran_in_l is not None:
        flow = known(ran_in_l / filled_min, "flow", 0.1 * ran_in_l / filled_min, "measured")
        lines.append(f"fill: {flow}")
    if emptied_min is not None and through_l:
        flow = known(through_l / emptied_min, "flow", 0.1 * through_l / emptied_min, "measured")
        lines.append(f"transfer: {flow}")
    return "\n".join(lines) + "\n"


def _boil_off_line(values: Mapping[str, float | None], known: object) -> str:
    assert callable(known)
    wide_m, fell_m, boiled_min = values["diameter"], values["fell"], values["boiled"]
    if wide_m and fell_m and boiled_min:
        rate = boil_off_l_h(fell_m, wide_m, boiled_min)
        share = hypot(2.0 * TAPE_M / wide_m, sqrt(2.0) * TAPE_M / fell_m)
        return f"boil_off: {known(rate, 'evaporation', share * rate, 'measured')}    # by tape"
    rate = BOILS_DOWN * most_boil_off_l_h(values["power"] or 0.0)
    told = known(rate, "evaporation", BOIL_OFF_SHARE * rate, "guess")
    return f"boil_off: {told}    # measure it: boil 60 min, see how far the level falls"


def _short(said: str) -> str:
    """Return a said quantity without zeros at its end."""
    number, _, unit = said.partition(" ")
    return f"{number.rstrip('0').rstrip('.')} {unit}"
