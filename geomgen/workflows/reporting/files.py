"""The files of a report beside its page: drawings, pictures, models to look at; all proved."""

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.parameters import Parameters
from geomgen.parameters.records.shops import IN_BOTH

if TYPE_CHECKING:
    from geomgen.aircraft_drawings.choices import Choices
    from geomgen.aircraft_drawings.views import Views
    from geomgen.drafting.paper.sheet import Sheet
    from geomgen.files.set_reading import Meshes
    from geomgen.kernel.brep.boxes import Box
    from geomgen.kernel.mesh import Mesh
    from geomgen.kernel.model import Model
    from geomgen.pages.scene import PageScene
    from geomgen.verdicts.check import Check

Entry = dict[str, Any]
Progress = Callable[[str], None]
DRAWINGS, PICTURES = "drawings", "pictures"
SCENE = "3D view"
# A manifest rounds the corners of boxes to a ten thousandth of a millimetre.
BOX_ROUNDING = 1e-3


def proven_boxes(entries: Sequence[Entry], meshes: "Meshes") -> "dict[str, Box]":
    """Return the exact boxes [mm] that the set's manifest states, where the meshes bear them out.

    A part whose mesh says otherwise is left out; its solid is then measured anew.
    """
    from geomgen.kernel.brep.boxes import Box

    found = {}
    for entry in entries:
        if entry["what"] != "solid" or entry["part"] not in meshes:
            continue
        low, high = (tuple(entry["bounding_box"][side]) for side in ("low_mm", "high_mm"))
        mesh, deviation = meshes[entry["part"]]
        ends = (mesh.vertices.min(axis=0) - low, high - mesh.vertices.max(axis=0))
        give = deviation.largest + BOX_ROUNDING
        if all(abs(miss) <= give for end in ends for miss in end):
            found[entry["part"]] = Box(low, high)
    return found


