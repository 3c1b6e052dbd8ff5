"""The course of a night, of days or of a year: every flow of heat, step by step, summing to what is stored.

Signs: a path's flow is positive where the house loses heat by it; sun, heater and fan are therefore negative.
"""

from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from heatlib._check import choice, single
from heatlib.house import fabric, kernel, nodes, sampler, vapour
from heatlib.house.greenhouse import Greenhouse, checked_house
from heatlib.house.network import Network
from heatlib.house.weather import Weather, checked_weather

__all__ = ["Course", "Prepared", "prepare", "run", "sampled"]

PATHS = {
    "glazing": "panes",
    "walls": "dark walls and roof",
    "sky": "radiation to the sky",
    "leaks": "leaks",
    "door": "door",
    "vents": "vents",
    "edge": "edge of the floor",
    "ground": "deep ground",
    "vapour_leaks": "vapour carried out by leaks",
    "vapour_vents": "vapour carried out by vents",
    "wet_panes": "drips on the panes",
    "sun": "sun",
    "reflected": "sun that goes out again",
    "heater": "heater",
    "fan": "fan",
}
"""Every way heat crosses the skin of the house, with the words for it."""


@dataclass(frozen=True)
class Course:
    """What happened, at the middle of each step, with every flow integrated inside the step.

    ``flows`` [W] and ``energy`` [J] are by path of :data:`PATHS`, positive = the house loses; ``exchange`` [W] is what
    the air gives each store, floor and pipe bed. ``stored`` [J] is the change from start to end of each thing that
    holds heat.
    """

    house: Greenhouse
    weather: Weather
    step: float
    time: np.ndarray
    """Middle of each step [s from the weather's start]."""
    outside: np.ndarray
    """Air temperature outside [°C]."""
    air: np.ndarray
    """Air temperature inside [°C]."""
    stores: dict
    """Temperature of each store by name, the mean of its layers [°C]."""
    layers: dict
    """Temperatures of all layers of the floor, a bed, the pipes' ground, from the top or the pipe outward [°C]."""
    floor: np.ndarray
    """Temperature of the floor's first layer [°C]."""
    heater: np.ndarray
    """Heat from the heater [W]."""
    vent: np.ndarray
    """Conductance of the open vents [W/K]."""
    fan: np.ndarray
    """1 while the pipe fan runs, else 0 [–]."""
    sun: np.ndarray
    """Sun that came in through the panes [W]."""
    humidity: np.ndarray
    """Relative humidity inside, 0–1; the stated one where vapour is not followed [–]."""
    frozen: dict
    """Share of each water store that is ice at the end of the run, 0–1 [–]."""
    flows: dict
    exchange: dict
    energy: dict
    stored: dict
    end: dict = field(repr=False)
    """State at the end, for ``run(…, initial=course)``."""

    def air_at(self, seconds, start=None):
        """Air inside [°C] at moments [s], straight between the middles of steps, and from ``start`` at 0 s if told."""
        time, air = self.time, self.air
        if start is not None:
            time, air = np.insert(time, 0, 0.0), np.insert(air, 0, start)
        return np.interp(seconds, time, air)

    @property
    def closure(self):
        """What is missing between flows and stored heat, as a part of all heat moved [–]."""
        moved = self.step * sum(float(np.abs(flow).sum()) for flow in (*self.flows.values(), *self.exchange.values()))
        return abs(sum(self.energy.values()) + sum(self.stored.values())) / moved if moved else 0.0

    @property
    def lowest_air(self):
        """Lowest air temperature inside [°C]."""
        return float(self.air.min())

    @property
    def highest_air(self):
        """Highest air temperature inside [°C]."""
        return float(self.air.max())

    @property
    def clock(self):
        """Local standard time of each step's middle [date and time]."""
        return self.weather.start + (self.time * 1000).astype("timedelta64[ms]")

    def hours_below(self, limit):
        """Hours with the air colder than ``limit`` [h]."""
        return float((self.air < limit).sum() * self.step / 3600)

    def hours_above(self, limit):
        """Hours with the air warmer than ``limit`` [h]."""
        return float((self.air > limit).sum() * self.step / 3600)

    def at(self, when):
        """All flows at one moment ``when`` [s from the start].

        ``{path: W}``, stores as ``store NAME`` (+ = takes heat).
        """
        single("time", when, "s", 0.0, float(self.weather.time[-1]))
        k = min(int(when / self.step), len(self.time) - 1)
        paths = {path: float(flow[k]) for path, flow in self.flows.items()}
        return paths | {f"store {name}": float(flow[k]) for name, flow in self.exchange.items()}


