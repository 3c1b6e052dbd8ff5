"""Where the sun stands and what it gives: a clear day, cloud, and each pane by direction and tilt.

Directions are degrees clockwise from north (east 90, south 180, west 270); tilt is 0 for a level pane, 90 for a wall.
Times are local standard time, never summer time, as ``numpy.datetime64``; ``utc_offset`` tells how many hours that is
ahead of UTC (west of Greenwich negative). All irradiances are instantaneous, in W/m², and never negative. What a pane
lets through is in :mod:`heatlib.transmission`, what stands in the way in :mod:`heatlib.shade`.
"""

import math
from dataclasses import dataclass

import numpy as np

from heatlib._check import ELEVATION, TEMPERATURE, broadcast, choice, number, shortened, single

__all__ = [
    "PaneSun",
    "Sky",
    "SunPosition",
    "clear_day",
    "clear_sky",
    "cloudy_sky",
    "day_times",
    "extraterrestrial",
    "incidence_angle",
    "linke_turbidity",
    "pane_irradiance",
    "sun_position",
]

DELTA_T = 69.2
"""Terrestrial time minus universal time in the 2020s: ten seconds more or less move the sun by 0.0001° [s]."""
DIFFUSE_MODELS = ("hay-davies", "isotropic")


@dataclass(frozen=True)
class SunPosition:
    """Where the sun stands, the bending of light by the air included."""

    zenith: float | np.ndarray
    """Angle from straight up; over 90 the sun is down [°]."""
    azimuth: float | np.ndarray
    """Direction, clockwise from north [°]."""

    @property
    def elevation(self):
        """Angle over the level horizon; negative when the sun is down [°]."""
        return 90 - self.zenith


@dataclass(frozen=True)
class Sky:
    """What comes from sun and sky on open level ground."""

    beam_normal: float | np.ndarray
    """Direct sun on a plane that faces it [W/m²]."""
    diffuse_horizontal: float | np.ndarray
    """Light of the whole sky, without the sun's beam [W/m²]."""
    global_horizontal: float | np.ndarray
    """All of it on the level [W/m²]."""
    extraterrestrial: float | np.ndarray = 1361.0
    """Sun outside the atmosphere, on a plane that faces it [W/m²]."""


@dataclass(frozen=True)
class PaneSun:
    """What strikes one square metre of a pane from outside, by where it comes from."""

    beam: float | np.ndarray
    """Direct sun [W/m²]."""
    circumsolar: float | np.ndarray
    """Bright sky close round the sun; it strikes at the sun's angle [W/m²]."""
    sky: float | np.ndarray
    """The rest of the sky [W/m²]."""
    ground: float | np.ndarray
    """Light thrown up by ground or snow [W/m²]."""
    incidence: float | np.ndarray
    """Angle of the sun from straight onto the pane; over 90 it shines on the back [°]."""

    @property
    def total(self):
        """All parts together [W/m²]."""
        return self.beam + self.circumsolar + self.sky + self.ground


def _plain(value):
    return float(value) if np.ndim(value) == 0 else value


def _time(value):
    array = _any_array(value)
    if array.dtype.kind != "M" or np.isnat(array).any():
        raise ValueError(f"time must be dates with a clock time (numpy.datetime64), but it is {shortened(value)}")
    return array.astype("datetime64[ms]")


def _any_array(value):
    """Take lists of several lengths for objects, so that they are refused like any other thing that is no time."""
    try:
        return np.asarray(value)
    except ValueError:
        return np.empty(0, dtype=object)


def _place(latitude, longitude, utc_offset, elevation):
    return (
        single("latitude", latitude, "° north", -90, 90),
        single("longitude", longitude, "° east", -180, 180),
        single("UTC offset", utc_offset, "h", -12, 14),
        single("elevation above sea level", elevation, "m", *ELEVATION),
    )


def _day_of_year(time):
    return (time.astype("datetime64[D]") - time.astype("datetime64[Y]")).astype(float) + 1


