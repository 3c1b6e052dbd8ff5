"""How much is enough: barrels, watts, insulation, pipe or curtain that hold the crop's limit through a cold night.

Stores start as the days before the night leave them, never full for nothing. Give a design night, the coldest night of
a record, three days without sun, or several of them together: the answer then holds in each.
"""

from bisect import bisect_left

from heatlib._check import choice, shortened, single, whole
from heatlib.house.greenhouse import Curtain, Heater, Layer, Store, checked_house
from heatlib.house.sizing_search import Outcome, Sizing, least
from heatlib.tables import keys

__all__ = ["Outcome", "Sizing", "barrels_needed", "curtain_needed", "heater_needed", "insulation_needed", "pipe_needed"]


def _search(unit, largest, words, units, most):
    """Check the step of a search and how far it goes, and count the steps."""
    unit = single("unit", unit, words, *units)
    return {"unit": unit, "largest": int(single("largest", largest, words, unit, most) / unit + 1e-9)}


def barrels_needed(house, weather, limit=None, *, store=None, largest=256, cases=True, progress=True):
    """Find how many barrels hold the limit.

    Fewer barrels than the house has catch less sun, in proportion; further ones stand behind and catch no more.
    Neglected: whether they fit on the floor, and the sun they take from the bed.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    weather : Weather or sequence of Weather
        What it must stand, 36 h or more each, the night last [°C].
    limit : float, optional
        Temperature to hold; the house's own where left out [°C].
    store : str or Store, optional
        Name of the barrels to count, or barrels to put in; the house's only ones where left out [text].
    largest : int
        Most barrels to try, 1 to 1000 [–].
    cases : bool
        Whether to find the kind and the unkind case too, at three times the time [yes/no].
    progress : bool
        Whether a bar shows on the error stream after a second [yes/no].

    Returns
    -------
    Sizing
        Number of barrels, or why no number does [–].

    Raises
    ------
    ValueError
        If the house has no barrels or several kinds and none was named, or the weather is too short.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> from heatlib.house.weather import design_night
    >>> mild = design_night(46.5, "2025-01-20", minimum=12.0, maximum=18.0)
    >>> barrels_needed(demo_house(1), mild).answer
    0.0
    """
    checked_house(house)
    largest = whole("largest", largest, "barrels", 1, 1000)
    how = {"unit": 1.0, "largest": largest, "cases": cases, "progress": progress}
    if isinstance(store, Store):
        house, store = house.changed("stores", (*house.stores, store)), store.name
    names = [item.name for item in house.stores if item.kind == "barrels"]
    if store is None and len(names) != 1:
        found = ", ".join(names) or "none"
        raise ValueError(f"say which barrels to count with store='…', or put some in (barrels in the house: {found})")
    store = choice("barrels", store, names) if store is not None else names[0]

    now = house.store(store)

    def build(base, count):
        # Fewer barrels than stand there catch less sun; more stand behind them in the shade, and catch no more.
        share = now.sun_share * min(1.0, count / now.count) if now.count else now.sun_share
        return base.changed(**{f"stores.{store}.sun_share": share, f"stores.{store}.count": count})

    return least(f"barrels ({store})", "count", house, build, weather, limit, **how)


def heater_needed(house, weather, limit=None, *, unit=50.0, largest=20e3, cases=True, progress=True):
    """Find how many watts of heat hold the limit.

    Neglected: the heater's own warm-up, and cold corners far from it.

    Parameters
    ----------
    house : Greenhouse
        The house; its heater's place and band are kept, its setpoint is the limit where it is lower [SI inside].
    weather : Weather or sequence of Weather
        What it must stand, 36 h or more each, the night last [°C].
    limit : float, optional
        Temperature to hold; the house's own where left out [°C].
    unit : float
        Sizes heaters come in, 1 to 5000 [W].
    largest : float
        Most power to try, up to 1 MW [W].
    cases : bool
        Whether to find the kind and the unkind case too, at three times the time [yes/no].
    progress : bool
        Whether a bar shows on the error stream after a second [yes/no].

    Returns
    -------
    Sizing
        Power, or why none does [W].

    Raises
    ------
    ValueError
        If a value is out of range, or the weather is too short.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> from heatlib.house.weather import design_night
    >>> mild = design_night(46.5, "2025-01-20", minimum=12.0, maximum=18.0)
    >>> heater_needed(demo_house(0), mild).answer
    0.0
    """
    checked_house(house)
    how = _search(unit, largest, "W", (1, 5000), 1e6) | {"cases": cases, "progress": progress}
    target = house.limits.minimum if limit is None else single("limit", limit, "°C", -20, 30)
    heater = house.heater or Heater(0.0, target)
    if heater.place == "air" and heater.setpoint < target:
        heater = Heater(0.0, target, heater.band, heater.place, heater.fuel)

    def build(base, watts):
        own = Heater(watts, heater.setpoint, heater.band, heater.place, heater.fuel)
        return base.changed("heater", own if watts else None)

    return least("heater", "electric_power", house, build, weather, limit, **how)


