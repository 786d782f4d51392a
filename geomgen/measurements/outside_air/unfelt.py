"""What has no panels: how much at most it moves the air at mouths and exit, what is in its wake."""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from geomgen.air.paneling.machine import Outside
from geomgen.air.paneling.one_sided import OTHER
from geomgen.air.paneling.unfelt import coefficient, disturbance, fine_near
from geomgen.air.potential.hidden import inside
from geomgen.arrays import Floats
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.plain import Vec3

# The wake of a blunt body grows by so much to each side for each length behind it: own choice.
SPREAD = 0.15
# Whose wakes are slow air: what may not be drawn out to an edge or along the stream. On panels the
# air closes behind a scoop, however blunt it is.
BLUNT = ("wheel", "leg", "scoop")


def skins(shown: Outside, unfelt: Mapping[str, Mesh]) -> dict[str, Floats]:
    """Return the triangles (m, 3, 3) [mm] of parts without panels; what the pod holds is left out.

    The tail drawn behind an open end counts as the pod: it stands for the air that leaves.
    """
    pod = shown.panels.kept(shown.panels.of("pod")) if "pod" in shown.panels.names else None
    found = {}
    for name, mesh in unfelt.items():
        corners = mesh.vertices[mesh.triangles]
        if pod is not None:
            corners = corners[~inside(pod, corners.mean(axis=1))]
        found[name] = corners
    return found


def mirror_images(bodies: Mapping[str, Floats]) -> dict[str, Floats]:
    """Return triangles (m, 3, 3) [mm] as the mirror shows them, by names that say so."""
    return {f"mirror image of {name}": c[:, ::-1] * OTHER for name, c in bodies.items()}


def most_off(
    bodies: Mapping[str, Floats],
    points: Floats,
    speeds: Floats,
    stream: Floats,
    sinks: Sequence[tuple[Vec3, float]] = (),
) -> float:
    """Return by how much at most pressure coefficients are off [1], on average over points (p, 3).

    `bodies` are triangles (m, 3, 3) [mm], `speeds` (p,) [1] those over the stream's, whose
    direction is `stream` (3,) [m/s]. `sinks` take in so much air each [m3/s] at a place [mm]. All
    of them are taken to help each other.
    """
    along = np.asarray(stream, dtype=float) / np.linalg.norm(stream)
    every = [disturbance(corners, points, along) for corners in bodies.values()]
    for place, taken in sinks:
        far = np.linalg.norm(points - np.array(place), axis=1) / 1000.0
        every.append(taken / (4.0 * np.pi * far**2) / float(np.linalg.norm(stream)))
    return float(coefficient(speeds, np.sum(every, axis=0)).mean()) if every else 0.0


def wakes_on(
    bodies: Mapping[str, Floats], families: Mapping[str, str], at: Vec3, half: float, stream: Floats
) -> Iterator[str]:
    """Return which blunt parts have a mouth at a place [mm] in their wake, `half` [mm] its size."""
    along, place = np.asarray(stream) / np.linalg.norm(stream), np.array(at)
    for name, corners in bodies.items():
        if families.get(name) not in BLUNT or not len(corners):
            continue
        off = place - fine_near(corners, place[None]).mean(axis=1)
        behind = off @ along
        aside = np.linalg.norm(off - behind[:, None] * along, axis=1)
        if ((behind > 0) & (aside < half + SPREAD * behind)).any():
            yield name
