"""Step the balance: air, and the slow nodes behind it, by an implicit second-order rule in plain Python floats.

How a step works. Each slow node (a barrel, a layer of floor) obeys the implicit midpoint rule: its heat at the end of
the step is its heat at the start plus step times the flows *at the middle*. Given the air temperature at the middle,
each chain of nodes answers linearly: it is taken apart once into its own modes, each of which decays by itself, and
answers the air with one sum over them.
What is left is one equation for the air at the middle of the step, in which heater and vent have a closed form.
Air itself, stiff and light, is stepped by the second-order backward rule on the middles (it damps whatever the step):
its value at the end of a step is extrapolated from the last two middles, which is just what makes the sum of all
flows at the middles equal the change of all stored heat, to round-off.

Plain floats matter: one ``numpy.float64`` among them makes a step three times slower.
"""

from dataclasses import dataclass, field
from math import sqrt
from operator import mul

import numpy as np

from heatlib.surfaces import quick_convection

__all__ = ["Column", "Humidity", "Inputs", "Steps", "Water", "march"]


@dataclass(frozen=True)
class Column:
    """A chain of layers: the first meets the air, the last a deep boundary.

    ``to_air`` [W/K], ``capacity`` [J/K] and ``inner`` [W/K] between neighbours; ``to_deep`` [W/K] from the last layer
    to the deep boundary; ``to_outside`` [W/K] from the first layer to the outside air; ``sun_share`` of the sun that
    comes in. A column with ``fan = True`` meets the air only while the pipe fan runs.
    """

    name: str
    to_air: float
    capacity: tuple
    inner: tuple = ()
    to_deep: float = 0.0
    to_outside: float = 0.0
    sun_share: float = 0.0
    fan: bool = False


@dataclass(frozen=True)
class Water:
    """Water that may freeze, one temperature throughout: heat capacities [J/K], ``fusion`` [J].

    Surface ``area`` [m²] with ``radiation`` [W/m²K] and the two terms of natural convection of
    :func:`heatlib.surfaces.quick_convection`, which follows the temperatures one step behind.
    """

    name: str
    area: float
    radiation: float
    convection: tuple
    liquid: float
    ice: float
    fusion: float
    sun_share: float = 0.0

    def to_air(self, difference):
        """Conductance between water and air that differ by so much [W/K]."""
        return self.area * (self.radiation + quick_convection(difference, *self.convection))

    def heat(self, temperature):
        """Heat held against water at 0 °C [J]; exactly 0 °C counts as water."""
        return temperature * self.liquid if temperature >= 0 else temperature * self.ice - self.fusion

    def temperature(self, heat):
        """Temperature of water that holds this heat [°C]."""
        if heat >= 0:
            return heat / self.liquid
        return 0.0 if heat > -self.fusion else (heat + self.fusion) / self.ice


@dataclass(frozen=True)
class Humidity:
    """Moisture: ``air_mass`` [kg], ``latent`` heat [J/kg], tables of saturated air and of evaporation, panes.

    ``panes`` are ``(exchange [kg/s per kg/kg], share)``, one list for open panes and one for a drawn curtain: a pane's
    inside surface lies at air − share·(air − outside equivalent), and that share of the heat of what condenses there
    goes straight out. ``table`` is the humidity ratio of saturated air each half degree from ``table_start``;
    ``drying`` [kg/s per kg/kg] and ``shining`` [kg/s per W/m²] what plants and soil evaporate by dryness and by sun,
    each by night and by day.
    """

    air_mass: float
    latent: float
    panes: tuple
    table: tuple
    table_start: float
    drying: tuple
    shining: tuple

    def saturated(self, temperature):
        """Humidity ratio of saturated air, linear in the table [kg/kg]."""
        position = (temperature - self.table_start) * 2.0
        index = int(position)
        low = self.table[index]
        return low + (position - index) * (self.table[index + 1] - low)


