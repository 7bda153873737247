"""The shop's own metals, for what the tables of `foldswing.metals` do not have."""

from __future__ import annotations

from collections.abc import Iterator

from foldswing import metals
from foldswing.job.keys import key, keyed


@keyed
class OwnMetal:
    """A metal of the shop's own, or one whose figures stand on its mill sheet: it wins over the tables."""

    name: str = key("text", "What it is called, with its temper, as [[material]] names it.")
    source: str | None = key("text", "Where the figures come from, such as the mill sheet.", default=None)
    density: float | None = key("number", "Density in kg/m3.", default=None, most=25_000)
    modulus: float | None = key("number", "Modulus of elasticity in GPa.", default=None, most=1_000)
    yield_strength: float | None = key("number", "Yield strength in MPa, the upper one.", default=None, most=5_000)
    tensile_strength: float | None = key("number", "Tensile strength in MPa, the upper one.", default=None, most=5_000)
    elongation: float | None = key("number", "Elongation at break in percent.", default=None, most=100)
    least_radius: float | None = key(
        "number", "Least inside radius as a multiple of the thickness.", default=None, zero=True, most=100
    )
    least_radius_along: float | None = key(
        "number", "The same where the bend line runs along the grain.", default=None, zero=True, most=100
    )

    def check(self) -> Iterator[tuple[str, str]]:
        """Yield what contradicts itself."""
        if self.least_radius_along is not None and self.least_radius is None:
            yield "least_radius_along", "needs least_radius, across the grain, beside it"
        if self.yield_strength and self.tensile_strength and self.yield_strength > self.tensile_strength:
            yield "yield_strength", "is above the tensile strength: a metal yields before it breaks"

    @property
    def metal(self) -> metals.Metal:
        """The same as the tables hold it."""
        told = self.source or "this shop's figure"
        radii: tuple[metals.RadiusTable, ...] = ()
        if self.least_radius is not None:
            row = metals.RadiusRow(float("inf"), 0.0, self.least_radius, self.least_radius_along)
            radii = (metals.RadiusTable(told, "as given", (row,)),)
        return metals.Metal(
            self.name,
            density=self.density,
            modulus=self.modulus,
            yield_most=self.yield_strength,
            ultimate_most=self.tensile_strength,
            elongation=self.elongation,
            radii=radii,
            sources=(told,),
        )