def day_times(date, step=600.0):
    """Make the clock times of one day, from midnight to midnight, both included.

    Parameters
    ----------
    date : numpy.datetime64
        The day [date].
    step : float, optional
        Time between two values; must divide a day evenly, 1 s to 6 h [s].

    Returns
    -------
    numpy.ndarray
        Local standard times [date and time].

    Raises
    ------
    ValueError
        If the date is none or the step does not divide a day.

    Examples
    --------
    >>> len(day_times(np.datetime64("2023-06-21"), 3600.0))
    25
    """
    day = _time(date).astype("datetime64[D]")
    seconds = single("time step", step, "s", 1, 21600)
    count = 86400 / seconds
    if count != int(count):
        raise ValueError(f"time step must divide a day of 86400 s evenly, but it is {seconds:g} s")
    return day + (np.arange(int(count) + 1) * seconds * 1000).astype("timedelta64[ms]")


def sun_position(time, latitude, longitude, utc_offset, elevation=0.0, temperature=12.0):
    """Tell where the sun stands.

    Weather's effect on the bending of light near the horizon is neglected beyond temperature and mean pressure.

    Parameters
    ----------
    time : numpy.datetime64 or array_like of it
        Local standard time [date and time].
    latitude : float
        North positive, −90 to 90 [°].
    longitude : float
        East positive, −180 to 180 [°].
    utc_offset : float
        Local standard time minus UTC, −12 to 14 [h].
    elevation : float, optional
        Height above sea level, −290 to 3000 [m].
    temperature : float, optional
        Air temperature, for the bending of light, −60 to 90 [°C].

    Returns
    -------
    SunPosition
        Zenith angle and azimuth, clockwise from north [°].

    Raises
    ------
    ValueError
        If a value is outside its range or the time is no date.

    Notes
    -----
    At noon in midwinter the sun stands ``66.5 − latitude`` degrees high: only 20 at 46.5° N.

    References
    ----------
    NRELSPA, through PVLIB.

    Examples
    --------
    >>> noon = sun_position(np.datetime64("2023-12-21T12:00"), 45.0, 0.0, 0.0)
    >>> round(noon.elevation), round(noon.azimuth)
    (22, 181)
    """
    from pvlib import atmosphere, spa

    lat, lon, offset, height = _place(latitude, longitude, utc_offset, elevation)
    warmth = single("air temperature", temperature, "°C", *TEMPERATURE)
    moments = _time(time)
    unix = moments.astype(float).ravel() / 1000 - offset * 3600
    pressure = atmosphere.alt2pres(height) / 100
    found = spa.solar_position_numpy(unix, lat, lon, height, pressure, warmth, DELTA_T, 0.5667, 1)
    return SunPosition(*(_plain(angle.reshape(moments.shape)) for angle in (found[0], found[4])))


def extraterrestrial(time):
    """Give the sun's strength outside the atmosphere, which swings with our distance from it.

    Parameters
    ----------
    time : numpy.datetime64 or array_like of it
        Date [date and time].

    Returns
    -------
    float or numpy.ndarray
        Irradiance on a plane that faces the sun [W/m²].

    Raises
    ------
    ValueError
        If the time is no date.

    Notes
    -----
    Spencer's series on a solar constant of 1366.1; about 1413 in January and 1321 in July.

    References
    ----------
    PVLIB, get_extra_radiation.

    Examples
    --------
    >>> extraterrestrial(np.datetime64("2023-01-03")) > 1400
    True
    """
    from pvlib.irradiance import get_extra_radiation

    day = _day_of_year(_time(time))
    return _plain(np.asarray(get_extra_radiation(np.atleast_1d(day))).reshape(np.shape(day)))


