"""Keep documents by the front door, and plan from what was kept."""

import json
from datetime import UTC, datetime

import pytest

from wortline.app.files import File
from wortline.app.keeping import Edit, keep, keep_by_name, keep_together, planned_of, title
from wortline.errors import Conflict, DocumentRefused, NotKept
from wortline.store.memory import MemoryDocuments


@pytest.fixture
def store():
    moments = iter(datetime(2026, 5, 1, 8, minute, tzinfo=UTC) for minute in range(60))
    return MemoryDocuments(lambda: next(moments))


def file(name: str, document: object) -> File:
    return File(name, json.dumps(document).encode("utf-8"))


def test_the_name_and_kind_come_from_the_document(store, papers):
    kept = keep(store, file("x.yaml", papers.rig), "as bought")
    assert (kept.kind, kept.name, kept.why) == ("rig", "Test shed", "as bought")
    assert json.loads(kept.text) == papers.rig
    assert keep(store, file("y.yaml", papers.day)).name == "day without a name"


def test_a_document_with_errors_is_refused_with_all_of_them(store, papers):
    bad = papers.but({"rig.hold_up": "0.7", "recipe.batch": "23"})
    edits = [Edit(file("rig.yaml", bad.rig)), Edit(file("recipe.yaml", bad.recipe)),
             Edit(file("day.yaml", papers.day))]  # fmt: skip
    with pytest.raises(DocumentRefused) as refused:
        keep_together(store, edits)
    assert [each.file for each in refused.value.problems] == ["rig.yaml", "recipe.yaml"]
    assert store.revisions() == ()


def test_bytes_stay_as_they_are(store, papers):
    raw = b"\xef\xbb\xbf" + json.dumps(papers.rig, indent=1).encode().replace(b"\n", b"\r\n")
    assert keep(store, File("rig.yaml", raw)).text.encode("utf-8") == raw


def test_several_edits_follow_their_parents(store, papers):
    first = keep(store, file("rig.yaml", papers.rig))
    wider = papers.but({"rig.hold_up": "0.9 L"})
    rig, recipe = keep_together(
        store,
        [
            Edit(file("rig.yaml", wider.rig), "measured", first.number),
            Edit(file("r.yaml", wider.recipe)),
        ],
    )
    assert (rig.document, rig.parent, recipe.parent) == (1, 1, None)
    with pytest.raises(Conflict):
        keep(store, file("rig.yaml", papers.rig), "", first.number)


def test_keeping_by_name_goes_on_where_that_document_is(store, papers):
    first = keep_by_name(store, file("rig.yaml", papers.rig))
    assert keep_by_name(store, file("copy.yaml", papers.rig), "the same again") == first
    wider = papers.but({"rig.hold_up": "0.9 L"})
    second = keep_by_name(store, file("rig.yaml", wider.rig), "measured")
    assert (second.document, second.parent, second.why) == (1, 1, "measured")
    renamed = papers.but({"rig.name": "Other shed"})
    assert keep_by_name(store, file("rig.yaml", renamed.rig)).document == 3
    keep(store, file("rig.yaml", renamed.rig))
    with pytest.raises(Conflict, match="`Other shed`: 4 and 3"):
        keep_by_name(store, file("rig.yaml", renamed.rig))


def test_a_discarded_document_is_not_gone_on_with(store, papers):
    keep_by_name(store, file("rig.yaml", papers.rig))
    store.discard(1)
    assert keep_by_name(store, file("rig.yaml", papers.rig)).document == 2


def test_a_plan_from_revisions_is_the_plan_of_those_texts(store, papers):
    rig = keep(store, file("rig.yaml", papers.rig))
    recipe = keep(store, file("recipe.yaml", papers.recipe))
    day = keep(store, file("day.yaml", papers.day))
    longer = papers.but({"recipe.boil.for": "75 min"})
    later = keep(store, file("recipe.yaml", longer.recipe), "longer", recipe.number)
    made = planned_of(store, recipe.number, rig.number, day.number).report
    assert made == papers.planned().report
    other = planned_of(store, later.number, rig.number, day.number).report
    # fifteen minutes more of boiling take more water off
    assert other["water_l"] > made["water_l"]
    assert planned_of(store, recipe.number, rig.number).report["day"] is None


def test_a_plan_from_wrong_numbers_is_refused(store, papers):
    rig = keep(store, file("rig.yaml", papers.rig))
    with pytest.raises(NotKept, match="no revision 9"):
        planned_of(store, 9, rig.number)
    with pytest.raises(DocumentRefused, match=r"^rig 1 \(Test shed\):1: schema: this is a rig"):
        planned_of(store, rig.number, rig.number)


def test_a_title_is_one_printable_line(store):
    kept = store.save("rig", "a\x1b[2J\nb<i>", "")
    assert title(kept) == "rig 1 (a�[2J�b<i>)"
