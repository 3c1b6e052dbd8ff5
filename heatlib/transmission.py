"""What panes let through by the sun's angle, what dirt and frames take, and what inside keeps of the rest.

All shares are of the sun that strikes the pane from outside, 0 to 1. A glazing's share at a right angle comes from the
table of glazings; this module tells how it falls when the sun strikes aslant.
"""

import math

import numpy as np

from heatlib import tables
from heatlib._check import broadcast, choice, number, single

__all__ = [
    "KINDS",
    "absorbed_shares",
    "angle_modifier",
    "diffuse_angle",
    "diffuse_transmittance",
    "fresnel_reflectance",
    "glazing_kind",
    "incidence_transmittance",
    "solar_property",
    "sun_through",
]

KINDS = {
    "glass": (1.526, 4.0, 0.003, 1),
    "two_panes": (1.526, 4.0, 0.003, 2),
    "three_panes": (1.526, 4.0, 0.003, 3),
    "acrylic": (1.49, 4.0, 0.003, 1),
    "two_acrylic": (1.49, 4.0, 0.002, 2),
    "polycarbonate": (1.586, 20.0, 0.003, 1),
    "twin_wall": (1.586, 20.0, 0.0005, 2),
    "triple_wall": (1.586, 20.0, 0.0005, 3),
    "film": (1.515, 165.0, 0.00015, 1),
    "two_films": (1.515, 165.0, 0.00015, 2),
}
"""Refractive index [–], extinction [1/m], thickness of one sheet [m] and number of sheets, for the fall with angle.

Glass is taken as clear as water-white glass, 4/m. Ordinary window glass has 25 to 33/m. At 60° it then falls 2 %
lower, two panes 4 %, and at 80° 6 % and 15 %; sums of a day fall by 1 to 3 %, and by less where the heat is counted
that warm glass hands in.
"""

LIGHT = ("beam", "circumsolar", "sky", "ground")
_GLAZINGS = {
    "glass_single": "glass",
    "glass_salvaged": "glass",
    "glass_double": "two_panes",
    "glass_double_low_e": "two_panes",
    "glass_triple": "three_panes",
    "glass_two_sashes": "two_panes",
    "glass_and_film": "two_panes",
    "glass_and_bubble_film": "three_panes",
    "acrylic_single": "acrylic",
    "acrylic_double": "two_acrylic",
    "polycarbonate_single": "polycarbonate",
    "polycarbonate_twin_4": "twin_wall",
    "polycarbonate_twin_6": "twin_wall",
    "polycarbonate_twin_8": "twin_wall",
    "polycarbonate_twin_10": "twin_wall",
    "polycarbonate_twin_16": "twin_wall",
    "polycarbonate_triple_16": "triple_wall",
    "polycarbonate_triple_25": "triple_wall",
    "film_single": "film",
    "film_single_infrared": "film",
    "film_double": "two_films",
    "film_double_infrared": "two_films",
    "fibreglass_single": "polycarbonate",
}


def _plain(value):
    return float(value) if np.ndim(value) == 0 else value


def _polarised(angle, index):
    """Reflectance of one surface for the two polarisations, and the cosine inside the sheet."""
    outside = np.cos(np.radians(angle))
    inside = np.sqrt(1 - (np.sin(np.radians(angle)) / index) ** 2)
    across = ((outside - index * inside) / (outside + index * inside)) ** 2
    along = ((inside - index * outside) / (inside + index * outside)) ** 2
    return across, along, inside


def fresnel_reflectance(angle, index=1.526):
    """Give the share of light that one surface of a clear sheet throws back.

    Parameters
    ----------
    angle : float or array_like
        Angle from straight on, 0 to 90 [°].
    index : float or array_like, optional
        Refractive index of the sheet, 1 to 3 [–].

    Returns
    -------
    float or numpy.ndarray
        Reflectance, mean of both polarisations [–].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    Fresnel's equations: 4 % straight on, 9 % at 60°, all of it at 90°.

    References
    ----------
    DUFFIEBECKMAN, equations 5.1.1 to 5.1.4 and example 5.1.1.

    Examples
    --------
    >>> round(fresnel_reflectance(0.0, 1.5), 3), round(fresnel_reflectance(90.0), 3)
    (0.04, 1.0)
    """
    theta = number("angle of the sun on the pane", angle, "°", 0, 90)
    n = number("refractive index", index, "", 1, 3)
    broadcast(angle=theta, index=n)
    across, along, _ = _polarised(theta, n)
    return _plain((across + along) / 2)


