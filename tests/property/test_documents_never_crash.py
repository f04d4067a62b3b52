"""Random documents: read, or refused with plain sentences; nothing else ever comes out."""

import re
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from wortline.documents import Day, LineUp, Recipe, Rig, load
from wortline.errors import DocumentRefused

EXAMPLES = Path(__file__).parents[2] / "examples"
TEXTS = [path.read_text(encoding="utf-8") for path in sorted(EXAMPLES.glob("*.yaml"))]
WORDS = re.compile(r"[^\s:,{}\[\]#]+")
JARGON = re.compile(r"pydantic|Traceback|ValidationError|dict|tuple|NoneType|<class|\bstr\b")

hostile = st.one_of(
    st.sampled_from(
        ["-1 L", "0", "0 kg", "NaN", "inf", "1e400", "1.7976931348623157e308 L", "5 gal", "8 oz",
         "all", "{}", "[]", "[[[]]]", "{a: {b: c}}", "''", "~", "null", "off", "1,5", "1,234 L",
         "&a x", "*a", "!t x", "- x", "? x", "|", ">", "@", "`", "%", "\t", "#", '"', "'", "\u2028",
         "{value: 3 L, spread: 9 %, from: guess}", "{value: {value: 3 L}}", "60 min into rest"]
    ),
    st.text(max_size=12),
)  # fmt: skip
scalars = st.one_of(st.text(max_size=8), st.sampled_from(["60 min", "66 C", "5 kg", "76 %", "all"]))
keys = st.one_of(
    st.sampled_from(
        ["schema", "name", "batch", "grist", "mash", "hops", "boil", "chill", "yeast", "kettle",
         "element", "at", "for", "in", "to", "water", "rests", "value", "spread", "from", "lid",
         "gap", "air", "tap", "grain", "elevation", "origin", "gallons"]
    ),
    st.text(max_size=5),
)  # fmt: skip
trees = st.recursive(
    scalars,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(keys, inner, max_size=4),
    max_leaves=12,
)


def check(content):
    lines = re.split(rb"\r\n|\r|\n", content.encode("utf-8", "replace")) if isinstance(
        content, str
    ) else content.splitlines()  # fmt: skip
    try:
        document = load("typed.yaml", content)
    except DocumentRefused as refused:
        assert refused.problems
        for problem in refused.problems:
            said = str(problem)
            assert problem.text
            assert said.isprintable()
            assert len(said) < 2000
            assert 1 <= problem.line <= len(lines) + 1
            assert not JARGON.search(problem.text.replace(problem.value, "")), problem.text
    else:
        assert isinstance(document, (Rig, Recipe, Day, LineUp))


def flow(tree):
    if isinstance(tree, dict):
        return "{" + ", ".join(f"{quoted(k)}: {flow(v)}" for k, v in tree.items()) + "}"
    if isinstance(tree, list):
        return "[" + ", ".join(flow(part) for part in tree) + "]"
    return quoted(tree)


def quoted(text):
    return "'" + text.replace("'", "''") + "'"


@settings(max_examples=150, derandomize=True, deadline=None)
@given(content=st.text(max_size=200) | st.binary(max_size=200))
def test_any_text_or_bytes(content):
    check(content)


@settings(max_examples=200, derandomize=True, deadline=None)
@given(
    kind=st.sampled_from(["rig", "recipe", "day", "lineup"]),
    tree=st.dictionaries(keys, trees, max_size=6),
)
def test_any_tree_of_known_and_unknown_fields(kind, tree):
    check(f"{{schema: {kind}/1, " + flow(tree)[1:])


@settings(max_examples=250, derandomize=True, deadline=None)
@given(text=st.sampled_from(TEXTS), data=st.data())
def test_an_example_with_something_hostile_in_it(text, data):
    for _ in range(data.draw(st.integers(1, 3))):
        spots = [match.span() for match in WORDS.finditer(text)]
        start, end = data.draw(st.sampled_from(spots))
        text = text[:start] + data.draw(hostile) + text[end:]
    check(text)


@settings(max_examples=100, derandomize=True, deadline=None)
@given(text=st.sampled_from(TEXTS), cut=st.integers(0, 600), drop=st.integers(0, 60))
def test_an_example_with_a_piece_missing(text, cut, drop):
    check(text[:cut] + text[cut + drop :])