@dataclass(frozen=True)
class Prepared:
    """A house and its weather made ready for stepping; :meth:`run` it as often as wanted.

    ``inputs`` is what the kernel steps; ``fixed`` [W] and ``conductances`` [W/K] are the paths it adds up, kept apart.
    """

    house: Greenhouse
    weather: Weather
    inputs: kernel.Inputs
    time: np.ndarray
    outside: np.ndarray
    sun: np.ndarray
    fixed: dict
    conductances: dict

    @cached_property
    def network(self):
        """The layers, taken apart once for all runs."""
        return Network(self.inputs)

    @cached_property
    def settled(self):
        """Where a run starts that is told no other start: air [°C], columns [°C], heat of the waters [J], vapour."""
        return _settled(self)

    def run(self, initial=None):
        """Step through the weather from ``initial`` (see :func:`run`) and add up every flow."""
        air, columns, waters, vapour = _start(self, initial)
        result = kernel.march(self.inputs, air, columns, waters, vapour, network=self.network)
        return _course(self, result, air, columns, waters, vapour)


def run(house, weather, step=300.0, *, initial=None, gains=None):
    """Run one greenhouse through its weather.

    Neglected: warm air under the roof (the air has one temperature), layers within a barrel, ice's own resistance.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    weather : Weather
        The weather; its first value is the start [SI inside].
    step : float
        Length of a step, 10 to 3600; 300 or less where the coldest moment matters [s].
    initial : float, dict or Course, optional
        Where the house starts: one temperature for air and stores, a dict with ``"air"`` and the names of stores, or
        the end of another course. Left out, it starts as settled as if the first day's mean had lasted for ever [°C].
    gains : Gains, optional
        Sun through the panes worked out before for the same weather and panes; saves time in a search [W].

    Returns
    -------
    Course
        Temperatures, flows and energy by path; positive flows are losses [°C, W, J].

    Raises
    ------
    ValueError
        If the step is out of range, the weather is shorter than one step, or a start is named that is not there.

    Notes
    -----
    Implicit midpoint rule for all that holds heat, second-order backward rule for the air; heater and vent in closed
    form.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> from heatlib.house.weather import design_night
    >>> night = design_night(46.5, "2025-01-15", minimum=-24.0, maximum=-12.0, cloud=1.0)
    >>> course = run(demo_house(1), night)
    >>> course.closure < 1e-9 and course.lowest_air > -24.0
    True
    """
    return prepare(house, weather, step, gains=gains).run(initial)


def prepare(house, weather, step=300.0, *, gains=None, sample=None):
    """Work out once all that does not depend on the temperatures inside.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    weather : Weather
        The weather [SI inside].
    step : float
        Length of a step, 10 to 3600 [s].
    gains : Gains, optional
        Sun through the panes worked out before [W].
    sample : Sampler, optional
        The weather at the steps, from :func:`sampled`, where many houses share it [SI inside].

    Returns
    -------
    Prepared
        Ready to :meth:`Prepared.run` [W, W/K].

    Raises
    ------
    ValueError
        If the step is out of range or the weather is shorter than one step.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> from heatlib.house.weather import design_night
    >>> night = design_night(46.5, "2025-01-15", minimum=-24.0, maximum=-12.0, cloud=1.0)
    >>> ready = prepare(demo_house(1), night)
    >>> bool(ready.run(5.0).air[0] < 5.0)
    True
    """
    checked_house(house)
    sample = sampled(weather, step) if sample is None else sample
    gains = gains if gains is not None else fabric.gains(house, weather)
    skin = fabric.skin(house, sample, gains)
    shares = nodes.sun_shares(house)
    columns, waters = nodes.store_nodes(house, shares)
    deep = nodes.deep_temperatures(house, sample.day, columns)
    columns = (nodes.floor_column(house, shares["floor"]), *columns)
    air_sun = skin.sun * (shares["air"] + sum(column.sun_to_air for column in columns))
    humidity = vapour.humidity(house)
    fixed = {"sky": skin.sky, "sun": -skin.sun - skin.walls_sun, "reflected": skin.sun * shares["reflected"]}
    inputs = kernel.Inputs(
        step=sample.step, air_capacity=fabric.air_capacity(house), loss=skin.loss, outside=sample.temperature,
        gain=air_sun + skin.walls_sun - skin.sky, sun=skin.sun, deep=deep, columns=columns,
        links=nodes.links(house), waters=waters,
        heater=_heater(house, waters), vent=fabric.vent(house), fan=nodes.fan(house), humidity=humidity,
        **(vapour.vapour_inputs(house, sample, skin, shares["floor"]) if humidity else {}),
    )  # fmt: skip
    return Prepared(house, weather, inputs, sample.time, sample.temperature, skin.sun, fixed, skin.conductances)


