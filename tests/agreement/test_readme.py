"""What the README says of files for machines is what other libraries find in them."""

from __future__ import annotations

import io
import re
from pathlib import Path
from xml.etree import ElementTree as ET

import ezdxf
import numpy as np
import pytest

from tests.agreement.conftest import Exported
from tests.agreement.reading import from_dxf
from tests.agreement.samples import sample_named

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
ROWS = re.findall(r"^\| `([A-Z_]+)` \| (\w+), (\d) \|", README, flags=re.MULTILINE)
HUES = {
    "red": "#ff0000",
    "yellow": "#ffff00",
    "green": "#00ff00",
    "cyan": "#00ffff",
    "blue": "#0000ff",
    "magenta": "#ff00ff",
    "black": "#000000",
}
PLAIN = sample_named("three-plus-three").path
MANDOLIN = sample_named("eight-string-mandolin").path
FAILS = sample_named("fails-thin-wall").path


def read(dxf: bytes) -> ezdxf.document.Drawing:
    return ezdxf.filemanagement.read(io.StringIO(dxf.decode("ascii")))


def test_the_table_names_every_operation_once() -> None:
    assert len(ROWS) == len({name for name, *_ in ROWS}) == len({number for *_, number in ROWS}) == 7


@pytest.mark.parametrize("sheet", ["face", "guide", "nut", "comb", "back"])
@pytest.mark.parametrize("version", ["R2000", "R12", "plain"])
def test_layers_of_a_dxf(exported: Exported, sheet: str, version: str) -> None:
    options = ("--sheets", sheet, "--aids", "--dxf-version", version)
    document = read(exported(MANDOLIN, ".dxf", *options))
    colours = {name: int(number) for name, _, number in ROWS}
    used = {entity.dxf.layer for entity in document.modelspace()}
    assert used <= colours.keys()
    for name in used:
        layer = document.layers.get(name)
        assert abs(layer.dxf.color) == colours[name]
        assert (layer.is_off(), layer.is_frozen()) == ((name == "WORDS"),) * 2


@pytest.mark.parametrize("sheet", ["face", "guide", "nut", "comb", "back"])
def test_groups_of_an_svg(exported: Exported, sheet: str) -> None:
    root = ET.fromstring(exported(MANDOLIN, ".svg", "--sheets", sheet, "--aids").decode())
    groups = {group.get("id"): group.get("stroke") for group in root.findall("{*}g")}
    assert groups.items() <= {name: HUES[colour] for name, colour, _ in ROWS}.items()


def test_aids_and_words_are_there_only_when_asked_for(exported: Exported) -> None:
    for path, wanted in ((PLAIN, set[str]()), (FAILS, {"WORDS"})):
        found = {entity.dxf.layer for entity in read(exported(path, ".dxf")).modelspace()}
        assert found & {"AIDS", "WORDS"} == wanted


def test_the_outline_is_open_unless_a_plate_is_asked_for(exported: Exported) -> None:
    for options, closed, says in (((), False, "OPEN"), (("--edge", "plate"), True, "CLOSED")):
        dxf = exported(PLAIN, ".dxf", *options)
        (edge,) = (each for each in from_dxf(dxf) if each.layer == "CUT_THROUGH")
        assert bool(np.allclose(edge.points[0], edge.points[-1], atol=1e-6)) == closed
        assert f"Head outline {says}".encode() in dxf


def test_plain_files_hold_lines_arcs_and_circles_alone(exported: Exported) -> None:
    found = read(exported(PLAIN, ".dxf", "--dxf-version", "plain")).modelspace()
    assert {entity.dxftype() for entity in found} == {"LINE", "ARC", "CIRCLE"}
    polylines = read(exported(PLAIN, ".dxf")).modelspace()
    assert {entity.dxftype() for entity in polylines} == {"LWPOLYLINE", "CIRCLE"}
