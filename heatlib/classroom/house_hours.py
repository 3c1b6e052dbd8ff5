"""From one hour of a house's course to the arrows of its cutaway: what crosses the skin, and what the stores do.

All arrows sum to nothing: what comes in and does not go out again is in the stores, the floor and the air.
"""

from heatlib.classroom.cutaway import Flow

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
        One arrow a place, positive = lost; that of the stores is positive where they take heat [W].
    """
    moment = course.at(when)
    watts, labels = {}, {}
    for path, (place, label) in _PLACES.items():
        amount = moment.get(path, 0.0)
        if abs(amount) >= least:
            watts[place] = watts.get(place, 0.0) + amount
            labels[place] = label
    kept = -sum(watts.values())
    flows = [Flow(place, labels[place], amount) for place, amount in watts.items() if abs(amount) >= least]
    if abs(kept) >= least:
        flows.append(Flow("stores", "Into stores" if kept > 0 else "Out of stores", kept))
    return tuple(flows)
