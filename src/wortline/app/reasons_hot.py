"""Reasons of the hot minutes: whirlpool, aroma, chill and clog caution."""

from wortline.app.reason import REST, Reason

AROMA = ("recipe.hops.*", "rig.containment.*", "rig.boil_off", "model.oil.*", *REST)
AROMA_SOURCES = (
    "aroma.aroma_index_g_l",
    "aroma.oil_extraction_per_min",
    "aroma.oil_stripping_per_min",
    "aroma.oil_shares",
    "aroma.index_range_g_l",
)
CHILLING = ("recipe.chill.*", "rig.chillers.*", "day.tap", "rig.metal_per_brim", "model.pump_heat")
CHILL_SOURCES = (
    "chill_ways.circulated",
    "chill_ways.one_pass",
    "chill_ways.two_stage",
    "chilling.circulating_min",
    "chiller.outlet_c",
    "ice.ice_needed_kg",
    "ice.fridge_min",
)
SWIRL = ("rig.swirl.*", "rig.kettle.diameter")
TURNING = (
    *SWIRL,
    "model.swirl.jet_share",
    "model.swirl.jet_arm",
    "model.swirl.wall_drag",
    "model.swirl.obstacle_drag",
)
CLEARING = (
    *SWIRL,
    "recipe.hops.*",
    "model.swirl.floc_size",
    "model.swirl.floc_excess_kg_m3",
    "model.swirl.floc_dimension",
    "model.swirl.hop_excess_kg_m3",
    "model.swirl.break_mg_l",
    "model.swirl.suspension",
    "model.swirl.convection_stir",
)
SWIRL_SOURCES = (
    "swirl_drive.jet_torque_n_m",
    "swirl_drive.brake_n_m",
    "turning.side_torque_n_m",
    "turning.floor_torque_n_m",
)
SETTLING_SOURCES = ("settling.settling_m_s", "deposit.floor_action", "whirlpool.run")

