"""What a deck takes along: the frozen day, its line-ups as pictures, and what the pump may not do.

A line-up's verdict is worked out beforehand for every way the handles can stand, so that a device
without its server still refuses the pump for a reason.
"""

from collections.abc import Iterator, Mapping
from functools import lru_cache
from itertools import product
from typing import Any

import numpy as np

from wortline.app.keeping import planned_of
from wortline.app.lots import deck_of
from wortline.app.piping import level_m
from wortline.app.ports import DocumentStore
from wortline.app.ports_lots import LotStore
from wortline.lot.day import Step
from wortline.lot.steps import day_of
from wortline.pictures.pipe_map import pipe_map
from wortline.pipes.audit import audited
from wortline.pipes.marks import Loop, Mark, marks, words
from wortline.pipes.network import Network
from wortline.pipes.state import Conditions, Setting, drawn_ends, setting_values
from wortline.pipes.view import View
from wortline.plan.line_ups import RETURN_COOLER_DK, SANITISE_C, Piping
from wortline.plan.plan import Plan
from wortline.science.extract import sg_from_plato
from wortline.units import retold

SCHEMA = "deck-pipes/1"
PICTURE_PX = 344
MOST_WAYS = 400
"""More ways to stand than this are not worked out beforehand: hose ends stay where planned."""
SETTLED_MIN = 2.0
"""Line-ups are judged this long after their step: what has to cool first has cooled."""
UNMARKED = "B1"
"""Missing clean marks do not refuse the pump: sanitising has steps of its own."""


def deck_values(lots: LotStore, documents: DocumentStore, number: int) -> dict[str, Any]:
    """Everything a deck runs a lot with, as plain values.

    Raises
    ------
    NotKept
        If there is no such lot.
    """
    lot = lots.lot(number)
    values = deck_of(lots, number)
    revisions = lot.recipe, lot.rig, lot.day, lot.method, lot.system
    pipes = _pipes(documents, *revisions)  # type: ignore[arg-type]
    platos = np.arange(0.0, 40.5, 0.5)
    grid = {"plato": platos.tolist(), "sg": np.asarray(sg_from_plato(platos)).tolist()}
    return {**values, "plato": grid, "pipes": pipes}


@lru_cache(maxsize=8)
def _pipes(
    documents: DocumentStore, recipe: int, rig: int, day: int | None, method: str, system: str
) -> dict[str, Any] | None:
    """The line-ups of a lot's revisions; they never change, so they are worked out once."""
    planned = planned_of(documents, recipe, rig, day, method, system)
    piping = planned.plan.piping
    if piping is None or not planned.plan.stands:
        return None
    steps = day_of(planned.report, piping.network, system).steps
    name = str(planned.report["rig"])
    return _Pipes(planned.plan, piping, planned.report, name, steps, system).values()