def incidence_transmittance(angle, index=1.526, extinction=4.0, thickness=0.003, covers=1):
    """Give the share of a sunbeam that goes through one or several sheets.

    Scattering in the sheet, coatings, and the webs of twin-wall sheets are neglected: webs pass light on, aslant.

    Parameters
    ----------
    angle : float or array_like
        Angle from straight on, 0 to 180; from 90 on the sun is behind and nothing passes [°].
    index : float or array_like, optional
        Refractive index: glass 1.526, acrylic 1.49, polycarbonate 1.586, between 1 and 3 [–].
    extinction : float or array_like, optional
        Extinction coefficient: clear glass 4, greenish window glass 30, between 0 and 5000 [1/m].
    thickness : float or array_like, optional
        Thickness of each sheet, 0 to 0.1 [m].
    covers : int, optional
        Number of equal sheets with air between, 1 to 5 [–].

    Returns
    -------
    float or numpy.ndarray
        Transmittance [–].

    Raises
    ------
    ValueError
        If a value is outside its range or the number of sheets is not whole.

    Notes
    -----
    Fresnel at each surface, Bouguer's absorption along the slanted way, all reflections between surfaces summed for
    each polarisation. One clear pane passes 91 % straight on, 83 % at 60°, 40 % at 80°.

    References
    ----------
    DUFFIEBECKMAN, equations 5.1.7, 5.2.2 and 5.3.1 to 5.3.3.

    Examples
    --------
    >>> round(incidence_transmittance(0.0, 1.526, 0.0), 2), incidence_transmittance(90.0)
    (0.92, 0.0)
    """
    theta = number("angle of the sun on the pane", angle, "°", 0, 180)
    n = number("refractive index", index, "", 1, 3)
    fade = number("extinction coefficient", extinction, "1/m", 0, 5000)
    path = number("thickness of the sheet", thickness, "m", 0, 0.1)
    count = single("number of sheets", covers, "", 1, 5)
    if count != int(count):
        raise ValueError(f"number of sheets must be one whole number from 1 to 5, but it is {covers}")
    broadcast(angle=theta, index=n, extinction=fade, thickness=path)
    front = np.minimum(theta, 90.0)
    across, along, inside = _polarised(front, n)
    passing = np.exp(-fade * path / inside)
    result = (_stack(across, passing, int(count)) + _stack(along, passing, int(count))) / 2
    return _plain(np.where(theta < 90, result, 0.0))


def _stack(reflected, passing, count):
    """Transmittance of ``count`` equal sheets, every reflection between and within them counted."""
    bounce = reflected * passing
    one = passing * (1 - reflected) ** 2 / np.maximum(1 - bounce**2, 1e-300)
    back = reflected + bounce * one
    through, mirror = one, back
    for _ in range(count - 1):
        gap = np.maximum(1 - mirror * back, 1e-300)
        through, mirror = through * one / gap, back + one**2 * mirror / gap
    return through


def angle_modifier(angle, kind):
    """Give how much of its straight-on share a kind of glazing still lets through when the sun strikes aslant.

    Parameters
    ----------
    angle : float or array_like
        Angle from straight on, 0 to 180 [°].
    kind : str
        Kind of glazing, a key of :data:`KINDS` such as ``"glass"`` or ``"twin_wall"`` [text].

    Returns
    -------
    float or numpy.ndarray
        Share of the straight-on transmittance [–].

    Raises
    ------
    ValueError
        If the angle is outside its range or the kind unknown.

    Notes
    -----
    Near 1 to 45°, 0.93 at 60° for one pane, then it falls fast.

    References
    ----------
    DUFFIEBECKMAN, section 5.3.

    Examples
    --------
    >>> angle_modifier(0.0, "twin_wall"), angle_modifier(120.0, "glass")
    (1.0, 0.0)
    """
    sheet = KINDS[choice("kind of glazing", kind, KINDS)]
    return incidence_transmittance(angle, *sheet) / incidence_transmittance(0.0, *sheet)


def glazing_kind(glazing):
    """Tell which kind of sheet stands for a row of the table of glazings when the sun strikes aslant.

    Parameters
    ----------
    glazing : str
        Row of the table of glazings, such as ``"polycarbonate_twin_8"`` [text].

    Returns
    -------
    str
        Key of :data:`KINDS` [text].

    Raises
    ------
    ValueError
        If the glazing is unknown; the nearest names are listed.

    Notes
    -----
    Every glazing of the table has one; fibreglass sheet is taken like solid polycarbonate.

    Examples
    --------
    >>> glazing_kind("polycarbonate_twin_8")
    'twin_wall'
    """
    return _GLAZINGS[choice("glazing", glazing, _GLAZINGS)]


