"""A server in this process, asked without a socket, on a clock of its own."""

import pytest
from served import Clock, Visitor

from wortline.web.door import Door
from wortline.web.services import memory_services


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def visitor(clock: Clock) -> Visitor:
    """The brewer at the own computer."""
    return Visitor(memory_services(clock))


@pytest.fixture
def stranger(clock: Clock) -> Visitor:
    """A phone on the home network that has not joined."""
    hosts = frozenset({"127.0.0.1", "localhost", "192.0.2.7"})
    door = Door(hosts=hosts, code="ABCDEFGH", secure=True)
    return Visitor(memory_services(clock, door), "https://192.0.2.7", ("192.0.2.31", 50000))
