"""Time the slow parts of Wortline against their budgets: `python3 dev.py bench`.

Each time stands beside a multiple of something timed in the same run, so that runs on different
machines can be compared: starting Python with numpy for processes, one brewing day's hot time by
`solve_ivp` at 1e-8 for computing. It leaves with 1 if anything takes twice its budget.
"""

import os
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from rigs import six_valves, two_valves
from scene import DAY, METHOD, RECIPE, RIG, ROOT, Scene, scene
from serving import serving
from stepped import Stepped, stepped
from timing import Line, Took, best, best_process, timed

from wortline.app.tables import normal_draws, toml
from wortline.pipes.audit import audit
from wortline.pipes.changeover import change_over
from wortline.pipes.routes import line_ups
from wortline.pipes.state import Conditions
from wortline.plan.aim import Aim
from wortline.plan.brew import Brew
from wortline.plan.brew_day import BrewDay, brew_day, lift_c
from wortline.plan.hot_side import HotSide, hot_side, in_moment
from wortline.plan.plan import plan
from wortline.plan.report import report
from wortline.plan.rest_report import trade_of
from wortline.plan.swirl_line import as_read, gear_of, swirl_kettle
from wortline.science.isomerisation import hot_time, iso_share
from wortline.science.real import Real
from wortline.science.swirl_constants import KNOWN, swirl_constants_at
from wortline.science.swirl_readings import fitted_to_readings
from wortline.science.whirlpool import run
from wortline.units import say

SOLVERS = ("RK45", "DOP853", "LSODA")
MEMBERS = (1_000, 3_000, 10_000, 30_000)
MOST_BEND = 1.5
HOT_MEMBERS = 512
SWIRL_MEMBERS = 300
FASTER, NEARNESS = 200.0, 1e-3
UNWANTED = {"fastapi", "http", "jinja2", "PIL", "psycopg", "scipy", "sqlalchemy", "sqlite3"}
UNWANTED |= {"socketserver", "starlette", "uvicorn"}
COMMANDS = {
    "plan": ["plan", RECIPE, "--rig", RIG, "--day", DAY],
    "check": ["check", RECIPE, RIG, DAY],
}
WORTLINE = "from wortline.cli import main; main()"


def processes() -> Iterator[Line]:
    """Whole processes, against starting Python with numpy."""
    python = sys.executable
    calibration = best_process([python, "-c", "import numpy"])
    yield timed("calibration: start Python with numpy", calibration, calibration)
    for what, words, budget_s in (
        ("`wortline --help`", ["--help"], 0.2),
        ("`wortline check` of three documents", COMMANDS["check"], None),
        ("`wortline plan` with its ensemble", COMMANDS["plan"], 0.7),
    ):
        took = best_process([python, "-c", WORTLINE, *words])
        yield timed(what, took, calibration, budget_s)
    yield from serving(calibration)
    for name, words in COMMANDS.items():
        loaded = imported(words)
        yield Line(
            f"`wortline {name}` imports no scipy, web or database",
            ", ".join(loaded) or "none",
            "",
            "none",
            9.9 if loaded else 0.0,
        )


def imported(words: list[str]) -> list[str]:
    """Which of the unwanted modules a command has loaded when it is done."""
    tell = f"print(*({UNWANTED!r} & set(sys.modules)), file=sys.stderr)"
    code = f"import atexit, sys; atexit.register(lambda: {tell}); {WORTLINE}"
    ran = subprocess.run(
        [sys.executable, "-c", code, *words], capture_output=True, text=True, check=True, cwd=ROOT
    )
    return sorted(ran.stderr.split())


def central(here: Scene, calibration: Took) -> Iterator[Line]:
    """One plan: fit, day, timeline, shifts, cants, notes and report; then with its ensemble."""
    draws, thresholds = normal_draws(), toml("trust.toml")

    def planned(aim: Aim, with_draws: bool) -> Took:
        normals = draws if with_draws else None
        return best(lambda: report(plan(here.case, aim, normals, thresholds, METHOD), {}), 15)

    still = here.unswirled()
    took = best(lambda: report(plan(still, here.aim, None, thresholds, METHOD), {}), 15)
    yield timed("central plan without a whirlpool, fitted to its aim", took, calibration, 0.020)
    yield timed("central plan, documents as typed", planned(Aim(), False), calibration, 0.060)
    yield timed("central plan, fitted to its aim", planned(here.aim, False), calibration, 0.060)
    whole = planned(here.aim, True)
    yield timed(f"the same and its ensemble of {len(draws)}", whole, calibration)


def swirls(here: Scene, calibration: Took) -> Iterator[Line]:
    """The whirlpool alone: one kettle, an ensemble, a fit to readings, the trade of the rest."""
    day = here.fitted.day
    gear = gear_of(day.brew)
    kettle = swirl_kettle(day, gear, here.curves)
    took = best(lambda: run(kettle, day.brew.pump_min, day.brew.rest_min), 15)
    yield timed("one whirlpool and its rest", took, calibration, 0.030)
    shares = np.random.default_rng(21).random((len(KNOWN), SWIRL_MEMBERS))
    drawn = swirl_constants_at(dict(zip(KNOWN, shares, strict=True)))
    took = best(lambda: run(kettle, day.brew.pump_min, day.brew.rest_min, drawn))
    yield timed(f"ensemble of {SWIRL_MEMBERS} whirlpools", took, calibration, 1.0)
    read = replace(gear, turns_per_min=(20.0, 6.0, 2.0), clear_after_min=16.0)
    constants, pump_min = swirl_constants_at(read.shares), float(day.brew.pump_min)
    took = best(
        lambda: fitted_to_readings(
            as_read(kettle, read), read.turns_per_min, read.clear_after_min, pump_min, constants
        )
    )
    yield timed("constants fitted to a brewer's readings", took, calibration)
    worked = plan(here.case, here.aim, None, toml("trust.toml"), METHOD)
    took = best(lambda: trade_of(worked, 90.0, say))
    yield timed("the trade of the rest, three ways of 61 rests", took, calibration)