def diffuse_angle(tilt, part="sky"):
    """Give the one angle that stands for all the directions from which sky or ground lights a pane.

    Parameters
    ----------
    tilt : float or array_like
        Tilt of the pane: 0 level, 90 a wall [°].
    part : str, optional
        ``"sky"`` or ``"ground"`` [text].

    Returns
    -------
    float or numpy.ndarray
        Angle from straight on [°].

    Raises
    ------
    ValueError
        If the tilt is outside 0 to 90 or the part unknown.

    Notes
    -----
    Sky: ``59.7 − 0.1388 β + 0.001497 β²``; ground: ``90 − 0.5788 β + 0.002693 β²``. About 57 to 60 for the sky.

    References
    ----------
    BRANDEMUEHL1980; DUFFIEBECKMAN, equations 5.4.1 and 5.4.2.

    Examples
    --------
    >>> diffuse_angle(0.0)
    59.7
    """
    slope = number("tilt of the pane", tilt, "°", 0, 90)
    if choice("part of the light", part, ("ground", "sky")) == "sky":
        return _plain(59.7 - 0.1388 * slope + 0.001497 * slope**2)
    return _plain(90 - 0.5788 * slope + 0.002693 * slope**2)


def diffuse_transmittance(index=1.526, extinction=4.0, thickness=0.003, covers=1):
    """Give the share of even light from the whole half-space that goes through: for light going out again.

    Parameters
    ----------
    index : float, optional
        Refractive index, between 1 and 3 [–].
    extinction : float, optional
        Extinction coefficient, between 0 and 5000 [1/m].
    thickness : float, optional
        Thickness of each sheet, between 0 and 0.1 [m].
    covers : int, optional
        Number of equal sheets, between 1 and 5 [–].

    Returns
    -------
    float
        Transmittance [–].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    The integral of transmittance · sin 2θ over all angles, by Gauss's rule. About 0.84 for one clear pane.

    References
    ----------
    DUFFIEBECKMAN, section 5.4.

    Examples
    --------
    >>> diffuse_transmittance(1.0, 0.0)
    1.0
    """
    nodes, weights = np.polynomial.legendre.leggauss(60)
    angles = (nodes + 1) * 45
    through = incidence_transmittance(angles, index, extinction, thickness, covers)
    return round(float(np.sum(weights * through * np.sin(np.radians(2 * angles))) * math.pi / 4), 9)


def solar_property(name, property_name):
    """Give a solar property of a ground, floor, wall or barrel: how much it takes up, or throws back.

    Parameters
    ----------
    name : str
        Row of the table of sunlit surfaces, such as ``"black_paint"`` or ``"snow_fresh"`` [text].
    property_name : str
        ``"solar_absorptance"`` or ``"solar_reflectance"`` [text].

    Returns
    -------
    float
        Share of the sun [–].

    Raises
    ------
    ValueError
        If the row or the property is unknown; the nearest names are listed.

    Notes
    -----
    What is not taken up is thrown back, so each row states one and the other follows.

    References
    ----------
    MEMORY, per row.

    Examples
    --------
    >>> solar_property("black_paint", "solar_absorptance") > 0.9
    True
    """
    choice("solar property", property_name, ("solar_absorptance", "solar_reflectance"))
    ((stated, entry),) = tables.properties("sunlit_surfaces", name).items()
    return entry.value if stated == property_name else round(1 - entry.value, 12)


