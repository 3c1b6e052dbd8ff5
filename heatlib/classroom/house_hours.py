"""From one hour of a house's course to the arrows of its cutaway: what crosses the skin, and what the stores do.

All arrows sum to nothing: what comes in and does not go out again is in the stores, the floor and the air.
"""

import numpy as np

from heatlib.classroom.cutaway import Flow
from heatlib.house import nodes

__all__ = ["flows_of_hour"]

_PLACES = {
    "glazing": ("south_roof", "Panes"),
    "walls": ("north_roof", "Dark walls"),
    "sky": ("sky", "Night sky"),
    "leaks": ("leaks", "Leaks"),
    "door": ("leaks", "Leaks"),
    "vents": ("leaks", "Leaks, vents"),
    "edge": ("edge", "Floor edge"),
    "ground": ("floor", "Deep ground"),
    "vapour_leaks": ("moisture", "Moist air"),
    "vapour_vents": ("moisture", "Moist air"),
    "wet_panes": ("moisture", "Moist air"),
    "sun": ("sun", "Sun"),
    "reflected": ("sun", "Sun"),
    "heater": ("heater", "Heater"),
    "fan": ("heater", "Fan"),
}


def flows_of_hour(course, when, *, least=0.5):
    """Turn one moment of a course into the arrows of the cutaway.

    Parameters
    ----------
    course : Course
        What :func:`heatlib.house.balance.run` returned [SI].
    when : float
        Moment from the start of the weather [s].
    least : float
        Paths that carry less are left out [W].

    Returns
    -------
    tuple of Flow
        One arrow a place, positive = lost; those of stores and pipes are positive where they take heat. What the soil
        round the pipes passes on to the depth is no loss of that hour [W].
    """
    moment = course.at(when)
    watts, labels = {}, {}
    for path, (place, label) in _PLACES.items():
        amount = moment.get(path, 0.0)
        if abs(amount) >= least:
            watts[place] = watts.get(place, 0.0) + amount
            labels[place] = label
    piped = moment.get("store pipes", 0.0)
    if "store pipes" in moment:
        watts["floor"] = watts.get("floor", 0.0) - _from_pipes_to_depth(course, when)
        labels.setdefault("floor", "Deep ground")
    if abs(piped) >= least:
        watts["pipes"] = piped
        labels["pipes"] = "Into the soil" if piped > 0 else "Out of the soil"
    kept = -sum(watts.values())
    flows = [Flow(place, labels[place], amount) for place, amount in watts.items() if abs(amount) >= least]
    if abs(kept) >= least:
        flows.append(Flow("stores", "Into stores" if kept > 0 else "Out of stores", kept))
    return tuple(flows)


def _from_pipes_to_depth(course, when):
    """Heat that the soil round the pipes gives to the deep ground: it has not left the house at that hour [W]."""
    column = nodes.pipe_column(course.house)
    k = min(int(when / course.step), len(course.time) - 1)
    start = course.weather.start
    day = (start - start.astype("datetime64[Y]")) / np.timedelta64(1, "D") + course.time[k] / 86400
    deep = nodes.deep_temperatures(course.house, np.array([day % 365.25 + 1]), (column,))["pipes"][0]
    return column.to_deep * (float(course.layers["pipes"][-1][k]) - deep)
