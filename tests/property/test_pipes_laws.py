"""Laws of the pipes on random rigs: no crash, nothing unsafe called safe, names do not matter."""

from collections import Counter, deque
from dataclasses import replace

from hypothesis import assume, event, given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from wortline.app.files import File
from wortline.app.piping import pipes_of
from wortline.app.starting import starting_document
from wortline.documents.loading import load
from wortline.documents.plumbing import PipePart, Plumbing
from wortline.pipes.audit import audit
from wortline.pipes.changeover import change_over
from wortline.pipes.graph import valve_links
from wortline.pipes.network import network
from wortline.pipes.routes import line_ups
from wortline.pipes.routes_data import EVERY, ROUTES
from wortline.pipes.state import Conditions, Setting

PRESETS = {
    name: pipes_of(File("rig.yaml", starting_document("rig", name).encode()))
    for name in ("one-pump", "one-valve", "two-valves", "coil")
}
RIG = load("rig.yaml", starting_document("rig", "two-valves"), "rig")
LIMITS = PRESETS["two-valves"].limits
CLEAN = {"all": "heat"}
quick = settings(max_examples=80, derandomize=True, deadline=None)

MIDDLE = [
    {"kind": "hose", "bore": "12 mm", "length": "1 m"},
    {"kind": "hose", "bore": "12 mm", "length": "1 m", "movable": "yes"},
    {"kind": "valve2"},
    {"kind": "valve3", "passage": "L"},
    {"kind": "valve3", "passage": "T"},
    {"kind": "tee"},
    {"kind": "check"},
    {"kind": "chiller", "form": "plate", "hold_up": "0.3 L"},
    {"kind": "arm", "surface": "below"},
    {"kind": "jug"},
    {"kind": "drain"},
    {"kind": "water"},
    {"kind": "pump", "height": "30 cm"},
]


@st.composite
def rigs(draw):
    """Parts joined at random, free ports capped."""
    parts = [
        {"name": "kettle", "kind": "kettle", "height": "90 cm", "outlet": "3 cm"},
        {"name": "P", "kind": "pump", "height": "30 cm"},
        {"name": "fermenter", "kind": "fermenter", "height": "20 cm", "inlet": "30 cm"},
    ]
    for index, part in enumerate(draw(st.lists(st.sampled_from(MIDDLE), max_size=8))):
        parts.append({"name": f"p{index}", **part})
    ends = [
        f"{part['name']}.{port}"
        for part in parts
        for port in PipePart.model_validate(part).ports
        if not port.startswith("water_")
    ]
    mixed = draw(st.permutations(ends))
    joins = [
        [a, b]
        for a, b in zip(mixed[::2], mixed[1::2], strict=False)
        if a.partition(".")[0] != b.partition(".")[0] and draw(st.integers(0, 9)) < 9
    ]
    taken = {end for join in joins for end in join}
    capped = [end for end in ends if end not in taken]
    try:
        return network(Plumbing.model_validate({"parts": parts, "joins": joins, "capped": capped}))
    except ValidationError:
        assume(False)
        raise


THROUGH = [
    part for part in MIDDLE if part["kind"] in {"hose", "valve2", "valve3", "tee", "chiller"}
]
ENDS = [
    {"kind": "arm", "surface": "below"},
    {"kind": "arm", "surface": "above"},
    {"kind": "fermenter", "height": "20 cm", "inlet": "30 cm"},
    {"kind": "drain"},
    {"kind": "jug"},
]
WAYS = {"hose": "ab", "valve2": "ab", "tee": "abc", "chiller": ("in", "out")}


@st.composite
def grown(draw):
    """A kettle, parts in a row, a pump, then branches that end in vessels; one is a fermenter."""
    parts = [
        {"name": "kettle", "kind": "kettle", "height": "90 cm", "outlet": "3 cm"},
        {"name": "P", "kind": "pump", "height": "30 cm"},
    ]
    joins = []
    here = "kettle.outlet"
    for part in draw(st.lists(st.sampled_from(THROUGH[:3]), max_size=2)):
        name = f"s{len(parts)}"
        parts.append({"name": name, **part, "movable": "no"} if "bore" in part else
                     {"name": name, **part})  # fmt: skip
        joins.append([here, f"{name}.a"])
        here = f"{name}.b"
    joins.append([here, "P.in"])
    loose = ["P.out"]
    for part in draw(st.lists(st.sampled_from(THROUGH), max_size=7)):
        name = f"p{len(parts)}"
        ports = WAYS.get(part["kind"], ("in", "a", "b"))
        parts.append({"name": name, **part, **({"movable": "no"} if "bore" in part else {})})
        joins.append([loose.pop(0), f"{name}.{ports[0]}"])
        loose += [f"{name}.{port}" for port in ports[1:]]
    for index, end in enumerate(draw(st.permutations(loose))):
        vessel = ENDS[2] if index == 0 else draw(st.sampled_from(ENDS))
        name = "fermenter" if index == 0 else f"v{index}"
        parts.append({"name": name, **vessel})
        joins.append([end, f"{name}.in"])
    return {"parts": parts, "joins": joins}


