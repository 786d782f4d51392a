"""What the answer about the air says: mouths and exit, the slow layer, the neutral point."""

from collections.abc import Iterator, Mapping
from math import inf
from typing import Any

from geomgen.air.paneling.crossing import Crossing
from geomgen.kernel.plain import vec
from geomgen.measurements.answers import missing, said_no
from geomgen.measurements.outside_air.askew import head_across, turned
from geomgen.measurements.outside_air.mouth_spots import said_of_spots
from geomgen.measurements.outside_air.panel_map import said_of_panels
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered

NAME = "air about the machine"
METHOD = (
    "potential flow on panels drawn on cuts of the verified meshes, right-hand half; wing and "
    "tail with straight wakes, the propeller as an evenly loaded disc whose slipstream narrows by "
    "momentum theory; booms, fins, wheels, legs and spinner left out: what they do at most to "
    "mouths and exit, and booms to the lift of the wing, is in the band; not seen: swirl, gaps, "
    "rivets, hot exhaust, yaw"
)
LAYER = f"slow layer along the line of the air over the pod to the mouth; {METHOD}"
# A figure may be off by so many times what it differs by on coarser panels: own choice, that of a
# method of first order on panels 0.7 as fine.
TIMES = 2.3
# Two sets of panels may agree by chance: no attack [deg], and no neutral point in mean chords [1],
# is known better than this. Own choice, by drawn machines on finer panels (RESULTS.md).
LEAST_ATTACK, LEAST_NEUTRAL = 0.60, 0.05
# The flow that mouths are judged in; the propeller's pull is the least in the glide.
JUDGED = ("climb", "level")


def said(by: Answered) -> list[Measurement]:
    """Return the measurements of the air: shares [1], stations [mm], coefficients [1]."""
    answer = by.answers.get(NAME)
    if answer is None:
        return []
    if said_no(answer):
        return [missing("exit.pressure", "1", answer)]
    return [
        *_states(answer, {flight.name: flight.thrust for flight in by.model.flights}),
        *_mouths(answer, by),
        *_exit(answer),
        *_leaves(answer),
        *_neutral(answer),
        *said_of_panels(answer, METHOD),
        *said_of_spots(answer.get("spots", ()), METHOD),
    ]


def _states(answer: Mapping[str, Any], thrust: Mapping[str, float]) -> Iterator[Measurement]:
    """Return the raw figures of each state, which balances of the cooling air are made from.

    `thrust` [N] is that of the propeller by state.
    """
    for name, (fine, coarse) in answer["states"].items():
        further = {"ram": fine["ram"], "thrust": thrust.get(name, 0.0)}
        by_booms = _attack_by_booms(answer, fine["lift"])
        if fine["rim"] is not None:
            off = TIMES * abs(fine["rim"] - coarse["rim"]) + _unfelt_rim(fine, answer, name)
            further |= {"rim": fine["rim"], "rim off": off + fine.get("rim_edge", 0.0)}
        for mouth, row in fine.get("mouths", {}).items():
            further[f"pressure {mouth}"] = row["pressure"]
            further[f"pressure off {mouth}"] = _pressure_off(mouth, fine, coarse)
            further[f"angle off {mouth}"] = _angle_off(mouth, fine, coarse)
            of_mouth = ("speed", "height", "gap", "angle")
            further |= {f"{what} {mouth}": row[what] for what in of_mouth}
            if row["thick"] is not None and row["thick_band"][1] is not None:
                low, high = row["thick_band"]
                further |= {f"layer {mouth}": row["thick"], f"least layer {mouth}": low}
                further[f"most layer {mouth}"] = high
            if row["slow"]:
                further |= dict(
                    zip((f"{end} {mouth}" for end in ("least slow", "slow", "most slow")),
                        row["slow"], strict=True)
                )  # fmt: skip
                ends = (f"{end} {mouth}" for end in ("most caught", "caught", "least caught"))
                further |= dict(zip(ends, _kept(row, _turned(mouth, fine)), strict=True))
        further |= {f"pull {mouth}": pulled for mouth, pulled in fine.get("pull", {}).items()}
        for line, rows in fine.get("lines", {}).items():
            for at, (x, z, cp) in enumerate(zip(*rows, strict=True), 1):
                further |= {f"{line} station {at}": x, f"{line} waterline {at}": z}
                further[f"{line} pressure {at}"] = cp
        further |= _left(fine)
        further |= {f"mouth station {name}": x for name, x in answer.get("mouths", {}).items()}
        if answer.get("rim_station") is not None:
            further["rim station"] = answer["rim_station"]
        yield Measurement(
            f"air.{name}", "pod", "attack against the waterlines", fine["attack"], "deg",
            f"{METHOD}; with it, in m2/s2 half the speed squared, in N the thrust, in Pa the "
            "pressure outside the open end and, standing, ahead of mouths, pressure coefficients "
            "and speed ratios ahead of mouths and along the pod, how far those of mouths may be "
            "off, shares of the ram pressure that mouths catch, in mm height, gap, slow layer and "
            "station of mouths, stations of the open end and where the air leaves the pod's lines, "
            "in deg how far the air is off square to a mouth and how far that may be off",
            max(LEAST_ATTACK, TIMES * abs(fine["attack"] - coarse["attack"])) + by_booms,
            f"{answer['panels'][1]} panels, {answer['panels'][0]} to tell how far off"
            + (f"; {by_booms:.2f} deg of that for booms" if by_booms else ""),
            further=tuple(further.items()),
        )  # fmt: skip