@dataclass(frozen=True)
class Inputs:
    """What drives each step, at its middle, as plain lists of floats of one length, and the controls.

    ``loss`` [W/K] air to outside; ``outside`` [°C]; ``gain`` [W] into the air, whatever its temperature; ``sun`` [W]
    that came in, of which each node takes its share; ``deep`` [°C] boundary of the columns. For moisture: ``air_flow``
    [kg/s] of leaks, ``vapour`` outside [kg/kg],
    ``shine`` [W/m²] of sun on plants and soil, ``light`` 1 by day, ``pane`` [°C]
    what a pane sees outside, ``drawn`` 1 where the curtain is.
    """

    step: float
    air_capacity: float
    loss: list
    outside: list
    gain: list
    sun: list
    deep: dict
    columns: tuple = ()
    waters: tuple = ()
    heater: tuple | None = None
    """power [W], setpoint [°C], band [K], index of the water it heats or -1."""
    vent: tuple | None = None
    """conductance fully open [W/K], opening temperature [°C], band [K]."""
    fan: tuple | None = None
    """on above [°C], on below [°C], hysteresis [K], electric power [W]."""
    humidity: Humidity | None = None
    vapour: list = field(default_factory=list)
    shine: list = field(default_factory=list)
    light: list = field(default_factory=list)
    air_flow: list = field(default_factory=list)
    pane: list = field(default_factory=list)
    drawn: list = field(default_factory=list)
    specific_heat: float = 1006.0


@dataclass
class Steps:
    """What came out, at the middles of the steps, and the state after the last one."""

    air: list
    heater: list
    vent: list
    fan: list
    water: list
    touch: list
    water_heat: list
    column: list
    column_end: list
    air_end: float
    air_history: float
    vapour: list
    evaporated: list
    condensed: list
    pane_loss: list
    vapour_end: float
    moist_flow: list


