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

import numpy as np

from heatlib.house.moist_steps import MoistSteps
from heatlib.house.network import Network
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

    def saturated_all(self, temperatures):
        """The same for an array [kg/kg]."""
        return np.interp(temperatures, self.table_start + 0.5 * np.arange(len(self.table)), self.table)


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
    links: tuple = ()
    """(column, layer, other column, its layer, conductance [W/K]) of heat that passes between columns."""
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
    moist: dict
    """Vapour at the end of each step, what evaporated, dripped and was carried; empty where vapour is not followed."""


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
    network = Network(inputs, columns, fan_on)
    through = next((column.to_air for column in inputs.columns if column.fan), 0.0) / inputs.specific_heat
    waters = [(w.liquid, w.ice, w.fusion, w.sun_share) for w in inputs.waters]
    skins = [(w.area, w.radiation, *w.convection) for w in inputs.waters]
    power, setpoint, band, heated = inputs.heater or (0.0, 0.0, 1.0, -1)
    top = setpoint + band
    vent_full, vent_at, vent_band = inputs.vent or (0.0, 1e9, 1.0)
    above, below, hysteresis, fan_power = inputs.fan or (1e9, -1e9, 0.0, 0.0)
    controls = (power if heated < 0 else 0.0, setpoint, top, band, vent_full, vent_at, vent_band)
    moist = MoistSteps(inputs, vapour) if inputs.humidity else None
    wet = 0.0

    out_air, out_heater, out_vent, out_fan = [0.0] * n, [0.0] * n, [0.0] * n, [0.0] * n
    out_water, out_touch = [[0.0] * n for _ in waters], [[0.0] * n for _ in waters]
    last, start, half = air, air, h / 2
    modes = [0] * len(waters)
    state = list(water_heat)
    gap = [w.temperature(heat) - air for w, heat in zip(inputs.waters, state)]
    gap_before = list(gap)
    each = range(len(waters))
    loss, gain, outsides, suns, fan = inputs.loss, inputs.gain, inputs.outside, inputs.sun, inputs.fan is not None

    for k in range(n):
        outside, sun = outsides[k], suns[k]
        if fan:
            fan_on = _fan(fan_on, start, above, below, hysteresis)
            network.switch(fan_on)
        a = 1.5 * c_air + network.now.pull + loss[k]
        b = c_air * (0.5 * last + start) + loss[k] * outside + gain[k] + network.flow(k)
        if k == 0:  # no middle before the first: implicit midpoint, the end extrapolated from start and middle
            a += 0.5 * c_air
            b += 0.5 * c_air * air
        if fan_on:
            out_fan[k] = 1.0
            b += fan_power
        if moist:
            pipes = (through, network.ring_temperature()) if fan_on and through else None
            heat, wet = moist.step(k, 2.0 * start - last, pipes)
            b += heat + (network.now.ring_read * wet if wet else 0.0)
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
        network.back(k, t, wet)
        if moist:
            moist.vent(vent)
        out_air[k], out_heater[k], out_vent[k] = t, heat + tank, vent
        start = 1.5 * t - 0.5 * last if k else 2.0 * t - air
        last = t

    return Steps(
        air=out_air, heater=out_heater, vent=out_vent, fan=out_fan, water=out_water,
        touch=out_touch, water_heat=state,
        column=network.temperatures(), column_end=network.end(), air_end=start, air_history=last,
        moist=moist.arrays() if moist else {},
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
    extra = b - a * opens_at
    root = sqrt(linear * linear + 4.0 * slope * extra)
    # Of the two forms of the root the one without a difference: an almost shut vent must not lose heat in round-off.
    x = 2.0 * extra / (linear + root) if linear >= 0.0 else (root - linear) / (2.0 * slope)
    if x < band:
        return opens_at + x, slope * x
    return (b + full * outside) / (a + full), full