def linke_turbidity(latitude, longitude, month):
    """Give the usual haze of a place in a month, from a world map.

    Single days differ much: a winter's day after snowfall may be 2, a sultry one 5.

    Parameters
    ----------
    latitude : float
        North positive, −90 to 90 [°].
    longitude : float
        East positive, −180 to 180 [°].
    month : int
        Month of the year, 1 to 12 [–].

    Returns
    -------
    float
        Linke turbidity: how many clean dry atmospheres would dim the beam as much [–].

    Raises
    ------
    ValueError
        If a value is outside its range or the month is no whole number.

    References
    ----------
    SODA, through PVLIB.

    Examples
    --------
    >>> 1.5 < linke_turbidity(46.5, -90.0, 1) < 4
    True
    """
    import pandas
    from pvlib.clearsky import lookup_linke_turbidity

    lat, lon = _place(latitude, longitude, 0, 0)[:2]
    which = single("month", month, "", 1, 12)
    if which != int(which):
        raise ValueError(f"month must be a whole number from 1 to 12, but it is {which:g}")
    moment = pandas.DatetimeIndex([f"2023-{int(which):02d}-15"])
    return float(lookup_linke_turbidity(moment, lat, lon, interp_turbidity=False).iloc[0])


def clear_sky(position, turbidity=3.0, elevation=0.0, outside=1361.0):
    """Give what sun and sky send under a cloudless sky.

    Parameters
    ----------
    position : SunPosition
        Where the sun stands [°].
    turbidity : float or array_like, optional
        Linke turbidity: 2 very clear and cold, 3 clear, 5 sultry; 1 to 10 [–].
    elevation : float, optional
        Height above sea level, −290 to 3000 [m].
    outside : float or array_like, optional
        Sun outside the atmosphere, 1200 to 1500, from :func:`extraterrestrial` [W/m²].

    Returns
    -------
    Sky
        Beam, diffuse and global irradiance [W/m²].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    About 850 beam and 70 diffuse at noon in midwinter at 45° N. Nothing is counted with the sun below the horizon.

    References
    ----------
    INEICHEN2002, through PVLIB.

    Examples
    --------
    >>> clear_sky(SunPosition(95.0, 180.0)).global_horizontal
    0.0
    """
    from pvlib.atmosphere import alt2pres, get_absolute_airmass, get_relative_airmass
    from pvlib.clearsky import ineichen

    zenith = number("zenith angle of the sun", position.zenith, "°", 0, 180)
    haze = number("Linke turbidity", turbidity, "", 1, 10)
    height = number("elevation above sea level", elevation, "m", *ELEVATION)
    strength = number("sun outside the atmosphere", outside, "W/m²", 1200, 1500)
    broadcast(zenith=zenith, turbidity=haze, elevation=height, outside=strength)
    mass = get_absolute_airmass(get_relative_airmass(np.minimum(zenith, 90.0)), alt2pres(height))
    found = ineichen(np.minimum(zenith, 90.0), mass, haze, height, strength)
    parts = (np.where(zenith < 90, found[name], 0.0) for name in ("dni", "dhi", "ghi"))
    return Sky(*(_plain(part) for part in parts), strength)


def cloudy_sky(clear, position, cloud):
    """Give what is left of a clear day's sun under cloud.

    The kind of cloud is neglected: thin high cloud dims much less, a rain cloud more than this mean.

    Parameters
    ----------
    clear : Sky
        The clear sky, from :func:`clear_sky` [W/m²].
    position : SunPosition
        Where the sun stands [°].
    cloud : float or array_like
        Share of the sky covered, 0 clear to 1 overcast [–].

    Returns
    -------
    Sky
        Beam, diffuse and global irradiance [W/m²].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    Global = clear · (1 − 0.75·N^3.4): an overcast sky lets a quarter through. The diffuse share is ``s + (1 − s)·N²``
    with the share ``s`` of the clear sky; the published relation has ``s = 0.3``.

    References
    ----------
    KASTEN1980.

    Examples
    --------
    >>> cloudy_sky(Sky(800.0, 100.0, 500.0), SunPosition(60.0, 180.0), 1.0).global_horizontal
    125.0
    """
    cover = number("cloud cover (0 clear to 1 overcast)", cloud, "", 0, 1)
    zenith = number("zenith angle of the sun", position.zenith, "°", 0, 180)
    full = number("global irradiance", clear.global_horizontal, "W/m²", 0, 1600)
    diffuse = number("diffuse irradiance", clear.diffuse_horizontal, "W/m²", 0, 1600)
    direct = number("beam irradiance", clear.beam_normal, "W/m²", 0, 1600)
    broadcast(cloud=cover, zenith=zenith, **{"global": full}, diffuse=diffuse, beam=direct)
    left = full * (1 - 0.75 * cover**3.4)
    share = diffuse / np.where(full > 0, full, 1.0)
    scattered = left * (share + (1 - share) * cover**2)
    # the beam goes with what is left of its own level part, so a low sun does not blow it up
    level = full - diffuse
    beam = np.where(level > 1e-9, (left - scattered) / np.where(level > 1e-9, level, 1.0), 0.0)
    parts = (direct * beam, scattered, left)
    return Sky(*(_plain(part) for part in parts), clear.extraterrestrial)


