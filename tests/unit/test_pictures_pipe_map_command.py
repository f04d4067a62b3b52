"""The command that writes the pipe map."""

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


def test_files_that_cannot_be_read_are_refused_in_a_sentence(tmp_path):
    rig = tmp_path / "rig.yaml"
    rig.write_text(starting_document("rig", "one-valve"), encoding="utf-8")
    gone, big = tmp_path / "gone.yaml", tmp_path / "big.yaml"
    big.write_bytes(b"schema: rig/1\nnotes: |\n" + b"  very long\n" * 30_000)
    missing = f"{gone}: cannot be read: no such file or directory"
    for words, said in (
        ([str(gone)], missing),
        ([str(rig), "--day", str(gone)], missing),
        ([str(rig), "--state", str(gone)], missing),
        ([str(big)], "the file is larger than 256 kB"),
    ):
        done = CliRunner().invoke(main, ["pipes", *words])
        assert (done.exit_code, said in done.output, "Traceback" in done.output) == (1, True, False)
