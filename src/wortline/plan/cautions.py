"""Cautions: what can hurt, said on the phase where it can, before its first act, one at a time.

Numbers here are information, never permission. Wiring, gas and ventilation are left to local code
and licensed practice.
"""

from collections.abc import Callable

from wortline.documents.words import BeforeHeatOff
from wortline.plan.brew_day import BrewDay, first_water_l, mash_hot_l
from wortline.science.water import expansion

Say = Callable[[float, str], str]

# A wet basket weighs its grain, what the grain has taken up and some wort still dripping from it.
DRIPPING_L_KG = 0.6
TIGHT_SHARE = 0.12
MASH_TIGHT_SHARE = 0.05
FOAM_DOSE_MIN = 20.0
BURNS_C = 45.0
HOT_HOSES = (
    "Hoses and chiller now carry wort that burns at a touch: clamps tight, gloves on, the"
    " chiller's water off and its way out open."
)
PASS_CAUTION = (
    "Read the outlet with a thermometer before its hose goes into the fermenter: the first wort"
    " may still be hot enough to scald, or to burst glass."
)
OF_TURNS = {"sanitise-loop": HOT_HOSES, "chill-and-transfer": PASS_CAUTION}
"""What to say before handles are turned for something: on paper, and on the screen of the day."""


def basket_kg(day: BrewDay) -> float:
    """Mass of the grain basket as it leaves the wort, before it has drained [kg]."""
    rig = day.brew.rig
    return float(day.brew.grist_kg * (1.0 + rig.grain_holds_l_kg + DRIPPING_L_KG))


def room_l(day: BrewDay) -> float:
    """Room between the hot wort at the start of the boil and the brim [L]."""
    return float(day.brew.rig.brim_l - day.volumes.preboil_l * expansion(day.hot.boiling_c))


def mash_room_l(day: BrewDay) -> float:
    """Room between the mash with its grain and the brim [L]."""
    first_l = first_water_l(day.brew, day.volumes.water_l)
    return float(day.brew.rig.brim_l - mash_hot_l(day.brew, first_l))


def is_tight(day: BrewDay) -> bool:
    """Whether little room is left above the hot pre-boil wort."""
    return room_l(day) < TIGHT_SHARE * float(day.brew.rig.brim_l)


def cautions(day: BrewDay, say: Say) -> dict[str, tuple[str, ...]]:
    """What to say on each phase, by its name; the first is the one that matters most."""
    room = f"{say(room_l(day), 'volume')} hot"
    boiling = [
        f"It can boil over in seconds as it starts to boil: there is room for {room} below the"
        " brim. Stay by it, lid off, and turn the element down before it climbs."
    ]
    if is_tight(day):
        least = f"Little room: only {room} to the brim" if room_l(day) > 0.0 else "No room at all"
        boiling[0] = (
            f"{least}, and it foams up in seconds as it starts to boil. Stay by it, lid off, hand"
            " on the element's switch."
        )
    whens = [dose.when for dose in day.brew.doses]
    early = [
        when.before_min
        for when in whens
        if isinstance(when, BeforeHeatOff)
        and when.before_min >= float(day.brew.boil_min) - FOAM_DOSE_MIN
    ]
    dosing = [
        "Hops make boiling wort boil over: element down first, hops in by the handful, then up"
        " again."
    ] * bool(early)
    lid = [
        "A lid on boiling wort: lay it on loose, never clamp it, and lift it away from your face."
    ] * (day.brew.boil_lid.kind != "off")
    spare_l = mash_room_l(day)
    full = [
        f"Little room: only {say(max(spare_l, 0.0), 'volume')} hot to the brim with the grain in."
        " Pour"
        " it in by the scoop, stir slowly, and stop before hot liquid comes over the edge."
    ] * (spare_l < MASH_TIGHT_SHARE * float(day.brew.rig.brim_l))
    pumped = day.brew.rig.has_pump
    off = "pump off, element off" if pumped else "element off"
    lift = {
        "basket": f"The wet basket weighs about {say(basket_kg(day), 'mass')} and drips at"
        f" {say(float(day.brew.rests[-1].at_c), 'temperature')}: {off}, hoist or a"
        " second person, never over your head.",
        "bag": f"The wet bag weighs about {say(basket_kg(day), 'mass')} and drips scalding wort:"
        f" {off}, lift with a hoist, gloves on.",
    }.get(
        day.brew.rig.mash_kind,
        "Run-off is hot enough to scald: hose tied down before the valve opens.",
    )
    one_pass = (PASS_CAUTION,) * (day.hot.stretches["chill"].in_kettle is not None)
    return {
        "fill": (
            "Mains near water: dry hands, element unplugged until it is covered, on a"
            " residual-current device. Wiring is for local code and a licensed electrician.",
        ),
        "heat": ("Element on only while it is covered. Steam burns: open the lid away from you.",),
        "mash": (
            *full,
            "Keep the return hose under the surface and tied: it throws hot wort."
            if pumped
            else "Stir with a long spoon: the mash scalds. Gloves on.",
        ),
        "lift": (lift,),
        "to_boil": (
            "Lid loose, never clamped: it must be able to lift. Be at the kettle well before it"
            " boils.",
        ),
        "boil": tuple(boiling + dosing + lid),
        "whirlpool": (
            "Element off first. The return arm throws boiling wort: check that it points along"
            " the wall and is under the surface before the pump goes on.",
        ),
        "rest": ("Still above scalding heat: lid edge and handles are hot, keep children away.",),
        "chill": (
            "Water running before hot wort moves. Hoses and chiller are hot to the touch and a hose"
            " under pressure can slip off: clamps tight, gloves on.",
            *one_pass,
        ),
        "transfer": (
            "Hold a thermometer to the outlet before you open a coupling, gloves on: above"
            f" {say(BURNS_C, 'temperature')} it burns, so wait. A full fermenter is heavy:"
            + (" let the pump lift it, not your back."
               if pumped
               else " fill it where it is to stand, and never lift a kettle of hot wort."),
        ),
        "pitch": (
            "Fermentation gives off CO2: air the room, never put your head into a fermenter.",
        ),
    }