def trees():
    return grown().map(lambda each: network(Plumbing.model_validate(each)))


@st.composite
def stands(draw, net):
    """A setting of a network, and conditions."""
    positions = tuple(draw(st.sampled_from(valve.positions)) for valve in net.valves)
    ends = tuple(draw(st.sampled_from([loose.at, "capped", *loose.targets])) for loose in net.loose)
    setting = Setting(positions, ends, draw(st.booleans()), draw(st.booleans()))
    clean = draw(
        st.sampled_from([CLEAN, {}])
        | st.dictionaries(st.sampled_from(sorted(net.parts)), st.sampled_from(["heat", "no"]))
    )
    known = Conditions(
        wort_c=draw(st.sampled_from([18.0, 39.0, 60.0, 90.0, 99.9])),
        water_c=14.0,
        level_m=draw(st.sampled_from([0.0, 0.05, 0.25, 0.4])),
        pressure_kpa=101.3,
        outlet_c=draw(st.sampled_from([None, 19.0, 70.0])),
        fermenter_level_m=draw(st.sampled_from([0.0, 0.5, 2.0])),
        clean=clean,
    )
    return setting, known


@st.composite
def pumping(draw, net):
    """A setting in which wort may well reach the fermenter."""
    setting, known = draw(stands(net))
    positions = tuple(
        draw(st.sampled_from(valve.stops))
        if valve.ways
        else draw(st.sampled_from(["open", "between"]))
        for valve in net.valves
    )
    known = replace(known, level_m=0.3, clean=draw(st.just(CLEAN) | st.just(known.clean)))
    return replace(setting, positions=positions, pump=True), known


def pumped_into_fermenter(net, setting):
    """Walk the ports by hand: the parts between a running pump and the fermenter, if it is fed."""
    links = {index: set() for index in range(len(net.ports))}
    for a, b in net.always:
        links[a].add(b)
    for valve, position in zip(net.valves, setting.positions, strict=True):
        for a, b in valve_links(valve, position):
            links[a].add(b)
            links[b].add(a)
    for _, into, out in net.pumps:
        links[into].add(out)
    for loose, end in zip(net.loose, setting.ends, strict=True):
        if end != "capped":
            links[loose.node].add(loose.targets[end])
            links[loose.targets[end]].add(loose.node)
    kettle = net.node["kettle", "outlet"]
    end = net.node["fermenter", "in"]
    for _, into, out in net.pumps:
        came = walked(links, out)
        if into not in walked(links, kettle) or end not in came:
            continue
        here, parts = end, set()
        while here is not None:
            parts.add(net.owner(here))
            here = came[here]
        return parts - {"fermenter", "kettle"}
    return None


def walked(links, start):
    came, line = {start: None}, deque([start])
    while line:
        here = line.popleft()
        for after in links[here]:
            if after not in came:
                came[after] = here
                line.append(after)
    return came


@quick
@given(st.data())
def test_random_rigs_never_crash(data):
    net = data.draw(rigs())
    setting, known = data.draw(stands(net))
    verdict = audit(net, setting, known, LIMITS, data.draw(st.sampled_from([None, *ROUTES])))
    assert all(each.text and each.do and each.part for each in verdict.findings)


@quick
@given(st.data())
def test_nothing_unsafe_is_called_safe(data):
    net = data.draw(trees())
    setting, known = data.draw(pumping(net))
    verdict = audit(net, setting, known, LIMITS)
    fed = pumped_into_fermenter(net, setting)
    if fed is None:
        return
    coolable = set(net.of_kind("chiller")) & fed
    hot = known.wort_c > 40.0 and (
        not coolable or (known.outlet_c or 0.0) > 40.0 or not setting.water
    )
    clean = known.clean.get("all") == "heat" or all(
        known.clean.get(part, "no") != "no" for part in fed
    )
    if len(net.of_kind("fermenter")) == 1:
        event(f"unsafe {hot or not clean}, called {verdict.verdict}")
    if hot or not clean:
        assert verdict.verdict == "stop", (net.ports, setting, known)
    elif (known.outlet_c or 0.0) <= 40.0:
        assert "B1" not in {each.code for each in verdict.findings if each.part in fed}


@settings(max_examples=40, derandomize=True, deadline=None)
@given(st.data())
def test_routes_of_random_rigs_are_what_they_say(data):
    net = data.draw(rigs())
    for route in EVERY:
        for found in line_ups(net, route)[:3]:
            if route in {"rest", "back-flush"}:
                continue
            known = Conditions(18.0, 14.0, 0.25, 101.3, clean=CLEAN)
            codes = {f.code for f in audit(net, found.setting, known, LIMITS, route).findings}
            assert not codes & {"D1", "D2", "P1", "P3", "P5", "H3"}, (route, found)


def renamed(plumbing):
    """The same plumbing with other names, its parts and joins in another order."""
    parts = [part.model_copy(update={"name": f"z{part.name}z"}) for part in plumbing.parts]
    joins = [
        tuple(f"z{name}z.{port}" for name, port in (join[1], join[0])) for join in plumbing.joined
    ]
    return Plumbing.model_construct(parts=tuple(reversed(parts)), joins=tuple(reversed(joins)))