def march(inputs, air, columns, water_heat, vapour=0.0, fan_on=False):
    """Run all steps from a starting state.

    Neglected: nothing of the inputs; nothing is checked here either, :func:`heatlib.house.balance.run` does that.

    Parameters
    ----------
    inputs : Inputs
        What drives each step [SI].
    air : float
        Air temperature at the start [°C].
    columns : list of list of float
        Layers' temperatures of each column at the start [°C].
    water_heat : list of float
        Heat of each water store against water at 0 °C [J].
    vapour : float
        Humidity ratio at the start [kg/kg].
    fan_on : bool
        Whether the pipe fan runs at the start [yes/no].

    Returns
    -------
    Steps
        Temperatures, heats and flows at the middles, and the end state [°C, W, J].
    """
    n = len(inputs.outside)
    h = inputs.step
    c_air = inputs.air_capacity / h
    chains = [_Chain(column, h, columns[i], inputs.deep) for i, column in enumerate(inputs.columns)]
    steady = [chain for chain in chains if not chain.fan]
    piped = [chain for chain in chains if chain.fan]
    waters = [(w.liquid, w.ice, w.fusion, w.sun_share) for w in inputs.waters]
    skins = [(w.area, w.radiation, *w.convection) for w in inputs.waters]
    power, setpoint, band, heated = inputs.heater or (0.0, 0.0, 1.0, -1)
    top = setpoint + band
    vent_full, vent_at, vent_band = inputs.vent or (0.0, 1e9, 1.0)
    above, below, hysteresis, fan_power = inputs.fan or (1e9, -1e9, 0.0, 0.0)
    controls = (power if heated < 0 else 0.0, setpoint, top, band, vent_full, vent_at, vent_band)
    moist = _Moisture(inputs, vapour) if inputs.humidity else None

    out_air, out_heater, out_vent, out_fan = [0.0] * n, [0.0] * n, [0.0] * n, [0.0] * n
    out_water, out_touch = [[0.0] * n for _ in waters], [[0.0] * n for _ in waters]
    last, start, half = air, air, h / 2
    base = 1.5 * c_air + sum(chain.pull for chain in steady)
    modes = [0] * len(waters)
    state = list(water_heat)
    gap = [w.temperature(heat) - air for w, heat in zip(inputs.waters, state)]
    gap_before = list(gap)
    each = range(len(waters))

    for k in range(n):
        outside, sun = inputs.outside[k], inputs.sun[k]
        a = base + inputs.loss[k]
        b = c_air * (0.5 * last + start) + inputs.loss[k] * outside + inputs.gain[k]
        if k == 0:  # no middle before the first: implicit midpoint, the end extrapolated from start and middle
            a += 0.5 * c_air
            b += 0.5 * c_air * air
        if inputs.fan:
            fan_on = _fan(fan_on, start, above, below, hysteresis)
            out_fan[k] = 1.0 if fan_on else 0.0
        for chain in steady:
            b += chain.forward(k, outside, sun)
        for chain in piped:
            chain.switch(fan_on)
            flow = chain.forward(k, outside, sun)
            if fan_on:
                a += chain.pull
                b += flow
        if fan_on:
            b += fan_power
        if moist:
            b += moist.step(k, start, outside)
        tank = 0.0
        if heated >= 0:
            feels = inputs.waters[heated].temperature(state[heated])
            tank = power if feels <= setpoint else 0.0 if feels >= top else power * (top - feels) / band

        touch = [
            s * (r + (ca + cb * abs(2.0 * d - e) ** (1 / 6)) ** 2)
            for (s, r, ca, cb), d, e in zip(skins, gap, gap_before)
        ]
        fed = [state[j] + half * (waters[j][3] * sun + (tank if j == heated else 0.0)) for j in each]
        # The regime of each store (ice, melting, water) is taken from the last step and corrected until it agrees.
        for _ in range(8):
            t, heat, vent = _air(a, b, touch, fed, modes, waters, half, controls, outside)
            found = _regimes(t, touch, fed, waters, half)
            if found == modes:
                break
            modes = found
        else:
            t, heat, vent, modes = _halving(a, b, touch, fed, waters, half, controls, outside)

        for j in each:
            g, (liquid, ice, fusion, _) = touch[j], waters[j]
            held, mode = fed[j] + half * g * t, modes[j]
            tw = held / (liquid + half * g) if mode == 0 else (held + fusion) / (ice + half * g) if mode == 2 else 0.0
            out_water[j][k] = tw
            gap_before[j], gap[j] = gap[j], tw - t
            state[j] += 2.0 * (fed[j] - state[j]) + h * g * (t - tw)
            out_touch[j][k] = g
        for chain in chains:
            chain.back(t)
        if moist:
            moist.vent(k, vent)
        out_air[k], out_heater[k], out_vent[k] = t, heat + tank, vent
        start = 1.5 * t - 0.5 * last if k else 2.0 * t - air
        last = t

    return Steps(
        air=out_air, heater=out_heater, vent=out_vent, fan=out_fan, water=out_water,
        touch=out_touch, water_heat=state,
        column=[chain.temperatures() for chain in chains],
        column_end=[chain.end() for chain in chains], air_end=start, air_history=last,
        vapour=moist.history if moist else [], evaporated=moist.evaporated if moist else [],
        condensed=moist.condensed if moist else [], pane_loss=moist.pane_loss if moist else [],
        vapour_end=moist.ratio if moist else 0.0, moist_flow=moist.flows if moist else [],
    )  # fmt: skip


def _air(a, b, touch, fed, modes, waters, half, controls, outside):
    """Air at the middle of the step, heat and vent, with every store in its stated regime."""
    for g, held, mode, (liquid, ice, fusion, _) in zip(touch, fed, modes, waters):
        if mode == 0:
            f = g / (liquid + half * g)
            a += f * liquid
            b += f * held
        elif mode == 1:
            a += g
        else:
            f = g / (ice + half * g)
            a += f * ice
            b += f * (held + fusion)
    t = b / a
    power, setpoint, top, band, vent_full, vent_at, vent_band = controls
    if t < top and power > 0.0:
        return (*_heated(a, b, power, setpoint, top, band), 0.0)
    if t > vent_at:
        t, vent = _vented(a, b, vent_full, vent_at, vent_band, outside)
        return t, 0.0, vent
    return t, 0.0, 0.0


