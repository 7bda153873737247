"""A whole job: frozen values whose fields are the keys of the file, lengths in mm, angles in degrees, masses in kg."""

from __future__ import annotations

from collections.abc import Iterator

from foldswing import units
from foldswing._core import InvalidInput
from foldswing.job.brakes import BrakeTool, Cutting, Rolls, Stock
from foldswing.job.curved_flanges import CurvedFlange
from foldswing.job.developed import Developed
from foldswing.job.gates import Gate
from foldswing.job.joints import joint_problems
from foldswing.job.keys import key, keyed, listed, nearest, repeated
from foldswing.job.metals import OwnMetal
from foldswing.job.parts import PARTS, BentPart, Crown, FlipPanel, Material, Pan
from foldswing.job.readings import Readings, row_of
from foldswing.job.shop import Errors, Paint
from foldswing.job.trays import Section, Tray

_FINEST_STEP = 0.001  # mm; no ruler, no scriber and no eye goes below


@keyed
class Job:
    """A whole job: what was measured and what is wanted."""

    format: int = key("count", "Format of the file: 1.", most=1)
    title: str = key("text", "Title of the job, on every sheet.")
    units: str = key("word", "What a bare length means.", allowed=("mm", "inch"))
    invented: bool = key("flag", "Marks every sheet INVENTED DEMO DATA.", default=False)
    revision: str | None = key("text", "Revision of this job, on every sheet.", default=None)
    date: str | None = key("text", "Date on every drawing; left out, the day of the run.", default=None)
    note: str | None = key("text", "A note for the sheet.", default=None)
    ruler: str | None = key(
        "text",
        "Step of the ruler in use, to which marks are rounded; left out, 0.5 mm with mm and 1/32 in with inch.",
        default=None,
    )
    paper: str | None = key(
        "word",
        "Paper for the templates; left out, A4 with mm and Letter with inch.",
        default=None,
        allowed=("A4", "Letter"),
    )
    paint: Paint | None = key("table", "Paint; left out, all is bare metal.", default=None, of=Paint)
    errors: Errors = key("table", "How far this shop is usually out.", default=Errors(), of=Errors)
    drills: tuple[float, ...] = key("length", "Diameters of the drills and reamers there are.", default=None, many=True)
    pins: tuple[float, ...] = key("length", "Diameters of the pins in stock.", default=None, many=True)
    brake_tool: tuple[BrakeTool, ...] = key(
        "table", "Brakes; the first that can bend a part is used.", default=None, of=BrakeTool, many=True
    )
    stock: tuple[Stock, ...] = key("table", "Sheets and remnants there are.", default=None, of=Stock, many=True)
    cutting: Cutting = key("table", "How sheets are cut.", default=Cutting(), of=Cutting)
    rolls: Rolls | None = key("table", "Bending rolls; left out, nothing is said of them.", default=None, of=Rolls)
    material: tuple[Material, ...] = key("table", "Sheets used.", default=None, of=Material, many=True)
    metal: tuple[OwnMetal, ...] = key(
        "table", "Metals of this shop's own, with their figures.", default=None, of=OwnMetal, many=True
    )
    gate: tuple[Gate, ...] = key("table", "Drop-down gates.", default=None, of=Gate, many=True)
    flip_panel: tuple[FlipPanel, ...] = key("table", "Flip panels.", default=None, of=FlipPanel, many=True)
    pan: tuple[Pan, ...] = key("table", "Pans.", default=None, of=Pan, many=True)
    tray: tuple[Tray, ...] = key("table", "Trays and boxes.", default=None, of=Tray, many=True)
    section: tuple[Section, ...] = key("table", "Sections by their trade names.", default=None, of=Section, many=True)
    bent_part: tuple[BentPart, ...] = key("table", "Bent parts.", default=None, of=BentPart, many=True)
    curved_flange: tuple[CurvedFlange, ...] = key(
        "table", "Flanges turned along a curved edge.", default=None, of=CurvedFlange, many=True
    )
    developed: tuple[Developed, ...] = key(
        "table", "Parts rolled or folded from a developed pattern.", default=None, of=Developed, many=True
    )
    crown: tuple[Crown, ...] = key("table", "Crowned skins.", default=None, of=Crown, many=True)
    readings: tuple[Readings, ...] = key(
        "table", "Sizes that were read several times.", default=None, of=Readings, many=True
    )

    @property
    def sheet_paper(self) -> str:
        """Paper of the templates: 'A4' or 'Letter'."""
        return self.paper or ("A4" if self.units == "mm" else "Letter")

    @property
    def sheet_ruler(self) -> str:
        """Step of the ruler that marks are rounded to."""
        return self.ruler or ("0.5 mm" if self.units == "mm" else "1/32 in")

    def material_named(self, name: str) -> Material:
        """Return a material by its name; a job never refers to one that is missing."""
        return next(m for m in self.material if m.name == name)

    def pan_named(self, name: str) -> Pan:
        """Return a pan by its name; a job never refers to one that is missing."""
        return next(p for p in self.pan if p.name == name)

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        for what in ("material", "metal", "brake_tool", *PARTS):
            yield from repeated(what, getattr(self, what))
        if not any(getattr(self, what) for what in PARTS):
            yield "", f"- the job has nothing to make: add {listed([f'[[{what}]]' for what in PARTS], 'or')}"
        tabbed = {"section": self.section, "bent_part": self.bent_part}
        yield from joint_problems(tabbed, {"tray": self.tray, **tabbed})
        for i, several in enumerate(self.readings):
            if several.size in {r.size for r in self.readings[:i]}:
                yield "readings", f"names the size '{several.size[:80]}' twice"
            try:
                row_of(self, several.size)
            except InvalidInput as why:
                yield "readings", str(why)
        try:
            finest = units.ruler_step(self.sheet_ruler) < _FINEST_STEP
        except InvalidInput as why:
            yield "ruler", str(why).removeprefix("ruler ")
        else:
            if finest:
                yield "ruler", f"must be at least {_FINEST_STEP:g} mm: no mark is finer, got '{self.ruler}'"
        for what, refers, known in (
            ("pan", "material", self.material),
            ("tray", "material", self.material),
            ("section", "material", self.material),
            ("bent_part", "material", self.material),
            ("curved_flange", "material", self.material),
            ("developed", "material", self.material),
            ("flip_panel", "pan", self.pan),
        ):
            names = [k.name for k in known]
            for user in getattr(self, what):
                name = getattr(user, refers)
                if name not in names:
                    near = nearest(name, names) or f"; there is {listed(names, 'and') or 'none'}"
                    yield what, f"'{user.name}' names the {refers} '{name}', which is not in this job{near}"
