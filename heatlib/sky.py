"""Radiation in the heat: the coefficient between two surfaces, and how cold the sky looks at night.

The one place where °C becomes kelvin. A sky temperature is the temperature of a black ceiling that would send down as
much heat as the sky does; heat flows are positive from the surface to the sky.
"""

import numpy as np
from scipy.constants import Stefan_Boltzmann, zero_Celsius

from heatlib._check import TEMPERATURE, broadcast, number, plain

__all__ = [
    "cloudy_sky_temperature",
    "kelvin",
    "pair_emissivity",
    "radiation_coefficient",
    "sky_emissivity_berdahl_martin",
    "sky_loss",
    "sky_temperature_berdahl_martin",
    "sky_temperature_swinbank",
    "sky_view",
]


SKY = (-120.0, TEMPERATURE[1])
"""Range of the sky's temperature [°C]: under a clear dry sky it is 20 to 30 K colder than air of −45 °C."""


def kelvin(temperature):
    """Turn °C into kelvin.

    Nothing is neglected: 0 °C is 273.15 K by definition.

    Parameters
    ----------
    temperature : float or array_like
        Temperature, −60 to 90 [°C].

    Returns
    -------
    float or numpy.ndarray
        Absolute temperature [K].

    Raises
    ------
    ValueError
        If the temperature is outside the range.

    References
    ----------
    SI2019, definition of the degree Celsius.

    Examples
    --------
    >>> kelvin(0.0)
    273.15
    """
    return number("temperature", temperature, "°C", *TEMPERATURE) + zero_Celsius


def pair_emissivity(emissivity_1, emissivity_2):
    """Give the emissivity that counts between two wide parallel faces, such as the two panes of a double window.

    The edges are neglected.

    Parameters
    ----------
    emissivity_1, emissivity_2 : float or array_like
        Emissivity of each face, above 0 to 1 [–].

    Returns
    -------
    float or numpy.ndarray
        Effective emissivity, smaller than either [–].

    Raises
    ------
    ValueError
        If an emissivity is outside its range.

    Notes
    -----
    ``1/E = 1/ε₁ + 1/ε₂ − 1``. Two ordinary faces of 0.9 give 0.82, one bright foil of 0.05 makes it 0.05.

    References
    ----------
    ISO6946, annex for air layers; INCROPERA, equation 13.19.

    Examples
    --------
    >>> pair_emissivity(1.0, 0.5)
    0.5
    """
    broadcast(emissivity_1=emissivity_1, emissivity_2=emissivity_2)
    one, two = (number("emissivity", e, "", high=1, above=0) for e in (emissivity_1, emissivity_2))
    return 1 / (1 / one + 1 / two - 1)


def radiation_coefficient(t1, t2, emissivity=0.9):
    """Give the heat two surfaces exchange by radiation, for each square metre and each kelvin between them.

    Reflection back and forth is neglected: use :func:`pair_emissivity` for two faces near each other.

    Parameters
    ----------
    t1, t2 : float or array_like
        Temperatures of the two surfaces, −60 to 90 [°C].
    emissivity : float or array_like
        Emissivity that counts between them, 0 to 1; most things but bright metal have about 0.9 [–].

    Returns
    -------
    float or numpy.ndarray
        Coefficient, never negative [W/m²·K].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ``h = ε·σ·(T₁² + T₂²)·(T₁ + T₂)`` is exact: times the difference it gives ``ε·σ·(T₁⁴ − T₂⁴)``. Near freezing it is
    about 4.6 W/m²·K for two black faces.

    References
    ----------
    INCROPERA, equation 1.9; CENGEL, example 3.7.

    Examples
    --------
    >>> round(radiation_coefficient(0.0, 0.0, 1.0), 2)
    4.62
    """
    broadcast(t1=t1, t2=t2, emissivity=emissivity)
    return _coefficient(kelvin(t1), kelvin(t2), number("emissivity", emissivity, "", 0, 1))


def _coefficient(one, two, emissivity):
    """Radiation between faces of ``one`` and ``two`` kelvin [W/m²K]."""
    return emissivity * Stefan_Boltzmann * (one**2 + two**2) * (one + two)