def ensembles(here: Scene, calibration: Took) -> Iterator[Line]:
    """Many brew days at once (heat, volumes, hops), and how the cost grows with their number."""
    water_l = here.fitted.day.volumes.water_l
    each_s = {}
    for count in MEMBERS:
        brew = here.members(count)
        took = best(lambda brew=brew: bitter(brew, here, water_l))  # type: ignore[misc]
        each_s[count] = took.judged_s / count
        yield timed(
            f"ensemble of {count:,} brew days", took, calibration, 1.0 if count == 10_000 else None
        )
    # What is paid once makes few members dear; linear means that more of them get no dearer.
    bend = max(each_s[more] / each_s[less] for less in MEMBERS for more in MEMBERS if more > less)
    yield Line(
        "most growth of the cost per brew day, 1,000 to 30,000",
        f"{bend:.2f}",
        "",
        f"{MOST_BEND}",
        bend / MOST_BEND,
    )


def bitter(brew: Brew, here: Scene, water_l: Real) -> object:
    """Heat, volumes and hops of an ensemble."""
    return brew_day(brew, here.curves, water_l, METHOD).ibu


def hot_times(here: Scene, slow: Stepped, calibration: Took) -> Iterator[Line]:
    """The hot side with its iso-alpha acids, per brew day, against the general solver."""
    day = here.fitted.day
    brew = here.members(HOT_MEMBERS)
    members = brew_day(brew, here.curves, day.volumes.water_l, METHOD)
    took = best(lambda: hot_shares(members, here))
    faster = calibration.judged_s / (took.judged_s / HOT_MEMBERS)
    yield timed(f"hot time of {HOT_MEMBERS} brew days", took, calibration)
    yield Line(
        "brew days of hot time while `solve_ivp` does one",
        f"{faster:,.0f}",
        "",
        f"{FASTER:.0f}",
        FASTER / faster,
    )
    hot, shares = hot_shares(day, here)
    miss = max(
        abs(float(share) / other - 1.0) for share, other in zip(shares, slow.iso_share, strict=True)
    )
    yield nearness("iso-alpha acids", miss)
    ends_c = {name: float(hot.stretches[name].ends_c[-1]) for name in slow.ends_c}
    yield nearness(
        "temperature", max(abs(ends_c[name] / other - 1.0) for name, other in slow.ends_c.items())
    )


def nearness(what: str, miss: float) -> Line:
    """A line for how far the plan is from the general solver."""
    return Line(f"{what}, off the solver by", f"{100 * miss:.4f} %", "", "0.1 %", miss / NEARNESS)


def hot_shares(day: BrewDay, here: Scene) -> tuple[HotSide, list[Real]]:
    """Temperature curve and iso share of every dose, worked out anew."""
    brew, litres, pot = day.brew, day.volumes, day.pot
    hot = hot_side(
        brew,
        here.curves,
        litres.preboil_l,
        litres.postboil_l,
        pot.preboil_plato,
        pot.postboil_plato,
        lift_c(brew, litres.sparge_l, litres.preboil_l),
    )
    sums = hot_time(hot.mid_c, hot.step_min)
    return hot, [iso_share(sums, in_moment(hot, dose.when), hot.end_min) for dose in brew.doses]


def pipes(calibration: Took) -> Iterator[Line]:
    """An audit of a line-up with every check and its flow; the dearest change-over tried."""
    two = two_valves()
    known = Conditions(99.9, 14.0, 0.26, 101.3, 19.0, clean={"all": "heat"})
    whirlpool = line_ups(two.network, "whirlpool")[0].setting
    took = best(lambda: audit(two.network, whirlpool, known, two.limits), 25)
    yield timed("audit of a line-up, two valves", took, calibration, 0.001)
    for passage in ("L", "T"):
        net = six_valves(passage)
        start, end = (
            line_ups(net, route)[0].setting for route in ("whirlpool", "chill-and-transfer")
        )
        took = best(
            lambda net=net, ends=(start, end): change_over(net, *ends, known, two.limits)  # type: ignore[misc]
        )
        yield timed(f"change-over, six valves of bore {passage}", took, calibration, 0.050)


def computing() -> Iterator[Line]:
    """Everything inside one process, against one brewing day's hot time by the general solver."""
    here = scene()
    day = here.fitted.day
    tried = {name: best(lambda name=name: stepped(day, here.curves, name)) for name in SOLVERS}  # type: ignore[misc]
    quickest = min(tried, key=lambda name: tried[name].judged_s)
    calibration = tried[quickest]
    yield timed(f"calibration: one hot time by `solve_ivp` ({quickest})", calibration, calibration)
    yield from central(here, calibration)
    yield from swirls(here, calibration)
    yield from ensembles(here, calibration)
    yield from hot_times(here, stepped(day, here.curves, quickest), calibration)
    yield from pipes(calibration)


def main() -> int:
    """Print the table; 1 if a budget is failed."""
    os.chdir(ROOT)
    failed = False
    print("| what | best | times calibration | budget | |\n|---|---|---|---|---|", flush=True)
    for part in (processes, computing):
        for line in part():
            verdict = line.verdict if line.budget else ""
            failed = failed or verdict == "FAILED"
            cells = (line.what, line.measured, line.times_calibration, line.budget, verdict)
            print("| " + " | ".join(cells) + " |", flush=True)
    print(f"\nnumpy {np.__version__}, Python {sys.version.split()[0]}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
