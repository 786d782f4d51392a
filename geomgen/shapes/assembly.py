"""All parts together: built, trimmed where a joint is declared, published with plain geometry."""

from collections.abc import Callable

from geomgen.errors import GeometryError
from geomgen.kernel.booleans import cut
from geomgen.kernel.boxes import boxes_meet, loose_box
from geomgen.kernel.lines import Lines
from geomgen.kernel.plain import Model
from geomgen.kernel.primitives import mirrored
from geomgen.parameters.records import Parameters
from geomgen.shapes import booms, engine, firewall, gear, hull, lifting, propeller, scoop
from geomgen.shapes.piece import Piece

Progress = Callable[[str], None]


def assemble(p: Parameters, progress: Progress | None = None) -> Model:
    """Build every part that the file describes and return the model.

    Raises GeometryError, naming the part and the keys to look at, when one can't be built.
    """
    say = progress or (lambda _: None)
    say("pod")
    pod = hull.pod_lines(p)
    say("scoops")
    scoops, passages, routes = scoop.scoops(p, pod)
    pieces = [hull.hull(p, pod, scoop.breaks(p, pod))]
    opened = cut(pieces[0].solid, passages, "pod", "passages", ["scoops"])
    pieces[0] = pieces[0].trimmed(opened)
    pieces += _present(hull.exit_rim(p, pod), hull.tail_fairing(p))
    pieces += scoops
    say("firewall")
    pieces.append(firewall.firewall(p, pod))
    say("wing, booms, tail")
    pieces += [lifting.wing(p), *booms.booms(p)]
    pieces += _present(lifting.tailplane(p), *lifting.fins(p), lifting.pylon(p))
    say("engine, propeller, wheels")
    pieces += _present(engine.engine(p), propeller.prop_disc(p), propeller.spinner(p))
    pieces += gear.wheels(p)
    say("joints")
    pieces = trim(p, pieces)
    plane, seed = firewall.mid_plane(p)
    return Model(
        parts={piece.name: piece.solid for piece in pieces},
        families={piece.name: piece.family for piece in pieces},
        colours={piece.name: piece.colour for piece in pieces},
        rotating=("prop_disc", "spinner"),
        thrust_line=propeller.thrust_line(p),
        passages=routes,
        exits=hull.exit_openings(p, pod),
        grounds=gear.grounds(p),
        firewall_plane=plane,
        firewall_seed=seed,
    )


def _present(*pieces: Piece | None) -> list[Piece]:
    return [piece for piece in pieces if piece is not None]


def trim(p: Parameters, pieces: list[Piece]) -> list[Piece]:
    """Trim parts to each other as the joints of the file say, each with its gap.

    A part on the left whose right-hand fellow was trimmed is its mirror image again.
    """
    done = {piece.name: piece for piece in pieces}
    for number, joint in enumerate(p.joints):
        others = [piece for piece in pieces if piece.family == joint.to]
        if any(other.knife is None for other in others):
            raise GeometryError(
                f"nothing can be trimmed to the {joint.to}",
                part=joint.trim,
                step="joint",
                look_at=[f"joints.{number}.to"],
            )
        for piece in [piece for piece in done.values() if piece.family == joint.trim]:
            fellow = piece.name.removesuffix("_left") + "_right"
            if piece.name.endswith("_left") and fellow in done:
                done[piece.name] = piece.trimmed(mirrored(done[fellow].solid))
                continue
            look_at = [f"joints.{number}", f"where {joint.trim} and {joint.to} meet"]
            step = f"trim to the {joint.to}"
            right = [o for o in others if o.name.endswith("_right")]
            if piece.half is not None and len(others) == 2 * len(right):
                near = loose_box(piece.half)
                knives = [o.knife(joint.gap, near) for o in right if o.knife is not None]
                half = cut(piece.half, knives, piece.name, step, look_at)
                done[piece.name] = piece.trimmed_half(half)
                continue
            near = loose_box(piece.solid)
            knives = [o.knife(joint.gap, near) for o in others if o.knife is not None]
            knives = [knife for knife in knives if boxes_meet(near, loose_box(knife))]
            if knives:
                done[piece.name] = piece.trimmed(
                    cut(piece.solid, knives, piece.name, step, look_at)
                )
    return list(done.values())


def pod_lines(p: Parameters) -> Lines:
    """Return the pod's lines, for whoever draws or checks them."""
    return hull.pod_lines(p).lines
