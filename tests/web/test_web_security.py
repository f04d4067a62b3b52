"""The door: names, origins, codes, sessions, sizes, headers. docs/security.md points here."""

import re
import threading
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from served import Clock, Visitor

from wortline.web import door
from wortline.web.door import SESSION, SESSION_DAYS, TRIES_ALL, TRIES_EACH, TRIES_WITHIN
from wortline.web.guard import MOST_BODY
from wortline.web.services import memory_services

ROOT = Path(__file__).parents[2]
MARKUP = "<img src=x onerror=alert(1)>"
PAGES = (
    "/",
    "/standing",
    "/rig",
    "/documents",
    "/new",
    "/documents/2",
    "/documents/2/history",
    "/documents/2/compare",
    "/join",
)


@pytest.mark.parametrize(
    "host",
    ["evil.test", "evil.test:80", "127.0.0.1.evil.test", "", "[::2]", "192.0.2.99",
     "127.0.0.1:80@evil.test", "[::1]evil.test", "[::1]:x"],
)  # fmt: skip
def test_a_foreign_host_name_is_not_answered(visitor: Visitor, host: str) -> None:
    answer = visitor.see("/api/documents", headers={"Host": host})
    assert answer.status_code == 421
    assert answer.json()["error"]["code"] == "wrong-host"


@pytest.mark.parametrize("host", ["127.0.0.1:8017", "localhost", "LOCALHOST.", "[::1]:8017"])
def test_own_host_names_are_answered(visitor: Visitor, host: str) -> None:
    assert visitor.see("/api/documents", headers={"Host": host}).status_code == 200


def writes(visitor: Visitor) -> list[str]:
    """Every address that takes a write, found in the application itself."""
    found = []
    for router in visitor.app.routes:
        for route in getattr(getattr(router, "original_router", router), "routes", [router]):
            if set(getattr(route, "methods", ())) - {"GET", "HEAD", "OPTIONS"}:
                found.append(route.path)
    return found


@pytest.mark.parametrize("origin", [None, "null", "http://evil.test", "https://127.0.0.1"])
def test_every_write_from_elsewhere_is_refused(visitor: Visitor, origin: str | None) -> None:
    before = visitor.see("/api/documents").json()
    asked = writes(visitor)
    assert len(asked) >= 14
    for path in asked:
        headers = {"Origin": origin} if origin else {"Origin": ""}
        real = path.replace("{document}", "1").replace("{number}", "1")
        answer = visitor.post(real, headers=headers, data={"kind": "rig"})
        assert answer.status_code == 403, path
    assert visitor.see("/api/documents").json() == before


def test_a_second_origin_is_refused(visitor: Visitor) -> None:
    own = ("Origin", "http://127.0.0.1")
    for second, status in ((None, 303), ("http://evil.test", 403)):
        headers = [own] + ([("Origin", second)] if second else [])
        answer = visitor.post("/choices", headers=headers, data={"units": "us"})
        assert answer.status_code == status


def test_a_stranger_sees_the_join_page_and_nothing_else(stranger: Visitor) -> None:
    answer = stranger.see("/")
    assert (answer.status_code, answer.headers["location"]) == (303, "/join")
    told = stranger.see("/api/documents")
    assert (told.status_code, told.json()["error"]["code"]) == (401, "join-first")
    for path in ("/openapi.json", "/documents/1", "/standing"):
        assert stranger.see(path).status_code in (303, 401)
    assert stranger.see("/join").status_code == 200


def test_whoever_has_the_code_gets_in(stranger: Visitor) -> None:
    answer = stranger.post("/join", data={"code": " abcd-efgh "})
    assert answer.status_code == 303
    flags = {part.strip().lower() for part in answer.headers["set-cookie"].split(";")[1:]}
    assert {"httponly", "secure", "samesite=strict", "path=/"} <= flags
    assert stranger.see("/").status_code == 200


def test_a_scanned_code_does_nothing_before_a_touch(stranger: Visitor) -> None:
    answer = stranger.see("/join?code=ABCDEFGH")
    assert 'value="ABCDEFGH"' in answer.text
    assert "set-cookie" not in answer.headers


