"""What is refused in a document: in plain sentences, on its line, all at once."""

from pathlib import Path

import pytest

from wortline.documents import load, loading
from wortline.errors import DocumentRefused

ROOT = Path(__file__).parents[2]
RIG = (ROOT / "examples/shed-45.yaml").read_text(encoding="utf-8")
RECIPE = (ROOT / "examples/rainday-pale.yaml").read_text(encoding="utf-8")


def problems(content, kind=None):
    with pytest.raises(DocumentRefused) as caught:
        load("typed.yaml", content, kind)
    found = caught.value.problems
    assert found
    assert all(problem.file == "typed.yaml" and problem.text for problem in found)
    assert [problem.line for problem in found] == sorted(problem.line for problem in found)
    return found


def only(content, kind=None):
    (problem,) = problems(content, kind)
    return problem


def changed(text, before, after):
    assert before in text
    return text.replace(before, after, 1)


def test_every_problem_is_named_at_once_each_on_its_line():
    text = """schema: recipe/1
name: Pale
batch: 5 kg
grist:
  - {malt: pale, mass: 5, extract: 0.79}
  - malt: munich
    mass: 0.5 kg
    colr: 15 EBC
mash: {rests: [{at: 166 C, for: 60 min}], water: all}
boil: {for: 60 min, lid: of}
hops:
  - {hop: Saaz, mass: 22 g, alpha: 130 %, when: 60 min, held: fre}
chill: {to: 18 C}
yeast: {kind: lager, strain: 3}
"""
    found = {(problem.line, problem.field, problem.value) for problem in problems(text)}
    assert found == {
        (3, "batch", "5 kg"),
        (5, "grist.0.mass", "5"),
        (5, "grist.0.extract", "0.79"),
        (8, "grist.1.colr", "15 EBC"),
        (9, "mash.rests.0.at", "166 C"),
        (10, "boil.lid", "of"),
        (12, "hops.0.alpha", "130 %"),
        (12, "hops.0.held", "fre"),
        (13, "chill", ""),
        (14, "yeast.strain", "3"),
    }


def test_a_misspelt_field_names_the_nearest_one_and_not_a_missing_one_as_well():
    problem = only(changed(RIG, "boil_off:", "boiloff:"))
    assert (problem.field, problem.nearest, problem.line) == ("boiloff", "boil_off", 5)
    assert "did you mean `boil_off`?" in problem.text
    problem = only(changed(RIG, "grain_holds", "grain_hold"))
    assert (problem.field, problem.nearest) == ("mash.grain_hold", "grain_holds")


def test_a_misspelt_word_names_the_nearest_one():
    problem = only(changed(RIG, "kind: basket", "kind: baskett"))
    assert problem.nearest == "basket"
    assert "basket, bag or tun" in problem.allowed
    assert only(changed(RECIPE, "when: heat-off", "when: heatt off")).nearest == "heat off"


def test_a_missing_field_says_what_belongs_there():
    problem = only(changed(RIG, "boil_off: 2.9 L/h", ""))
    assert problem.field == "boil_off"
    assert "2.9 L/h" in problem.text
    assert "brim" in only("\n".join(RIG.split("\n")[:2] + RIG.split("\n")[3:])).text