def _regimes(t, touch, fed, waters, half):
    """What each store is at the middle of the step, if the air is: 0 water, 1 melting, 2 ice."""
    held = [f + half * g * t for f, g in zip(fed, touch)]
    return [0 if heat >= 0.0 else 2 if heat <= -water[2] else 1 for heat, water in zip(held, waters)]


def _halving(a, b, touch, fed, waters, half, controls, outside):
    """The same by halving, for the rare step where regimes go in circles.

    What the air is asked for falls as it warms.
    """
    low, high = -500.0, 500.0
    for _ in range(60):
        middle = (low + high) / 2
        modes = _regimes(middle, touch, fed, waters, half)
        t, heat, vent = _air(a, b, touch, fed, modes, waters, half, controls, outside)
        low, high = (middle, high) if t > middle else (low, middle)
    return t, heat, vent, modes


def _fan(running, air, above, below, hysteresis):
    """Thermostat of the fan, read at the start of a step; it lets go ``hysteresis`` after it took hold."""
    if running:
        return air > above - hysteresis or air < below + hysteresis
    return air > above or air < below


def _heated(a, b, power, setpoint, top, band):
    """Air temperature and heat where the heater runs: full below the setpoint, less through the band."""
    t = (b + power) / a
    if t <= setpoint:
        return t, power
    t = (b + power * top / band) / (a + power / band)
    return t, power * (top - t) / band


def _vented(a, b, full, opens_at, band, outside):
    """Air temperature and vent conductance: ``x`` above the opening solves a quadratic with one root > 0."""
    slope = full / band
    linear = a + slope * (opens_at - outside)
    x = (sqrt(linear * linear + 4.0 * slope * (b - a * opens_at)) - linear) / (2.0 * slope) if slope else band
    if x < band:
        return opens_at + x, slope * x
    return (b + full * outside) / (a + full), full


class _Modes:
    """A column's own modes under the midpoint rule, with the air attached to its first layer or not."""

    def __init__(self, column, h, attached):
        n = len(column.capacity)
        matrix = np.zeros((n, n))
        for i, g in enumerate(column.inner):
            matrix[i : i + 2, i : i + 2] += g * np.array([[1.0, -1.0], [-1.0, 1.0]])
        matrix[0, 0] += column.to_outside + (column.to_air if attached else 0.0)
        matrix[-1, -1] += column.to_deep
        root = np.sqrt(np.array(column.capacity, dtype=float))
        rates, vectors = np.linalg.eigh(matrix / np.outer(root, root))
        self.shapes = vectors / root[:, None]
        self.amounts = (vectors * root[:, None]).T
        first, last, shrink = self.shapes[0], self.shapes[-1], 1.0 / (1.0 + rates * h / 2)
        self.read = (first * shrink).tolist()
        self.by_first = float(h / 2 * (first * shrink) @ first)
        self.by_last = float(h / 2 * (first * shrink) @ last)
        self.keep = (2.0 * shrink - 1.0).tolist()
        self.push = (h * shrink * first).tolist()
        self.push_deep = (h * shrink * last).tolist()


