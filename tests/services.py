"""The programs that tests drive: a real PostgreSQL and a real browser, both of this test run alone.

PostgreSQL runs in a folder of its own, on a socket in that folder and on no port, and under root as
a user without rights. The browser's sandbox is off in tests only: root cannot have one.
"""

import itertools
import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import programs
import pytest

CHROMIUM_FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@dataclass(frozen=True)
class Chromium:
    """Where the browser is, and how tests start it."""

    path: Path
    flags: tuple[str, ...] = CHROMIUM_FLAGS


@dataclass(frozen=True)
class Postgres:
    """A running server; every test asks it for an empty place."""

    programs: Path
    folder: Path
    rights: dict[str, Any]
    names: Iterator[str] = field(default_factory=lambda: (f"w{n}" for n in itertools.count()))

    def run(self, program: str, *words: str) -> None:
        """Run one of its programs as the user it belongs to."""
        done = subprocess.run(
            [self.programs / program, *words],
            cwd=self.folder,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            check=False,
            **self.rights,
        )
        assert done.returncode == 0, f"{program}: {done.stdout}"

    def start(self) -> None:
        """Make the cluster and wait until it answers."""
        how = ("-U", "wortline", "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync")
        self.run("initdb", "-D", "data", *how)
        # what is lost with a power cut here would be a test's own
        options = f"-c listen_addresses= -c fsync=off -c full_page_writes=off -k {self.folder}"
        with (self.folder / "log").open("w") as log:
            done = subprocess.run(
                [self.programs / "pg_ctl", "-D", "data", "-w", "-o", options, "start"],
                cwd=self.folder,
                stdout=log,
                stderr=log,
                check=False,
                **self.rights,
            )
        assert done.returncode == 0, (self.folder / "log").read_text()

    def stop(self) -> None:
        """End it and take its folder away."""
        self.run("pg_ctl", "-D", "data", "-w", "-m", "immediate", "stop")
        shutil.rmtree(self.folder, ignore_errors=True)

    def new_place(self) -> str:
        """The address of an empty place of its own: a schema, which costs nothing to make."""
        name = self._made("schema")
        return f"{self._address('postgres')}&options=-csearch_path%3D{name}"

    def new_database(self) -> str:
        """The address of a whole empty database: some megabytes on the disk, so for few tests."""
        return self._address(self._made("database"))

    def _address(self, database: str) -> str:
        return f"postgresql://wortline@/{database}?host={self.folder}"

    def _made(self, what: str) -> str:
        import psycopg

        name = next(self.names)
        with psycopg.connect(self._address("postgres"), autocommit=True) as connection:
            connection.execute(f"create {what} {name}")
        return name


def _without_rights() -> dict[str, Any]:
    """Who runs the server: PostgreSQL refuses root."""
    if os.name != "posix" or os.geteuid() != 0:
        return {}
    import pwd

    known = {each.pw_name: each for each in pwd.getpwall()}
    who = known.get("postgres") or known["nobody"]
    return {"user": who.pw_uid, "group": who.pw_gid, "extra_groups": []}


def _need(name: str) -> Path:
    find, _, sentence = programs.PROGRAMS[name]
    found = find()
    if found is None:
        pytest.skip(sentence)
    return found


@pytest.fixture(scope="session")
def postgres() -> Iterator[Postgres]:
    """A PostgreSQL server of this run; skipped where there is none."""
    at = _need("postgresql")
    rights = _without_rights()
    # not pytest's own folder: nobody but its owner may walk through that one
    folder = Path(tempfile.mkdtemp(prefix="wortline-pg-"))
    if rights:
        os.chown(folder, rights["user"], rights["group"])
    server = Postgres(at, folder, rights)
    try:
        server.start()
        yield server
    finally:
        if (folder / "data" / "postmaster.pid").exists():
            server.stop()
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def postgres_url(postgres: Postgres) -> str:
    """The address of an empty place for one test."""
    return postgres.new_place()


@pytest.fixture(scope="session")
def chromium() -> Chromium:
    """The browser that Playwright starts: `launch(executable_path=..., args=...)`."""
    return Chromium(_need("chromium"))


@pytest.fixture(scope="session")
def tsc() -> tuple[str, ...]:
    """The words that start TypeScript's checker."""
    node = _need("node")
    return (str(node), str(_need("tsc").resolve()))
