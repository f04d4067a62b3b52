"""What the pages are given to work with."""

import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Annotated

from fastapi import Depends, Request

from wortline.web.documents_port import DocumentStore
from wortline.web.door import Door
from wortline.web.memory import MemoryDocuments


def now() -> datetime:
    """Return the time of this computer."""
    return datetime.now(UTC)


@dataclass(frozen=True)
class Services:
    """Everything a page may use; tests hand in their own clock and store."""

    documents: DocumentStore
    clock: Callable[[], datetime] = now
    door: Door = field(default_factory=Door)
    secret: bytes = field(default_factory=lambda: secrets.token_bytes(32), repr=False)


def memory_services(clock: Callable[[], datetime] = now, door: Door | None = None) -> Services:
    """Return services that keep nothing."""
    return Services(MemoryDocuments(clock), clock, door or Door())


def services_of(request: Request) -> Services:
    """Return the services of the server that answers this request."""
    found: Services = request.app.state.services
    return found


Given = Annotated[Services, Depends(services_of)]