def _pressure_off(mouth: str, fine: Mapping[str, Any], coarse: Mapping[str, Any]) -> float:
    """Return how far a pressure coefficient ahead of a mouth may be off [1]; 1 where none tells."""
    other = coarse.get("mouths", {}).get(mouth)
    if other is None:
        return 1.0
    off = TIMES * abs(fine["mouths"][mouth]["pressure"] - other["pressure"])
    return float(off + fine.get("unfelt", {}).get(mouth, 0.0))


def _angle_off(mouth: str, fine: Mapping[str, Any], coarse: Mapping[str, Any]) -> float:
    """Return how far the air's angle to a mouth may be off [deg], a right one where none tells."""
    other = coarse.get("mouths", {}).get(mouth)
    if other is None:
        return 90.0
    off = TIMES * abs(fine["mouths"][mouth]["angle"] - other["angle"])
    return float(off + _turned(mouth, fine))


def _turned(mouth: str, state: Mapping[str, Any]) -> float:
    """Return by how much [deg] what has no panels can turn the air ahead of a mouth."""
    return turned(state["mouths"][mouth]["speed"], state.get("unfelt", {}).get(mouth, 0.0))


def _left(state: Mapping[str, Any]) -> dict[str, float]:
    """Return the stations where the air leaves lines, or to which it was followed without."""
    found = {}
    for line, (known, station, _) in state.get("leaves", {}).items():
        if known and station is not None:
            found[f"{line} leaves"] = station
        elif known and line in state["lines"] and state["lines"][line][0]:
            found[f"{line} stays"] = state["lines"][line][0][-1]
    return found


def _unfelt_rim(row: Mapping[str, Any], answer: Mapping[str, Any], state: str) -> float:
    """Return by how much [Pa] what has no panels can move the pressure outside the exit."""
    return float(row.get("rim_unfelt", 0.0) * row["ram"] * answer["density"][state])


def _unfelt_words(answer: Mapping[str, Any], most: float) -> str:
    """Return in words how much what has no panels can move a pressure coefficient [1]."""
    kinds = ", ".join(dict.fromkeys(name.split("_")[0] for name in answer["left_out"]))
    if not kinds:
        return ""
    return (
        f"left out: {kinds}; together they change the pressure here by at most {most:.1%} of the "
        "ram pressure"
    )