@dataclass(frozen=True)
class ReportFiles:
    """A set as read back, and the fresh folder that its report goes into.

    `reason` is why the set was released although a check failed; it stands on every drawing.
    """

    fresh: Path
    p: Parameters
    model: "Model"
    meshes: "Meshes"
    checks: "Sequence[Check]"
    boxes: "dict[str, Box]"
    reason: str = ""

    def write(self, say: Progress) -> "tuple[list[Entry], PageScene]":
        """Write all files, two at a time; return their entries, and the page's 3D view."""
        from geomgen.processes.worker_pool import answers

        for folder in (DRAWINGS, PICTURES):
            (self.fresh / folder).mkdir(exist_ok=True)
        found: dict[str, Any] = {}
        jobs = self._jobs
        for name, answer in answers(self._made, list(jobs)):
            say(f"made: {name}")
            found[name] = answer
        entries = [entry for name in jobs if name != SCENE for entry in found[name]]
        return entries, found[SCENE]

    @property
    def _jobs(self) -> dict[str, "Callable[[], Any]"]:
        """What is made; the longest first, so that no process is left with one at the end."""
        return {
            "three-view, on its wheels": self.whole_views,
            "engine bay": self.engine_bay,
            "pictures": self._pictures,
            "sections": self.sections,
            SCENE: self._scene,
            "3MF": self._threemf,
            "GLB": self._glb,
        }

    def _made(self, name: str) -> Any:
        return self._jobs[name]()

    def _scene(self) -> "PageScene":
        from geomgen.workflows.building.air_file import read_panels
        from geomgen.workflows.reporting.pressure_view import with_pressures
        from geomgen.workflows.reporting.scene import scene_of

        shown = scene_of(self.model, self.meshes, self.checks)
        return with_pressures(shown, read_panels(self.fresh), self.model.families)

    def _own_lengths(self) -> AbstractContextManager[None]:
        """Have lengths in drawings told as the file says."""
        from geomgen.drafting.own_lengths import lengths_on_paper

        return lengths_on_paper(self.p.drawings.lengths == IN_BOTH)

    @property
    def _choices(self) -> "Choices":
        from geomgen.aircraft_drawings.choices import Choices

        d = self.p.drawings
        third = d.projection == "third angle"
        return Choices("third angle" if third else "first angle", d.sheet, d.stations)

    @property
    def _plain(self) -> "dict[str, Mesh]":
        return {name: mesh for name, (mesh, _) in self.meshes.items()}

    def _drawn(self, sheet: "Sheet", part: str) -> list[Entry]:
        from geomgen.drafting.formats.every_format import write_drawing
        from geomgen.workflows.handing_off.shop_files import title_of

        title = title_of(self.p, part, "", "", self.reason)
        rows = write_drawing(self.fresh / DRAWINGS, sheet, title)
        more = {"what": "report drawing", "drawing": sheet.drawing.name, "title": part}
        return [{**row, **more, "file": f"{DRAWINGS}/{row['file']}"} for row in rows]

    @cached_property
    def _views(self) -> "Views":
        from geomgen.aircraft_drawings.views import views_of

        return views_of(self.model, self._plain, self.boxes)

    def whole_views(self) -> list[Entry]:
        """Write and prove the drawings of the whole machine, which share the lines of its views."""
        return [*self.three_view(), *self.standing()]

    def three_view(self) -> list[Entry]:
        """Write and prove the three-view; return the entries of its files."""
        from geomgen.aircraft_drawings.three_view import three_view

        with self._own_lengths():
            return self._drawn(three_view(self._views, self._choices), "Three-view")

    def standing(self) -> list[Entry]:
        """Write and prove the sheet of the machine on its wheels; no entries where it has none."""
        from geomgen.aircraft_drawings.on_wheels.standing import standing
        from geomgen.workflows.reporting.balance_page import loaded_centres

        centres, without = loaded_centres(self.fresh)
        with self._own_lengths():
            sheet = standing(self._views, self._choices, self.checks, centres, without)
            return [] if sheet is None else self._drawn(sheet, "On its wheels")

    def engine_bay(self) -> list[Entry]:
        """Write and prove the drawing of the engine bay; return the entries of its files."""
        from geomgen.aircraft_drawings.engine_bay import engine_bay

        with self._own_lengths():
            return self._drawn(engine_bay(self.model, self._choices, self.checks), "Engine bay")

    def sections(self) -> list[Entry]:
        """Write and prove the sheets of sections; return the entries of their files."""
        from geomgen.aircraft_drawings.station_sections import station_sections

        with self._own_lengths():
            sheets = station_sections(self.model, self._choices)
            many = f" of {len(sheets)}" if len(sheets) > 1 else ""
            rows = []
            for i, sheet in enumerate(sheets, 1):
                rows += self._drawn(sheet, f"Sections {i}{many}" if many else "Sections")
            return rows

    def _pictures(self) -> list[Entry]:
        from geomgen.files.disk import write_bytes
        from geomgen.files.manifest import file_entry
        from geomgen.renders.picture import SIZE, pictures_of
        from geomgen.renders.proof import prove_picture

        entries = []
        for name, data in pictures_of(self.model, self._plain):
            path = self.fresh / PICTURES / name
            write_bytes(path, data)
            prove_picture(path, SIZE)
            entries.append(file_entry(self.fresh, f"{PICTURES}/{name}", "picture"))
        return [*entries, *self._pressures()]

    def _pressures(self) -> list[Entry]:
        """Write and prove the pictures of the pressures, where the set has some."""
        from geomgen.files.disk import write_bytes
        from geomgen.files.manifest import file_entry
        from geomgen.renders.picture import SIZE
        from geomgen.renders.pressure_picture import pressure_pictures
        from geomgen.renders.proof import prove_picture
        from geomgen.workflows.building.air_file import read_panels
        from geomgen.workflows.reporting import pressure_view

        found = read_panels(self.fresh)
        if found is None:
            return []
        bodies = pressure_view.pressed_bodies(found, self.model.families)
        felt = {part for body in bodies for part in body.parts} | {self.model.swept}
        unfelt = {name: mesh for name, mesh in self._plain.items() if name not in felt}
        entries = []
        for state, speed in found.speeds.items():
            shown = pressure_view.painted(bodies, state)
            words = pressure_view.state_words(state, speed)
            made = pressure_pictures(shown, unfelt, words, pressure_view.WORDS)
            for view, data in made.items():
                name = f"{PICTURES}/pressure_{state}_{view}.png"
                write_bytes(self.fresh / name, data)
                prove_picture(self.fresh / name, SIZE)
                entries.append(file_entry(self.fresh, name, "picture"))
        return entries

    def _glb(self) -> list[Entry]:
        from geomgen.files.glb import write_glb

        path = self.fresh / f"{self.p.name}_m.glb"
        write_glb(path, self._plain, self.model.colours, self.model.see_through, self.p.name)
        return [self._model_entry(path, "m")]

    def _threemf(self) -> list[Entry]:
        from geomgen.files.threemf import write_threemf

        path = self.fresh / f"{self.p.name}_mm.3mf"
        swept = (self.model.swept,)
        write_threemf(path, self._plain, self.model.colours, self.p.name, self.p.title, swept)
        return [self._model_entry(path, "mm")]

    def _model_entry(self, path: Path, unit: str) -> Entry:
        from geomgen.files.manifest import file_entry

        return {**file_entry(self.fresh, path.name, "model to look at"), "unit": unit}
