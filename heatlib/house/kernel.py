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

from dataclasses import dataclass
from functools import cached_property
from math import sqrt

import numpy as np

from heatlib.house.moist_steps import MoistSteps, plain
from heatlib.house.network import Network
from heatlib.surfaces import quick_convection

__all__ = ["Column", "Humidity", "Inputs", "Steps", "Water", "march"]

NO_HEATER, NO_VENT, NO_FAN = (0.0, 0.0, 1.0, -1), (0.0, 1e9, 1.0), (1e9, -1e9, 0.0, 0.0)
"""Controls of a house that lacks them: without power, or with a threshold that is never reached."""


@dataclass(frozen=True)
class Column:
    """A chain of layers: the first meets the air, the last a deep boundary.

    ``to_air`` [W/K], ``capacity`` [J/K] and ``inner`` [W/K] between neighbours; ``to_deep`` [W/K] from the last layer
    to the deep boundary; ``to_outside`` [W/K] from the first layer to the outside air. Of the sun that comes in,
    ``sun_share`` goes into the first layer and ``sun_to_air`` from the warmed surface straight to the air. A column
    with ``fan = True`` meets the air only while the pipe fan runs.
    """

    name: str
    to_air: float
    capacity: tuple
    inner: tuple = ()
    to_deep: float = 0.0
    to_outside: float = 0.0
    sun_share: float = 0.0
    sun_to_air: float = 0.0
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

    @cached_property
    def rising(self):
        """Saturation at each node, and how much it rises to the next one [kg/kg]."""
        return _rises(self.table)

    @cached_property
    def nodes(self):
        """By night and by day, at each node: saturation, evaporation by dryness and by sun, each with its rise."""
        return [
            [(*full, *dry, *sunny) for full, dry, sunny in zip(self.rising, _rises(drying), _rises(shining))]
            for drying, shining in zip(self.drying, self.shining)
        ]

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
    """What drives each step, at its middle, as arrays (or lists) of one length, and the controls.

    ``loss`` [W/K] air to outside; ``outside`` [°C]; ``gain`` [W] into the air, whatever its temperature; ``sun`` [W]
    that came in, of which each node takes its share; ``deep`` [°C] boundary of the columns. For moisture: ``air_flow``
    [kg/s] of leaks, ``vapour`` outside [kg/kg],
    ``shine`` [W/m²] of sun on plants and soil, ``light`` 1 by day, ``pane`` [°C]
    what a pane sees outside, ``drawn`` 1 where the curtain is.
    """

    step: float
    air_capacity: float
    loss: np.ndarray
    outside: np.ndarray
    gain: np.ndarray
    sun: np.ndarray
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
    vapour: np.ndarray = ()
    shine: np.ndarray = ()
    light: np.ndarray = ()
    air_flow: np.ndarray = ()
    pane: np.ndarray = ()
    drawn: np.ndarray = ()
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
    moist: dict
    """Vapour at the end of each step, what evaporated, dripped and was carried; empty where vapour is not followed."""


