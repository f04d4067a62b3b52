"""The shortest safe order of acts from one line-up to another, with no stop on the way."""

from dataclasses import dataclass, replace

from wortline.pipes.change_search import Move, Search, shortest
from wortline.pipes.network import Network
from wortline.pipes.state import Conditions, Limits, Setting
from wortline.pipes.view import Finding, View


@dataclass(frozen=True)
class ChangeOver:
    """The acts between two settings, and what has to be true before the last of them."""

    start: Setting
    end: Setting
    moves: tuple[Move, ...]
    needs: tuple[Finding, ...]
    found: bool

    @property
    def hose_moves(self) -> tuple[Move, ...]:
        """Return the acts that move a hose."""
        return tuple(move for move in self.moves if move.act == "hose")


def change_over(
    network: Network, start: Setting, end: Setting, known: Conditions, limits: Limits
) -> ChangeOver:
    """Return the shortest safe order of acts from one setting to another.

    What already stops the first or the last setting does not bar the way; what stops the last is
    what has to be true first.

    Notes
    -----
    Best-first search (A*) over settings; an act turns one handle, moves one hose end, or switches
    the pump or the water. Stops of a T-bore that join more than one way and are in neither
    line-up are tried only if nothing else leads there. Of orders of the same length, the one that
    keeps most closed seats before the fermenter at its first act is tried first; a pump that has
    to be switched anyway stands while handles are turned.
    """
    search = Search(network, known, limits, end)
    needs = tuple(search.findings(end))
    search.excused = search.stops(start) | search.stops(end)
    search.begin = start
    moves = shortest(search, start)
    if moves is None:
        search = replace(search, begin=None)
        moves = shortest(search, start)
    if moves is None:
        return ChangeOver(start, end, (), needs, start == end)
    told = tuple(_told(search, move, before) for move, before in zip(
        moves, (start, *(move.after for move in moves)), strict=False
    ))  # fmt: skip
    return ChangeOver(start, end, told, needs, True)


def _told(search: Search, move: Move, before: Setting) -> Move:
    """Add what has to be true before an act."""
    first: list[str] = []
    view = View(search.network, move.after, search.known, search.limits)
    if move.act == "hose":
        first.append("The pump is off and the handles before the hose are closed.")
        if search.known.wort_c > search.limits.hot_c:
            first.append(
                f"{move.part} is drained and has cooled to {search.limits.hot_c:.0f} C: it scalds."
            )
    if move.act == "turn" and before.pump:
        valve = next(each for each in search.network.valves if each.name == move.part)
        if valve.ways and "D1" in {
            code
            for code, _ in search.stops(
                before.turned(search.network.valves.index(valve), "between")
            )
        }:
            first.append("Turn it in one movement: on its way it shuts off the pump.")
    if view.into("fermenter") and not View(
        search.network, before, search.known, search.limits
    ).into("fermenter"):
        if view.cooled & set(view.passed):
            first.append(
                f"The water runs and wort leaves the chiller at {view.fermenter_c:.0f} C or below."
            )
        bare = [name for name in view.flow.parts if not search.known.marked(name)]
        if bare:
            first.append(f"These have a clean mark: {', '.join(bare)}.")
    if move.act == "pump" and move.then == "on":
        first.append("The wort stands in the pump by itself, and the way is open.")
    return replace(move, first=tuple(first), caution=caution(move, search.known, search.limits))


def caution(move: Move, known: Conditions, limits: Limits) -> str:
    """Say what scalds at an act; nothing where the wort is no warmer than scalds."""
    if known.wort_c <= limits.hot_c:
        return ""
    at = f"{known.wort_c:g} C"
    if move.act == "hose":
        return f"{move.part} may hold wort of {at}: gloves on, its end low, away from your face."
    if move.act == "pump" and move.then == "on":
        return f"Wort of {at} moves at once: every hose end tied down, nobody before it."
    if move.act == "water":
        return f"With wort of {at} the chiller, its hoses and the water that leaves it scald."
    return f"Wort of {at} stands in the line: gloves on, no coupling opened."
