"""The alarms of the lots under way, told by the computer that serves."""

from dataclasses import dataclass, field

from wortline.app.lots import OpenLot, lot_of
from wortline.app.ports_lots import LotStore, Watch
from wortline.lot.ahead import coming
from wortline.lot.clock import clock_text

MOST_LOTS = 5
"""So many of the newest lots are listened to."""
LATE_MIN = 1.0
FORGOTTEN_MIN = 12.0 * 60.0
"""An alarm that nobody answered for so long is not told any more."""


@dataclass
class Ringing:
    """Which alarms were told already; asked every second or so."""

    lots: LotStore
    watch: Watch
    told: set[tuple[int, str, int]] = field(default_factory=set)
    opened: dict[int, OpenLot] = field(default_factory=dict)

    def due(self) -> list[str]:
        """A line for every alarm that has come since the last time."""
        lines: list[str] = []
        for heading in self.lots.listed(most=MOST_LOTS).headings:
            known = self.opened.get(heading.number)
            if known is None or known.lot.entries != heading.entries:
                known = self.opened[heading.number] = lot_of(self.lots, heading.number)
            lines += self._lines(known)
        return lines

    def _lines(self, opened: OpenLot) -> list[str]:
        now_min = self.now_min(opened)
        if now_min is None:
            return []
        lines = []
        for due_min, alarm in coming(opened.state):
            key = opened.lot.number, alarm.id, round(due_min * 60.0)
            if not 0.0 <= now_min - due_min <= FORGOTTEN_MIN or key in self.told:
                continue
            self.told.add(key)
            late_min = now_min - due_min
            late = f" ({late_min:.0f} min late)" if late_min >= LATE_MIN else ""
            clock = clock_text(self.watch.wall_ms(), self.watch.zone_min())[11:]
            lines.append(f"{clock}  Lot {opened.lot.number}: {alarm.text}{late}")
        return lines

    def now_min(self, opened: OpenLot) -> float | None:
        """The time of the lot by this computer's own steady clock [min]; None if it cannot be told.

        An entry is kept after it was made, so the shortest delay ties the two clocks.
        """
        here = self.watch.steady()
        ahead = [
            fact.at.min - fact.entry.server.min
            for fact in opened.state.facts
            if fact.at.min is not None
            and not fact.entry.paper
            and fact.entry.server is not None
            and fact.entry.server.session == here.session
        ]
        return here.min + max(ahead) if ahead else None