def sun_through(pane, kind, solar_transmittance, tilt, dirt=0.0, frame=0.0):
    """Give the sun that gets inside through each square metre of glazed opening.

    Snow lying on the pane, and sun that strikes the sides of deep bars, are neglected.

    Parameters
    ----------
    pane : PaneSun
        What strikes the outside, from :func:`heatlib.sun.pane_irradiance` [W/m²].
    kind : str
        Kind of glazing for the fall with angle, a key of :data:`KINDS` [text].
    solar_transmittance : float
        Share let through straight on, 0 to 1, from the table of glazings [–].
    tilt : float or array_like
        Tilt of each pane, in the order of ``pane``, between 0 and 90 [°].
    dirt : float or array_like, optional
        Share that dirt takes, 0 to 1: washed by rain 0.05, a neglected roof 0.2 [–].
    frame : float or array_like, optional
        Share of the opening that bars and frames take, 0 to 1 [–].

    Returns
    -------
    float or numpy.ndarray
        Sun let in, positive inward [W/m²].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    Beam and bright sky at the sun's angle; sky and ground at the angles of :func:`diffuse_angle`.

    References
    ----------
    DUFFIEBECKMAN, section 5.4.

    Examples
    --------
    >>> from heatlib.sun import PaneSun
    >>> round(sun_through(PaneSun(500.0, 0.0, 0.0, 0.0, 0.0), "glass", 0.8, 90.0, frame=0.25), 6)
    300.0
    """
    through = number("solar transmittance", solar_transmittance, "", 0, 1)
    lost = number("share lost to dirt", dirt, "", 0, 1)
    bars = number("share of the frame", frame, "", 0, 1)
    slope = np.asarray(number("tilt of the pane", tilt, "°", 0, 90))
    light = {part: number(f"{part} light on the pane", getattr(pane, part), "W/m²", 0) for part in LIGHT}
    angle = number("angle of the sun on the pane", pane.incidence, "°", 0, 180)
    broadcast(**light, incidence=angle)
    broadcast(tilt=tilt, dirt=lost, frame=bars, solar_transmittance=through)
    moments = np.ndim(angle) - slope.ndim
    sky, ground = (
        np.reshape(angle_modifier(diffuse_angle(tilt, part), kind), slope.shape + (1,) * moments)
        for part in ("sky", "ground")
    )
    direct = (light["beam"] + light["circumsolar"]) * angle_modifier(angle, kind)
    return _plain(through * (1 - lost) * (1 - bars) * (direct + light["sky"] * sky + light["ground"] * ground))


def absorbed_shares(struck, absorptances, areas, pane_area, pane_transmittance):
    """Tell what becomes of sun that came in: how much each surface keeps, and how much goes out again.

    What a surface throws back is taken to spread evenly over all surfaces and panes, in proportion to their area;
    heat glow is another matter and counted in the balance of temperatures.

    Parameters
    ----------
    struck : array_like
        Share of the sun that first strikes each surface; the shares add up to 1, between 0 and 1 [–].
    absorptances : array_like
        Share each surface keeps: black barrel 0.95, damp soil 0.85, white wall 0.25 [–].
    areas : array_like
        Area of each surface [m²].
    pane_area : float
        Area of all panes, seen from inside, at least 0 [m²].
    pane_transmittance : float
        Share of even light that panes let out, from :func:`diffuse_transmittance` or so, between 0 and 1 [–].

    Returns
    -------
    tuple
        Shares that the surfaces keep, and the share that goes out again; they add up to 1 [–].

    Raises
    ------
    ValueError
        If a value is outside its range, the shares don't add up to 1, or nothing can take the light up.

    Notes
    -----
    Light that panes do not let out comes back. A dark room behind a small pane keeps nearly all; a white one under all
    glass a third.

    References
    ----------
    DUFFIEBECKMAN, section 5.11 on rooms as absorbers, the same for a small opening; here panes also light each other.

    Examples
    --------
    >>> kept, out = absorbed_shares([1.0], [1.0], [10.0], 5.0, 0.8)
    >>> float(kept[0]), out
    (1.0, 0.0)
    """
    first = number("share that first strikes each surface", struck, "", 0, 1)
    alpha = number("absorptance", absorptances, "", 0, 1)
    area = number("area of the surfaces", areas, "m²", above=0)
    opening = single("pane area", pane_area, "m²", 0)
    leaving = single("transmittance of the panes to the outside", pane_transmittance, "", 0, 1)
    broadcast(struck=first, absorptances=alpha, areas=area)
    first, alpha, area = np.broadcast_arrays(np.atleast_1d(first), alpha, area)
    if abs(first.sum() - 1) > 1e-9:
        raise ValueError(
            f"shares that first strike the surfaces must add up to 1, but they add up to {first.sum():.6g}"
        )
    sinks, drain = alpha * area, leaving * opening
    if sinks.sum() + drain == 0:
        raise ValueError(
            "absorptance must be above 0 somewhere, or a pane must let light out: nothing takes the light up"
        )
    loose = float(np.sum(first * (1 - alpha))) / (sinks.sum() + drain)
    return first * alpha + loose * sinks, float(loose * drain)
