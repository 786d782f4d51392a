"""Aircraft whose pod is a plain body, so that moulds of it have closed forms."""

import numpy as np

RADIUS, LENGTH = 100.0, 800.0
LONG, SHORT = 300.0, 100.0
SKIN = 2.0


def with_mould(p, **fields):
    """Return the parameters with one mould, and the mould; `skin` None: no laminate."""
    skin = fields.pop("skin", SKIN)
    plain = {"part": "pod", "treatment": "plug_outside", "split": "centre plane", **fields}
    mould = p.handoff.moulds[1].model_copy(update=plain)
    laminate = None if skin is None else laminate_of(p, skin)
    handoff = p.handoff.model_copy(update={"moulds": (mould,), "laminate": laminate})
    return p.model_copy(update={"handoff": handoff}), mould


def laminate_of(p, skin):
    """Return one ply as thick as `skin` [mm]: W = t rho Vf (derived)."""
    given = p.handoff.laminate
    ply = given.plies[0]
    mass = skin * given.fibre_density * ply.fibre_volume_fraction / 1000
    return given.model_copy(
        update={"plies": (ply.model_copy(update={"areal_weight": mass, "count": 1}),)}
    )


def _pod(p, x, radius, nose, tail, rise=0.0):
    first = p.pod.stations[0]
    rows = tuple(
        first.model_copy(
            update={
                "station": float(s),
                "crown": float(r + rise * s),
                "keel": float(-r + rise * s),
                "breadth": float(2 * r),
                "breadth_height": float(rise * s),
            }
        )
        for s, r in zip(x, radius, strict=True)
    )
    pod = p.pod.model_copy(update={"stations": rows, "nose": nose, "tail": tail})
    return p.model_copy(update={"pod": pod, "exit": None, "scoops": ()})


def cylinder_pod(p, rise=0.0):
    """Return an aircraft whose pod is a cylinder along x, its axis rising by `rise` a millimetre.

    Sections across x stay circles of RADIUS.
    """
    x = np.linspace(0.0, LENGTH, 5)
    return _pod(p, x, np.full(5, RADIUS), "flat", "flat", rise)


def spheroid_pod(p):
    """Return an aircraft whose pod is a prolate spheroid from the datum aft."""
    turn = np.linspace(0.0, np.pi, 17)
    return _pod(p, LONG * (1 - np.cos(turn)), SHORT * np.abs(np.sin(turn)), "round", "round")


def spheroid_slice(a, b):
    """Return the volume of the spheroid between two stations (closed form)."""

    def below(x):
        u = x - LONG
        return np.pi * SHORT**2 * (u - u**3 / (3 * LONG**2))

    return below(b) - below(a)