def test_wrong_codes_are_counted_for_each_address(stranger: Visitor, clock: Clock) -> None:
    for _ in range(TRIES_EACH):
        assert stranger.post("/join", data={"code": "WRONGONE"}).status_code == 403
    refused = stranger.post("/join", data={"code": "ABCDEFGH"})
    assert refused.status_code == 429
    assert int(refused.headers["retry-after"]) == TRIES_WITHIN.total_seconds() + 1
    clock.move(seconds=TRIES_WITHIN.total_seconds())
    assert stranger.post("/join", data={"code": "ABCDEFGH"}).status_code == 303


def test_wrong_codes_are_counted_for_all_addresses_together(stranger: Visitor) -> None:
    for number in range(TRIES_ALL):
        stranger.client = (f"192.0.2.{100 + number}", 1)
        assert stranger.post("/join", data={"code": "WRONGONE"}).status_code == 403
    stranger.client = ("192.0.2.200", 1)
    assert stranger.post("/join", data={"code": "ABCDEFGH"}).status_code == 429


def test_codes_tried_at_the_same_instant_do_not_overshoot(clock: Clock) -> None:
    together = TRIES_EACH + 4
    meeting = threading.Barrier(together, timeout=20)

    class Slow(door.Door):
        def code_fits(self, typed: str) -> bool:
            # nobody is counted before everybody has begun
            meeting.wait()
            return super().code_fits(typed)

    hosts = frozenset({"127.0.0.1", "192.0.2.7"})
    given = memory_services(clock, Slow(hosts=hosts, code="ABCDEFGH", secure=True), examples=False)

    def answer(_: int) -> int:
        one = Visitor(given, "https://192.0.2.7", ("192.0.2.31", 50000))
        return int(one.post("/join", data={"code": "WRONGONE"}).status_code)

    with ThreadPoolExecutor(together) as all_at_once:
        told = Counter(all_at_once.map(answer, range(together)))
    assert told == {403: TRIES_EACH, 429: together - TRIES_EACH}


def test_a_session_ends_and_a_forged_one_never_holds(stranger: Visitor, clock: Clock) -> None:
    stranger.post("/join", data={"code": "ABCDEFGH"})
    session = stranger.cookies[SESSION]
    body, _, mark = session.rpartition(".")
    later = body.rpartition(".")[0] + f".{10**11}.{mark}"
    for forged in (later, body, f"{body}.", "", "a.b.c", session[:-1] + "é"):
        assert not door.session_holds(stranger.services.secret, clock(), forged)
    clock.move(days=SESSION_DAYS)
    assert stranger.see("/api/documents").status_code == 401


def test_only_this_computer_needs_no_code(stranger: Visitor) -> None:
    # an outsider who claims a loopback name, and a page of elsewhere that leads a browser here
    assert stranger.see("/api/documents", headers={"Host": "localhost"}).status_code == 401
    stranger.client = ("127.0.0.1", 1)
    assert stranger.see("/api/documents").status_code == 401
    assert stranger.see("/api/documents", headers={"Host": "localhost"}).status_code == 200
    stranger.client = ("::ffff:127.0.0.1", 1)
    assert stranger.see("/api/documents", headers={"Host": "localhost"}).status_code == 200


def test_codes_are_long_and_never_the_same() -> None:
    codes = {door.new_code() for _ in range(200)}
    assert len(codes) == 200
    assert all(len(each) == 8 and set(each) <= set(door.ALPHABET) for each in codes)
    assert not set("01IO") & set(door.ALPHABET)


@pytest.mark.parametrize("path", [*PAGES, "/nowhere", "/api/documents", "/api/nowhere"])
def test_every_answer_carries_the_protecting_headers(visitor: Visitor, path: str) -> None:
    headers = visitor.see(path).headers
    policy = dict(part.strip().split(" ", 1) for part in
                  headers["content-security-policy"].split(";"))  # fmt: skip
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == policy["style-src"] == "'self'"
    assert policy["frame-ancestors"] == policy["base-uri"] == "'none'"
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert headers["cache-control"] == "no-store"


