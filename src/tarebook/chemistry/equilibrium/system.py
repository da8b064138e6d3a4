"""A system of acids and strong ions, and the solutions that come of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from tarebook.chemistry.equilibrium.acids import Acid, StrongIon, UnknownSubstanceError
from tarebook.chemistry.equilibrium.uncertainty import u_of_dissolved, u_of_ph
from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError


@dataclass(frozen=True, slots=True, kw_only=True)
class System:
    """What may be in the solution.

    Attributes
    ----------
    acids : tuple of Acid
        Weak acids and bases. Give ``"carbonic"`` its place here if there is to be any CO2.
    strong_ions : tuple of StrongIon
        Ions that only carry charge.
    species : tuple of str
        Names of all dissolved species, in the order of the rows of the molalities.
    rows : mapping of str to int
        Row of each species.

    Raises
    ------
    OutOfRangeError
        If two substances share a name.
    """

    acids: tuple[Acid, ...]
    strong_ions: tuple[StrongIon, ...] = ()
    species: tuple[str, ...] = field(init=False, repr=False, compare=False)
    rows: Mapping[str, int] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        names = [*(a.name for a in self.acids), *(ion.name for ion in self.strong_ions)]
        twice = len(names) - len(set(names))
        if twice:
            raise OutOfRangeError("substances with a name used before", twice, "1", "{0}")
        forms = [name for acid in self.acids for name in acid.species]
        species = ("H+", "OH-", *forms, *(ion.name for ion in self.strong_ions))
        object.__setattr__(self, "species", species)
        # Of a name that two acids share the first one counts.
        rows = {name: row for row, name in reversed([*enumerate(species)])}
        object.__setattr__(self, "rows", rows)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Equilibrium:
    """Solutions at equilibrium; all arrays but `molality` have the shape of the inputs together.

    Attributes
    ----------
    species : tuple of str
        Names of the species.
    molality : ndarray, shape (n_species, ...), [mol/kg]
        Molality of each species, per kg of the water that is there at equilibrium.
    ph : ndarray, [1]
        -log10 of the activity of H+.
    ionic_strength : ndarray, [mol/kg]
        Half the sum of z**2 m.
    water_activity : ndarray, [1]
        Activity of water.
    dissolved : ndarray, [mol/kg]
        Carbonic acid in solution in all its forms.
    released : ndarray, [mol/kg]
        Total given less what is dissolved; zero if closed.
    pressure : ndarray, [Pa]
        Partial pressure of CO2 with which the solution is in equilibrium.
    extrapolated : ndarray of bool
        Where the ionic strength is beyond the reach of the activity model.
    system : System
        What the solutions are of.
    held_by_gas : ndarray of bool
        Where the pressure, not a given total, limits the carbon.
    from_solids : mapping of str to ndarray, [mol/kg]
        By formula, what has dissolved of solids that were left over; it is in the molalities and,
        with its carbon, in what is dissolved and released.
    """

    species: tuple[str, ...]
    molality: FloatArray
    ph: FloatArray
    ionic_strength: FloatArray
    water_activity: FloatArray
    dissolved: FloatArray
    released: FloatArray
    pressure: FloatArray
    extrapolated: BoolArray
    system: System
    held_by_gas: BoolArray
    from_solids: Mapping[str, FloatArray] = field(default_factory=dict)

    @property
    def u_ph(self) -> FloatArray:
        """Standard uncertainty of pH that the activity model leaves, [1]; see `u_of_ph`."""
        return u_of_ph(self, self.system.acids, self.system.strong_ions)

    @property
    def u_dissolved(self) -> FloatArray:
        """Relative standard uncertainty of `dissolved` from the activity model, [1]."""
        return u_of_dissolved(self, self.system.acids, self.system.strong_ions)

    def of(self, name: str) -> FloatArray:
        """Return the molality of one species.

        Parameters
        ----------
        name : str
            One of `species`.

        Returns
        -------
        ndarray, [mol/kg]
            Its molality.

        Raises
        ------
        UnknownSubstanceError
            If there is no such species.
        """
        if name not in self.system.rows:
            raise UnknownSubstanceError(name, self.species)
        molality: FloatArray = self.molality[self.system.rows[name]]
        return molality