def clear_day(date, latitude, longitude, utc_offset, turbidity=None, elevation=0.0, step=600.0):
    """Give times, sun and sky of one cloudless day.

    Parameters
    ----------
    date : numpy.datetime64
        The day [date].
    latitude : float
        North positive, −90 to 90 [°].
    longitude : float
        East positive, −180 to 180 [°].
    utc_offset : float
        Local standard time minus UTC, −12 to 14 [h].
    turbidity : float, optional
        Linke turbidity, 1 to 10; left out, the map of :func:`linke_turbidity` is read [–].
    elevation : float, optional
        Height above sea level, −290 to 3000 [m].
    step : float, optional
        Time between two values; must divide a day evenly, between 1 and 21600 [s].

    Returns
    -------
    tuple
        Times, :class:`SunPosition` and :class:`Sky`, midnight to midnight [date and time, °, W/m²].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    On 21 December at 45° N the level ground gets about 1.7 kWh/m² and a south wall 4; on 21 June 8.4 and 3.2.

    References
    ----------
    INEICHEN2002; NRELSPA; both through PVLIB.

    Examples
    --------
    >>> times, sun, sky = clear_day(np.datetime64("2023-12-21"), 45.0, 0.0, 0.0, 3.0, step=3600.0)
    >>> round(sky.global_horizontal[0]), 300 < round(sky.global_horizontal[12]) < 400
    (0, True)
    """
    times = day_times(date, step)
    if turbidity is None:
        turbidity = linke_turbidity(latitude, longitude, int(times[0].astype("datetime64[M]").astype(int) % 12 + 1))
    position = sun_position(times, latitude, longitude, utc_offset, elevation)
    return times, position, clear_sky(position, turbidity, elevation, extraterrestrial(times))


def incidence_angle(position, facing, tilt):
    """Give the angle at which the sun strikes a pane.

    Parameters
    ----------
    position : SunPosition
        Where the sun stands [°].
    facing : float or array_like
        Direction the outside of the pane looks to, clockwise from north, 0 to 360 [°].
    tilt : float or array_like
        0 for a level pane, 90 for a wall, up to 180 [°].

    Returns
    -------
    float or numpy.ndarray
        Angle from straight on; over 90 the sun is behind. Panes come first, times last [°].

    Raises
    ------
    ValueError
        If a value is outside its range.

    References
    ----------
    DUFFIEBECKMAN, section 1.6.

    Examples
    --------
    >>> round(incidence_angle(SunPosition(70.0, 180.0), 180.0, 90.0), 6)
    20.0
    """
    from pvlib.irradiance import aoi_projection

    directions, slopes, zenith, azimuth = _panes(position, facing, tilt)
    shine = aoi_projection(slopes, directions, zenith, azimuth)
    return _plain(np.degrees(np.arccos(shine)))  # pvlib has cut round-off beyond −1 and 1


