"""The API says what the command line says, and refuses in one shape."""

import json
from pathlib import Path
from typing import Any

import pytest
from served import Visitor

from wortline.app.files import File
from wortline.app.planning import plan_brew

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"
FIRST = ROOT / "src" / "wortline" / "data" / "first"
SAME = {
    "rig": "shed-two-valves.yaml",
    "recipe": "rainday-pale.yaml",
    "day": "cool-march.yaml",
}
BY_NUMBER = {"recipe": {"document": 2}, "rig": {"document": 1}, "day": {"document": 3}}


def refused(answer: Any, status: int) -> Any:
    """The error of an answer, in the one shape."""
    assert answer.status_code == status
    error = answer.json()["error"]
    assert set(error) == {"code", "text", "problems"}
    for each in error["problems"]:
        assert set(each) == {"file", "line", "field", "typed", "allowed", "text", "do"}
    return error


@pytest.mark.parametrize("kind", SAME)
def test_the_first_documents_are_the_published_examples(kind: str) -> None:
    assert (FIRST / f"{kind}.yaml").read_bytes() == (EXAMPLES / SAME[kind]).read_bytes()


def test_a_plan_is_the_one_of_the_command_line(visitor: Visitor) -> None:
    files = [File(kind, (FIRST / f"{kind}.yaml").read_bytes()) for kind in ("recipe", "rig", "day")]
    told = visitor.post("/api/plan", json=BY_NUMBER).json()
    assert told == json.loads(json.dumps(plan_brew(*files).report))


def test_documents_come_by_number_by_revision_or_as_text(visitor: Visitor) -> None:
    plan = visitor.post("/api/plan", json=BY_NUMBER).json()
    texts = {kind: {"text": (FIRST / f"{kind}.yaml").read_text()} for kind in SAME}
    assert visitor.post("/api/plan", json=texts).json() == plan
    by_revision = {kind: {"revision": each["document"]} for kind, each in BY_NUMBER.items()}
    assert visitor.post("/api/plan", json=by_revision).json() == plan


def test_a_number_says_why(visitor: Visitor) -> None:
    told = visitor.post("/api/why", json={**BY_NUMBER, "key": "gravity.original_sg"}).json()
    assert told["schema"] == "why/1"
    assert told["sources"]
    error = refused(visitor.post("/api/why", json={**BY_NUMBER, "key": "gravty"}), 404)
    assert error["code"] == "unknown-number"


def test_a_refused_document_names_every_place(visitor: Visitor) -> None:
    text = (FIRST / "day.yaml").read_text().replace("14 C", "140 C").replace("air", "aire")
    error = refused(visitor.post("/api/plan", json={**BY_NUMBER, "day": {"text": text}}), 422)
    (first, *_) = [each for each in error["problems"] if each["field"] == "aire"]
    assert (first["line"], first["typed"], first["do"]) == (2, "16 C", "Write `air`.")
    tap = next(each for each in error["problems"] if each["field"] == "tap")
    assert tap["typed"] == "140 C"
    assert "0 C to 95 C" in tap["allowed"]
    assert (
        visitor.post("/api/check", json={"kind": "day", "text": text}).json()["problems"]
        == (error["problems"])
    )


@pytest.mark.parametrize(
    ("path", "body", "code"),
    [
        ("/api/plan", {"recipe": {"document": 1}, "rig": {"document": 1}}, "wrong-kind"),
        ("/api/plan", {"recipe": {}, "rig": {"document": 1}}, "refused"),
        ("/api/plan", {"recipe": {"document": 2, "text": ""}, "rig": {"document": 1}}, "refused"),
        ("/api/plan", {"recipe": {"document": 2}, "rg": {"document": 1}}, "refused"),
        ("/api/documents", {"kind": "song", "text": ""}, "refused"),
        ("/api/documents", {"kind": "day", "text": "\ud800"}, "refused"),
        ("/api/check", {"kind": "day", "text": "\0"}, None),
        ("/api/pipes/verdict", {"rig": {"document": 1}, "words": {"hand": "x"}}, "unknown-word"),
        ("/api/pipes/verdict", {"rig": {"document": 1}, "route": "up"}, "unknown-route"),
        ("/api/pipes/change", {"rig": {"document": 1}, "to": "up"}, "unknown-route"),
    ],
)
def test_every_refusal_has_one_shape(
    visitor: Visitor, path: str, body: dict[str, Any], code: str | None
) -> None:
    headers = {"Content-Type": "application/json"}
    answer = visitor.post(path, content=json.dumps(body), headers=headers)
    if code is None:
        assert answer.json()["problems"][0]["text"].startswith("the file has a NUL byte")
    else:
        assert refused(answer, 422)["code"] == code


def test_what_is_no_json_is_refused(visitor: Visitor) -> None:
    headers = {"Content-Type": "application/json"}
    for content in (b"{", b"\xff\xfe", b"[1", b"NaN"):
        assert visitor.post("/api/check", content=content, headers=headers).status_code in (
            400,
            422,
        )


def test_what_a_rig_can_do(visitor: Visitor) -> None:
    told = visitor.post("/api/pipes", json={"rig": {"document": 1}}).json()
    assert told["rig"] == "Shed rig with two valves"
    assert told["routes"]["whirlpool"]
    words = {"handles": "K=open, V1=arm, V2=kettle", "pump": "on", "wort": "98 C"}
    stand = {"rig": {"document": 1}, "words": words}
    judged = visitor.post("/api/pipes/verdict", json=stand).json()
    assert judged["verdict"] in ("pass", "caution", "stop")
    change = {"rig": {"document": 1}, "start": "whirlpool", "to": "transfer"}
    assert visitor.post("/api/pipes/change", json=change).json()["found"] is True


def test_documents_are_kept_listed_and_read(visitor: Visitor) -> None:
    text = (FIRST / "day.yaml").read_text()
    kept = visitor.post("/api/documents", json={"kind": "day", "name": "June", "text": text})
    assert kept.status_code == 201
    number = kept.json()["number"]
    listed = visitor.see("/api/documents?kind=day").json()["documents"]
    assert [each["name"] for each in listed] == ["June", "A cool day in March"]
    assert visitor.see(f"/api/revisions/{number}").json()["text"] == text
    body = {"kind": "day", "name": "June", "text": text + "humidity: 50 %\n", "parent": number}
    assert visitor.post("/api/documents", json=body).status_code == 201
    error = refused(visitor.post("/api/documents", json=body), 409)
    assert error["code"] == "changed-elsewhere"
    history = visitor.see(f"/api/documents/{number}/history").json()["revisions"]
    assert [each["parent"] for each in history] == [number, None]
    visitor.post(f"/api/documents/{number}/discard")
    assert len(visitor.see("/api/documents?kind=day").json()["documents"]) == 1
    visitor.post(f"/api/documents/{number}/restore")
    assert len(visitor.see("/api/documents?kind=day").json()["documents"]) == 2