@pytest.mark.parametrize("path", PAGES)
def test_no_page_has_a_script_or_style_inside(visitor: Visitor, path: str) -> None:
    text = visitor.see(path).text
    assert not re.search(r"<style|\sstyle=|\son[a-z]+=|javascript:", text, re.IGNORECASE)
    assert all("src=" in tag for tag in re.findall(r"<script[^>]*>", text))
    for address in re.findall(r'(?:src|href|action)="([^"]*)"', text):
        assert not urlsplit(address).netloc, address


def test_markup_and_paths_in_names_are_shown_as_text(visitor: Visitor) -> None:
    for name in (MARKUP, "../../etc/passwd", '"><script>alert(1)</script>', "{{ 7 * 7 }}"):
        text = visitor.see("/api/documents/3").json()["text"]
        answer = visitor.post(
            "/documents", data={"kind": "day", "name": name, "text": text, "why": MARKUP}
        )
        assert answer.status_code == 303
        page = answer.headers["location"].partition("?")[0]
        for path in (page, f"{page}/history", f"{page}/compare", "/documents", "/"):
            shown = visitor.see(path).text
            assert "<img" not in shown
            assert "<script>" not in shown
        assert visitor.see(f"/api{page}").json()["name"] == name


def test_markup_in_a_refused_text_is_shown_as_text(visitor: Visitor) -> None:
    answer = visitor.post(
        "/documents", data={"kind": "rig", "text": f"schema: rig/1\nname: {MARKUP}\n{MARKUP}: 1"}
    )
    assert answer.status_code == 422
    assert "<img" not in answer.text


@pytest.mark.parametrize(
    "name",
    ["../server.py", "..%2Fserver.py", "%2e%2e/server.py", "/etc/passwd", "..\\server.py", ""],
)
def test_no_path_leads_out_of_the_static_files(visitor: Visitor, name: str) -> None:
    version = visitor.app.state.version
    answer = visitor.see(f"/static/{version}/{name}")
    assert answer.status_code in (404, 307)
    assert "import" not in answer.text


def test_a_body_that_is_too_large_is_not_taken(visitor: Visitor) -> None:
    body = b"x" * (MOST_BODY + 1)
    told = visitor.post("/api/check", content=body)
    assert (told.status_code, told.json()["error"]["code"]) == (413, "too-large")

    async def parts() -> Any:
        # no length is announced: it is counted while it comes
        for _ in range(MOST_BODY // 65536 + 1):
            yield b"x" * 65536

    assert visitor.post("/documents", content=parts()).status_code == 413


def test_an_address_is_never_taken_from_a_header(stranger: Visitor) -> None:
    headers = {"X-Forwarded-For": "127.0.0.1", "X-Forwarded-Host": "localhost"}
    assert stranger.see("/api/documents", headers=headers).status_code == 401


def test_the_documentation_pages_that_load_from_elsewhere_are_off(visitor: Visitor) -> None:
    assert visitor.see("/docs").status_code == 404
    assert visitor.see("/redoc").status_code == 404
    assert visitor.see("/openapi.json").json()["info"]["title"] == "Wortline"


def test_a_fault_says_nothing_of_the_inside(visitor: Visitor, clock: Clock) -> None:
    class Broken:
        def listed(self, *_: Any, **__: Any) -> None:
            raise RuntimeError("secret of the inside")

    services = memory_services(clock)
    object.__setattr__(services, "documents", Broken())
    told = Visitor(services).see("/api/documents")
    assert told.status_code == 500
    assert told.json()["error"]["code"] == "fault"
    assert "secret" not in told.text


def test_every_line_of_the_security_page_names_a_test_that_exists() -> None:
    page = (ROOT / "docs" / "security.md").read_text(encoding="utf-8")
    rows = [line for line in page.splitlines() if line.startswith("| ") and "test_" in line]
    assert len(rows) >= 15
    sources = "\n".join(path.read_text(encoding="utf-8") for path in ROOT.glob("tests/**/*.py"))
    for name in re.findall(r"`(test_\w+)`", page):
        assert f"def {name}(" in sources, name
