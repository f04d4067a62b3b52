"""A plan as its page shows it: parts that are drawn anew whenever something moves."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from wortline.app.comparing import (
    changes_in_words,
    day_length,
    figures,
    former_texts,
    moves_in_words,
    of_whirlpool,
)
from wortline.app.drawing import strip_svg
from wortline.app.explaining import why
from wortline.app.fitted import fitted_in_words
from wortline.app.input_words import words_of
from wortline.app.ledger_words import STEP_NAMES
from wortline.app.planning import Planned
from wortline.app.trying import Papers, Tried, levers_of, plan_as_kept, ways_to_fit
from wortline.units import say
from wortline.web.rendering import System, environment, link

LEAST_PX, MOST_PX, WIDE_PX, NARROW_PX = 320, 1600, 940, 336
QUICK = ("cant", "numbers", "others", "line", "changed", "ledger", "doses")
PARTS = (*QUICK, "whirl", "notes")
STEPS_SHOWN = {"sure": 3, "fair": 2, "guess": 1}


@dataclass(frozen=True)
class View:
    """What the templates of a plan are filled with."""

    trial: Tried
    kept: Planned
    system: System
    method: str
    whole: bool = True

    @classmethod
    def of(cls, trial: Tried, method: str, system: System, whole: bool = True) -> "View":
        """Look at a trial beside the plan as it is kept."""
        return cls(trial, plan_as_kept(trial.papers, method, system), system, method, whole)

    @property
    def report(self) -> dict[str, Any]:
        """The plan."""
        return self.trial.planned.report

    @property
    def former(self) -> dict[str, Any] | None:
        """The plan as it is kept, if something was moved."""
        return self.kept.report if self.trial.moved else None

    def strip(self, width_px: int, prefix: str = "strip-") -> str:
        """The picture, as wide as there is room for."""
        held = min(max(width_px, LEAST_PX), MOST_PX)
        return strip_svg(
            self.report, self.system, held, former=self.former, room_for=self.kept.report,
            bare=True, prefix=prefix,
        )  # fmt: skip

    def values(self) -> dict[str, Any]:
        """Everything but the picture."""
        levers = levers_of(self.trial.papers, self.method, self.system)
        former, told = self.former, figures(self.report, self.system)
        followed = (
            changes_in_words(former, self.report, self.system, self.whole) if former else []
        )
        followed += [each for key, each in self.told().items() if key in self.trial.moved]
        ways = [] if self.report["fits"] else ways_to_fit(self.trial, self.method, self.system)
        was = former_texts(former, self.report, self.system) if former else {}
        return {
            "report": self.report,
            "figures": [each for each in told if not of_whirlpool(each.key)],
            "whirl": [each for each in told if of_whirlpool(each.key)],
            "day_length": day_length(self.report),
            "was": was,
            "was_length": day_length(former) if former else "",
            "moved": moves_in_words(levers, self.trial.moved),
            "followed": followed,
            "cants": [
                (each["text"].replace(": ", ", because ", 1), each["nearest"]["text"], way)
                for each, way in zip(self.report["cant"], ways, strict=False)
            ],
            "rows": ledger_rows(self.report, self.system),
            "doses": dose_rows(self.report, self.system),
            "grist": grist_rows(self.report, self.system),
            "steps_shown": STEPS_SHOWN,
            "why_at": why_at(self.trial.papers),
        }

    def told(self) -> dict[str, str]:
        """What the plan makes of a lever, by its key, where it is not what the lever says."""
        return fitted_in_words(self.trial.planned, self.system)

    def parts(self) -> dict[str, str]:
        """The parts of the page by name, as HTML; without those that a quick plan lacks."""
        values = self.values()
        names = PARTS if self.whole else QUICK
        return {
            name: environment().get_template(f"plan_{name}.html").render(**values)
            for name in names
        }


def ledger_rows(report: Mapping[str, Any], system: str) -> list[dict[str, str]]:
    """The ledger in words."""
    beside = report["water_l"]

    def litres(value: float | None) -> str:
        return "" if value is None else say(value, "volume", system, beside=beside)

    return [
        {
            "step": row["step"],
            "kind": row["kind"],
            "name": STEP_NAMES[row["step"]],
            "cold": litres(row["cold_l"]) or "unknown",
            "hot": litres(row["hot_l"]),
            "temp": _said(row["temp_c"], "temperature", system),
            "mark": ""
            if row["mark_cm"] is None
            else say(row["mark_cm"] / 100.0, "length", system),
        }
        for row in report["ledger"]
    ]


def _said(value: float | None, kind: str, system: str) -> str:
    return "" if value is None else say(value, kind, system)


def _mass(mass_kg: float | None, system: str) -> str:
    if mass_kg is None:
        return "unknown"
    return say(mass_kg, "mass", system, **({"digits": 2} if mass_kg < 0.01 else {}))


def grist_rows(report: Mapping[str, Any], system: str) -> list[tuple[str, str]]:
    """What malt to weigh."""
    return [(each["name"], _mass(each["mass_kg"], system)) for each in report["grist"]]


def dose_rows(report: Mapping[str, Any], system: str) -> list[dict[str, Any]]:
    """Every dose: what, when, and where it earns its bitterness."""
    rows = []
    for dose in report["bitterness"]["doses"]:
        shift, alpha = dose["shift_min"], dose["alpha_fraction"]
        earned = {
            part: "?" if dose[f"{part}_ibu"] is None else f"{dose[f'{part}_ibu']:.1f}"
            for part in ("boil", "rest", "chill", "total")
        }
        held = {"free": "free", "bag": "in a bag", "mesh": "in a mesh basket"}[dose["held"]]
        rows.append(
            {
                "id": dose["id"],
                "name": dose["name"],
                "is_malt": dose["id"] == "malt",
                "mass": _mass(dose["mass_kg"], system),
                "at": dose["at"],
                "held": held,
                "alpha": f"{100 * alpha:.1f} %" if alpha else "",
                "shift": "" if shift is None or abs(shift) < 0.5 else f"{shift:+.0f} min",
                **earned,
            }
        )
    return rows


def why_parts(planned: Planned, key: str, system: str) -> dict[str, Any]:
    """What a reason says, for its template."""
    told = why(planned, key)
    # Its units are core units; the inputs carry the words they were typed in.
    inputs = [
        {**each, "words": words_of(each["name"], planned.report)} for each in told["inputs"]
    ]
    leading = [each for each in inputs if each["leads"]]
    others = [each for each in inputs if not each["leads"]]
    sources = list(dict.fromkeys(str(each["references"]) for each in told["sources"]))
    figure = next((each for each in figures(planned.report, system) if each.key == key), None)
    return {"told": told, "leading": leading, "others": others, "sources": sources,
            "figure": figure}  # fmt: skip


def why_at(papers: Papers) -> str:
    """Where a number of this plan is explained; its key follows."""
    day = papers.day.document if papers.day else None
    return link(f"/plan/{papers.recipe.document}/why", rig=papers.rig.document, day=day) + "&key="