def _mouths(answer: Mapping[str, Any], by: Answered) -> Iterator[Measurement]:
    names = [passage.name for passage in by.model.passages]
    judged = {s: pair for s, pair in answer["states"].items() if s in JUDGED}
    for name in names:
        rows = {
            s: [each["mouths"].get(right_of(name, each)) for each in p] for s, p in judged.items()
        }
        told = {state: fine for state, (fine, _) in rows.items() if fine}
        coarse = {state: other for state, (_, other) in rows.items() if other}
        if told:
            yield _pressure(name, told, coarse, answer)
            yield _slow(name, told, coarse)


def right_of(name: str, state: Mapping[str, Any]) -> str:
    """Return the name of the right-hand mouth that a left one mirrors."""
    other = name.removesuffix("_left") + "_right" if name.endswith("_left") else name
    return other if other in state["mouths"] else name


def _pressure(
    name: str, rows: Mapping[str, Any], coarse: Mapping[str, Any], answer: Mapping[str, Any]
) -> Measurement:
    what = "share of the ram pressure that the mouth catches"
    lost = [f"{state}: {row['why']}" for state, row in rows.items() if row["slow"] is None]
    first = next(iter(rows.values()))
    if lost:
        return Measurement(
            f"inlet.pressure.{name}", name, what, None, "1", LAYER, note="; ".join(lost),
            points=(vec(first["at"]),),
        )  # fmt: skip
    whole = {s: answer["states"][s][0] for s in rows}
    kept = {s: _kept(row, _turned(right_of(name, whole[s]), whole[s])) for s, row in rows.items()}
    state = min(kept, key=lambda s: kept[s][1])
    most, best, least = kept[state]
    row, other = rows[state], coarse.get(state)
    off = _panels_off(best, _kept(other)[1] if other and other["slow"] else None)
    unfelt = whole[state].get("unfelt", {}).get(right_of(name, whole[state]), 0.0)
    # It moves the speed past the layer, of which the mouth loses its share.
    off += unfelt * _lost(row["slow"][1], head_across(row["angle"]))
    return Measurement(
        f"inlet.pressure.{name}", name, what, best, "1", LAYER,
        max(most - best, best - least) + off,
        f"{state}, ahead of the mouth at {place(vec(row['at']))}, pressure coefficient there "
        f"{row['pressure']:.2f}, the air {row['angle']:.0f} deg off square to the mouth",
        (vec(row["at"]),), note=_unfelt_words(answer, unfelt),
    )  # fmt: skip


def _kept(row: Mapping[str, Any], turned: float = 0.0) -> list[float]:
    """Return the most, best and least share of the ram pressure that a mouth keeps.

    What moves past the skin loses what the slow layer takes, and of the rest the head across the
    mouth: all of it but at most, where a round lip loses none, unless the air comes from behind. It
    may be `turned` [deg].
    """
    least, best, most = row["slow"]
    across = head_across(row["angle"])
    round_ = least if row["angle"] - turned <= 90.0 else 1.0
    lost = (round_, _lost(best, across), _lost(most, head_across(row["angle"] + turned)))
    return [1.0 - row["speed"] ** 2 * share for share in lost]


def _lost(slow: float, across: float) -> float:
    """Return the share [1] of the dynamic pressure lost: no air is slow and askew twice."""
    return slow + (1.0 - slow) * across


def _panels_off(fine: float, coarse: float | None) -> float:
    """Return how far a figure may be off by its panels; without end where coarse ones tell none."""
    return inf if coarse is None else TIMES * abs(fine - coarse)


def _slow(name: str, rows: Mapping[str, Any], coarse: Mapping[str, Any]) -> Measurement:
    what = "thickness of the slow layer (boundary layer) over the height of the mouth"
    told = {s: row for s, row in rows.items() if row["thick"] is not None}
    id_ = f"inlet.slow_layer.{name}"
    if len(told) < len(rows):
        why = "; ".join(f"{s}: {r['why']}" for s, r in rows.items() if r["thick"] is None)
        return Measurement(id_, name, what, None, "1", LAYER, note=why)
    # One whose thickness has no end goes before all others.
    state = max(
        told, key=lambda s: (told[s]["thick_band"][1] is None, told[s]["thick"] / told[s]["height"])
    )
    row = told[state]
    share = row["thick"] / row["height"]
    low, high = ((inf if end is None else end) / row["height"] for end in row["thick_band"])
    at_least = " at least" if high == inf else ""
    other = coarse.get(state)
    found = other["thick"] / other["height"] if other and other["thick"] is not None else None
    where = (
        f"{state}, {row['thick']:.1f} mm thick{at_least} before a mouth {row['height']:.0f} mm "
        f"high that stands {row['gap']:.1f} mm off the skin"
    )
    return Measurement(
        id_, name, what, share, "1", LAYER,
        max(high - share, share - low) + _panels_off(share, found), where,
        (vec(row["at"]),),
        note="; ".join(row["words"]),
    )  # fmt: skip


