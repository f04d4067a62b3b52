"""Over plain http another device is told once what that cannot do; this computer is not."""

from dataclasses import replace

import pytest
from served import Clock, Visitor

from wortline.web.door import Door
from wortline.web.services import memory_services

HOSTS = frozenset({"127.0.0.1", "localhost", "192.0.2.7"})
PAGES = ("/", "/plan", "/plan/2?rig=1&day=3", "/rig", "/documents", "/documents/2", "/pipes/1",
         "/pipes/1/edit", "/rest/2?rig=1&day=3", "/chill", "/lots", "/new")  # fmt: skip
WORD = "This is plain http."


def phone(clock: Clock, secure: bool) -> Visitor:
    scheme = "https" if secure else "http"
    door = Door(hosts=HOSTS, code="ABCDEFGH", secure=secure, certificate=b"x" if secure else None)
    there = Visitor(memory_services(clock, door), f"{scheme}://192.0.2.7", ("192.0.2.31", 50000))
    assert there.post("/join", data={"code": "ABCD EFGH"}).status_code == 303
    return there


def test_every_page_says_what_plain_http_cannot_do_until_it_is_put_away(clock: Clock) -> None:
    there = phone(clock, secure=False)
    for path in PAGES:
        page = there.see(path).text
        assert page.count(WORD) == 1, path
        for told in ("read along", "screen on", "out of reach", "<code>--lan</code> alone"):
            assert told in page
    done = there.post("/choices", data={"plain": "read", "back": "/plan/2?rig=1&day=3"})
    assert done.headers["location"] == "/plan/2?rig=1&day=3"
    assert all(WORD not in there.see(path).text for path in PAGES)
    assert there.post("/choices", data={"plain": "no"}).status_code == 422


def test_this_computer_and_https_are_not_told(clock: Clock) -> None:
    there = phone(clock, secure=True)
    assert all(WORD not in there.see(path).text for path in PAGES)
    door = Door(hosts=HOSTS, code="ABCDEFGH")
    here = Visitor(memory_services(clock, door))
    assert all(WORD not in here.see(path).text for path in PAGES)


@pytest.mark.parametrize("secure", [True, False])
def test_the_join_page_leads_to_a_certificate_only_where_there_is_one(
    clock: Clock, secure: bool
) -> None:
    there = replace(phone(clock, secure), cookies={})
    page = there.see("/join").text
    assert ("/certificate" in page) == secure
    assert there.see("/certificate").status_code == (200 if secure else 404)
    assert (WORD in page) != secure
    # nobody who has not joined can put it away
    assert "/choices" not in page.partition(WORD)[2].partition("</aside>")[0]
    wrong = there.post("/join", data={"code": "no"}).text
    assert ("/certificate" in wrong) == secure
