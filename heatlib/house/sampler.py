"""Weather at the middle of each step, and what the sky takes."""

import numpy as np
from scipy import constants

from heatlib.conduction import outside_film
from heatlib.moist_air import pressure_at, saturation_humidity_ratio
from heatlib.sky import kelvin, sky_emissivity_berdahl_martin

__all__ = ["Sampler", "black_sky_loss"]

STEFAN_BOLTZMANN = constants.Stefan_Boltzmann
_DEW_POINTS = (-60.0, 34.0)
"""Range of the formula for the sky [°C]."""


class Sampler:
    """Weather at given times, such as the middles of steps: each value linear between those of the record."""

    def __init__(self, weather, time, step=None):
        self.weather, self.time, self.step = weather, time, step
        self.at = lambda values: np.interp(time, weather.time, np.asarray(values, float))
        self.temperature, self.wind = self.at(weather.temperature), self.at(weather.wind_speed)
        self.sun = self.at(weather.global_horizontal)
        midnight = weather.start.astype("datetime64[D]")
        new_year = weather.start.astype("datetime64[Y]")
        self.hour = ((weather.start - midnight) / np.timedelta64(1, "s") + time) / 3600 % 24
        elapsed = (weather.start - new_year) / np.timedelta64(1, "s") + time
        self.day = elapsed / 86400 % 365.25 + 1
        self.snow = self.at(weather.snow) >= 0.5
        self.film = outside_film(self.wind)
        self.sky_exchange = self.at(black_sky_loss(weather))

    def vapour(self, elevation):
        """Humidity ratio outside [kg/kg]."""
        # moist air is answered from −40 °C on; drier air than that holds under 0.1 g/kg, next to nothing
        dew = np.maximum(np.minimum(self.at(self.weather.dew_point), self.temperature), -40.0)
        return np.asarray(saturation_humidity_ratio(dew, float(pressure_at(elevation))))


def black_sky_loss(weather):
    """Give what a black level surface at air temperature loses to the sky, at the weather's times.

    Parameters
    ----------
    weather : Weather
        The weather [SI inside].

    Returns
    -------
    numpy.ndarray
        Net loss [W/m²].
    """
    hour = ((weather.start - weather.start.astype("datetime64[D]")) / np.timedelta64(1, "s") + weather.time) / 3600 % 24
    dew = np.minimum(weather.dew_point, weather.temperature)
    # drier air than the sky's formula is made for holds next to nothing; damper air is near the tropics' record
    dew = np.clip(dew, *_DEW_POINTS)
    # as a loss, not by the sky's temperature: under a clear sky at −35 °C that falls below what the library answers for
    open_sky = (1 - weather.cloud) * (1 - sky_emissivity_berdahl_martin(dew, hour))
    return STEFAN_BOLTZMANN * kelvin(weather.temperature) ** 4 * open_sky
