"""What a brewer should know about this whirlpool: directions plainly, minutes with their range."""

from collections.abc import Iterator, Mapping

from wortline.plan.brew_day import BrewDay
from wortline.plan.cautions import Say
from wortline.plan.notes import Note
from wortline.plan.ranges import Range
from wortline.plan.swirl_line import (
    FREE,
    MORE_L,
    PLANNED,
    RUNNING,
    SEEN_MIN,
    SwirlLine,
    hops_after_pump,
)

# Chosen: what is worth a word.
TOO_LONG, TOO_SHORT = 2.0, 0.6
NEAR_OUTLET_M = 0.03
MORE_LEFT_L = 0.2
READINGS_OFF = 1.3
SEEN_SHARE = 0.02
COUNT_THEM = (
    "Count the turns at the surface as the pump stops, 2 min and 5 min later, and note when a"
    " sample at the outlet is clear; written in your rig, under `swirl`, they take the place of the"
    " guess."
)

SAMPLE_IT = "Note when a sample at the outlet is clear, and go by that the next time."


def swirl_notes(
    day: BrewDay, line: SwirlLine, ranges: Mapping[str, Range], say: Say
) -> Iterator[Note]:
    """All remarks on the whirlpool, in the order of its acts."""
    if line.pump_min > 0.0:
        yield _pump(line)
    else:
        yield Note(
            "swirl-unpumped",
            "note",
            "Without a whirlpool it settles all over the floor, around the outlet too, and makes no"
            " cone. That still wort clears sooner at the outlet does not help where you draw it.",
        )
    yield from _in_the_way(line)
    yield _rest(line, ranges)
    yield from _late_hops(day, line)
    yield from _cone(line)
    yield _draw_off(day, line, say)
    yield from _readings(line, day.brew.rig.has_pump)


def _percent(share: float) -> str:
    return f"{100.0 * share:.0f} %"


def _no_later(high_min: float, line: SwirlLine) -> str:
    """The end of a range of minutes; what has not cleared when nobody looks any more is over it."""
    seen_min = max(SEEN_MIN, line.rest_min)
    return f"over {seen_min:.0f}" if high_min >= 0.995 * seen_min else f"{high_min:.0f}"


def _pump(line: SwirlLine) -> Note:
    enough_min = line.headlines["whirlpool.pump_min"]
    afloat = [line.at(line.found.suspended_share, member) for member in (PLANNED, RUNNING)]
    still, running = map(_percent, afloat)
    stays = (
        f" Left on for the whole rest, about {running} of the solids would still be afloat at its"
        f" end, against {still} once it stands: a running pump never clears."
    )
    if afloat[1] - afloat[0] < SEEN_SHARE and line.gear.floor_open < 1.0:
        stays = (
            f" Through the screen the pump lifts nothing that lies below it: about {still} of the"
            " solids are afloat at the end, running or not. Nothing is gathered either."
        )
    if line.pump_min > TOO_LONG * enough_min + 1.0:
        text = (
            f"You pump {line.pump_min:.0f} min; after about {enough_min:.0f} min more adds nothing."
        )
    elif line.pump_min < TOO_SHORT * enough_min:
        text = (
            f"You pump {line.pump_min:.1f} min; it takes about {enough_min:.0f} min until all the"
            " wort has been round and turns as fast as it will."
        )
    else:
        text = f"About {enough_min:.0f} min of pumping are enough; more adds nothing."
    return Note("swirl-pump", "note", text + (stays if line.rest_min > 0.0 else ""))


def _in_the_way(line: SwirlLine) -> Iterator[Note]:
    if not line.is_obstructed or not line.pump_min > 0.0:
        return
    turns = [line.at(line.found.turns_per_min_stop, each) for each in (PLANNED, FREE)]
    cone = [_percent(line.at(line.found.cone_share, each)) for each in (PLANNED, FREE)]
    what = "The screen on the floor" if line.gear.floor_open < 1.0 else "What stands in the wort"
    costs = (
        f"costs you the swirl: {turns[0]:.0f} turns a minute instead of {turns[1]:.0f}, and"
        if round(turns[0]) != round(turns[1])
        else f"costs you the cone, though it turns as fast ({turns[0]:.0f} turns a minute):"
    )
    yield Note(
        "swirl-obstacle",
        "warn",
        f"{what} {costs} {cone[0]} of the solids in the cone instead of {cone[1]}. Take it out"
        " before you pump if you can.",
    )


