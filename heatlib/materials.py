"""Materials by name, with their spread, and a way to carry low, typical and high values through any calculation."""

from dataclasses import dataclass
from itertools import product

import numpy as np

from heatlib._check import plain, single
from heatlib.tables import Entry, entry, keys, properties

__all__ = ["Material", "Spread", "material", "material_names", "spread"]


@dataclass(frozen=True)
class Spread:
    """A result with its spread: the lowest, the typical and the highest value."""

    low: float
    value: float
    high: float


@dataclass(frozen=True)
class Material:
    """One material: typical conductivity [W/m·K], density [kg/m³] and specific heat [J/kg·K], with the source."""

    name: str
    conductivity: float
    density: float
    specific_heat: float
    source: str
    note: str

    @property
    def diffusivity(self):
        """How fast a change of temperature spreads [m²/s]."""
        return self.conductivity / (self.density * self.specific_heat)

    def spread(self, property_name):
        """Low, typical and high value of one property [unit of the property]."""
        row = entry("materials", self.name, property_name)
        return Spread(row.low, row.value, row.high)


def material_names():
    """List the names of all materials, in the order of the table.

    Returns
    -------
    tuple of str
        The names [text].

    Examples
    --------
    >>> "gravel" in material_names()
    True
    """
    return keys("materials")


def material(name):
    """Look a material up; an unknown name is refused, and the nearest names are shown.

    Change with temperature and moisture is neglected, except that wet and dry soil are separate rows.

    Parameters
    ----------
    name : str
        Name exactly as in the table [text].

    Returns
    -------
    Material
        Typical values with the source of the conductivity [W/m·K, kg/m³, J/kg·K].

    Raises
    ------
    ValueError
        If the name is unknown.

    Notes
    -----
    Insulation conducts 0.02 to 0.05 W/m·K, wood a good 0.1, stone 2 to 3, metals 15 to 400.

    References
    ----------
    The source column of each row.

    Examples
    --------
    >>> material("eps").conductivity < 0.05
    True
    """
    rows = properties("materials", name)
    typical = {key: rows[key].value for key in ("conductivity", "density", "specific_heat")}
    return Material(name, **typical, source=rows["conductivity"].source, note=rows["conductivity"].note)


def spread(function, **arguments):
    """Work a function out at the low, typical and high values of its arguments.

    That all arguments are at their worst at once is unlikely, so the spread is on the wide side.

    Parameters
    ----------
    function : callable
        Function that rises or falls steadily with each spread argument [any].
    **arguments : float, tuple, Entry or Spread
        Plain values are passed on; an ``Entry``, a ``Spread`` or three numbers ``(low, value, high)`` are spread
        [as the function says].

    Returns
    -------
    Spread
        The lowest, typical and highest result [unit of the function].

    Raises
    ------
    ValueError
        If three numbers do not rise from low to high.

    Notes
    -----
    Every combination of ends is tried: exact where the function is steady in each argument.

    References
    ----------
    Closed form: interval arithmetic on the corners.

    Examples
    --------
    >>> spread(lambda a, b: a - b, a=(1.0, 2.0, 3.0), b=1.0)
    Spread(low=0.0, value=1.0, high=2.0)
    """
    ranges = {name: _range(name, value) for name, value in arguments.items()}
    typical = function(**{name: points[len(points) // 2] for name, points in ranges.items()})
    ends = [points[:: len(points) - 1] if len(points) > 1 else points for points in ranges.values()]
    corners = [function(**dict(zip(ranges, corner))) for corner in product(*ends)]
    # the typical result belongs to the spread even where the function bends
    return Spread(plain(np.min([typical, *corners], axis=0)), typical, plain(np.max([typical, *corners], axis=0)))


def _range(name, value):
    if isinstance(value, Entry | Spread):
        value = (value.low, value.value, value.high)
    if not (isinstance(value, tuple) and len(value) == 3):
        return (value,)
    points = tuple(single(name, v, "") for v in value)
    if not points[0] <= points[1] <= points[2]:
        raise ValueError(f"{name} must rise from low over typical to high, but it is {value}")
    return points