@pytest.mark.parametrize(
    ("before", "after", "field", "says"),
    [
        ("3.0 kW", "3000", "element.power", "`3000 W` or `3000 kW`"),
        ("3.0 kW", "-3 kW", "element.power", "above 0"),
        ("3.0 kW", "0 kW", "element.power", "above 0"),
        ("3.0 kW", "much", "element.power", "not a power"),
        ("3.0 kW", "NaN", "element.power", "not a power"),
        ("3.0 kW", ".nan kW", "element.power", "not a power"),
        ("3.0 kW", "inf kW", "element.power", "not a power"),
        ("3.0 kW", "-.inf", "element.power", "not a power"),
        ("3.0 kW", "1e400 kW", "element.power", "too large"),
        ("3.0 kW", "1.7976931348623157e308 kW", "element.power", "too large"),
        ("3.0 kW", "1.7976931348623157e308 W", "element.power", "outside what is possible"),
        ("efficiency: 95 %", "efficiency: 110 %", "element.efficiency", "to 100 %"),
        ("efficiency: 95 %", "efficiency: 0.95", "element.efficiency", "`95 %` or `0.95 %`"),
        ("38 cm", "38 kg", "kettle.diameter", "is a mass"),
        ("38 cm", "''", "kettle.diameter", "has no value"),
        ("38 cm", "", "kettle.diameter", "has no value"),
        ("0.7 L ", "8 oz", "hold_up", "fl oz"),
        ("2.9 L/h ", "12 %", "boil_off", "boil-off rate"),
        ("2.9 L/h ", "[1, 2]", "boil_off", "needs one value"),
        ("2.9 L/h ", "{spread: 5 %}", "boil_off", "`value` is missing"),
        ("2.9 L/h ", "{value: 3 L/h, spread: -1 L/h}", "boil_off.spread", "below 0"),
        ("2.9 L/h ", "{value: 3 L/h, spread: 1e300 L/h}", "boil_off.spread", "wider than"),
        ("2.9 L/h ", "{value: 3 L/h, from: measure}", "boil_off.from", "did you mean `measured`"),
        ("2.9 L/h ", "{value: 3 L/h, sprad: 1 %}", "boil_off.sprad", "did you mean `spread`"),
        ("2.9 L/h ", "{value: 3}", "boil_off.value", "`3 L/h` or"),
        ("efficiency: 76 %", "efficiency: balanced", "mash.efficiency", "not a share"),
        ("kettle: {diameter: 38 cm, brim: 45 L, left_behind: 1.2 L}", "kettle: big", "kettle",
         "fields in braces"),
        ("name: Shed 45", "name: Shed 45\ngallons: metric", "gallons", "us or imperial"),
    ],
)  # fmt: skip
def test_a_value_that_cannot_be_in_a_rig(before, after, field, says):
    problem = only(changed(RIG, before, after), "rig")
    assert problem.field == field
    assert says in problem.text


@pytest.mark.parametrize(
    ("before", "after", "field", "says"),
    [
        ("at: 66 C", "at: 105 C", "mash.rests.0.at", "to 100 C"),
        ("at: 66 C", "at: -5 C", "mash.rests.0.at", "from 0 C"),
        ("alpha: 13 %", "alpha: 130 %", "hops.0.alpha", "to 35 %"),
        ("alpha: 13 %", "alpha: 36 %", "hops.0.alpha", "to 35 %"),
        ("alpha: 13 %", "alpha: 0 %", "hops.0.alpha", "above 0 %"),
        ("gravity: 1.050", "gravity: 1050", "aim.gravity", "did you mean `1.050`"),
        ("gravity: 1.050", "gravity: 50", "aim.gravity", "`50 points`"),
        ("gravity: 1.050", "gravity: 1.000", "aim.gravity", "from 1.001"),
        ("gravity: 1.050", "gravity: 1.5", "aim.gravity", "to 1.200"),
        ("gravity: 1.050", "gravity: 1,050", "aim.gravity", "write 1.050 or 1050"),
        ("bitterness: 32", "bitterness: -3", "aim.bitterness", "from 0"),
        ("batch: 23 L", "batch: 0 L", "batch", "above 0 L"),
        ("batch: 23 L", "batch: 99999 L", "batch", "to 2000 L"),
        ("mass: 4.80 kg", "mass: 0 kg", "grist.0.mass", "above 0"),
        ("mass: 4.80 kg", "mass: -1 kg", "grist.0.mass", "above 0"),
        ("mass: 4.80 kg", "mass: 4.80", "grist.0.mass", "4.80 kg"),
        ("when: 60 min", "when: 60", "hops.0.when", "60 min"),
        ("when: 60 min", "when: -5 min", "hops.0.when", "0 min to 600 min"),
        ("when: 60 min", "when: 11 h", "hops.0.when", "0 min to 600 min"),
        ("when: 60 min", "when: below 130 C", "hops.0.when", "0 C to 100 C"),
        ("when: 60 min", "when: [60 min]", "hops.0.when", "heat-off"),
        ("when: 60 min", "when: someday", "hops.0.when", "no moment that is known"),
        ("water: all", "water: most", "mash.water", "sparge: remainder"),
        ("water: all", "water: {first: 17 L}", "mash.water.sparge", "missing"),
        ("rests: [{at: 66 C, for: 60 min}]", "rests: []", "mash.rests", "has no entries"),
        ("lid: off}", "lid: ajar}", "boil.lid", "{gap: 20 cm2}"),
        ("lid: off}", "lid: {gap: 0 cm2}}", "boil.lid", "above 0"),
        ("at: 2.5 K/min", "at: 2.5 K/min, in: 20 min", "chill", "both `at` and `in`"),
        ("at: 2.5 K/min", "at: fast", "chill.at", "rate of cooling"),
        ("aim: {", "clarity: 0\naim: {", "clarity", "above 0"),
        ("aim: {", "wort_ph: 12\naim: {", "wort_ph", "to 8"),
        ("hops:\n", "hops: none\nhop:\n", "hops", "a list"),
    ],
)  # fmt: skip
def test_a_value_that_cannot_be_in_a_recipe(before, after, field, says):
    found = {problem.field: problem for problem in problems(changed(RECIPE, before, after))}
    assert says in found[field].text
    assert len(found) == (2 if "hop:\n" in after else 1)