def sky_kelvin(sky):
    """Turn the temperature of a sky into kelvin; it may be colder than any air [K]."""
    return number("sky temperature", sky, "°C", *SKY) + zero_Celsius


def sky_coefficient(surface, sky, emissivity):
    """The same as :func:`radiation_coefficient` for a sky as cold as skies are, and a face chilled by it [W/m²K]."""
    return _coefficient(sky_kelvin(surface), sky_kelvin(sky), number("emissivity", emissivity, "", 0, 1))


def sky_emissivity_berdahl_martin(dew_point, hour=0.0):
    """Give the share of a black ceiling's radiation that a clear sky sends down.

    Clouds, mountains and haze are neglected, and so is elevation: the sky over a high place is colder yet.

    Parameters
    ----------
    dew_point : float or array_like
        Dew point of the air near the ground, −60 to 34 [°C].
    hour : float or array_like
        Solar time, 0 to 24; 0 is midnight [h].

    Returns
    -------
    float or numpy.ndarray
        Emissivity of the clear sky, 0.6 to 1 [–].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ``ε = 0.711 + 0.56·(T_dp/100) + 0.73·(T_dp/100)² + 0.013·cos(2π·hour/24)``, fitted to dew points from −13 to 24 °C;
    a colder dew point stretches the fit. A humid night has 0.85, a dry one 0.65.

    References
    ----------
    BERDAHL1984.

    Examples
    --------
    >>> round(sky_emissivity_berdahl_martin(0.0, 6.0), 3)
    0.711
    """
    broadcast(dew_point=dew_point, hour=hour)
    dew = number("dew point", dew_point, "°C", TEMPERATURE[0], 34) / 100
    clock = number("hour", hour, "h", 0, 24)
    # the fit's parabola has its lowest point at −38 °C; below that it would turn up again
    dew = np.maximum(dew, -0.56 / (2 * 0.73))
    return plain(0.711 + 0.56 * dew + 0.73 * dew**2 + 0.013 * np.cos(2 * np.pi * clock / 24))


def sky_temperature_berdahl_martin(air, dew_point, hour=0.0):
    """Give the temperature of a clear sky from the air's temperature and dew point.

    Clouds, mountains and haze are neglected.

    Parameters
    ----------
    air : float or array_like
        Temperature of the air near the ground, −60 to 60 [°C].
    dew_point : float or array_like
        Its dew point, −60 to 34 and not above the air [°C].
    hour : float or array_like
        Solar time, 0 to 24; 0 is midnight [h].

    Returns
    -------
    float or numpy.ndarray
        Temperature of the sky, colder than the air [°C].

    Raises
    ------
    ValueError
        If an argument is outside its range or the dew point is above the air.

    Notes
    -----
    ``T_sky = T_air·ε^¼`` in kelvin. On a clear winter night the sky is 20 to 25 K colder than the air.
    Dew points end at 34 °C, as out of doors moister air is hardly met anywhere; the air inside a house may be moister,
    but it is not what the sky radiates through.

    References
    ----------
    BERDAHL1984; see :func:`sky_emissivity_berdahl_martin`.

    Examples
    --------
    >>> round(sky_temperature_berdahl_martin(0.0, -5.0), 1)
    -23.5
    """
    broadcast(air=air, dew_point=dew_point, hour=hour)
    warm = number("air temperature", air, "°C", TEMPERATURE[0], 60)
    dew = number("dew point", dew_point, "°C", TEMPERATURE[0], 34)
    if np.any(dew > warm + 1e-6):
        raise ValueError(f"dew point must not be above the air temperature, but {dew!r} °C is above {warm!r} °C")
    return kelvin(warm) * sky_emissivity_berdahl_martin(dew, hour) ** 0.25 - zero_Celsius


def sky_temperature_swinbank(air):
    """Give the temperature of a clear sky from the air's temperature alone.

    Humidity is neglected, so a dry night is colder and a humid one warmer than this.

    Parameters
    ----------
    air : float or array_like
        Temperature of the air near the ground, −60 to 45; above that the formula passes the air [°C].

    Returns
    -------
    float or numpy.ndarray
        Temperature of the sky [°C].

    Raises
    ------
    ValueError
        If the temperature is outside the range.

    Notes
    -----
    ``T_sky = 0.0552·T_air^1.5`` in kelvin: at 0 °C the sky is −24 °C.

    References
    ----------
    SWINBANK1963.

    Examples
    --------
    >>> round(sky_temperature_swinbank(0.0))
    -24
    """
    warm = number("air temperature", air, "°C", TEMPERATURE[0], 45)
    return 0.0552 * kelvin(warm) ** 1.5 - zero_Celsius


