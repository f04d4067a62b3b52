"""For every number of a plan: what it is, its formula in words, its inputs and its functions."""

from wortline.app.reason import EXTRACT, HEAT, LEDGER, REST, Reason
from wortline.app.reasons_hot import HOT_REASONS

HOPS = (
    "recipe.hops.*",
    "recipe.wort_ph",
    "model.kinetic_losses",
    "model.oxidised_acids",
    "model.pellet_share",
)
KETTLE_SOURCES = ("kettle.open_surface", "kettle.wall_w_m2", "kettle.lidded_surface")
KINETIC = (
    "isomerisation.isomerisation_per_min",
    "isomerisation.degradation_per_min",
    "dissolving.dissolved_mg_l",
    "bitterness.iso_factor",
    "bitterness.oxidised_alpha_mg_l",
    "bitterness.oxidised_alpha_ibu",
)
TINSETH = ("utilisation.utilisation_tinseth_1997", "utilisation.utilisation_tinseth_hosom_2015")

REASONS = {
    **HOT_REASONS,
    "water_l": Reason(
        "Water at the tap for the whole day, cold.",
        "batch + hold-up + left behind + held by hops + steam after heat-off"
        " + boil-off x boil time + grain_holds x grist",
        LEDGER,
        ("water.expansion", *KETTLE_SOURCES),
    ),
    "strike_c": Reason(
        "Temperature of the first water before the grain goes in.",
        "rest + 0.40 / r x (rest - grain), r = kg of water for each kg of grain",
        ("recipe.mash.*", "day.grain", "recipe.grist.*"),
        ("mash.strike_c",),
    ),
    "fermenter_l": Reason(
        "Wort in the fermenter, cold.",
        "water less every loss of the ledger",
        LEDGER,
        KETTLE_SOURCES,
    ),
    "efficiency.fraction": Reason(
        "Mash efficiency: extract in the kettle before the boil over extract of the grist as is.",
        "typed for the rig; or conversion x what the lauter brings out, so that the mass of wort"
        " closes",
        EXTRACT,
        ("mash.no_sparge", "mash.batch_sparge"),
    ),
    "gravity.preboil_sg": Reason(
        "Gravity before the boil, of a cooled sample.",
        "the strength at which the cold pre-boil litres hold efficiency x extract of the grist",
        (*EXTRACT, *LEDGER),
        ("extract.plato_from_extract", "extract.sg_from_plato", "extract.wort_density_kg_m3"),
    ),
    "gravity.postboil_sg": Reason(
        "Gravity at heat-off, of a cooled sample.",
        "the same extract in the cold litres left at heat-off",
        (*EXTRACT, *LEDGER),
        ("extract.plato_from_extract", "extract.sg_from_plato"),
    ),
    "gravity.original_sg": Reason(
        "Original gravity: of the wort at the end of the chill.",
        "the same extract in the cold litres left after the chill",
        (*EXTRACT, *LEDGER),
        ("extract.plato_from_extract", "extract.sg_from_plato", "extract.wort_density_kg_m3"),
    ),
    "gravity.final_sg": Reason(
        "Gravity when fermentation is done.",
        "original Plato x (1 - attenuation); attenuation is the smaller of what mash and grist"
        " allow and what the yeast can do",
        ("recipe.yeast.attenuation", "recipe.mash.rests.*", "model.attenuation", *EXTRACT),
        ("mash.attenuation_limit", "alcohol.final_plato", "extract.sg_from_plato"),
    ),
    "abv_fraction": Reason(
        "Alcohol by volume.",
        "Balling: extract fermented over 2.0665 - 0.010665 x original Plato, by mass; times"
        " gravity of the beer over that of ethanol",
        ("recipe.yeast.attenuation", "recipe.mash.rests.*", "model.attenuation", *EXTRACT),
        ("alcohol.alcohol_abv",),
    ),
    "colour_ebc": Reason(
        "Colour of the beer.",
        "Morey: SRM = 1.4922 x MCU^0.6859, MCU from malt colours, masses and litres of cold wort;"
        " EBC = 1.97 x SRM",
        ("recipe.grist.*", "model.colour", *LEDGER),
        ("colour.mcu", "colour.srm_morey_1995"),
    ),
    "bitterness.ibu": Reason(
        "Bitterness of the young beer, one week old.",
        "sum over the doses of iso-alpha acids left after boil, rest and chill and of oxidised"
        " acids, each times what reaches the beer, x 51.2 / 69.68; plus malt",
        (*HOPS, *REST, *LEDGER),
        KINETIC,
    ),
    "bitterness.wort_ibu": Reason(
        "Bitterness of the cold wort.",
        "as for the beer, before fermentation and ageing take their part",
        (*HOPS, *REST, *LEDGER),
        KINETIC,
    ),
    "bitterness.tinseth_ibu": Reason(
        "Tinseth's formula as published: boiling minutes alone, no rest.",
        "mg/L of alpha acids x 1.65 x 0.000125^(gravity - 1) x (1 - exp(-0.04 t)) / 4.15",
        ("recipe.hops.*", "rig.containment.*", "model.tinseth", *EXTRACT, *LEDGER),
        TINSETH,
    ),
    "bitterness.doses.malt": Reason(
        "What malt alone adds to the measured value.",
        "19 x (original gravity - 1)",
        EXTRACT,
        ("bitterness.malt_ibu",),
    ),
    "bitterness.doses.*.total_ibu": Reason(
        "Bitterness this dose gives to the young beer.",
        "alpha acids that dissolve, turned to iso-alpha acids along the temperature curve from the"
        " dose to the end of the chill, times what reaches the beer; plus its oxidised acids",
        (*HOPS, *REST),
        KINETIC,
    ),
    "bitterness.doses.*.boil_ibu": Reason(
        "Bitterness this dose has earned by heat-off.",
        "the bitter line of the dose, read at heat-off",
        (*HOPS, *REST),
        KINETIC,
    ),
    "bitterness.doses.*.rest_ibu": Reason(
        "Bitterness this dose earns from heat-off to the start of the chill.",
        "the bitter line of the dose at the start of the chill, less that at heat-off",
        (*HOPS, *REST),
        KINETIC,
    ),
    "bitterness.doses.*.chill_ibu": Reason(
        "Bitterness this dose earns in the chill.",
        "the bitter line of the dose at the end of the chill, less that at its start",
        (*HOPS, *REST),
        KINETIC,
    ),
    "bitterness.doses.*.shift_min": Reason(
        "Minutes to move this dose later (+) or earlier (-).",
        "the moment nearest to the planned one at which its total is what it would be without"
        " whirlpool and rest, with the same chill",
        (*HOPS, *REST),
        KINETIC,
    ),
    "dms_ug_l.wort": Reason(
        "Free DMS in the cold wort.",
        "precursor splits at a rate that doubles every 6 K; free DMS leaves with the steam",
        ("recipe.grist.*", "rig.boil_off", "recipe.wort_ph", "model.dms_stripping", *REST),
        ("dms.precursor_split_per_min", "dms.dms_stripping_per_min", "dms.dms_step"),
    ),
    "dms_ug_l.beer": Reason(
        "Free DMS in the beer.",
        "half of that in the cold wort; fermentation carries the rest off",
        ("recipe.grist.*", "rig.boil_off", "recipe.wort_ph", "model.dms_stripping", *REST),
        ("dms.dms_in_beer_ug_l", "dms.dms_step"),
    ),
    "dms_ug_l.precursor_left": Reason(
        "Precursor of DMS left in the cold wort, counted as DMS.",
        "what the hot hours have not split",
        ("recipe.grist.*", "recipe.wort_ph", *REST),
        ("dms.precursor_split_per_min", "dms.dms_step"),
    ),
    "heat.to_strike_min": Reason(
        "Minutes from tap to strike temperature at full power.",
        "heat of water and kettle over what the element leaves after losses, summed over the"
        " temperature",
        (*HEAT, "day.tap", "rig.metal_per_brim"),
        ("kettle_heating.heat_capacity_kj_k", *KETTLE_SOURCES),
    ),
    "heat.to_boil_min": Reason(
        "Minutes from the lifted grain to the boil at full power.",
        "heat of wort and kettle over what the element leaves after losses, summed over the"
        " temperature",
        (*HEAT, "rig.metal_per_brim"),
        ("kettle_heating.heat_capacity_kj_k", "water.boiling_point_c", *KETTLE_SOURCES),
    ),
    "heat.max_boil_off_l_h": Reason(
        "Most that the rated power could boil off if nothing were lost.",
        "rated power / latent heat at the boiling point",
        ("rig.element.power", "day.pressure"),
        ("kettle_heating.loss_free_boil_off_l_h", "water.latent_heat_kj_kg"),
    ),
    "heat.likely_boil_off_l_h": Reason(
        "What efficiency and losses leave to boil off.",
        "(rated power x efficiency - dry losses) / latent heat",
        HEAT,
        ("kettle_heating.boil_off_l_h", "kettle_heating.dry_loss_w"),
    ),
    "energy_kwh": Reason(
        "Electricity from the tap to heat-off.",
        "full power while heating; losses while the mash rests; steam and losses while boiling",
        (*HEAT, "day.tap", "rig.boil_off", "recipe.mash.rests.*"),
        ("kettle_heating.heat_capacity_kj_k", "mash.mash_heat_capacity_kj_k", *KETTLE_SOURCES),
    ),
    "ledger.*.cold_l": Reason(
        "Litres at this step of the ledger, counted at 20 C.",
        "the batch in the fermenter and every loss on the way, summed backwards to the tap",
        LEDGER,
        KETTLE_SOURCES,
    ),
    "ledger.*.hot_l": Reason(
        "Litres at this step as they stand in the kettle, hot.",
        "cold litres x density of water at 20 C / density at this temperature",
        LEDGER,
        ("water.expansion", "water.density_kg_m3"),
    ),
    "ledger.*.mark_cm": Reason(
        "Height of the liquid above a flat inside floor.",
        "hot litres / area of the kettle",
        ("rig.kettle.diameter", *LEDGER),
        ("water.expansion",),
    ),
}
