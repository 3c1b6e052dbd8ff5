"""Sun where a grower has not measured it: from the cloud, or split into beam and diffuse from all sun on the level."""

import warnings
from functools import lru_cache

import numpy as np

from heatlib._check import ELEVATION, broadcast, number, single

__all__ = ["sun_from_cloud", "sun_from_global"]

_MINUTES = np.arange(0, 86400, 60).astype("timedelta64[s]")


def sun_from_cloud(times, latitude, cloud, *, longitude=0.0, utc_offset=None, elevation=0.0):
    """Estimate the sun from the share of the sky that is covered.

    Neglected: kind and height of the clouds; the turbidity is a monthly mean.

    Parameters
    ----------
    times : numpy.ndarray
        Local standard clock times [date and time].
    latitude : float
        North positive, −66 to 66 [°].
    cloud : float or array_like
        Share of the sky covered, 0–1 [–].
    longitude : float
        East positive [°].
    utc_offset : float, optional
        Clock minus UTC; left out, that of the longitude's own zone [h].
    elevation : float
        Above sea level [m].

    Returns
    -------
    tuple of numpy.ndarray
        Beam on a plane facing it, diffuse on the level, all on the level [W/m²].

    Raises
    ------
    ValueError
        If the place or the cloud is out of range.

    Notes
    -----
    Clear sky by pvlib (Ineichen); all sun on the level falls by ``1 − 0.75 N^3.4``, the beam by ``1 − N``; the rest is
    diffuse. A covered sky lets a quarter through.

    References
    ----------
    KASTEN1980, equation for the ratio of global radiation at cloud amount N (recalled, not retrieved).

    Examples
    --------
    >>> noon = np.array(["2024-06-21T12:00"], "datetime64[s]")
    >>> beam, diffuse, whole = sun_from_cloud(noon, 46.5, 1.0)
    >>> float(beam[0]), bool(diffuse[0] == whole[0])
    (0.0, True)
    """
    times = np.atleast_1d(np.asarray(times, dtype="datetime64[s]"))
    cloud = number("cloud", cloud, "", 0, 1)
    broadcast(times=times, cloud=cloud)
    site, utc = _site(times, checked_place(latitude, longitude, utc_offset, elevation))
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message=".*dayofyear.*")  # pvlib's own use of an old name in pandas
        clear = site.get_clearsky(utc, model="ineichen")
    height = site.get_solarposition(utc)["apparent_elevation"].to_numpy()
    level = np.maximum(np.sin(np.radians(height)), 0.0)
    beam = clear["dni"].to_numpy() * (1 - cloud)
    whole = clear["ghi"].to_numpy() * (1 - 0.75 * cloud**3.4)
    beam = np.minimum(beam, whole / np.maximum(level, 1e-9))  # no more than there is in all, and none by night
    return beam, whole - beam * level, whole


def sun_from_global(times, latitude, global_horizontal, *, longitude=0.0, utc_offset=None, elevation=0.0):
    """Split measured sun on the level into beam and diffuse.

    Neglected: clouds beside the sun that throw light; a grower's sensor that is not level.

    Parameters
    ----------
    times : numpy.ndarray
        Local standard clock times [date and time].
    latitude : float
        North positive, −66 to 66 [°].
    global_horizontal : float or array_like
        All sun on the level, 0 to 1500 [W/m²].
    longitude : float
        East positive [°].
    utc_offset : float, optional
        Clock minus UTC; left out, that of the longitude's own zone [h].
    elevation : float
        Above sea level [m].

    Returns
    -------
    tuple of numpy.ndarray
        Beam on a plane facing it, diffuse on the level, all on the level as given [W/m²].

    Raises
    ------
    ValueError
        If the place or the sun is out of range.

    Notes
    -----
    The share of diffuse follows from how much of the sun outside the atmosphere arrives (pvlib, Erbs). With the sun
    below 3° all of it is diffuse.

    References
    ----------
    ERBS1982, the correlation as pvlib carries it.

    Examples
    --------
    >>> noon = np.array(["2024-06-21T12:00"], "datetime64[s]")
    >>> beam, diffuse, whole = sun_from_global(noon, 46.5, 100.0)  # a dull day
    >>> bool(diffuse[0] > 95), float(whole[0])
    (True, 100.0)
    """
    from pvlib.irradiance import erbs

    times = np.atleast_1d(np.asarray(times, dtype="datetime64[s]"))
    whole = number("sun on the level", global_horizontal, "W/m²", 0, 1500)
    whole = np.broadcast_to(whole, broadcast(times=times, sun=whole)).astype(float)
    site, utc = _site(times, checked_place(latitude, longitude, utc_offset, elevation))
    zenith = site.get_solarposition(utc)["zenith"].to_numpy()
    beam = np.nan_to_num(erbs(whole, zenith, utc)["dni"])
    diffuse = whole - beam * np.cos(np.radians(zenith))
    return beam, diffuse, whole.copy()


def checked_place(latitude, longitude, utc_offset, elevation):
    """Return the place as checked numbers; the UTC offset left out is that of the longitude's own zone."""
    longitude = single("longitude", longitude, "°", -180, 180)
    offset = round(longitude / 15) if utc_offset is None else utc_offset
    return (
        single("latitude", latitude, "°", -66, 66),
        longitude,
        single("UTC offset", offset, "h", -12, 14),
        single("elevation", elevation, "m", *ELEVATION),
    )


def _site(times, place):
    """Return pvlib's location and the times as it wants them (UTC)."""
    import pandas as pd
    from pvlib.location import Location

    latitude, longitude, utc_offset, elevation = place
    utc = times - np.timedelta64(round(utc_offset * 3600), "s")
    return Location(latitude, longitude, altitude=elevation), pd.DatetimeIndex(utc, tz="UTC")


@lru_cache(maxsize=256)
def sunrise_and_noon(date, place):
    """Return the clock hours at which the sun rises (six before noon where it does not) and stands highest."""
    minutes = date.astype("datetime64[s]") + _MINUTES
    site, utc = _site(minutes, place)
    height = site.get_solarposition(utc)["elevation"].to_numpy()
    noon = int(np.argmax(height)) / 60
    rises = np.flatnonzero((height[1:] > 0) & (height[:-1] <= 0))
    return (rises[0] + 1) / 60 if len(rises) else (noon - 6) % 24, noon