HOT_REASONS = {
    "whirlpool.turns_per_min": Reason(
        "Turns a minute at the surface as the pump stops.",
        "the torque of the jet against the drag of side wall, floor and what stands in the way,"
        " and against what the outflow takes; a leaf on the surface shows it",
        TURNING,
        SWIRL_SOURCES,
    ),
    "whirlpool.turns": Reason(
        "Turns a minute at the surface as the pump stops; .2 and .5 are those 2 and 5 min later.",
        "from the turning as the pump stops, braked by side wall, floor and what stands in the way,"
        " laminar or turbulent, whichever brakes more",
        TURNING,
        SWIRL_SOURCES,
    ),
    "whirlpool.pump_min": Reason(
        "Minutes of pumping after which more adds nothing.",
        "the longer of: 95 % of the final turning; all wort once through the pump",
        TURNING,
        ("swirl_drive.spin_up_min", *SWIRL_SOURCES),
    ),
    "whirlpool.rest_min": Reason(
        "Minutes of rest until the wort is clear and still; none where an hour does not do.",
        "solids afloat at the outlet below what counts as clear, and the wall speed below 2 cm/s;"
        " both limits are chosen",
        (*CLEARING, "model.swirl.clear_mg_l", "model.swirl.still_m_s"),
        SETTLING_SOURCES,
    ),
    "whirlpool.clear_fraction": Reason(
        "Share of the solids that is gone from the wort at the outlet after the planned rest.",
        "every class of solids settles out of wort that its own cooling keeps mixed, once the floor"
        " is swept too slowly to lift it again",
        CLEARING,
        SETTLING_SOURCES,
    ),
    "whirlpool.cone_cold_l": Reason(
        "Litres of the cone, with the wort in it, cold.",
        "bed of settled hops and break for each kilogram, times what lies in the inner half of the"
        " floor",
        (*CLEARING, "rig.hops_hold.free", "model.swirl.break_bed_l_kg", "model.swirl.creep"),
        ("whirlpool.run", "deposit.moved_trub"),
    ),
    "whirlpool.draw_off_mark_cm": Reason(
        "Height at which to stop drawing from the side.",
        "the highest of: the outlet; the film of wort that still spares set trub; the share of the"
        " height of the cone at which its slope gives way",
        (
            *SWIRL,
            "rig.transfer",
            "model.swirl.repose_deg",
            "model.swirl.cone_holds",
            "model.swirl.set_strength_pa",
        ),
        ("cone.draw_off", "cone.scour_film_m", "cone.cone_size_m"),
    ),
    "whirlpool.left_cold_l": Reason(
        "What stays in the kettle at the draw-off line, trub and wort, cold.",
        "area of the kettle x height of the line, counted at 20 C",
        (*SWIRL, "rig.transfer", "model.swirl.repose_deg", "model.swirl.cone_holds"),
        ("cone.draw_off", "water.expansion"),
    ),
    "aroma.index_g_l": Reason(
        "Aroma of the cold wort: hops for each litre whose linalool is all there; a guess.",
        "sum over the doses of mass x share of linalool kept / litres; oil leaves the hops at a"
        " pace that halves every 25 K below 90 C, and the wort with the steam; half to twice of it,"
        " or wider where its draws are",
        AROMA,
        AROMA_SOURCES,
    ),
    "aroma.doses.*.index_g_l": Reason(
        "Aroma of this dose in the cold wort: its hops for each litre if all linalool were there;"
        " a guess.",
        "mass x share of linalool kept / litres; the pace at which oil leaves the hops is common"
        " practice, so half to twice of it, or wider where its draws are",
        AROMA,
        AROMA_SOURCES,
    ),
    "aroma.doses.*.extracted_fraction": Reason(
        "Share of this class of the dose's oil that has left the hops; a guess.",
        "1 - exp(-pace x minutes): the pace halves every 25 K below 90 C, and is slower in bag or"
        " mesh and from cones",
        AROMA,
        ("aroma.oil_extraction_per_min", "aroma.oil_shares"),
    ),
    "aroma.doses.*.stripped_fraction": Reason(
        "Share of this class of the dose's oil that has left the wort with the steam; a guess.",
        "what has left the hops goes with the steam, by the class's volatility and the share of the"
        " wort that steams off",
        AROMA,
        ("aroma.oil_stripping_per_min", "aroma.effective_volatility", "aroma.oil_shares"),
    ),
    "aroma.doses.*.kept_fraction": Reason(
        "Share of this class of the dose's oil in the cold wort; a guess.",
        "what has left the hops less what the steam has taken; the range is that of the day, the"
        " pace at which oil leaves hops, the way to the bubbles and the class's volatility",
        AROMA,
        AROMA_SOURCES,
    ),
    "aroma.doses.*.beer_fraction": Reason(
        "Share of this class of the dose's oil in the beer; a guess.",
        "what the wort keeps times what fermentation leaves of the class",
        AROMA,
        AROMA_SOURCES,
    ),
    "chill.lowest_c": Reason(
        "The lowest that tap water alone reaches in any way with the rig's chillers.",
        "the tap, and above it what the pump's heat or the slowest pass that can be held adds; the"
        " lowest of all ways",
        CHILLING,
        CHILL_SOURCES,
    ),
    "chill.*.time_min": Reason(
        "Minutes of this chill; none where it does not get there.",
        "circulating and a coil: heat of wort and kettle / what the chiller passes x log of the"
        " distances to the water; one pass: litres / the flow at which it leaves as cold as wanted;"
        " ice and fridge: their heat",
        CHILLING,
        CHILL_SOURCES,
    ),
    "chill.*.water_cold_l": Reason(
        "Cooling water of this chill.",
        "flow of water x minutes; all of it while circulating, in one pass no more than it takes",
        CHILLING,
        CHILL_SOURCES,
    ),
    "chill.*.reached_c": Reason(
        "What this chill gets to: the temperature wanted, or the lowest it can.",
        "the temperature wanted where it is not below the lowest of this way",
        CHILLING,
        CHILL_SOURCES,
    ),
    "chill.*.lowest_c": Reason(
        "The lowest this way reaches at all.",
        "circulating: tap + heat of the pump / what the chiller passes; one pass: what leaves at"
        " the slowest flow that a valve can be held at, 1 L/min",
        CHILLING,
        CHILL_SOURCES,
    ),
    "chill.*.cost_min": Reason(
        "What this chill costs in all, counted in minutes at the kettle; a choice.",
        "minutes + litres of water / 10 + kg of ice + minutes in the fridge / 10",
        CHILLING,
        CHILL_SOURCES,
    ),
    "clog.level": Reason(
        "Clog caution, 1 to 5: an order, no measure.",
        "points for loose hops by the litre, cones, the narrowest place and no fine screen, less"
        " points for minutes at rest; common practice, no source",
        ("recipe.hops.*",),
    ),
}