@pytest.mark.parametrize(
    ("before", "after"),
    [("4.80 kg", "480 kg"), ("when: 60 min", "when: 400 min"), ("to: 18 C", "to: 1 C"),
     ("at: 66 C", "at: 99 C"), ("batch: 23 L", "batch: 900 L")],
)  # fmt: skip
def test_what_only_the_rig_or_the_day_can_rule_out_is_read(before, after):
    load("typed.yaml", changed(RECIPE, before, after), "recipe")


def test_a_comma_that_splits_a_number_inside_braces_is_answered():
    problem = only(changed(RIG, "diameter: 38 cm", "diameter: 34,5 cm"))
    assert (problem.line, problem.field, problem.value) == (3, "kettle.diameter", "34,5 cm")
    assert "put 34,5 cm in quotes or write 34.5 cm" in problem.text
    assert load("typed.yaml", changed(RIG, "38 cm", '"34,5 cm"')).kettle.diameter.value == 0.345
    found = problems(changed(RECIPE, "alpha: 3.8 %, form", "alpha: 3,8 %, frm"))
    assert [problem.field for problem in found] == ["hops.1.alpha", "hops.1.frm"]


def test_a_comma_that_splits_a_sum_or_a_thousand_is_answered():
    problem = only(changed(RECIPE, "mass: 22 g", "mass: 1 lb, 3 oz"))
    assert (problem.field, problem.value) == ("hops.0.mass", "1 lb, 3 oz")
    assert "write 1 lb + 3 oz" in problem.text
    problem = only(changed(RECIPE, "mass: 22 g", "mass: 1,234 g"))
    assert "write 1.234 g or 1234 g" in problem.text


def test_a_moment_that_is_nearly_one_is_answered():
    problem = only(changed(RECIPE, "when: 60 min", "when: at 80 C"))
    assert problem.nearest == "below 80 C"
    assert "did you mean `below 80 C`" in problem.text


def test_an_older_document_is_brought_up_to_date(monkeypatch):
    def power_was_called_heat(tree):
        element = {"power": tree["element"]["heat"], "efficiency": "95 %"}
        return {**tree, "element": element}

    monkeypatch.setattr(loading, "UPGRADES", {"rig": (power_was_called_heat,)})
    old = changed(RIG, "power: 3.0 kW", "heat: 3.0 kW")
    assert load("rig.yaml", old).element.power.value == 3000.0
    assert load("rig.yaml", changed(RIG, "rig/1", "rig/2")).element.power.value == 3000.0
    assert "newer" in only(changed(RIG, "rig/1", "rig/3")).text


def test_a_comment_that_may_cut_a_name_is_a_question():
    problem = only(changed(RIG, "name: Shed 45", "name: Shed #45 # 2"))
    assert problem.field == "name"
    assert "Shed #45 # 2" in problem.text
    assert load("typed.yaml", changed(RIG, "Shed 45", "'Shed 45' # two")).name == "Shed 45"
    assert load("typed.yaml", changed(RIG, "Shed 45", "Shed#45")).name == "Shed#45"


def test_the_wrong_kind_of_document_is_said_plainly():
    assert only(RIG, "recipe").text == "this is a rig; here a recipe is needed"


@pytest.mark.parametrize(
    ("schema", "says"),
    [("rig/2", "newer"), ("rig/0", "not a version"), ("rgi/1", "not a schema known here"),
     ("rig", "not a schema known here"), ("rig/one", "not a schema known here")],
)  # fmt: skip
def test_another_schema_is_refused_and_never_guessed(schema, says):
    problem = only(changed(RIG, "rig/1", schema))
    assert (problem.line, problem.field, problem.value) == (1, "schema", schema)
    assert says in problem.text


