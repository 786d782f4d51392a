"""The pod's own pitching moment, strip by strip.

Source: Munk's moment of a slender body, with the wing's flow at each strip after H. Multhopp, NACA
TM 1036 (1942; its summary read, the formula MEMORY): dM/da = q pi/2 times the integral of breadth
squared by the turn of the flow. For a slender round body in even flow that is 2 q times its volume
(DERIVED). The factor for bodies that are not slender, which makes it less, is left out.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import pi

from geomgen.balance.stability.wing_flow import WingFlow


@dataclass(frozen=True)
class PodStrips:
    """A pod in strips of even length between two stations: breadths and waterlines [mm]."""

    front: float
    back: float
    breadths: tuple[float, ...]
    waterlines: tuple[float, ...]


@lru_cache(maxsize=16)
def pod_moment(pod: PodStrips, flow: WingFlow | None) -> float:
    """Return the nose-up moment over dynamic pressure, a radian of angle of attack [mm3].

    `flow` is that about the wing, None for a pod by itself.

    >>> rod = PodStrips(0.0, 100.0, (4.0, 4.0), (0.0, 0.0))
    >>> round(pod_moment(rod, None) / (3.14159 * 2.0**2 * 100.0), 3)  # over its volume
    2.0
    """
    step = (pod.back - pod.front) / len(pod.breadths)
    total = 0.0
    for i, (breadth, waterline) in enumerate(zip(pod.breadths, pod.waterlines, strict=True)):
        front = pod.front + i * step
        turn = flow.mean_turn(front, front + step, waterline) if flow else 1.0
        total += step * breadth**2 * turn
    return pi / 2 * total
