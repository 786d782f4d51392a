"""The help of each command: laid out for 80 columns, its examples parse, its lists are whole."""

import re
import subprocess
import sys
from pathlib import Path

import pytest
from command_lines import command_lines
from joined_spars import jointed
from spar_wings import planned

from geomgen.cli import COMMANDS, EPILOG, main, parser
from geomgen.commands.guides.checking import GUIDE as CHECKS
from geomgen.commands.guides.parameter_file import FILE_GUIDE as FILE
from geomgen.parameters import load
from geomgen.parameters.records.conditions import CLEARANCES
from geomgen.parameters.values.place_values import PLACES
from geomgen.sizing.firewall_targets import FILL
from geomgen.sizing.targets import figures, targets

CONFIGS = Path(__file__).parents[2] / "configs"
EXAMPLES = [CONFIGS / f"{name}.toml" for name in ("saltmarsh", "hayfield")]
NAMES = [command.__name__.rpartition(".")[2] for command in COMMANDS]
# The words of `check` are told by the checks, which only its help loads.
GUIDES = [getattr(command, "GUIDE", CHECKS) for command in COMMANDS]
TEXTS = {"": EPILOG} | dict(zip(NAMES, GUIDES, strict=True))
LINES = [words for text in TEXTS.values() for words in command_lines(text)]
ID = r"[a-z]+\.[A-Za-z_.*]+"


@pytest.mark.parametrize("words", [[], *([name] for name in NAMES)], ids=" ".join)
def test_it_fits_80_columns(words, capsys, monkeypatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    assert main([*words, "--help"]) == 0
    out = capsys.readouterr().out
    assert [line for line in out.splitlines() if len(line) > 80] == []
    assert TEXTS["".join(words)].strip() in out


def test_every_help_with_examples_has_them_found() -> None:
    assert {words[0] for words in LINES} == set(NAMES)
    assert len(LINES) > 25


@pytest.mark.parametrize("words", LINES, ids=" ".join)
def test_each_example_parses(words) -> None:
    words = words[: words.index(">")] if ">" in words else words
    assert parser().parse_args(words).command == words[0]


GLAZED = ("canopy.thickness=3 mm", "canopy.material=acrylic")
# To be read, like the firewall's openings; the neutral point is estimated from them.
PLANFORM = ("wing.mean_aerodynamic_chord", "tailplane.planform", "pod.breadths")


def listed() -> set[str]:
    """Return the ids that the help of `check` describes."""
    rows = re.findall(rf"^  ({ID}(?:, {ID})*)(?:$|  )", CHECKS, re.M)
    return {name for row in rows for name in row.split(", ")}


HALF = 'frames=[{name = "floor", station = "1 m", thickness = "6 mm", top = "450 mm"}]'
PLACE = 'station = "1 m", waterline = "800 mm"'
BOLTED = [
    'fittings=[{name = "a", use = "belt", on = "firewall", side = "aft", waterline = "800 mm", '
    'width = "60 mm", height = "60 mm", thickness = "3 mm", '
    'bolts = {diameter = "6 mm", pitch = "30 mm"}}]',
    'controls={boxes = [{name = "stick", length = "9 mm", width = "9 mm", height = "9 mm", '
    f"{PLACE}}}]}}",
    f'access=[{{name = "cock", start = {{{PLACE}}}, end = {{station = "1.2 m", '
    'waterline = "800 mm"}}]',
]


def files():
    """Return the examples, and those with what is inside and glazing, which they do not have."""
    glazed = load(EXAMPLES[0], ["canopy.built_as=glazing", *GLAZED])
    bolted = load(EXAMPLES[0], BOLTED)
    put_in = load(EXAMPLES[0], ["tanks.0.shape.out=above", 'assembly={pod_split = "centre plane"}'])
    inside = [planned(spars=[{}], ribs=[{}]), jointed()]
    half = load(EXAMPLES[0], [HALF])
    return [*map(load, EXAMPLES), glazed, *inside, bolted, put_in, half]


def due() -> set[str]:
    """Return the ids that files are judged by, SCOOP for each scoop's name, no wheel's."""
    ids = {t.id for p in files() for t in targets(p)}
    ids = {re.sub(r"^(gear\.tyre_load)\..*", r"\1", name) for name in ids}
    ids = {re.sub(r"^(tank\.\w+)\..+", r"\1", name) for name in ids}
    ids = {
        re.sub(r"^((?:spar|rib|frame|joint|structure|controls|access)\.\w+)\..+", r"\1", name)
        for name in ids
    }
    return {re.sub(r"\.scoop_\w+$", ".SCOOP", name).removesuffix(".*") for name in ids}


def test_every_check_is_described_and_no_other() -> None:
    told = {name.removesuffix(".*") for name in listed()}
    to_read = {"firewall.opening_area", "gear.tail_touch", "gear.load.tail"}
    to_read |= {"sight.side", "sight.up", "sight.into_turn"}
    to_read |= {"cooling.mass_flow.climb", "pod.separation", "wing.neutral_point", "spar.depth"}
    assert told - due() == to_read | {"canopy.flat_wrap", *PLANFORM, "canopy.area"}
    assert due() <= told
    shown = {t.id.removesuffix(".*") for p in files() for t in figures(p)}
    assert told <= due() | shown


def test_it_is_told_without_the_records_and_without_the_kernel() -> None:
    code = (
        "import sys, geomgen.commands.guides.checking as c; assert 'GROUND' in c.GUIDE; "
        "print(sorted({'pydantic', 'numpy', 'OCP', 'geomgen.parameters'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"


def test_limits_of_the_rule_sets_are_those_that_it_tells() -> None:
    assert f"Limit: {FILL[0]:g}" in CHECKS
    for places in CLEARANCES.values():
        for _, source in places.values():
            figure = re.search(r"[\d/]+ (in|mm)\b", source.split(": ")[1])
            assert figure
            assert re.search(rf"(?<![\d/]){figure[0]}", CHECKS), source


def test_every_place_to_count_from_is_named() -> None:
    for along, names in PLACES.items():
        part = FILE.split(f"{along}s may count from\n")[1].split(" may count from")[0]
        for name in names:
            part_name, _, edge = name.partition(" ")
            same_of = edge in ("leading edge", "trailing edge") and part_name != "wing"
            assert (part_name if same_of else name) in part, name