def sampled(weather, step=300.0):
    """Give the weather at the middle of each step.

    Parameters
    ----------
    weather : Weather
        The weather [SI inside].
    step : float
        Length of a step, 10 to 3600 [s].

    Returns
    -------
    Sampler
        Each value linear between those of the record [SI inside].

    Raises
    ------
    ValueError
        If the step is out of range or the weather is shorter than one step.

    Examples
    --------
    >>> from heatlib.house.weather import design_day
    >>> len(sampled(design_day(46.5, "2025-01-15", minimum=-24.0, maximum=-12.0), 900.0).time)
    96
    """
    checked_weather(weather)
    step = single("step", step, "s", 10, 3600)
    steps = int((float(weather.time[-1]) + 1e-6) // step)
    if steps < 1:
        raise ValueError(f"the weather lasts {float(weather.time[-1]):g} s: shorter than one step of {step:g} s")
    return sampler.Sampler(weather, (np.arange(steps) + 0.5) * step, step)


def _heater(house, waters):
    heater = house.heater
    if heater is None or heater.power == 0:
        return None
    if heater.place == "air":
        return heater.power, heater.setpoint, heater.band, -1
    names = [water.name for water in waters]
    return (
        heater.power,
        heater.setpoint,
        heater.band,
        names.index(choice("water store with the heater", heater.place, names)),
    )


def _start(prepared, initial):
    """Starting state: air [°C], columns [°C], heat of the waters [J], humidity ratio."""
    inputs = prepared.inputs
    if isinstance(initial, Course):
        return _continued(inputs, initial)
    if initial is None:
        return prepared.settled
    given = initial if isinstance(initial, dict) else {"air": initial}
    names = {"air", "floor", *(c.name for c in inputs.columns), *(w.name for w in inputs.waters)}
    for name in given:
        choice("start temperature of", name, names)
    if "air" not in given:
        raise ValueError('the start needs a temperature for "air"')
    air = single("start temperature of air", given["air"], "°C", -60, 90)
    start = {name: single(f"start temperature of {name}", value, "°C", -60, 90) for name, value in given.items()}
    settled = {
        c.name: _profile(c, start.get(c.name, air), inputs.deep[c.name][0], c.name in start) for c in inputs.columns
    }
    for one, _, other, layer, _ in inputs.links:  # soil round pipes nobody told of is as warm as the soil they lie in
        if one not in start:
            settled[one] = [settled[other][layer]] * len(settled[one])
    columns = [settled[c.name] for c in inputs.columns]
    return air, columns, [w.heat(start.get(w.name, air)) for w in inputs.waters], _first_vapour(prepared, air)


def _profile(column, surface, deep, uniform):
    """Layers at one temperature, or settled between a surface and the deep boundary where there is one."""
    n = len(column.capacity)
    if uniform or not column.to_deep:
        return [surface] * n
    resistances = np.array([1 / column.to_air, *(1 / g for g in column.inner), 1 / column.to_deep])
    share = np.cumsum(resistances)[:-1] / resistances.sum()
    return [float(surface + (deep - surface) * s) for s in share]


def _continued(inputs, course):
    end = course.end
    wanted = [(c.name, len(c.capacity)) for c in inputs.columns] + [(w.name, 1) for w in inputs.waters]
    for name, size in wanted:
        if len(np.atleast_1d(end.get(name, ()))) != size:
            raise ValueError(f"the earlier course knows no {name!r} of this build, so it can't be the start")
    columns = [list(end[c.name]) for c in inputs.columns]
    return end["air"], columns, [end[w.name] for w in inputs.waters], end["vapour"]


def _settled(prepared):
    """Steady state of the first day's mean weather: one step so long that nothing of the start is left."""
    inputs = prepared.inputs
    day = round(86400 / inputs.step)
    mean = {n: [float(np.mean(getattr(inputs, n)[:day]))] for n in ("loss", "outside", "gain", "sun")}
    deep = {name: values[:1] for name, values in inputs.deep.items()}
    once = replace(inputs, step=1e9, deep=deep, humidity=None, fan=None, **mean)
    air = mean["outside"][0]
    columns = [[air] * len(c.capacity) for c in inputs.columns]
    waters = [w.heat(air) for w in inputs.waters]
    network = Network(once)
    for _ in range(6):
        out = kernel.march(once, air, columns, waters, network=network)
        air = out.air[0]
        columns = [[float(layer[0]) for layer in column] for column in out.column]
        waters = [w.heat(out.water[j][0]) for j, w in enumerate(inputs.waters)]
    return air, columns, waters, _first_vapour(prepared, air)


def _first_vapour(prepared, air):
    humidity = prepared.inputs.humidity
    return prepared.house.air.relative_humidity * humidity.saturated(air) if humidity else 0.0


def _course(prepared, out, air, columns, waters, vapour):
    """Add up every flow from the temperatures at the middles: the kernel's own bookkeeping is not used here."""
    inputs, house, h = prepared.inputs, prepared.house, prepared.inputs.step
    ta, outside = np.array(out.air), prepared.outside
    flows = {path: g * (ta - outside) for path, g in prepared.conductances.items()}
    vent = np.array(out.vent)
    flows |= dict(prepared.fixed) | {"vents": vent * (ta - outside), "heater": -np.array(out.heater)}
    fan_on = np.array(out.fan)
    if inputs.fan:
        flows["fan"] = -inputs.fan[3] * fan_on
    exchange, stored, layers, stores, end = {}, {}, {}, {}, {}
    edge = np.zeros_like(ta)
    ground = np.zeros_like(ta)
    for column, history, before, after in zip(inputs.columns, out.column, columns, out.column_end):
        temperatures = np.array(history)
        attached = fan_on if column.fan else 1.0
        exchange[column.name] = attached * column.to_air * (ta - temperatures[0]) - column.sun_to_air * prepared.sun
        edge += column.to_outside * (temperatures[0] - outside)
        ground += column.to_deep * (temperatures[-1] - np.array(inputs.deep[column.name]))
        stored[column.name] = float(np.dot(column.capacity, np.subtract(after, before)))
        layers[column.name], end[column.name] = temperatures, list(after)
        stores[column.name] = temperatures.mean(axis=0)
    frozen = {}
    for j, water in enumerate(inputs.waters):
        temperature = np.array(out.water[j])
        exchange[water.name] = np.array(out.touch[j]) * (ta - temperature)
        stored[water.name] = out.water_heat[j] - waters[j]
        stores[water.name], end[water.name] = temperature, out.water_heat[j]
        frozen[water.name] = float(min(1.0, max(0.0, -out.water_heat[j] / water.fusion)))
    flows |= {"edge": edge, "ground": ground}
    stored["air"] = inputs.air_capacity * (out.air_end - air)
    humidity = np.full_like(ta, house.air.relative_humidity)
    if inputs.humidity:
        humidity = _vapour_flows(inputs, out, flows, stored, exchange, vapour, ta)
    floor = layers["floor"][0]
    stores.pop("floor")
    end |= {"air": out.air_end, "vapour": out.moist.get("vapour_end", 0.0)}
    energy = {path: float(flow.sum() * h) for path, flow in flows.items()}
    return Course(
        house=house, weather=prepared.weather, step=h, time=prepared.time, outside=outside, air=ta, stores=stores,
        layers=layers, floor=floor, heater=np.array(out.heater), vent=vent, fan=fan_on, sun=prepared.sun,
        humidity=humidity,
        frozen=frozen, flows=flows, exchange=exchange, energy=energy, stored=stored, end=end,
    )  # fmt: skip


def _vapour_flows(inputs, out, flows, stored, exchange, start, ta):
    """Latent flows by path, the heat held as vapour, and the relative humidity."""
    humidity, moist = inputs.humidity, out.moist
    ratio, flow = moist["vapour"], moist["moist_flow"]
    latent = humidity.latent * (ratio - np.array(inputs.vapour))
    leaks = np.array(inputs.air_flow)
    flows["vapour_leaks"] = latent * leaks
    flows["vapour_vents"] = latent * (flow - leaks)
    flows["wet_panes"] = moist["pane_loss"]
    stored["vapour"] = humidity.latent * humidity.air_mass * (moist["vapour_end"] - start)
    exchange["vapour"] = humidity.latent * (moist["evaporated"] - moist["condensed"])
    if "pipes" in exchange:
        exchange["pipes"] = exchange["pipes"] + moist["piped"]
    pressure_ratio = humidity.saturated_all(ta)
    # w/(0.622 + w) is proportional to the vapour pressure
    relative = ratio / (0.622 + ratio) * (0.622 + pressure_ratio) / pressure_ratio
    # fog settles half a step late, so cooling air can seem a trace wetter than wet
    return np.minimum(relative, 1.0)
