"""The clocks of the computer: one for the wall, and one that nobody can set."""

import time
import uuid
from datetime import datetime
from functools import cache
from pathlib import Path

from wortline.lot.events import Steady

_BOOT_ID = Path("/proc/sys/kernel/random/boot_id")


@cache
def _session() -> str:
    """What the steady clock counts from: this start of the machine, else of this program."""
    try:
        return f"boot-{_BOOT_ID.read_text(encoding='ascii').strip()}"
    except OSError:
        return f"run-{uuid.uuid4()}"


def _steady_s() -> float:
    # Goes on while the machine sleeps, where the system has such a clock.
    kind = getattr(time, "CLOCK_BOOTTIME", None)
    return time.monotonic() if kind is None else time.clock_gettime(kind)


class SystemWatch:
    """The real clocks."""

    def wall_ms(self) -> int:
        """See `Watch`."""
        return time.time_ns() // 1_000_000

    def zone_min(self) -> int:
        """See `Watch`."""
        offset = datetime.now().astimezone().utcoffset()
        return 0 if offset is None else round(offset.total_seconds() / 60.0)

    def steady(self) -> Steady:
        """See `Watch`."""
        return Steady(_session(), _steady_s() / 60.0)

    def new_id(self) -> str:
        """See `Watch`."""
        return str(uuid.uuid4())
