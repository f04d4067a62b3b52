"""The names and addresses by which this computer is reached on the home network."""

import socket
from ipaddress import ip_address

# Reserved for documentation: nothing is sent, the system only says which way it would go.
FAR_V4, FAR_V6 = "192.0.2.1", "2001:db8::1"


def own_name() -> str:
    """Return this computer's name under .local, which most home networks find by themselves."""
    first = socket.gethostname().partition(".")[0].lower()
    return f"{first}.local" if first and first != "localhost" else ""


def own_addresses() -> frozenset[str]:
    """Return the addresses of this computer that others can reach, as texts."""
    found = {_outward(socket.AF_INET, FAR_V4), _outward(socket.AF_INET6, FAR_V6)}
    try:
        listed = socket.getaddrinfo(socket.gethostname(), None, type=socket.SOCK_STREAM)
    except OSError:
        listed = []
    found |= {str(each[4][0]) for each in listed}
    return frozenset(plain for each in found if each and (plain := _reachable(each)))


def _outward(family: socket.AddressFamily, far: str) -> str:
    with socket.socket(family, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect((far, 9))
        except OSError:
            return ""
        return str(asked.getsockname()[0])


def _reachable(typed: str) -> str:
    """Return an address in its plain form; none for loopback, link-local and the like."""
    try:
        address = ip_address(typed.partition("%")[0])
    except ValueError:
        return ""
    near = address.is_loopback or address.is_link_local or address.is_unspecified
    return "" if near or address.is_multicast else str(address)


def host_of(name: str) -> str:
    """Return a name or address as it stands in a Host header or an address line."""
    return f"[{name}]" if ":" in name else name