class _Chain:
    """One column on its way: its state is the list of its modes' strengths."""

    def __init__(self, column, h, temperatures, deep):
        self.column, self.fan, self.deep = column, column.fan, deep[column.name]
        self.modes = {True: _Modes(column, h, True)}
        if column.fan:
            self.modes[False] = _Modes(column, h, False)
        self.attached, self.now = True, self.modes[True]
        self.state = (self.now.amounts @ np.array(temperatures, dtype=float)).tolist()
        self.pull = column.to_air * (1.0 - column.to_air * self.now.by_first)
        self.starts, self.ends, self.flags = [], [], []

    def forward(self, k, outside, sun):
        """First layer's temperature at the middle were the air at 0 °C, times the conductance to the air [W]."""
        column, now = self.column, self.now
        self.first = column.to_outside * outside + column.sun_share * sun
        self.last = column.to_deep * self.deep[k]
        read = sum(map(mul, now.read, self.state)) + now.by_first * self.first + now.by_last * self.last
        return column.to_air * read

    def back(self, air):
        """Bring the modes to the end of the step."""
        now, state, last = self.now, self.state, self.last
        push = self.first + self.column.to_air * air if self.attached else self.first
        self.starts.append(state)
        self.state = state = [
            a * z + b * push + c * last for a, z, b, c in zip(now.keep, state, now.push, now.push_deep)
        ]
        self.ends.append(state)
        self.flags.append(self.attached)

    def switch(self, attached):
        """Take the modes apart anew when the fan starts or stops."""
        if attached != self.attached:
            temperatures = self.now.shapes @ np.array(self.state)
            self.attached, self.now = attached, self.modes[attached]
            self.state = (self.now.amounts @ temperatures).tolist()

    def temperatures(self):
        """Layers' temperatures at the middle of each step, one row a layer [°C]."""
        middle = (np.array(self.starts) + np.array(self.ends)) / 2
        result = middle @ self.modes[True].shapes.T
        if self.fan:
            at_rest = ~np.array(self.flags)
            result[at_rest] = middle[at_rest] @ self.modes[False].shapes.T
        return result.T

    def end(self):
        """Layers' temperatures at the end [°C]."""
        return (self.now.shapes @ np.array(self.state)).tolist()


class _Moisture:
    """Water vapour in the air, one step behind the air's temperature and vent, so that its heat is known exactly."""

    def __init__(self, inputs, ratio):
        self.inputs, self.humidity, self.ratio = inputs, inputs.humidity, ratio
        self.history, self.evaporated, self.condensed, self.pane_loss = [], [], [], []
        self.vent_flow, self.flows = 0.0, []

    def step(self, k, air, outside):
        """Advance the humidity over step ``k``; returns the heat the air gains by it [W] (negative while drying)."""
        inputs, humidity = self.inputs, self.humidity
        mass, ratio = humidity.air_mass / inputs.step, self.ratio
        flow = inputs.air_flow[k] + self.vent_flow
        day = inputs.light[k]
        position = (air - humidity.table_start) * 2.0
        index = int(position)
        part = position - index
        limit, wet, shone = (
            table[index] + part * (table[index + 1] - table[index])
            for table in (humidity.table, humidity.drying[day], humidity.shining[day])
        )
        shone *= inputs.shine[k]
        a = mass + flow + wet
        b = mass * ratio + flow * inputs.vapour[k] + wet * limit + shone
        new, wet_panes, cooling = b / a, [], air - inputs.pane[k]
        # The coldest pane comes first; each drips only if the air that is left is still wetter than its saturation.
        for exchange, share in humidity.panes[inputs.drawn[k]]:
            saturated = humidity.saturated(air - share * cooling)
            if new <= saturated:
                break
            a, b = a + exchange, b + exchange * saturated
            new = b / a
            wet_panes.append((saturated, exchange, share))
        fog = max(0.0, new - limit) * a
        new = min(new, limit)
        evaporated = wet * (limit - new) + shone
        dripped = [(exchange * (new - saturated), share) for saturated, exchange, share in wet_panes]
        condensed = sum(rate for rate, _ in dripped) + fog
        through = humidity.latent * sum(rate * share for rate, share in dripped)
        self.ratio = new
        self.history.append(new)
        self.evaporated.append(evaporated)
        self.condensed.append(condensed)
        self.pane_loss.append(through)
        self.flows.append(flow)
        return humidity.latent * (condensed - evaporated) - through

    def vent(self, k, conductance):
        self.vent_flow = conductance / self.inputs.specific_heat
