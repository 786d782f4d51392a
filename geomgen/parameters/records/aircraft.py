"""The whole of a parameter file as one frozen record."""

import hashlib
import json
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field, PrivateAttr

from geomgen.parameters.file_text.positions import Path as KeyPath
from geomgen.parameters.records.air import Air
from geomgen.parameters.records.body import Booms, Exit, Gap, Pod
from geomgen.parameters.records.conditions import Cooling, Flight, Output, Powerplant, Rules
from geomgen.parameters.records.drawing_choices import Drawings
from geomgen.parameters.records.engine_bay import SLUG, Engine, Firewall, Scoop
from geomgen.parameters.records.landing_gear import Gear
from geomgen.parameters.records.lifting import Fins, Pylon, Wing
from geomgen.parameters.records.loads import Loads
from geomgen.parameters.records.masses import MassItem, PartMass, Tank
from geomgen.parameters.records.pilot import Canopy, Pilot
from geomgen.parameters.records.propulsion import Propeller, Spinner
from geomgen.parameters.records.shops import Handoff
from geomgen.parameters.records.structure.assembly import Assembly
from geomgen.parameters.records.structure.attachments import (
    BoltedFitting,
    ControlRoom,
    HandAccess,
)
from geomgen.parameters.records.structure.framing import FrameSheet, Stringer
from geomgen.parameters.records.structure.wing import RibRow, Spar
from geomgen.parameters.values.quantities import Matching, OneOf, Record, Text, stated, worked_out

FAMILIES = ("pod", "wing", "boom", "tailplane", "fin", "pylon", "firewall", "exit")
# Of these a builder of shapes has a knife as wide as the gap.
STAYING = ("pod", "boom", "wing", "tailplane", "fin", "pylon")
REVISION = Matching("[A-Za-z0-9][A-Za-z0-9.-]{0,11}", "1 to 12 letters, digits, . and -")


class Joint(Record):
    """Two families of parts that meet: one is trimmed to the other, with a gap."""

    trim: Annotated[str, OneOf(FAMILIES)] = Field(description="the parts that are cut back")
    to: Annotated[str, OneOf(STAYING)] = Field(description="the parts that stay whole")
    gap: Annotated[float, Gap] = stated("0.3 mm", "gap left between the two")