RENAMED = network(renamed(RIG.plumbing))


@settings(max_examples=40, derandomize=True, deadline=None)
@given(st.data())
def test_names_and_order_do_not_matter(data):
    net = PRESETS["two-valves"].network
    other = RENAMED
    setting, known = data.draw(stands(net))
    position = {v.name: p for v, p in zip(net.valves, setting.positions, strict=True)}
    positions = tuple(position[v.name[1:-1]] for v in other.valves)
    ends = tuple(f"z{e}z" if f"z{e}z" in other.parts else e for e in setting.ends)
    there = replace(setting, positions=positions, ends=ends)
    clean = {k if k == "all" else f"z{k}z": word for k, word in known.clean.items()}
    one = audit(net, setting, known, LIMITS)
    two = audit(other, there, replace(known, clean=clean), LIMITS)
    assert one.verdict == two.verdict
    assert {(f.code, f.severity, f"z{f.part}z") for f in one.findings} == {
        (f.code, f.severity, f.part) for f in two.findings
    }


@quick
@given(st.data())
def test_names_and_order_do_not_matter_on_random_rigs(data):
    plain = data.draw(grown())
    names = [part["name"] for part in plain["parts"]]
    called = dict(zip(names, data.draw(st.permutations([f"q{n}" for n in range(len(names))])),
                      strict=True))  # fmt: skip
    moved = {
        "parts": data.draw(st.permutations([{**p, "name": called[p["name"]]} for p in
                                            plain["parts"]])),
        "joins": data.draw(st.permutations([
            [f"{called[name]}.{port}" for name, _, port in (end.partition(".") for end in join)]
            for join in plain["joins"]
        ])),
    }  # fmt: skip
    one, two = (network(Plumbing.model_validate(each)) for each in (plain, moved))
    setting, known = data.draw(stands(one))
    at = {called[v.name]: p for v, p in zip(one.valves, setting.positions, strict=True)}
    # A way that is named after its part is called as that part is now.
    positions = tuple(called.get(at[v.name], at[v.name]) for v in two.valves)
    assume(all(p in v.positions for v, p in zip(two.valves, positions, strict=True)))
    clean = {called.get(part, part): word for part, word in known.clean.items()}
    judged = audit(one, setting, known, LIMITS)
    again = audit(two, replace(setting, positions=positions), replace(known, clean=clean), LIMITS)
    assert judged.verdict == again.verdict
    assert Counter((f.code, f.severity) for f in judged.findings) == Counter(
        (f.code, f.severity) for f in again.findings
    )


@settings(max_examples=40, derandomize=True, deadline=None)
@given(st.data())
def test_the_reverse_of_a_change_over_on_random_rigs(data):
    net = data.draw(trees())
    choices = [found.setting for route in EVERY for found in line_ups(net, route)[:2]]
    assume(len(choices) > 1 and len(net.valves) < 5)
    known = Conditions(data.draw(st.sampled_from([18.0, 98.0, 99.9])), 14.0, 0.25, 101.3, 19.0,
                       clean=CLEAN)  # fmt: skip
    start, end = data.draw(st.sampled_from(choices)), data.draw(st.sampled_from(choices))
    there, back = (change_over(net, *ends, known, LIMITS) for ends in ((start, end), (end, start)))
    assert (there.found, len(there.moves)) == (back.found, len(back.moves))


@settings(max_examples=40, derandomize=True, deadline=None)
@given(st.data())
def test_the_reverse_of_a_change_over_is_a_change_over(data):
    pipes = PRESETS[data.draw(st.sampled_from(sorted(PRESETS)))]
    net = pipes.network
    known = Conditions(
        data.draw(st.sampled_from([18.0, 98.0])), 14.0, 0.25, 101.3, 19.0, clean=CLEAN
    )
    choices = [found.setting for route in EVERY for found in line_ups(net, route)]
    start, end = data.draw(st.sampled_from(choices)), data.draw(st.sampled_from(choices))
    there = change_over(net, start, end, known, LIMITS)
    back = change_over(net, end, start, known, LIMITS)
    assert there.found == back.found
    assert len(there.moves) == len(back.moves)
    here = start
    for move in there.moves:
        changed = sum(
            a != b
            for a, b in zip(
                (*here.positions, *here.ends, here.pump, here.water),
                (*move.after.positions, *move.after.ends, move.after.pump, move.after.water),
                strict=True,
            )
        )
        assert changed == 1
        here = move.after
    assert not there.found or here == end
    for move in there.moves[:-1]:
        found = audit(net, move.after, known, LIMITS).findings
        ends = {
            (f.code, f.part)
            for each in (start, end)
            for f in audit(net, each, known, LIMITS).findings
        }
        stops = {(f.code, f.part) for f in found if f.severity == "stop"}
        assert not {s for s in stops if s[0] not in {"D3", "D5"}} - ends