def _panes(position, facing, tilt):
    """Give panes and sun axes of their own: panes first, times last."""
    zenith = number("zenith angle of the sun", position.zenith, "°", 0, 180)
    azimuth = number("azimuth of the sun", position.azimuth, "°", 0, 360)
    directions = number("direction of the pane", facing, "° from north", 0, 360)
    slopes = number("tilt of the pane", tilt, "°", 0, 180)
    shape = broadcast(facing=directions, tilt=slopes) + (1,) * len(broadcast(zenith=zenith, azimuth=azimuth))
    directions, slopes = (
        np.broadcast_to(x, np.broadcast_shapes(np.shape(directions), np.shape(slopes))) for x in (directions, slopes)
    )
    return directions.reshape(shape), slopes.reshape(shape), zenith, azimuth


def pane_irradiance(position, sky, facing, tilt, albedo=0.2, diffuse="hay-davies"):
    """Give what sun, sky and ground send to the outside of panes, at one moment or a whole year's.

    Shade is neglected here (see :mod:`heatlib.shade`), and the ground in front is taken as level, wide and sunlit.

    Parameters
    ----------
    position : SunPosition
        Where the sun stands, one moment or a list [°].
    sky : Sky
        What comes from sun and sky, at the same moments [W/m²].
    facing : float or array_like
        Direction the outside of each pane looks to, clockwise from north, 0 to 360 [°].
    tilt : float or array_like
        Tilt of each pane: 0 level, 90 a wall, up to 180 [°].
    albedo : float or array_like, optional
        Share of the light the ground throws back, 0 to 1, one number or one for each moment; grass 0.2, snow 0.5 to
        0.85 [–].
    diffuse : str, optional
        ``"hay-davies"`` (part of the sky's light comes from near the sun) or ``"isotropic"`` (evenly) [text].

    Returns
    -------
    PaneSun
        Parts and incidence angle; an array has the panes first and the moments last [W/m², °].

    Raises
    ------
    ValueError
        If a value is outside its range.

    Notes
    -----
    A wall sees half the sky and half the ground; with snow the ground gives it half of 0.7 times what the level gets.
    A year of hours on eight panes takes some hundredths of a second.

    References
    ----------
    HAYDAVIES1980, through PVLIB; DUFFIEBECKMAN, section 2.15.

    Examples
    --------
    >>> wall = pane_irradiance(SunPosition(60.0, 180.0), Sky(800.0, 100.0, 500.0), 180.0, 90.0, diffuse="isotropic")
    >>> round(wall.beam), round(wall.sky), round(wall.ground)
    (693, 50, 50)
    """
    choice("model of the sky's light", diffuse, DIFFUSE_MODELS)
    back = number("albedo", albedo, "", 0, 1)
    beam, scattered, level, outside = _sky_values(sky)
    angle = incidence_angle(position, facing, tilt)
    slopes, zenith = _panes(position, facing, tilt)[1:3]
    broadcast(zenith=angle, beam=beam, diffuse=scattered, **{"global": level}, albedo=back, outside=outside)
    shine = np.where((angle < 90) & (np.asarray(zenith) < 90), np.cos(np.radians(angle)), 0.0)
    around, rest = _sky_light(diffuse, scattered, beam / outside, shine, zenith)
    view = (1 + np.cos(np.radians(slopes))) / 2
    parts = (beam * shine, around, rest * view, level * back * (1 - view), angle)
    return PaneSun(*(_plain(part) for part in np.broadcast_arrays(*parts)))


def _sky_values(sky):
    given = {"beam": sky.beam_normal, "diffuse": sky.diffuse_horizontal, "global": sky.global_horizontal}
    checked = [number(f"{name} irradiance", value, "W/m²", 0, 1600) for name, value in given.items()]
    return *checked, number("sun outside the atmosphere", sky.extraterrestrial, "W/m²", 1200, 1500)


def _sky_light(model, scattered, clearness, shine, zenith):
    """Split the sky's light into the part close round the sun, on the pane, and the even rest, on the level."""
    if model == "isotropic":
        return 0.0 * shine, scattered
    # a sun lower than one degree must not blow the ratio up
    lift = np.maximum(np.cos(np.radians(zenith)), math.sin(math.radians(1)))
    index = np.minimum(clearness, 1.0)
    return scattered * index * shine / lift, scattered * (1 - index)
