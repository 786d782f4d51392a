"""Which tables of the file make which part: from a part pointed at to its numbers, and back."""

import re
from collections.abc import Mapping, Sequence
from typing import Any

# What a part's name begins with, and the tables that shape it; the first that fits counts.
FAMILIES = (
    ("tail_fairing", ("exit.tail_fairing", "exit")),
    ("exit", ("exit", "pod")),
    ("pod", ("pod", "canopy")),
    ("canopy", ("canopy", "pod")),
    ("boom", ("booms",)),
    ("wing", ("wing",)),
    ("tailplane", ("tailplane",)),
    ("ventral_fin", ("fins",)),
    ("fin", ("fins",)),
    ("pylon", ("pylon",)),
    ("firewall", ("firewall",)),
    ("engine", ("engine",)),
    ("spinner", ("spinner",)),
    ("prop", ("propeller", "powerplant")),
)
# Items of lists are parts of their own: part's name, its list, what of the item shapes it.
ITEMS = (
    ("scoop_", "scoops", ""),
    ("wheel_", "gear.wheels", ""),
    ("leg_", "gear.wheels", ".leg"),
    ("tank_", "tanks", ""),
    ("frame_", "frames", ""),
    ("stringer_", "stringers", ""),
    ("fitting_", "fittings", ""),
)
# Those that are made in pieces, whose names say more.
IN_PIECES = (
    ("spar_", "spars", ""),
    ("rib_", "ribs", ""),
    ("joint_plate_", "spars", ".wing_joint"),
    ("joint_pin_", "spars", ".wing_joint"),
)
WHOLE, PIECE = "(_right|_left)?$", "(_|$)"


def part_rules(rows: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return rules for the page: a pattern for names of parts, the tables of their numbers.

    `rows` are the fields of the file as plain values. The first rule that fits counts.

    >>> rows = [{"key": "scoops.0.name", "table": "scoops.0", "written": "cheek"}]
    >>> part_rules(rows)[0]
    {'part': '^scoop_cheek(_right|_left)?$', 'tables': ['scoops.0']}
    """
    names = {row["key"]: row["written"] for row in rows if row["key"].endswith(".name")}
    tables = {row["table"] for row in rows}
    found = []
    # Of two names of which one begins with the other the longer one goes first.
    longest = sorted(names.items(), key=lambda named: -len(named[1]))
    for prefix, above, below in (*ITEMS, *IN_PIECES):
        end = PIECE if (prefix, above, below) in IN_PIECES else WHOLE
        for key, name in longest:
            match = re.fullmatch(re.escape(above) + r"\.(\d+)\.name", key)
            table = f"{above}.{match[1]}{below}" if match else ""
            if match and any(within(known, table) for known in tables):
                # Names are short words; those of a pattern's own signs are none.
                pattern = f"^{prefix}{name}{end}"
                found.append({"part": pattern, "tables": [table]})
    return [*found, *({"part": f"^{name}(_|$)", "tables": list(t)} for name, t in FAMILIES)]


def within(table: str, above: str) -> bool:
    """Say whether a table is another one or lies in it.

    >>> within("pod.stations.3", "pod"), within("podium", "pod")
    (True, False)
    """
    return table == above or table.startswith(above + ".")
