"""Landing gear: nosewheel or tailwheels, tyres of all sizes, wheels on the centre or off it."""

from typing import Any

from strangers.aft import Aft
from strangers.dice import Dice
from strangers.places import wing_at
from strangers.pod import Pod


def gear(
    d: Dice, pod: Pod, end: Aft, wing: dict[str, Any], boom: dict[str, Any]
) -> dict[str, Any] | None:
    """Return wheels below pod, wing and booms, the blades clear of the ground; None for no gear."""
    if d.chance(0.12):
        return None
    layout = d.pick(["tricycle", "tailwheel"], [3, 2])
    size, width = d.between(240, 420), d.between(70, 160)
    out = max(pod.breadth(pod.widest) / 2 + width + d.between(60, 350), 300)
    third = d.between(180, 360)
    lowest = min(
        pod.thrust - end.radius - d.between(200, 380),
        min(row["keel"] for row in pod.rows) - max(size, third) - 40,
        wing_at(wing, out)[1] - max(size, third) - 160,
        min(row["waterline"] for row in boom["stations"]) - size - 200,
    )
    give = d.pick([0.0, d.between(20, 70)], [1, 3])
    main: dict[str, Any] = {
        "name": "main",
        "role": "main",
        "buttock_line": out,
        "station": pod.at(d.between(0.6, 0.7) if layout == "tricycle" else d.between(0.3, 0.4)),
        "waterline": lowest + size / 2 - give,
        "diameter": size,
        "width": min(width, 0.7 * size),
    }
    if give:
        main |= {"deflection": give, "flat": d.between(20, 60)}
    role = "nose" if layout == "tricycle" else "tail"
    other: dict[str, Any] = {"name": role, "role": role, "diameter": third}
    other["width"] = min(d.between(50, 130), 0.7 * third)
    if role == "nose":
        other |= {"station": pod.at(d.between(0.08, 0.2)), "waterline": lowest + third / 2}
        if d.chance(0.25):
            other |= {"buttock_line": d.between(20, 90), "mirrored": False}
    else:
        other["diameter"] = third = d.between(90, 220)
        other["width"] = 0.35 * third
        last = boom["stations"][-1]
        other["station"] = last["station"] - d.between(150, 300)
        under = min(row["waterline"] - row["height"] / 2 for row in boom["stations"])
        other["waterline"] = under - third / 2 - d.between(330, 480)
        if d.chance(0.8):
            other["buttock_line"] = boom["buttock_line"]
    if d.chance(0.5):
        other["deflection"] = d.between(5, 30)
    table: dict[str, Any] = {"layout": layout, "rotation": d.between(6, 14)}
    if d.chance(0.5):
        table["strut_travel"] = d.between(20, 120)
    if d.chance(0.5):
        table["take_off_pitch"] = d.between(2, table["rotation"])
    for wheel in (main, other):
        if d.chance(0.3):
            wheel["rated_load"] = d.between(20, 250)
        if d.chance(0.3):
            wheel["travel"] = d.between(5, 80)
    return table | {"wheels": [main, other]}