class _Pipes:
    """The line-ups of a day, moment by moment."""

    def __init__(
        self,
        plan: Plan,
        piping: Piping,
        report: Mapping[str, Any],
        name: str,
        steps: tuple[Step, ...],
        system: str,
    ) -> None:
        self.plan, self.piping, self.report = plan, piping, report
        self.name, self.steps, self.system = name, steps, system
        self.network: Network = piping.network
        self.pictures: dict[str, str] = {}
        self.sentences: dict[str, int] = {}
        self.clean: dict[str, str] = {}

    def values(self) -> dict[str, Any]:
        """All of it as plain values."""
        network = self.network
        shown: dict[str, Any] = {}
        refused: dict[str, Any] = {}
        for moment, setting, at_min, starts in self.moments():
            known = self.known(at_min)
            shown[moment] = {
                **setting_values(network, setting),
                "picture": self.pictured(setting, known),
            }
            if starts:
                refused[moment] = self.refused(setting, known)
        water = network.of_kind("water")
        return {
            "schema": SCHEMA,
            "handles": {valve.name: list(valve.stops) for valve in network.valves},
            "hose_ends": {each.name: [*each.targets, "capped"] for each in network.loose},
            "drawn": dict(
                zip([each.name for each in network.loose], drawn_ends(network), strict=True)
            ),
            "pump": next(iter(network.of_kind("pump")), None),
            "water": water[0] if water else None,
            "shown": shown,
            "pictures": self.pictures,
            "refused": refused,
            "sentences": [retold(each, self.system) for each in self.sentences],
        }

    def moments(self) -> Iterator[tuple[str, Setting, float, bool]]:
        """Every phase and every step that turns something: how it stands after, when, pump on."""
        rows = self.report["timeline"]
        seen: dict[str, int] = {}
        now = self.plan.stands[0].setting
        for row in rows:
            seen[row["phase"]] = seen.get(row["phase"], 0) + 1
            turn = seen[row["phase"]]
            phase = row["phase"] if turn == 1 else f"{row['phase']}.{turn}"
            start_min = row["start_min"] or 0.0
            yield phase, now, start_min, False
            for step in self.steps:
                if step.phase != phase or not step.turns:
                    continue
                for act, part, to in step.turns:
                    now = self.after(now, act, part, to)
                starts = any((act, to) == ("pump", "on") for act, _, to in step.turns)
                after_min = step.due.plus_min if step.due else 0.0
                yield step.id, now, start_min + after_min + SETTLED_MIN, starts
                if phase == "to_boil" and starts:
                    self.sanitised(now, row, after_min)
            if phase == "boil":
                # the step that sanitises the fermenter and the end of its hose
                self.clean |= dict.fromkeys(self.network.of_kind("fermenter"), "acid")
                self.clean |= {
                    each.name: self.clean.get(each.name, "acid") for each in self.network.loose
                }

    def sanitised(self, loop: Setting, row: Mapping[str, Any], after_min: float) -> None:
        """The parts that hot wort goes round through on the way to the boil earn their marks."""
        limits = self.piping.limits
        return_c = SANITISE_C - RETURN_COOLER_DK
        lasts_min = min(
            Mark().missing_min(return_c, limits), row["end_min"] - row["start_min"] - after_min
        )
        earned = marks(self.network, [Loop(loop, lasts_min, return_c)], limits)
        self.clean |= words(earned, limits)

    def after(self, now: Setting, act: str, part: str, to: str) -> Setting:
        """How everything stands after one act of the hand."""
        if act == "pump":
            return Setting(now.positions, now.ends, to == "on", now.water)
        if act == "water":
            return Setting(now.positions, now.ends, now.pump, to == "on")
        if act == "hose":
            names = [each.name for each in self.network.loose]
            return now.moved(names.index(part), to)
        names = [valve.name for valve in self.network.valves]
        return now.turned(names.index(part), to)

    def known(self, at_min: float) -> Conditions:
        """What is known of the wort at a minute of the day."""
        track, brew = self.plan.track, self.plan.fitted.day.brew
        wort_c = float(np.interp(at_min, track.time_min, track.temp_c))
        cold_l = float(np.interp(at_min, track.time_min, track.cold_l))
        kettle_m2 = 0.25 * np.pi * float(brew.rig.diameter_m) ** 2
        high_m = level_m(kettle_m2, cold_l, wort_c)
        limits = self.piping.limits
        clean = dict(self.clean)
        return Conditions(wort_c, float(brew.air.tap_c), high_m, limits.pressure_kpa, clean=clean)

    def pictured(self, setting: Setting, known: Conditions) -> str:
        """The key of a line-up's picture."""
        values = setting_values(self.network, setting)
        key = f"{way_key(setting)};{values['pump']};{len(known.clean)}"
        if key not in self.pictures:
            view = View(self.network, setting, known, self.piping.limits)
            judged = audited(view)
            self.pictures[key] = pipe_map(view, judged, self.name, PICTURE_PX, self.system)
        return key

    def refused(self, planned: Setting, known: Conditions) -> dict[str, list[int]]:
        """Why the pump may not run, for every way to stand in which it may not."""
        found: dict[str, list[int]] = {}
        for setting in self.ways(planned):
            view = View(self.network, setting, known, self.piping.limits)
            stops = [
                each
                for each in audited(view).findings
                if each.severity == "stop" and each.code != UNMARKED
            ]
            if stops:
                found[way_key(setting)] = [
                    self.sentences.setdefault(f"{each.text} {each.do}".strip(), len(self.sentences))
                    for each in stops
                ]
        return found

    def ways(self, planned: Setting) -> Iterator[Setting]:
        """Every way the handles, hose ends and the water can stand, with the pump on."""
        stops = [valve.stops for valve in self.network.valves]
        ends: list[tuple[str, ...]] = [(*each.targets, "capped") for each in self.network.loose]
        waters = (False, True) if self.network.of_kind("water") else (False,)
        many = len(waters)
        for choices in (*stops, *ends):
            many *= len(choices)
        if many > MOST_WAYS:
            ends = [(each,) for each in planned.ends]
        for positions in product(*stops):
            for places in product(*ends):
                for water in waters:
                    yield Setting(positions, places, True, water)


def way_key(setting: Setting) -> str:
    """How everything but the pump stands, as one word that a device can make too."""
    water = "on" if setting.water else "off"
    return ";".join(["|".join(setting.positions), "|".join(setting.ends), water])