class Parameters(Record):
    """Everything that a parameter file says, in millimetres and degrees, all defaults filled.

    Equal records describe the same aircraft: the text as written and the folder do not count.
    """

    name: Annotated[str, SLUG] = Field(description="short name; it becomes part of file names")
    title: Annotated[str, Text(120)] = Field(description="title for drawings and reports")
    revision: Annotated[str, REVISION] = stated("A", "revision of the design")
    rules: Rules = worked_out(Rules, "yardsticks and thresholds")
    flight: Flight = Field(description="flight conditions")
    cooling: Cooling = worked_out(Cooling, "heat and pressure estimate")
    air: Air | None = stated(
        None, "states of flight whose outside air and cooling flow are worked out"
    )
    powerplant: Powerplant = Field(description="power and rotation")
    output: Output = worked_out(Output, "fineness of the meshes")
    pod: Pod = Field(description="the pod")
    exit: Exit | None = stated(None, "exit of the cooling air")
    booms: Booms = Field(description="the tail booms")
    wing: Wing = Field(description="the wing")
    tailplane: Wing | None = stated(None, "the tailplane")
    fins: Fins | None = stated(None, "the fins")
    pylon: Pylon | None = stated(None, "strut fairing between pod and wing")
    firewall: Firewall = Field(description="the firewall")
    scoops: Annotated[tuple[Scoop, ...], Field(max_length=12)] = stated(
        (), "cooling-air scoops; none when left out"
    )
    engine: Engine | None = stated(None, "the engine's envelope")
    propeller: Propeller = Field(description="the propeller")
    spinner: Spinner | None = stated(None, "the spinner")
    gear: Gear | None = stated(None, "the landing gear")
    frames: Annotated[tuple[FrameSheet, ...], Field(max_length=30)] = stated(
        (), "frames and bulkheads inside the pod; geometry, not strength"
    )
    stringers: Annotated[tuple[Stringer, ...], Field(max_length=30)] = stated(
        (), "stringers along the inside of the pod's skin; geometry, not strength"
    )
    spars: Annotated[tuple[Spar, ...], Field(max_length=12)] = stated(
        (), "spars of wing, tailplane and fins; geometry, not strength"
    )
    ribs: Annotated[tuple[RibRow, ...], Field(max_length=20)] = stated(
        (), "ribs of wing, tailplane and fins; geometry, not strength"
    )
    fittings: Annotated[tuple[BoltedFitting, ...], Field(max_length=60)] = stated(
        (), "fittings bolted to frames, firewall, spars and ribs; geometry, not strength"
    )
    controls: ControlRoom | None = stated(None, "room that the controls need; not built")
    access: Annotated[tuple[HandAccess, ...], Field(max_length=40)] = stated(
        (), "places that a hand must reach"
    )
    assembly: Assembly | None = stated(
        None, "how the parts are put together; with it the straight way in of each is looked for"
    )
    pilot: Pilot | None = stated(None, "the pilot as he sits, for room and sight; not built")
    canopy: Canopy | None = stated(None, "the glazed part of the pod: for sight, and built")
    joints: Annotated[tuple[Joint, ...], Field(max_length=40)] = stated(
        (), "which parts are trimmed to which"
    )
    mass: Annotated[tuple[PartMass, ...], Field(max_length=60)] = stated(
        (), "what the parts are made of, or weigh"
    )
    items: Annotated[tuple[MassItem, ...], Field(max_length=200)] = stated(
        (), "what has no solid of its own: engine, wheels, instruments"
    )
    tanks: Annotated[tuple[Tank, ...], Field(max_length=4)] = stated((), "fuel tanks")
    loads: Loads | None = stated(None, "who and what is carried")
    drawings: Drawings = worked_out(Drawings, "drawings of the machine")
    handoff: Handoff | None = stated(None, "what the shops are asked for")

    _written: dict[str, str] = PrivateAttr(default_factory=dict)
    _hung: dict[KeyPath, str] = PrivateAttr(default_factory=dict)
    _lines: dict[KeyPath, tuple[str, int | None]] = PrivateAttr(default_factory=dict)
    _folder: Path = PrivateAttr(default_factory=Path)
    _aerofoils: dict[str, tuple[tuple[float, float], ...]] = PrivateAttr(default_factory=dict)

    @property
    def written(self) -> dict[str, str]:
        """The values as they were written, by dotted key (`scoops.0.width`).

        A place that hangs on another part has what it became behind it.
        """
        return self._written

    @property
    def hung(self) -> dict[KeyPath, str]:
        """The places that hang on another part, as they were written, by path."""
        return self._hung

    @property
    def lines(self) -> dict[KeyPath, tuple[str, int | None]]:
        """The file and line of each key that was written, by path; `--set` has no line."""
        return self._lines

    @property
    def folder(self) -> Path:
        """The folder that names of aerofoil files count from."""
        return self._folder

    @property
    def aerofoils(self) -> dict[str, tuple[tuple[float, float], ...]]:
        """The points (n, 2) [chord] of each aerofoil file that the records name, by `file:...`."""
        return self._aerofoils

    def plain(self) -> dict[str, Any]:
        """Return tables, lists, text with units: what a file with all defaults would hold."""
        return self.model_dump(exclude_none=True)

    def __eq__(self, other: object) -> bool:
        """Compare what is described, not how it was written."""
        if not isinstance(other, Parameters):
            return NotImplemented
        return self.plain() == other.plain() and self.aerofoils == other.aerofoils

    def __hash__(self) -> int:
        """Hash what is compared."""
        return hash(fingerprint(self))


def fingerprint(parameters: Parameters) -> str:
    """Return the SHA-256 of the canonical form: all values with units, and the aerofoil points."""
    whole = {"file": parameters.plain(), "aerofoils": parameters.aerofoils}
    text = json.dumps(whole, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode("ascii")).hexdigest()
