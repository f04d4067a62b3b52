"""What each row of the ledger is called: the same on the page and in print."""

STEP_NAMES = {
    "water": "water at the tap",
    "first_water": "of it first, on the grain",
    "sparge": "of it to rinse the grain",
    "mash": "mash with its grain",
    "grain_holds": "held by the grain",
    "preboil": "before the boil",
    "boil_off": "boiled off",
    "postboil": "at heat-off",
    "rest_loss": "steam after heat-off",
    "wort": "cooled in the kettle",
    "hops_hold": "held by the hops",
    "left_behind": "left in the kettle",
    "hold_up": "left in the line",
    "fermenter": "into the fermenter",
}
