"""Who is let in: names the server answers to, the join code, sessions."""

import hashlib
import hmac
import secrets
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from ipaddress import ip_address
from threading import Lock

LOOPBACK = frozenset({"127.0.0.1", "localhost", "[::1]"})
ALPHABET = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"
CODE_LETTERS = 8
SESSION = "wortline-session"
SESSION_DAYS = 30
TRIES_EACH, TRIES_ALL = 5, 30
TRIES_WITHIN = timedelta(minutes=5)


def new_code() -> str:
    """Return a join code; letters that are easily taken for others are left out."""
    return "".join(secrets.choice(ALPHABET) for _ in range(CODE_LETTERS))


@dataclass(frozen=True)
class Door:
    """How far the server is open.

    Without a `code` there is no network side: only this computer's own names are answered to.
    """

    hosts: frozenset[str] = LOOPBACK
    code: str | None = field(default=None, repr=False)
    secure: bool = False
    certificate: bytes | None = None
    fingerprint: str = ""

    def answers_to(self, host: str) -> bool:
        """Say whether a Host header names this server."""
        return bare_host(host) in self.hosts

    def needs_no_code(self, client: str, host: str) -> bool:
        """Say whether a request comes from this computer itself, by one of its own names."""
        return self.code is None or (_is_loopback(client) and bare_host(host) in LOOPBACK)

    def code_fits(self, typed: str) -> bool:
        """Say whether this is the join code; spaces, dashes and small letters do not matter."""
        plain = "".join(typed.split()).replace("-", "").upper()
        return self.code is not None and hmac.compare_digest(plain.encode(), self.code.encode())


def bare_host(host: str) -> str:
    """Return a Host header without its port, in small letters and without a closing dot."""
    name = host.strip().lower()
    if name.startswith("["):
        inside, _, port = name.partition("]")
        bare, port = inside + "]", port.removeprefix(":")
    else:
        bare, _, port = name.partition(":")
    # what follows the colon is a port, or the whole is no name of ours
    return bare.rstrip(".") if not port or (port.isascii() and port.isdigit()) else ""


def _is_loopback(client: str) -> bool:
    try:
        address = ip_address(client)
    except ValueError:
        return False
    # a socket that listens to both families shows an IPv4 address inside an IPv6 one
    mapped = getattr(address, "ipv4_mapped", None)
    return (mapped or address).is_loopback


def new_session(secret: bytes, now: datetime) -> str:
    """Return a signed session that ends by itself."""
    until = int((now + timedelta(days=SESSION_DAYS)).timestamp())
    body = f"{secrets.token_urlsafe(12)}.{until}"
    return f"{body}.{_signed(secret, body)}"


def session_holds(secret: bytes, now: datetime, session: str) -> bool:
    """Say whether a session was given out here and has not ended."""
    body, _, mark = session.rpartition(".")
    if not hmac.compare_digest(mark.encode(), _signed(secret, body).encode()):
        return False
    until = body.rpartition(".")[2]
    return until.isdigit() and now.timestamp() < int(until)


def _signed(secret: bytes, body: str) -> str:
    return hmac.new(secret, b"session " + body.encode(), hashlib.sha256).hexdigest()


class Tries:
    """Counts wrong join codes, for each address and for all together."""

    def __init__(self, clock: Callable[[], datetime]) -> None:
        self._clock = clock
        self._lock = Lock()
        self._wrong: deque[tuple[datetime, str]] = deque()

    def wait_s(self, client: str, fits: bool) -> int:
        """Take a try: return how long the address has to wait before one counts [s].

        0 says that this one counts; if its code does not fit, that is noted in the same moment, so
        that tries at the same instant cannot all slip under the limit.
        """
        with self._lock:
            now = self._clock()
            while self._wrong and self._wrong[0][0] <= now - TRIES_WITHIN:
                self._wrong.popleft()
            own = [when for when, who in self._wrong if who == client]
            waits = [
                (times[-most] + TRIES_WITHIN - now).total_seconds()
                for times, most in ((own, TRIES_EACH), ([t for t, _ in self._wrong], TRIES_ALL))
                if len(times) >= most
            ]
            if not waits and not fits:
                self._wrong.append((now, client))
        return int(max(waits)) + 1 if waits else 0
