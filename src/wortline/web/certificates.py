"""An authority of this computer, and the server's certificate signed by it.

The authority's key is a file that only its owner can read; it never leaves the folder. The server's
certificate names every address of the moment and is made anew when these change or it grows old.
"""

import os
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from wortline.errors import StoreTrouble, system_said

LASTS = timedelta(days=179)
"""Below the 180 days that a certificate may last here, counted from a day before it was made."""
RENEW_BEFORE = timedelta(days=30)
AUTHORITY, AUTHORITY_KEY = "authority.pem", "authority.key"
LEAF, LEAF_KEY = "server.pem", "server.key"


@dataclass(frozen=True)
class Papers:
    """What the server shows, and the authority that a phone may install."""

    leaf: Path
    leaf_key: Path
    authority: bytes
    fingerprint: str


def papers(folder: Path, names: frozenset[str], now: datetime) -> Papers:
    """Return certificates for these names and addresses; made where they are missing or old.

    Raises
    ------
    StoreTrouble
        If the folder cannot be used, or others can read the authority's key.
    """
    import trustme

    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        key = folder / AUTHORITY_KEY
        if not key.exists() or not (folder / AUTHORITY).exists():
            made = trustme.CA(
                organization_name="Wortline",
                organization_unit_name=f"made on this computer {now:%Y-%m-%d}",
                path_length=0,
            )
            _write_private(key, made.private_key_pem.bytes())
            (folder / AUTHORITY).write_bytes(made.cert_pem.bytes())
            for old in (LEAF, LEAF_KEY):
                (folder / old).unlink(missing_ok=True)
        _refuse_open(key)
        public = (folder / AUTHORITY).read_bytes()
        authority = trustme.CA.from_pem(public, key.read_bytes())
        if not _fits(folder, names, now):
            leaf = authority.issue_cert(
                *sorted(names),
                organization_name="Wortline",
                organization_unit_name="server",
                not_before=now - timedelta(days=1),
                not_after=now + LASTS - timedelta(days=1),
            )
            _write_private(folder / LEAF_KEY, leaf.private_key_pem.bytes())
            (folder / LEAF).write_bytes(leaf.cert_chain_pems[0].bytes())
    except OSError as error:
        text = f"{folder} cannot be used for certificates: {system_said(error)}."
        raise StoreTrouble(text) from None
    return Papers(folder / LEAF, folder / LEAF_KEY, public, fingerprint(public))


def forget(folder: Path) -> None:
    """Remove authority and certificate; what phones have installed is then worth nothing."""
    for name in (AUTHORITY_KEY, AUTHORITY, LEAF_KEY, LEAF):
        (folder / name).unlink(missing_ok=True)


def fingerprint(pem: bytes) -> str:
    """Return the SHA-256 of a certificate, as people compare it."""
    from cryptography import x509
    from cryptography.hazmat.primitives.hashes import SHA256

    digest = x509.load_pem_x509_certificate(pem).fingerprint(SHA256()).hex().upper()
    return ":".join(digest[at : at + 2] for at in range(0, len(digest), 2))


def named_in(pem: bytes) -> frozenset[str]:
    """Return the names and addresses that a certificate is for."""
    from cryptography import x509

    certificate = x509.load_pem_x509_certificate(pem)
    names = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return frozenset(
        {str(each) for each in names.get_values_for_type(x509.IPAddress)}
        | set(names.get_values_for_type(x509.DNSName))
    )


def _fits(folder: Path, names: frozenset[str], now: datetime) -> bool:
    """Say whether the server's certificate is for exactly these names and not old."""
    from cryptography import x509

    if not (folder / LEAF).exists() or not (folder / LEAF_KEY).exists():
        return False
    pem = (folder / LEAF).read_bytes()
    until = x509.load_pem_x509_certificate(pem).not_valid_after_utc
    return named_in(pem) == names and now < until - RENEW_BEFORE


def _write_private(path: Path, content: bytes) -> None:
    """Write a file that only its owner can read, from its first moment."""
    path.unlink(missing_ok=True)
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as stream:
        stream.write(content)


def _refuse_open(key: Path) -> None:
    if os.name == "posix" and key.stat().st_mode & 0o077:
        raise StoreTrouble(
            f"others on this computer can read {key}, the key of your certificate authority."
            " Run `wortline serve --forget` to make a new one, and remove the old certificate from"
            " your phones."
        )
