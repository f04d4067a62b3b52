"""The authority of this computer: what it signs, for whom, for how long, and who reads its key."""

import os
import ssl
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace

import pytest
from cryptography import x509
from served import Clock, Visitor

from wortline.errors import StoreTrouble
from wortline.web.addresses import host_of, own_addresses, own_name
from wortline.web.certificates import forget, named_in, papers
from wortline.web.door import Door
from wortline.web.listening import Keys, keep_up
from wortline.web.secrets_file import forget_secret, kept_secret
from wortline.web.services import memory_services

NAMES = frozenset({"127.0.0.1", "localhost", "192.0.2.7", "2001:db8::7", "shed.local"})
# The certificates are checked by today's rules of the ssl library, so today it is.
NOW = datetime(2026, 3, 7, 9, 0, tzinfo=UTC)


def test_the_certificate_names_every_address_and_lasts_at_most_180_days(tmp_path: Path) -> None:
    made = papers(tmp_path, NAMES, NOW)
    leaf = x509.load_pem_x509_certificate(made.leaf.read_bytes())
    assert named_in(made.leaf.read_bytes()) == NAMES
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc <= timedelta(days=180)
    assert leaf.not_valid_before_utc < NOW < leaf.not_valid_after_utc


def test_it_is_kept_while_it_fits_and_remade_when_it_does_not(tmp_path: Path) -> None:
    first = papers(tmp_path, NAMES, NOW)
    before = first.leaf.read_bytes()
    again = papers(tmp_path, NAMES, NOW + timedelta(days=100))
    assert again.leaf.read_bytes() == before
    for names in (NAMES - {"192.0.2.7"} | {"192.0.2.8"}, NAMES - {"shed.local"} | {"hut.local"}):
        other = papers(tmp_path, names, NOW)
        assert named_in(other.leaf.read_bytes()) == names
        assert other.authority == first.authority
    now = papers(tmp_path, NAMES, NOW)
    old = now.leaf.read_bytes()
    assert papers(tmp_path, NAMES, NOW + timedelta(days=170)).leaf.read_bytes() != old


def test_the_authority_signs_the_certificate_and_no_further_authority(tmp_path: Path) -> None:
    made = papers(tmp_path, NAMES, NOW)
    authority = x509.load_pem_x509_certificate(made.authority)
    leaf = x509.load_pem_x509_certificate(made.leaf.read_bytes())
    leaf.verify_directly_issued_by(authority)
    limits = authority.extensions.get_extension_for_class(x509.BasicConstraints).value
    assert (limits.ca, limits.path_length) == (True, 0)
    assert not leaf.extensions.get_extension_for_class(x509.BasicConstraints).value.ca
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(made.leaf, made.leaf_key)


def shown_to(host: str, context: ssl.SSLContext, authority: Path) -> frozenset[str]:
    """The names in the certificate that a client gets to see, if it trusts it for this host."""
    trusting = ssl.create_default_context(cafile=authority)
    to_server, to_client = ssl.MemoryBIO(), ssl.MemoryBIO()
    client = trusting.wrap_bio(to_client, to_server, server_hostname=host)
    server = context.wrap_bio(to_server, to_client, server_side=True)
    for _ in range(4):
        for side in (client, server):
            with suppress(ssl.SSLWantReadError):
                side.do_handshake()
    return named_in(ssl.DER_cert_to_PEM_cert(client.getpeercert(True) or b"").encode())


def test_a_new_address_gets_a_new_certificate_while_the_server_runs(tmp_path: Path) -> None:
    now, more = datetime.now(UTC), NAMES | {"192.0.2.8"}
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)

    def door_and_keys(names: frozenset[str]) -> tuple[Door, Keys]:
        made = papers(tmp_path, names, now)
        hosts = frozenset(host_of(each) for each in names)
        return Door(hosts, "ABCDEFGH", True, made.authority), Keys(made.leaf, made.leaf_key)

    door, keys = door_and_keys(NAMES)
    context.load_cert_chain(keys.certificate, keys.key)
    state = SimpleNamespace(services=memory_services(door=door))
    assert shown_to("192.0.2.7", context, tmp_path / "authority.pem") == NAMES
    keep_up(state, context, *door_and_keys(more))
    assert shown_to("192.0.2.8", context, tmp_path / "authority.pem") == more
    assert state.services.door.answers_to("192.0.2.8:8017")
    before = state.services
    keep_up(state, context, *door_and_keys(more))
    assert state.services is before


@pytest.mark.skipif(os.name != "posix", reason="owner-only files are a matter of POSIX systems")
def test_keys_are_read_by_their_owner_only(tmp_path: Path) -> None:
    folder = tmp_path / "web"
    papers(folder, NAMES, NOW)
    kept_secret(folder)
    for name in ("authority.key", "server.key", "session.key"):
        assert (folder / name).stat().st_mode & 0o777 == 0o600, name
    assert folder.stat().st_mode & 0o777 == 0o700
    (folder / "authority.key").chmod(0o640)
    with pytest.raises(StoreTrouble, match="others on this computer can read"):
        papers(folder, NAMES, NOW)


def test_forgetting_makes_a_new_authority_and_new_sessions(tmp_path: Path) -> None:
    first, secret = papers(tmp_path, NAMES, NOW), kept_secret(tmp_path)
    assert kept_secret(tmp_path) == secret
    forget(tmp_path)
    forget_secret(tmp_path)
    assert papers(tmp_path, NAMES, NOW).fingerprint != first.fingerprint
    assert kept_secret(tmp_path) != secret


def test_the_certificate_is_offered_and_the_key_is_not(tmp_path: Path, clock: Clock) -> None:
    made = papers(tmp_path, NAMES, NOW)
    hosts = frozenset({"192.0.2.7"})
    door = Door(hosts, "ABCDEFGH", True, made.authority, made.fingerprint)
    phone = Visitor(memory_services(clock, door), "https://192.0.2.7", ("192.0.2.31", 1))
    assert made.fingerprint in phone.see("/certificate").text
    for form in ("pem", "crt"):
        answer = phone.see(f"/certificate.{form}")
        assert answer.content == made.authority
        assert b"PRIVATE" not in answer.content
    assert phone.see("/certificate.key").status_code == 303


def test_without_https_there_is_no_certificate(visitor: Visitor) -> None:
    assert visitor.see("/certificate").status_code == 404


@pytest.mark.parametrize(
    ("host", "name"),
    [("Brewhouse.home.arpa", "brewhouse.local"), ("shed", "shed.local"), ("localhost", ""),
     ("localhost.localdomain", ""), ("", "")],
)  # fmt: skip
def test_the_own_name_is_the_first_part_under_local(
    monkeypatch: pytest.MonkeyPatch, host: str, name: str
) -> None:
    monkeypatch.setattr("socket.gethostname", lambda: host)
    assert own_name() == name


def test_own_addresses_are_reachable_ones() -> None:
    for each in own_addresses():
        assert not each.startswith(("127.", "169.254.", "fe80"))
        assert each not in ("::1", "0.0.0.0", "::")
    assert host_of("2001:db8::7") == "[2001:db8::7]"
    assert host_of("192.0.2.7") == "192.0.2.7"
