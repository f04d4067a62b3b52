"""What the pages are given to work with."""

import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Annotated

from fastapi import Depends, Path, Request

from wortline.app.ports import DocumentStore
from wortline.app.ports_lots import LotStore, Shelf, Watch
from wortline.store.memory import MemoryDocuments
from wortline.store.memory_lots import MemoryLots
from wortline.store.watch import SystemWatch
from wortline.web.door import Door, Tries


def now() -> datetime:
    """Return the time of this computer."""
    return datetime.now(UTC)


@dataclass(frozen=True)
class Services:
    """Everything a page may use; tests hand in their own clock and store."""

    documents: DocumentStore
    clock: Callable[[], datetime]
    door: Door
    secret: bytes = field(repr=False)
    tries: Tries
    lots: LotStore
    watch: Watch
    shelf: Shelf | None = None


def services(
    documents: DocumentStore,
    clock: Callable[[], datetime] = now,
    door: Door | None = None,
    secret: bytes = b"",
    lots: LotStore | None = None,
    watch: Watch | None = None,
    shelf: Shelf | None = None,
) -> Services:
    """Return services over a store.

    Without a secret, sessions end with the server; without a store of lots, lots do.
    """
    return Services(
        documents,
        clock,
        door or Door(),
        secret or secrets.token_bytes(32),
        Tries(clock),
        lots or MemoryLots(clock),
        watch or SystemWatch(),
        shelf,
    )


def memory_services(
    clock: Callable[[], datetime] = now, door: Door | None = None, examples: bool = True
) -> Services:
    """Return services that keep nothing; with the three examples of a first start."""
    from wortline.app.starting import lay_out_examples

    documents = MemoryDocuments(clock)
    if examples:
        lay_out_examples(documents)
    return services(documents, clock, door)


def services_of(request: Request) -> Services:
    """Return the services of the server that answers this request."""
    found: Services = request.app.state.services
    return found


Given = Annotated[Services, Depends(services_of)]
Number = Annotated[int, Path(ge=1, le=2_147_483_647)]
"""The number of a document or of a revision, in a path."""