def test_a_missing_schema_is_asked_for():
    text = changed(RIG, "schema: rig/1\n", "")
    assert "rig/1" in only(text).text
    assert "rig/1" in only(text, "rig").text


@pytest.mark.parametrize(
    ("content", "line", "says"),
    [
        ("", 1, "empty"),
        ("# only a comment\n", 1, "empty"),
        ("just words", 1, "list of `field: value` lines"),
        ("- a\n- b\n", 1, "list of `field: value` lines"),
        ("a: b: c", 1, "damaged YAML"),
        ("a: [1, 2\nb: 3\n", 2, "damaged YAML"),
        ('a: 1\nb: "x\n\n', 2, "not closed"),
        ("a: 1\n\tb: 2\n", 2, "tab"),
        ("a: 1\nb: @x\n", 2, "quotes"),
        ("a: 1\nb: &x 2\n", 2, "anchor"),
        ("a: 1\nb: *x\n", 2, "alias"),
        ("a: 1\nb: !x 2\n", 2, "tag"),
        ("a: 1\nb: !!float 2\n", 2, "tag"),
        ("%TAG ! tag:x,2000:\n---\na: b\n", 2, "tag"),
        ("%YAML 1.1\n---\na: b\n", 2, "YAML"),
        ("a: 1\n---\nb: 2\n", 2, "second document"),
        ("? [a, b]\n: c\n", 1, "plain word"),
        ("a: 1\nb: \x002\n", 2, "NUL"),
        ("a: 1\nb: \x072\n", 2, "control character"),
        ('a: 1\nb: "\\x00"\n', 2, "control character"),
        ('a: 1\nb: "\\ud800"\n', 2, "control character"),
        (b"a: 1\nb: \xe9\n", 2, "UTF-8"),
        (b"\xff\xfea\x00", 1, "NUL"),
        ("a: " + "x" * 262_144, 1, "256 kB"),
        ("[" * 100_000, 1, "list of `field: value` lines"),
        ("{a: " * 50_000, 1, "more than 20 levels"),
        ("\n".join(" " * n + "a:" for n in range(50)), 21, "more than 20 levels"),
        ("hops:\n" + "- {hop: x}\n" * 5000, 202, "more than 200 doses"),
        ("hops: [" + "{hop: x}, " * 5000 + "]", 1, "more than 200 doses"),
        ("grist:\n" + "- {malt: x}\n" * 5000, 102, "more than 100 malts"),
        ("\n".join(f"k{n}: v" for n in range(20_000)), 5000, "more than 10000 entries"),
    ],
    ids=lambda value: repr(value[:12]) if isinstance(value, (str, bytes)) else "",
)
def test_what_cannot_be_read_on_is_one_sentence_on_its_line(content, line, says):
    problem = only(content)
    assert (problem.line, says in problem.text) == (line, True), str(problem)


def test_200_doses_and_100_malts_are_read():
    head, _, tail = RECIPE.partition("hops:\n")
    rest = tail.partition("whirlpool")[2]
    doses = "  - {hop: Saaz, mass: 1 g, alpha: 3 %, when: 60 min}\n" * 200
    assert len(load("r", f"{head}hops:\n{doses}whirlpool{rest}").hops) == 200
    malts = "  - {malt: pale, mass: 10 g}\n" * 100
    start, _, end = RECIPE.partition("grist:\n")
    assert len(load("r", f"{start}grist:\n{malts}mash{end.partition('mash')[2]}").grist) == 100


def test_a_field_given_twice_is_refused():
    problem = only(RIG + "hold_up: 0.9 L\n")
    assert (problem.line, problem.field) == (10, "hold_up")
    assert "twice" in problem.text


def test_an_empty_value_and_an_empty_part_are_refused():
    problem = only(RIG + "fill:\n")
    assert problem.text.startswith("has no value")
    assert "8 L/min" in problem.allowed
    assert only(changed(RECIPE, "name: Rainday Pale", "name:")).text.startswith("has no value")


def test_nothing_hostile_reaches_the_printed_line():
    text = changed(RIG, "name: Shed 45", '"\\e[31m": x\nname: "a\\nb"')
    assert all(str(problem).isprintable() for problem in problems(text))
    for problem in problems(RIG + '"x\u202ey": 3\n' + "long" * 500 + ": 3\n"):
        assert str(problem).isprintable()
        assert len(problem.field) < 100