def _rest(line: SwirlLine, ranges: Mapping[str, Range]) -> Note:
    clear, after = (line.headlines[f"whirlpool.{key}"] for key in ("clear_fraction", "rest_min"))
    ranged = ranges.get("whirlpool.clear_fraction")
    likely = (
        f" ({_percent(ranged.low)} to {_percent(ranged.high)}, {ranged.trust})" if ranged else ""
    )
    rested = f"After {line.rest_min:.0f} min of rest" if line.rest_min > 0.0 else "Without a rest"
    text = f"{rested} about {_percent(clear)}{likely} of the solids are gone at the outlet."
    minutes = ranges.get("whirlpool.rest_min")
    if minutes is not None:
        text += f" Clear and still after about {after:.0f} min ({minutes.low:.0f} to"
        text += f" {_no_later(minutes.high, line)}, {minutes.trust})."
    elif not after >= 0.0:
        text += " Within an hour it does not get clear."
    text += " A haze of finer matter than this never settles."
    return Note("swirl-rest", "note", text)


def _late_hops(day: BrewDay, line: SwirlLine) -> Iterator[Note]:
    late = hops_after_pump(day)
    if late and line.pump_min > 0.0:
        yield Note(
            "hops-after-pump",
            "note",
            f"{', '.join(late)} goes in free after the pump has stopped. Wort that no longer turns"
            " does not sweep it to the middle; it settles over the whole floor, the outlet too.",
        )


def _cone(line: SwirlLine) -> Iterator[Note]:
    to_outlet_m = line.at(line.found.draw_off.to_outlet_m)
    if line.pump_min > 0.0 and to_outlet_m < NEAR_OUTLET_M:
        yield Note(
            "cone-at-outlet",
            "warn",
            "The cone of this much free hops reaches to the outlet: hold a dose in a bag or mesh,"
            " or draw slowly and stop early.",
        )


def _draw_off(day: BrewDay, line: SwirlLine, say: Say) -> Note:
    left_l = line.headlines["whirlpool.left_cold_l"]
    mark = say(line.headlines["whirlpool.draw_off_mark_cm"] / 100.0, "length")
    planned_l = float(day.brew.rig.left_behind_l + day.volumes.hop_held_l)
    with_it = line.at(line.found.draw_off.more_trub_share)
    brings = (
        f"brings about {_percent(with_it)} of the cone along"
        if with_it >= 0.005
        else ("hardly touches the cone")
    )
    text = (
        f"Draw-off line: stop at the mark {mark}, where {say(left_l, 'volume')} cold stay with the"
        f" trub. {say(MORE_L, 'volume')} more {brings}."
    )
    if line.outlet_decides:
        text = (
            f"Draw-off line: the outlet decides. It draws air at the mark {mark}, where"
            f" {say(left_l, 'volume')} cold stay with the trub. Only tilting gets more"
            + (", and a cone that is tilted may slide: no data." if line.pump_min > 0.0 else ".")
        )
    if left_l > planned_l + MORE_LEFT_L:
        short = say(left_l - planned_l, "volume")
        text += (
            f" The ledger leaves {say(planned_l, 'volume')} cold there: stopping at the line gives"
            f" {short} less in the fermenter. Raise what stays in your rig's kettle (its"
            f" `left_behind`) by {short} to plan for it."
        )
        return Note("draw-off", "warn", text)
    return Note("draw-off", "note", text)


def _readings(line: SwirlLine, has_pump: bool) -> Iterator[Note]:
    if line.fit is None and not has_pump:
        yield Note(
            "swirl-guess",
            "note",
            "Minutes and per cents of the settling are a guess. Note when a sample at the outlet is"
            " clear; written as `clear_after` under `swirl:` of your rig it takes the place of the"
            " guess.",
        )
        return
    if line.fit is None:
        yield Note(
            "swirl-guess",
            "note",
            "Turns, minutes and per cents of the whirlpool are a guess; that it clears at rest and"
            f" not while it is pumped is not. {COUNT_THEM}"
            if line.pump_min > 0.0
            else f"Minutes and per cents are a guess. {SAMPLE_IT}",
        )
        return
    off = max(float(line.fit.turns_off), float(line.fit.clear_off))
    if off > READINGS_OFF:
        yield Note(
            "swirl-readings",
            "warn",
            f"Your readings of the whirlpool cannot be met: the nearest is off by a factor of"
            f" {off:.1f}. Look once more at your rig's readings (its `swirl`), its flow and nozzle"
            " too.",
        )