def insulation_needed(
    house, weather, limit=None, *, material="eps", surfaces=None, unit=0.01, largest=0.4, cases=True, progress=True
):
    """Find how thick the insulation of the dark walls must be.

    Neglected: what stands in the way of that thickness.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    weather : Weather or sequence of Weather
        What it must stand, 36 h or more each, the night last [°C].
    limit : float, optional
        Temperature to hold; the house's own where left out [°C].
    material : str
        Insulation, as in the table of materials; layers of it that are there are replaced [text].
    surfaces : sequence of str, optional
        Names of the surfaces; all that have layers where left out [text].
    unit : float
        Step of thickness, 1 to 100 mm [m].
    largest : float
        Greatest thickness to try, up to 3 m [m].
    cases : bool
        Whether to find the kind and the unkind case too, at three times the time [yes/no].
    progress : bool
        Whether a bar shows on the error stream after a second [yes/no].

    Returns
    -------
    Sizing
        Thickness, or why none does [m].

    Raises
    ------
    ValueError
        If the material or a surface is unknown, no surface has layers, or the weather is too short.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> from heatlib.house.weather import design_night
    >>> mild = design_night(46.5, "2025-01-20", minimum=12.0, maximum=18.0)
    >>> insulation_needed(demo_house(0), mild).answer
    0.0
    """
    checked_house(house)
    choice("material", material, keys("materials"))
    how = _search(unit, largest, "m", (0.001, 0.1), 3) | {"cases": cases, "progress": progress}
    layered = [surface.name for surface in house.surfaces if surface.layers]
    if not isinstance(surfaces, list | tuple | None):
        raise ValueError(f"surfaces must be a list of names, but it is {shortened(surfaces)}")
    names = layered if surfaces is None else [choice("surface with layers", name, layered) for name in surfaces]
    if not names:
        raise ValueError("the house has no surface with layers to insulate")

    def build(base, thickness):
        for name in names:
            others = tuple(layer for layer in base.surface(name).layers if layer.material != material)
            added = (Layer(material, thickness), *others) if thickness else others
            base = base.changed(f"surfaces.{name}.layers", added)
        return base

    return least(f"insulation ({material})", "thickness", house, build, weather, limit, **how)


def pipe_needed(house, weather, limit=None, *, unit=1.0, largest=60.0, cases=True, progress=True):
    """Find how long each buried pipe must be.

    Neglected: that the fan moves less air through a longer pipe.

    Parameters
    ----------
    house : Greenhouse
        The house, with its pipes described [SI inside].
    weather : Weather or sequence of Weather
        What it must stand, 36 h or more each, the night last [°C].
    limit : float, optional
        Temperature to hold; the house's own where left out [°C].
    unit : float
        Step of length, 0.1 to 10 [m].
    largest : float
        Greatest length to try, up to 500 [m].
    cases : bool
        Whether to find the kind and the unkind case too, at three times the time [yes/no].
    progress : bool
        Whether a bar shows on the error stream after a second [yes/no].

    Returns
    -------
    Sizing
        Length of each pipe, or why none does [m].

    Raises
    ------
    ValueError
        If the house has no pipes, or the weather is too short.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> pipe_needed(demo_house(0), [])
    Traceback (most recent call last):
    ValueError: the house has no pipes: describe them first, with number, diameter, depth and flow
    """
    checked_house(house)
    if house.pipes is None:
        raise ValueError("the house has no pipes: describe them first, with number, diameter, depth and flow")
    how = _search(unit, largest, "m", (0.1, 10), 500) | {"cases": cases, "progress": progress}
    what = "length of each pipe"
    blown = _longest(house, unit, how["largest"])
    if blown < how["largest"]:
        how["largest"], what = blown, f"{what} (of at most {blown * unit:g} m: no fan presses that air through more)"

    def build(base, length):
        if not length:
            return base.changed("pipes", None)
        return base.changed("pipes.length", length)

    return least(what, "length", house, build, weather, limit, **how)


def _longest(house, unit, most):
    """The most steps of length through which a fan still presses the air that is asked for."""

    def blown(steps):
        try:
            house.changed("pipes.length", steps * unit)
        except ValueError:
            return False
        return True

    return bisect_left(range(1, most + 1), True, key=lambda steps: not blown(steps))


def curtain_needed(house, weather, limit=None, *, unit=0.05, largest=3.0, cases=True, progress=True):
    """Find how much a night curtain must insulate.

    Neglected: whether such a curtain can be bought, and the damp it holds back.

    Parameters
    ----------
    house : Greenhouse
        The house, with the panes that a curtain covers marked [SI inside].
    weather : Weather or sequence of Weather
        What it must stand, 36 h or more each, the night last [°C].
    limit : float, optional
        Temperature to hold; the house's own where left out [°C].
    unit : float
        Step of R, 0.01 to 1 [m²K/W].
    largest : float
        Greatest R to try, up to 5 [m²K/W].
    cases : bool
        Whether to find the kind and the unkind case too, at three times the time [yes/no].
    progress : bool
        Whether a bar shows on the error stream after a second [yes/no].

    Returns
    -------
    Sizing
        R of the curtain itself, or why none does [m²K/W].

    Raises
    ------
    ValueError
        If no surface is marked for a curtain, or the weather is too short.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> from heatlib.house.weather import design_night
    >>> mild = design_night(46.5, "2025-01-20", minimum=12.0, maximum=18.0)
    >>> curtain_needed(demo_house(3), mild).answer
    0.0
    """
    checked_house(house)
    if not any(surface.curtain for surface in house.surfaces):
        raise ValueError("no surface of the house is marked curtain = true: mark the panes it is to cover")
    how = _search(unit, largest, "m²K/W", (0.01, 1), 5) | {"cases": cases, "progress": progress}
    curtain = house.curtain or Curtain()

    def build(base, r_value):
        if not r_value:
            return base.changed("curtain", None)
        return base.changed("curtain", curtain).changed("curtain.r_value", r_value)

    return least("night curtain", "r_value", house, build, weather, limit, **how)