def _exit(answer: Mapping[str, Any]) -> Iterator[Measurement]:
    pair = answer["states"].get("climb")
    if pair is None or pair[0]["rim"] is None or not pair[0]["ram"]:
        return
    fine, coarse = (_coefficient(each, answer, "climb") for each in pair)
    unfelt = pair[0].get("rim_unfelt", 0.0)
    # A slipstream that narrows, against a straight one.
    edge = pair[0].get("rim_edge", 0.0) / (pair[0]["ram"] * answer["density"]["climb"])
    where = ", ".join(
        f"{state} {_coefficient(rows[0], answer, state):.2f}"
        for state, rows in answer["states"].items()
        if rows[0]["ram"]
    )
    yield Measurement(
        "exit.pressure", "pod", "pressure coefficient outside the exit in the climb", fine, "1",
        f"mean of the last panels ahead of the rim, a smooth tail drawn behind it; {METHOD}",
        TIMES * abs(fine - coarse) + unfelt + edge, where, note=_unfelt_words(answer, unfelt),
    )  # fmt: skip


def _coefficient(row: Mapping[str, Any], answer: Mapping[str, Any], state: str) -> float:
    return float(row["rim"] / (row["ram"] * answer["density"][state]))


def _leaves(answer: Mapping[str, Any]) -> Iterator[Measurement]:
    pair = answer["states"].get("climb")
    if pair is None or not any(line[0] for line in pair[0]["lines"].values()):
        return
    found = pair[0]["leaves"]
    words = "; ".join(f"{line}: {said_}" for line, (_, _, said_) in found.items())
    stations = {line: at for line, (_, at, _) in found.items() if at is not None}
    where, station = "nowhere ahead of the last station looked at", None
    if stations:
        line = min(stations, key=lambda k: stations[k])
        where, station = f"on the {line}", stations[line]
    elif all(known for known, _, _ in found.values()):
        station = max(line[0][-1] for line in pair[0]["lines"].values() if line[0])
    else:
        where = ""
    yield Measurement(
        "pod.separation", "pod", "station where the air leaves the skin in the climb", station,
        "mm", LAYER, None, where, note=words,
    )  # fmt: skip


def _neutral(answer: Mapping[str, Any]) -> Iterator[Measurement]:
    if "neutral" not in answer:
        return
    (station, slope), (other, _) = answer["neutral"]
    off = max(LEAST_NEUTRAL * answer["chord"], TIMES * abs(station - other))
    share, moved = answer["booms"]
    where = f"lift slope {slope:.2f} a radian of attack"
    if share:
        where += (
            f"; booms, left out, change the lift of the wing by at most {share:.1%} ((1 + d/b)^2, "
            f"NACA Report 1307) and the neutral point by {moved:.0f} mm: in the band"
        )
    yield Measurement(
        "wing.neutral_point", "wing", "station of the neutral point, propeller standing still",
        station, "mm", f"how lift and moment by pressure change with the attack; {METHOD}",
        off + moved, where,
        further=(("lift slope", slope),),
    )  # fmt: skip


def _attack_by_booms(answer: Mapping[str, Any], lift: float) -> float:
    """Return how far at most booms move the attack [deg] that brings a lift coefficient [1]."""
    if "neutral" not in answer:
        return 0.0
    return Crossing(answer["booms"][0]).attack(lift, answer["neutral"][0][1])
