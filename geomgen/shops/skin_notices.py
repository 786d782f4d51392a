"""Skins that are drawn with one thickness and laid up with another: said, never mended."""

from collections.abc import Iterator

from geomgen.parameters.records.aircraft import Parameters
from geomgen.shops.laminate import thickness

# A wall and a laminate that differ by more than this share of the wall are told: own choice.
APART = 0.1


def skin_notices(p: Parameters) -> tuple[str, ...]:
    """Return a notice for each wall of the file that its laminate is not as thick as.

    Only walls of parts that a shop is asked for: moulds, and the foam stack of the pod.
    """
    laminate = p.handoff.laminate if p.handoff else None
    if laminate is None:
        return ()
    skin = thickness(laminate)
    return tuple(
        _told(key, wall, skin, parts)
        for key, (wall, parts) in _walls(p).items()
        if abs(skin - wall) > APART * wall
    )


def _walls(p: Parameters) -> dict[str, tuple[float, list[str]]]:
    """Return each wall [mm] that a shop lays up, by its key, with the parts that it is of."""
    found: dict[str, tuple[float, list[str]]] = {}
    for part, key, wall in _asked(p):
        parts = found.setdefault(key, (wall, []))[1]
        if part not in parts:
            parts.append(part)
    return found


def _asked(p: Parameters) -> Iterator[tuple[str, str, float]]:
    assert p.handoff is not None
    scoops = {f"scoop_{scoop.name}": scoop for scoop in p.scoops}
    if p.handoff.foam:
        yield "pod", "pod.wall", p.pod.wall
    for mould in p.handoff.moulds:
        if mould.part in ("pod", "exit"):
            yield mould.part, "pod.wall", p.pod.wall
        elif mould.part in scoops:
            scoop = scoops[mould.part]
            yield mould.part, f"scoops.{scoop.name}.wall", scoop.wall


def _told(key: str, wall: float, skin: float, parts: list[str]) -> str:
    """Return the notice of one wall.

    >>> _told("pod.wall", 4.0, 0.45, ["pod"]).partition(":")[0]
    'the plies of handoff.laminate make 0.450 mm, pod.wall is 4 mm (pod)'
    """
    return (
        f"the plies of handoff.laminate make {skin:.3f} mm, {key} is {wall:g} mm "
        f"({', '.join(parts)}): the solids and the checks have the wall; the skin that is taken "
        "off for the shops, and its mass, come from the plies. Write plies that make the wall, "
        f"or set the wall to {skin:.3f} mm; where the rest is a sandwich core between the plies, "
        "leave both as they are"
    )