def march(inputs, air, columns, water_heat, vapour=0.0, network=None):
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
    network : Network, optional
        That of these inputs, where it has been made before [–].

    Returns
    -------
    Steps
        Temperatures, heats and flows at the middles, and the end state [°C, W, J].
    """
    n = len(inputs.outside)
    h = inputs.step
    c_air = inputs.air_capacity / h
    walk = (network or Network(inputs)).start(columns)
    through = next((column.to_air for column in inputs.columns if column.fan), 0.0) / inputs.specific_heat
    waters = [(w.liquid, w.ice, w.fusion, w.sun_share) for w in inputs.waters]
    skins = [(w.area, w.radiation, *w.convection, *water) for w, water in zip(inputs.waters, waters)]
    power, setpoint, band, heated = inputs.heater or NO_HEATER
    top = setpoint + band
    vent_full, vent_at, vent_band = inputs.vent or NO_VENT
    above, below, hysteresis, fan_power = inputs.fan or NO_FAN
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
    fed, touch, held = list(state), list(gap), list(state)
    each = range(len(waters))
    fan, fan_on, now, flow, back = inputs.fan is not None, False, walk.now, walk.flow, walk.back
    weight, sixth, tank = 1.5 * c_air, 1 / 6, 0.0
    drives = zip(*map(plain, (inputs.loss, inputs.gain, inputs.outside, inputs.sun)))

    for k, (loss, gain, outside, sun) in enumerate(drives):
        if fan:
            fan_on = _fan(fan_on, start, above, below, hysteresis)
            if fan_on != walk.on:
                walk.switch(fan_on)
                now = walk.now
        a = weight + now.pull + loss
        b = c_air * (0.5 * last + start) + loss * outside + gain + flow(k)
        if k == 0:  # no middle before the first: implicit midpoint, the end extrapolated from start and middle
            a += 0.5 * c_air
            b += 0.5 * c_air * air
        if fan_on:
            out_fan[k] = 1.0
            b += fan_power
        if moist:
            pipes = (through, walk.ring_temperature()) if fan_on and through else None
            heat, wet = moist.step(k, 2.0 * start - last, pipes)
            b += heat + now.ring_read * wet
        if heated >= 0:
            feels = inputs.waters[heated].temperature(state[heated])
            tank = power if feels <= setpoint else 0.0 if feels >= top else power * (top - feels) / band

        # The regime of each store (0 water, 1 melting, 2 ice) is taken from the last step.
        total_a, total_b = a, b
        for j in each:
            size, rays, calm, steep, liquid, ice, fusion, share = skins[j]
            touch[j] = g = size * (rays + (calm + steep * abs(2.0 * gap[j] - gap_before[j]) ** sixth) ** 2)
            fed[j] = heat = state[j] + half * (share * sun + (tank if j == heated else 0.0))
            if modes[j] == 0:
                f = g / (liquid + half * g)
                total_a += f * liquid
                total_b += f * heat
            elif modes[j] == 1:
                total_a += g
            else:
                f = g / (ice + half * g)
                total_a += f * ice
                total_b += f * (heat + fusion)
        t, heat, vent = _solved(total_a, total_b, controls, outside)
        for j in each:
            held[j] = warm = fed[j] + half * touch[j] * t
            if modes[j] != (0 if warm >= 0.0 else 2 if warm <= -skins[j][6] else 1):
                # it froze or thawed in this step
                t, heat, vent, modes = _agreed(a, b, touch, fed, modes, waters, half, controls, outside)
                held = [f + half * g * t for f, g in zip(fed, touch)]
                break

        for j in each:
            g, warm, (liquid, ice, fusion, _) = touch[j], held[j], waters[j]
            if modes[j] == 0:
                tw = warm / (liquid + half * g)
            else:
                tw = 0.0 if modes[j] == 1 else (warm + fusion) / (ice + half * g)
            out_water[j][k] = tw
            gap_before[j], gap[j] = gap[j], tw - t
            state[j] += 2.0 * (fed[j] - state[j]) + h * g * (t - tw)
            out_touch[j][k] = g
        back(k, t, wet)
        if moist and (vent or moist.vent_before):
            moist.vent(vent)
        out_air[k], out_heater[k], out_vent[k] = t, heat + tank, vent
        start = 1.5 * t - 0.5 * last if k else 2.0 * t - air
        last = t

    return Steps(
        air=out_air, heater=out_heater, vent=out_vent, fan=out_fan, water=out_water,
        touch=out_touch, water_heat=state,
        column=walk.temperatures(), column_end=walk.end(), air_end=start,
        moist=moist.arrays() if moist else {},
    )  # fmt: skip


def _rises(table):
    """Each value and how much it rises to the next one; nothing is known to rise after the last."""
    return [(value, after - value) for value, after in zip(table, (*table[1:], table[-1]))]


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
    return _solved(a, b, controls, outside)


def _solved(a, b, controls, outside):
    """Air temperature, heat and vent conductance that fit together, where ``a·t = b`` but for heater and vent."""
    power, setpoint, top, band, vent_full, vent_at, vent_band = controls
    t = b / a
    if t < top and power > 0.0:
        t, heat = _heated(a, b, power, setpoint, top, band)
        return t, heat, 0.0
    if t > vent_at:
        t, vent = _vented(a, b, vent_full, vent_at, vent_band, outside)
        return t, 0.0, vent
    return t, 0.0, 0.0


def _agreed(a, b, touch, fed, modes, waters, half, controls, outside):
    """Air, heat, vent and the regimes that agree with each other: those of the air found are tried in turn."""
    for _ in range(8):
        t, heat, vent = _air(a, b, touch, fed, modes, waters, half, controls, outside)
        found = _regimes(t, touch, fed, waters, half)
        if found == modes:
            return t, heat, vent, modes
        modes = found
    return _halving(a, b, touch, fed, waters, half, controls, outside)


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
    # Solved for what is left to the top of the band: of a strong heater with a narrow one, the difference of two
    # temperatures would know the heat to a thousandth of a watt only.
    slope = power / band
    left = (a * top - b) / (a + slope)
    return top - left, slope * left


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
