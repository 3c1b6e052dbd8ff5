"""The weather a greenhouse stands in: a design night, a typical day, a year, or a logger's record.

Values are instantaneous at ``time`` and linear in between; sun and clock follow local standard time.
"""

from dataclasses import dataclass

import numpy as np

__all__ = ["Weather"]


@dataclass(frozen=True)
class Weather:
    """Regularly spaced weather, instantaneous at ``time`` and linear in between.

    All arrays have the same length; ``start`` is local standard time (no summer time), ``utc_offset`` its distance
    from UTC [h].
    """

    time: np.ndarray
    """Seconds from ``start`` [s]."""
    temperature: np.ndarray
    """Air temperature outside [°C]."""
    dew_point: np.ndarray
    """Dew point outside [°C]."""
    wind_speed: np.ndarray
    """Wind speed at the house [m/s]."""
    beam_normal: np.ndarray
    """Beam sun on a plane that faces it [W/m²]."""
    diffuse_horizontal: np.ndarray
    """Diffuse sun on the level [W/m²]."""
    global_horizontal: np.ndarray
    """All sun on the level [W/m²]."""
    cloud: np.ndarray
    """Share of the sky covered, 0–1 [–]."""
    snow: np.ndarray
    """Whether snow lies on the ground [yes/no]."""
    start: np.datetime64
    """Local standard time of ``time == 0`` [date and time]."""
    latitude: float
    """North positive [°]."""
    longitude: float
    """East positive [°]."""
    utc_offset: float
    """Local standard time minus UTC [h]."""
    elevation: float
    """Above sea level [m]."""
    name: str
    """What this weather is, in words [text]."""

    @property
    def step(self):
        """Spacing of the values [s]."""
        return float(self.time[1] - self.time[0])
