"""What every store of documents keeps to: memory, SQLite and PostgreSQL."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from wortline.app.ports import Draft
from wortline.errors import Conflict, NotKept, Unkeepable

KINDS = ("rig", "recipe", "day", "lineup")
# every letter that is one: no NUL, no half of a pair
LETTERS = st.characters(exclude_characters="\0", exclude_categories=("Cs",))


def test_a_save_gives_back_all_that_was_kept(documents, clock):
    saved = documents.save("rig", "Shed", "schema: rig/1\r\n\ttext ", "first")
    assert saved.saved_at == datetime(2026, 2, 28, 23, 59, 58, 123456, UTC)
    assert (saved.number, saved.document, saved.parent) == (1, 1, None)
    assert (saved.kind, saved.name, saved.why) == ("rig", "Shed", "first")
    assert saved.text == "schema: rig/1\r\n\ttext "
    assert documents.revision(1) == documents.latest(1) == saved


def test_every_save_is_a_new_revision_and_the_old_one_stays(documents):
    first = documents.save("recipe", "Pale", "one")
    other = documents.save("recipe", "Dark", "another")
    second = documents.save("recipe", "Paler", "two", "less malt", first.number)
    assert (second.number, second.document, second.parent) == (3, first.document, first.number)
    assert documents.latest(first.document) == second
    assert documents.revision(first.number) == first
    assert documents.latest(other.document) == other
    assert [each.number for each in documents.history(1)] == [3, 1]
    assert [each.name for each in documents.history(1)] == ["Paler", "Pale"]
    # nothing stops two documents from having one name
    assert documents.save("recipe", "Dark", "a third").document == 4


def test_a_save_on_an_older_revision_is_a_conflict_and_nothing_is_lost(documents):
    first = documents.save("rig", "Shed", "one")
    second = documents.save("rig", "Shed", "two", parent=1)
    with pytest.raises(Conflict, match="started from revision 1, the latest is 2") as refused:
        documents.save("rig", "Shed", "mine", parent=first.number)
    assert refused.value.latest == second.number
    assert list(documents.revisions()) == [first, second]


def test_a_rig_does_not_become_a_recipe(documents):
    documents.save("rig", "Shed", "one")
    with pytest.raises(Conflict, match="revision 1 is a rig; a recipe cannot follow it"):
        documents.save("recipe", "Shed", "two", parent=1)


def test_an_unknown_number_is_said(documents):
    documents.save("rig", "Shed", "one")
    documents.save("rig", "Shed", "two", parent=1)
    for ask in (documents.revision, documents.latest, documents.history, documents.discard):
        with pytest.raises(NotKept, match=r"there is no (revision|document) 7 here"):
            ask(7)
    with pytest.raises(NotKept, match="there is no document 2 here"):
        documents.history(2)
    with pytest.raises(NotKept, match="there is no revision 9 here"):
        documents.save("rig", "Shed", "three", parent=9)


@pytest.mark.parametrize("number", [0, -1, 2**31, 2**63, -(10**30)])
def test_a_number_that_no_store_gives_is_unknown(documents, number):
    documents.save("rig", "Shed", "one")
    for ask in (documents.revision, documents.latest, documents.history, documents.discard):
        with pytest.raises(NotKept, match=f"there is no (?:revision|document) {number} here"):
            ask(number)
    with pytest.raises(NotKept):
        documents.save("rig", "Shed", "two", parent=number)
    assert len(documents.listed(before=number).headings) == (number > 1)


def test_several_are_kept_together_or_not_at_all(documents):
    rig, recipe = documents.save_together([Draft("rig", "R", "a"), Draft("recipe", "P", "b")])
    documents.discard(rig.document)
    with pytest.raises(Conflict):
        documents.save_together(
            [Draft("rig", "R", "a2", parent=rig.number), Draft("recipe", "P", "c", parent=1)]
        )
    assert list(documents.revisions()) == [rig, recipe]
    # the discarded rig was not taken back by the save that did not happen
    assert [each.number for each in documents.listed().headings] == [recipe.number]
    with pytest.raises(Unkeepable):
        documents.save_together([Draft("rig", "R", "a2", parent=1), Draft("day", "D", "\0")])
    assert documents.save("day", "D", "d").number == 3


def test_a_save_stopped_half_way_keeps_nothing(documents, clock, monkeypatch):
    """Whatever stops it: a stop by hand is no error of the store's own."""
    rig = documents.save("rig", "R", "a")
    real, calls = type(clock).__call__, []

    def stopping(self):
        calls.append(self)
        if len(calls) > 1:
            raise KeyboardInterrupt
        return real(self)

    monkeypatch.setattr(type(clock), "__call__", stopping)
    with pytest.raises(KeyboardInterrupt):
        documents.save_together([Draft("rig", "S", "b"), Draft("recipe", "P", "c")])
    monkeypatch.undo()
    assert list(documents.revisions()) == [rig]


def test_the_same_save_at_the_same_moment_is_one(documents, clock):
    clock.step = timedelta(0)
    first = documents.save("rig", "Shed", "one")
    assert documents.save("rig", "Shed", "one") == first
    assert documents.save("rig", "Shed", "two").number == 2


def test_time_that_runs_backwards_does_not_change_the_order(documents, clock):
    clock.step = timedelta(hours=-1)
    documents.save("rig", "Shed", "one")
    documents.save("rig", "Shed", "two", parent=1)
    assert documents.latest(1).text == "two"
    assert [each.number for each in documents.history(1)] == [2, 1]


