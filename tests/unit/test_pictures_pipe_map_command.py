"""The command that writes the pipe map."""

import re
from xml.etree import ElementTree

from click.testing import CliRunner

from wortline.app.starting import starting_document
from wortline.cli import main

SVG = "{http://www.w3.org/2000/svg}"


def test_the_command_writes_the_map_and_still_judges(tmp_path):
    rig, svg, raster = tmp_path / "rig.yaml", tmp_path / "map.svg", tmp_path / "map.png"
    rig.write_text(starting_document("rig", "two-valves"), encoding="utf-8")
    between = ["pipes", str(rig), "--handles", "K=open, V1=between, V2=kettle", "--pump", "on"]
    done = CliRunner().invoke(main, [*between, "--svg", str(svg), "--png", str(raster)])
    assert done.exit_code == 3 and "STOP" in done.output
    found = ElementTree.fromstring(svg.read_text(encoding="utf-8")).iter(f"{SVG}text")
    assert "STOP" in [each.text for each in found if each.get("class") == "verdict"]
    assert raster.read_bytes().startswith(b"\x89PNG")


def test_the_map_speaks_us_units(tmp_path):
    rig, svg = tmp_path / "rig.yaml", tmp_path / "map.svg"
    rig.write_text(starting_document("rig", "two-valves"), encoding="utf-8")
    stood = ["pipes", str(rig), "--handles", "K=open, V1=chiller, V2=fermenter", "--pump", "on",
             "--water", "on", "--wort", "90 C", "--level", "30 cm"]  # fmt: skip
    told = {}
    for units in ("metric", "us"):
        CliRunner().invoke(main, [*stood, "--units", units, "--svg", str(svg)])
        inside = ElementTree.fromstring(svg.read_text(encoding="utf-8")).itertext()
        told[units] = "\n".join(inside).replace("\u00a0", " ")
    assert "wort at 90 °C" in told["metric"]
    # 90 C are 194 F and 30 cm are 11.8 in, by definition
    assert "wort at 194 °F" in told["us"]
    assert "11.8 in deep" in told["us"]
    assert re.search(r"\d (L|m|cm|°C)\b", told["us"]) is None
    litres = float(re.search(r"About ([\d.]+) L/min", told["metric"])[1])
    gallons = float(re.search(r"About ([\d.]+) US gal/min", told["us"])[1])
    # both are said with two digits
    assert abs(gallons * 3.785411784 / litres - 1.0) < 0.06


def test_the_command_draws_only_a_line_up(tmp_path):
    rig = tmp_path / "rig.yaml"
    rig.write_text(starting_document("rig", "coil"), encoding="utf-8")
    done = CliRunner().invoke(main, ["pipes", str(rig), "--svg", str(tmp_path / "map.svg")])
    assert done.exit_code == 2 and "say how the handles stand" in done.output
    lost = str(tmp_path / "no" / "map.svg")
    done = CliRunner().invoke(
        main, ["pipes", str(rig), "--handles", "K=open, V=open", "--svg", lost]
    )
    assert done.exit_code == 1 and "no such file or directory" in done.output
