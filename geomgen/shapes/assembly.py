"""All parts together: built, trimmed where a joint is declared, published with plain geometry."""

from collections.abc import Callable

from OCP.TopoDS import TopoDS_Shape

from geomgen.errors import GeometryError, looking_at
from geomgen.kernel.booleans import cut
from geomgen.kernel.boxes import Box, boxes_meet, loose_box
from geomgen.kernel.plain import Model
from geomgen.kernel.primitives import mirrored
from geomgen.parameters.records import Joint, Parameters
from geomgen.shapes import booms, engine, firewall, gear, hull, lifting, propeller, scoop
from geomgen.shapes.piece import Piece

Progress = Callable[[str], None]


def assemble(p: Parameters, progress: Progress | None = None) -> Model:
    """Build every part that the file describes and return the model.

    Raises GeometryError, naming the part and the keys to look at, when one can't be built.
    """
    say = progress or (lambda _: None)
    say("pod")
    with looking_at("pod.stations", "pod.wall"):
        pod = hull.pod_lines(p)
        shell = hull.hull(p, pod, scoop.breaks(p, pod))
    say("scoops")
    with looking_at("scoops", "pod.stations", "pod.wall"):
        scoops, passages, routes = scoop.scoops(p, pod)
        shell = shell.trimmed(cut(shell.solid, passages, "pod", "passages"))
    with looking_at("exit", "pod.stations"):
        pieces = [shell, *_present(hull.exit_rim(p, pod), hull.tail_fairing(p)), *scoops]
    say("firewall")
    with looking_at("firewall.station", "firewall.flange", "firewall.penetrations"):
        pieces.append(firewall.firewall(p, pod))
    say("wing, booms, tail")
    with looking_at("wing.sections"):
        pieces.append(lifting.wing(p))
    with looking_at("booms.stations"):
        pieces += booms.booms(p)
    with looking_at("tailplane", "fins", "pylon"):
        pieces += _present(lifting.tailplane(p), *lifting.fins(p), lifting.pylon(p))
    say("engine, propeller, wheels")
    with looking_at("engine.boxes", "engine.cylinders"):
        pieces += _present(engine.engine(p))
    with looking_at("propeller", "spinner"):
        pieces += _present(propeller.prop_disc(p), propeller.spinner(p))
    with looking_at("gear.wheels"):
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
        with looking_at(f"joints.{number}", f"where {joint.trim} and {joint.to} meet"):
            others = [piece for piece in pieces if piece.family == joint.to]
            for piece in [piece for piece in done.values() if piece.family == joint.trim]:
                fellow = piece.name.removesuffix("_left") + "_right"
                if piece.name.endswith("_left") and fellow in done:
                    done[piece.name] = piece.trimmed(mirrored(done[fellow].solid))
                else:
                    done[piece.name] = _trimmed(piece, others, joint)
    return list(done.values())


def _trimmed(piece: Piece, others: list[Piece], joint: Joint) -> Piece:
    """Return a part cut back to the others; only its half where all of it is symmetric."""
    right = [other for other in others if other.name.endswith("_right")]
    half = piece.half if len(others) == 2 * len(right) else None
    body = piece.solid if half is None else half
    near = loose_box(body)
    knives = [_knife(other, joint, near) for other in (others if half is None else right)]
    knives = [knife for knife in knives if boxes_meet(near, loose_box(knife))]
    if not knives:
        return piece
    rest = cut(body, knives, piece.name, f"trim to the {joint.to}")
    return piece.trimmed(rest) if half is None else piece.trimmed_half(rest)


def _knife(other: Piece, joint: Joint, near: Box) -> TopoDS_Shape:
    if other.knife is None:
        raise GeometryError(
            f"nothing can be trimmed to the {joint.to}", part=joint.trim, step="joint"
        )
    return other.knife(joint.gap, near)
