"""The rigs whose pipes are timed: the two-valves preset, and six three-way valves in a row."""

from wortline.app.files import File
from wortline.app.piping import Pipes, pipes_of
from wortline.app.starting import starting_document
from wortline.documents.plumbing import Plumbing
from wortline.pipes.network import Network, network


def two_valves() -> Pipes:
    """Return the preset whose audit is timed."""
    return pipes_of(File("rig.yaml", starting_document("rig", "two-valves").encode()))


def six_valves(passage: str) -> Network:
    """Return a pump, a chiller and six three-way valves of one bore, each with a way of its own."""
    vessels = {
        "V1": {"name": "arm", "kind": "arm", "height": "110 cm", "bore": "9.5 mm"},
        "V2": {"name": "sight", "kind": "jug", "height": "60 cm"},
        "V3": {"name": "bypass", "kind": "arm", "height": "110 cm", "bore": "9.5 mm"},
        "V4": {"name": "waste", "kind": "drain", "height": "10 cm"},
        "V5": {"name": "ring", "kind": "arm", "height": "110 cm", "bore": "9.5 mm"},
        "V6": {"name": "sample", "kind": "jug", "height": "50 cm"},
    }
    parts: list[dict[str, object]] = [
        {"name": "kettle", "kind": "kettle", "height": "90 cm", "outlet": "3 cm"},
        {"name": "K", "kind": "valve2", "height": "90 cm"},
        {
            "name": "P",
            "kind": "pump",
            "height": "20 cm",
            "curve": [
                {"flow": "0 L/min", "head": "3.8 m"},
                {"flow": "12 L/min", "head": "2.9 m"},
                {"flow": "24 L/min", "head": "0.6 m"},
            ],
        },
    ]
    joins = [["kettle.outlet", "K.a"], ["K.b", "P.in"]]
    here = "P.out"
    for valve, vessel in vessels.items():
        parts.append(
            {"name": valve, "kind": "valve3", "passage": passage, "ways": ["aside", "ahead"]}
        )
        parts.append(vessel)
        joins += [[here, f"{valve}.in"], [f"{valve}.aside", f"{vessel['name']}.in"]]
        here = f"{valve}.ahead"
        if valve == "V1":
            parts.append({"name": "chiller", "kind": "chiller", "form": "plate"})
            joins.append([here, "chiller.in"])
            here = "chiller.out"
    parts.append({"name": "fermenter", "kind": "fermenter", "height": "20 cm", "inlet": "40 cm"})
    parts.append({"name": "W", "kind": "water", "guard": "preventer"})
    parts.append({"name": "gully", "kind": "drain", "height": "5 cm"})
    joins += [
        [here, "fermenter.in"],
        ["W.out", "chiller.water_in"],
        ["chiller.water_out", "gully.in"],
    ]
    return network(Plumbing.model_validate({"parts": parts, "joins": joins}))
