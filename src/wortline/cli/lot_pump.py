"""The pump at the prompt: it is refused where the line-up's check refuses it on the deck."""

from typing import TYPE_CHECKING

from wortline.errors import RecordRefused

if TYPE_CHECKING:
    from wortline.app.lots import OpenLot
    from wortline.lot.events import Event
    from wortline.wiring import Store

MOST = 8


def pump_overrides(
    store: "Store", opened: "OpenLot", event: "Event", even_so: str | None
) -> list["Event"]:
    """What is written down before a pump that the check refuses goes on; nothing where it may.

    Raises
    ------
    RecordRefused
        If it may not run, and it was not said why it should even so.
    """
    from wortline.app.lot_pipes import pump_check
    from wortline.lot.events import Overridden, PumpSet

    if not isinstance(event, PumpSet) or not event.on:
        return []
    check = pump_check(store.documents, opened)
    if check["may_run"]:
        return []
    why = [each["text"] for each in check["findings"] if each["severity"] == "stop"]
    if not even_so:
        raise RecordRefused(
            "The pump is refused: "
            + " ".join([*why, *check["differs"]])
            + " Mend it and say what you turned. To switch it on against the check, say"
            " `pump on --even-so --why TEXT`; hot wort may burst from a line, and it is written"
            " down"
        )
    return [Overridden(f"pump: {text}", even_so) for text in why[:MOST]]