def cloudy_sky_temperature(air, clear_sky, cloud_cover):
    """Give the temperature of a sky that is partly covered by low cloud.

    The height of the clouds is neglected: high thin cloud warms the sky much less than this.

    Parameters
    ----------
    air : float or array_like
        Temperature of the air near the ground, −60 to 90 [°C].
    clear_sky : float or array_like
        Temperature of the clear sky, −120 to 90 [°C].
    cloud_cover : float or array_like
        Share of the sky that is covered, 0 to 1 [–].

    Returns
    -------
    float or numpy.ndarray
        Temperature of the sky, between ``clear_sky`` and ``air`` [°C].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    Emissivities are mixed by the covered share, and low cloud counts as black at the air's temperature:
    ``T⁴ = (1 − n)·T_clear⁴ + n·T_air⁴``. The real base of a low cloud is some kelvin colder.

    References
    ----------
    MARTINBERDAHL1984, with a cloud emissivity of one.

    Examples
    --------
    >>> cloudy_sky_temperature(0.0, -20.0, 1.0)
    0.0
    """
    broadcast(air=air, clear_sky=clear_sky, cloud_cover=cloud_cover)
    share = number("cloud cover", cloud_cover, "", 0, 1)
    fourth = (1 - share) * sky_kelvin(clear_sky) ** 4 + share * kelvin(air) ** 4
    return fourth**0.25 - zero_Celsius


def sky_view(tilt):
    """Give the share of the sky in what a surface sees of its surroundings.

    Trees, hills and neighbouring walls are neglected: they hide sky and so save heat.

    Parameters
    ----------
    tilt : float or array_like
        0 lies level and looks up, 90 is a wall, 180 looks down [°].

    Returns
    -------
    float or numpy.ndarray
        Share of sky; the rest is ground [–].

    Raises
    ------
    ValueError
        If the tilt is outside 0–180.

    Notes
    -----
    ``(1 + cos β)/2``: a level roof sees sky only, a wall half of each.

    References
    ----------
    DUFFIEBECKMAN, section on sky and ground view.

    Examples
    --------
    >>> sky_view(0.0)
    1.0
    """
    return plain((1 + np.cos(np.radians(number("tilt", tilt, "°", 0, 180)))) / 2)


def sky_loss(surface, air, sky, tilt=0.0, emissivity=0.9):
    """Give the heat a surface radiates outward: to the sky it sees, and to a ground as warm as the air.

    Parameters
    ----------
    surface : float or array_like
        Temperature of the outer face, −60 to 90 [°C].
    air : float or array_like
        Temperature of the outside air, −60 to 90 [°C].
    sky : float or array_like
        Temperature of the sky, −120 to 90 [°C].
    tilt : float or array_like
        0 lies level and looks up, 90 is a wall, between 0 and 180 [°].
    emissivity : float or array_like
        Emissivity of the face, 0 to 1 [–].

    Returns
    -------
    float or numpy.ndarray
        Heat flow, positive when the surface loses it [W/m²].

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ``q = ε·σ·(T_s⁴ − F·T_sky⁴ − (1 − F)·T_air⁴)``. A level roof at freezing under a clear sky loses about 90 W/m².

    References
    ----------
    INCROPERA, equation 1.7; OPENSTAX, worked example on radiation from a roof.

    Examples
    --------
    >>> sky_loss(5.0, 5.0, 5.0)
    0.0
    """
    broadcast(surface=surface, air=air, sky=sky, tilt=tilt, emissivity=emissivity)
    view = sky_view(tilt)
    to_sky = (kelvin(surface) - sky_kelvin(sky)) * sky_coefficient(surface, sky, emissivity)
    to_ground = radiation_coefficient(surface, air, emissivity) * (kelvin(surface) - kelvin(air))
    return view * to_sky + (1 - view) * to_ground