def test_listing_shows_the_newest_of_each_the_last_kept_first(documents):
    for number in range(5):
        documents.save(KINDS[number % 4], f"n{number}", "text")
    documents.save("rig", "renamed", "text", parent=1)
    found = documents.listed().headings
    assert [each.name for each in found] == ["renamed", "n4", "n3", "n2", "n1"]
    assert [each.document for each in documents.listed(kind="rig").headings] == [1, 5]
    assert [each.number for each in documents.listed(name="renamed").headings] == [6]
    assert documents.listed(name="n0").headings == ()
    assert documents.listed(kind="recipe", name="renamed").headings == ()
    assert not hasattr(found[0], "text")


def test_listing_goes_page_by_page(documents):
    for number in range(7):
        documents.save("rig", f"n{number}", "text")
    first = documents.listed(most=3)
    second = documents.listed(most=3, before=first.before)
    third = documents.listed(most=3, before=second.before)
    pages = [[each.number for each in page.headings] for page in (first, second, third)]
    assert pages == [[7, 6, 5], [4, 3, 2], [1]]
    assert third.before is None
    assert documents.listed(most=7).before is None


def test_discarding_hides_and_deletes_nothing(documents):
    first = documents.save("rig", "Shed", "one")
    documents.save("rig", "Barn", "two")
    documents.discard(1)
    documents.discard(1)
    assert [each.number for each in documents.listed().headings] == [2]
    assert [each.number for each in documents.listed(discarded=True).headings] == [1]
    assert documents.revision(1) == documents.latest(1) == first
    documents.restore(1)
    documents.restore(1)
    documents.restore(2)
    assert [each.number for each in documents.listed().headings] == [2, 1]
    assert documents.listed(discarded=True).headings == ()
    assert [(each.document, each.act) for each in documents.shelf_acts()] == [
        (1, "discard"),
        (1, "restore"),
    ]


def test_saving_a_discarded_document_takes_it_back(documents):
    documents.save("rig", "Shed", "one")
    documents.discard(1)
    documents.save("rig", "Shed", "two", parent=1)
    assert [each.number for each in documents.listed().headings] == [2]


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("text", "a\nb\0", "the text has a NUL byte in line 2"),
        ("name", "\0", "the name has a NUL byte in line 1"),
        ("why", "\ud83c", r"the line why has half a letter \(a lone surrogate\) in line 1"),
        ("text", "a\udfff", "the text has half a letter"),
        ("name", "n" * 1001, "the name has 1001 letters; at most 1000 are kept"),
        ("why", "n" * 1001, "the line why has 1001 letters"),
        ("text", "ö" * 131_073, "the text is 262146 bytes long; at most 262144 are kept"),
        ("kind", "dossier", "a `dossier` is not kept; kept are rig, recipe, day, lineup"),
    ],
)
def test_what_cannot_be_kept_is_refused_in_a_sentence(documents, field, value, said):
    words = {"kind": "rig", "name": "n", "text": "t", "why": "", field: value}
    with pytest.raises(Unkeepable, match=said):
        documents.save(**words)
    assert list(documents.revisions()) == []


def test_the_longest_texts_are_kept(documents):
    kept = documents.save("rig", "ü" * 1000, "t" * 262_144, "w" * 1000)
    assert documents.revision(kept.number) == kept
    assert documents.listed(name="ü" * 1000).headings[0].number == kept.number


@pytest.mark.parametrize(
    "name", ["<script>alert(1)</script>", "../../etc/passwd", "'; drop table revisions; --", "%_",
             "\x1b[2J", "CON", "e\u0301", "é", "", " ", "\u202egip"]
)  # fmt: skip
def test_a_name_is_only_a_text(documents, name):
    kept = documents.save("rig", name, name, name)
    documents.save("rig", "other", "other")
    assert documents.revision(1) == kept
    assert (kept.name, kept.text, kept.why) == (name, name, name)
    assert [each.number for each in documents.listed(name=name).headings] == [1]


@settings(max_examples=40, deadline=None,
          suppress_health_check=[HealthCheck.function_scoped_fixture])  # fmt: skip
@given(
    kind=st.sampled_from(KINDS),
    name=st.text(LETTERS, max_size=60),
    text=st.text(LETTERS, max_size=400),
    why=st.text(LETTERS, max_size=60),
)
def test_every_text_comes_back_letter_by_letter(documents, kind, name, text, why):
    kept = documents.save(kind, name, text, why)
    assert documents.revision(kept.number) == kept
    assert (kept.name, kept.text, kept.why) == (name, text, why)
    assert documents.listed(kind=kind, name=name).headings[0].number == kept.number


def test_a_key_changes_with_everything_that_was_kept(documents, clock):
    clock.step = timedelta(0)
    words = [("rig", "n", "t", "w"), ("day", "n", "t", "w"), ("rig", "m", "t", "w"),
             ("rig", "n", "u", "w"), ("rig", "n", "t", "x"), ("rig", "nt", "", "w")]  # fmt: skip
    keys = {documents.save(*each).key for each in words}
    clock.at += timedelta(microseconds=1)
    later = documents.save("rig", "n", "t", "w")
    keys.add(later.key)
    keys.add(documents.save("rig", "n", "t", "w", parent=later.number).key)
    assert len(keys) == len(words) + 2
