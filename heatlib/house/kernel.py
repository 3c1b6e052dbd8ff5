"""Step the balance: air, and the slow nodes behind it, by an implicit second-order rule in plain Python floats.

How a step works. Each slow node (a barrel, a layer of floor) obeys the implicit midpoint rule: its heat at the end of
the step is its heat at the start plus step times the flows *at the middle*. Given the air temperature at the middle,
each chain of nodes answers linearly, so it is eliminated onto the air node with factors that are worked out once.
What is left is one equation for the air at the middle of the step, in which heater and vent have a closed form.
Air itself, stiff and light, is stepped by the second-order backward rule on the middles (it damps whatever the step):
its value at the end of a step is extrapolated from the last two middles, which is just what makes the sum of all
flows at the middles equal the change of all stored heat, to round-off.

Plain floats matter: one ``numpy.float64`` among them makes a step three times slower.
"""

from dataclasses import dataclass, field
from math import sqrt

from heatlib.surfaces import quick_convection

__all__ = ["Column", "Humidity", "Inputs", "Steps", "Water", "march"]


@dataclass(frozen=True)
class Column:
    """A chain of layers: the first meets the air, the last a deep boundary.

    ``to_air`` [W/K], ``capacity`` [J/K] and ``inner`` [W/K] between neighbours; ``to_deep`` [W/K] from the last layer to the
    deep boundary; ``to_outside`` [W/K] from the first layer to the outside air; ``sun_share`` of the sun that comes in.
    A column with ``fan = True`` meets the air only while the pipe fan runs.
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

    ``panes`` are ``(exchange [kg/s per kg/kg], share)``, one list for open panes and one for a drawn curtain: a pane's inside
    surface lies at air − share·(air − outside equivalent), and that share of the heat of what condenses there goes straight out.
    ``table`` is the humidity ratio of saturated air each half degree from ``table_start``; ``drying`` [kg/s per kg/kg] and
    ``shining`` [kg/s per W/m²] what plants and soil evaporate by dryness and by sun, each by night and by day.
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
        return self.read(self.table, temperature)

    def read(self, table, temperature):
        """One value of a table at a temperature."""
        position = (temperature - self.table_start) * 2.0
        index = int(position)
        low = table[index]
        return low + (position - index) * (table[index + 1] - low)


@dataclass(frozen=True)
class Inputs:
    """What drives each step, at its middle, as plain lists of floats of one length, and the controls.

    ``loss`` [W/K] air to outside; ``outside`` [°C]; ``gain`` [W] into the air, whatever its temperature; ``sun`` [W] that came
    in, of which each node takes its share; ``deep`` [°C] boundary of the columns; ``air_flow`` [kg/s] of leaks, ``vapour``
    outside [kg/kg], ``shine`` [W/m²] of sun on plants and soil, ``light`` 1 by day, ``pane`` [°C] what a pane sees outside, ``drawn`` 1 where the curtain is.
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
    """Run all steps from a starting state; temperatures of ``air`` and ``columns`` [°C], ``water_heat`` [J]."""
    n = len(inputs.outside)
    h = inputs.step
    c_air = inputs.air_capacity / h
    chains = [_Chain(column, h, columns[i], inputs.deep) for i, column in enumerate(inputs.columns)]
    chains = [chain for chain in chains if chain.size]
    steady = [chain for chain in chains if not chain.fan]
    piped = [chain for chain in chains if chain.fan]
    waters = [(w.liquid, w.ice, w.fusion, w.sun_share) for w in inputs.waters]
    skins = [(w.area, w.radiation, *w.convection) for w in inputs.waters]
    power, setpoint, band, heated = inputs.heater or (0.0, 0.0, 1.0, -1)
    top = setpoint + band
    vent_full, vent_at, vent_band = inputs.vent or (0.0, 1e9, 1.0)
    above, below, hysteresis, fan_power = inputs.fan or (1e9, -1e9, 0.0, 0.0)
    moist = _Moisture(inputs, vapour) if inputs.humidity else None

    out_air, out_heater, out_vent, out_fan = [0.0] * n, [0.0] * n, [0.0] * n, [0.0] * n
    out_water, out_touch = [[0.0] * n for _ in waters], [[0.0] * n for _ in waters]
    last, start, half = air, air, h / 2
    base = 1.5 * c_air + sum(chain.pull for chain in steady)
    base_piped = sum(chain.pull for chain in piped)
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
            b += chain.forward(k, outside, sun, True)
        for chain in piped:
            b += chain.forward(k, outside, sun, fan_on)
        if fan_on:
            a += base_piped
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
        for _ in range(12):
            aa, bb = a, b
            for j in each:
                g, mode = touch[j], modes[j]
                if mode == 0:
                    liquid = waters[j][0]
                    f = g / (liquid + half * g)
                    aa += f * liquid
                    bb += f * fed[j]
                elif mode == 2:
                    ice = waters[j][1]
                    f = g / (ice + half * g)
                    aa += f * ice
                    bb += f * (fed[j] + waters[j][2])
                else:
                    aa += g
            t = bb / aa
            heat = vent = 0.0
            if heated < 0 and t < top and power > 0.0:
                t, heat = _heated(aa, bb, power, setpoint, top, band)
            elif t > vent_at:
                t, vent = _vented(aa, bb, vent_full, vent_at, vent_band, outside)
            again = False
            for j in each:
                held = fed[j] + half * touch[j] * t
                mode = 0 if held >= 0.0 else 2 if held <= -waters[j][2] else 1
                if mode != modes[j]:
                    modes[j] = mode
                    again = True
            if not again:
                break

        for j in each:
            g, (liquid, ice, fusion, _) = touch[j], waters[j]
            held, mode = fed[j] + half * g * t, modes[j]
            tw = held / (liquid + half * g) if mode == 0 else (held + fusion) / (ice + half * g) if mode == 2 else 0.0
            out_water[j][k] = tw
            gap_before[j], gap[j] = gap[j], tw - t
            state[j] += 2.0 * (fed[j] - state[j]) + h * g * (t - tw)
            out_touch[j][k] = g
        for chain in steady:
            chain.back(t, True)
        for chain in piped:
            chain.back(t, fan_on)
        if moist:
            moist.vent(k, vent)
        out_air[k], out_heater[k], out_vent[k] = t, heat + tank, vent
        start = 1.5 * t - 0.5 * last if k else 2.0 * t - air
        last = t

    return Steps(
        air=out_air, heater=out_heater, vent=out_vent, fan=out_fan, water=out_water,
        touch=out_touch, water_heat=state,
        column=[[chain.history[i::chain.size] for i in range(chain.size)] for chain in chains],
        column_end=[chain.state for chain in chains], air_end=start, air_history=last,
        vapour=moist.history if moist else [], evaporated=moist.evaporated if moist else [],
        condensed=moist.condensed if moist else [], pane_loss=moist.pane_loss if moist else [],
        vapour_end=moist.ratio if moist else 0.0, moist_flow=moist.flows if moist else [],
    )  # fmt: skip


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
    """Air temperature and vent conductance: ``x`` above the opening temperature solves a quadratic with one root > 0."""
    slope = full / band
    linear = a + slope * (opens_at - outside)
    x = (sqrt(linear * linear + 4.0 * slope * (b - a * opens_at)) - linear) / (2.0 * slope) if slope else band
    if x < band:
        return opens_at + x, slope * x
    return (b + full * outside) / (a + full), full


class _Chain:
    """One column with its elimination factors, with the air attached and (for pipes at rest) without it."""

    def __init__(self, column, h, state, deep):
        self.column, self.fan, self.size = column, column.fan, len(column.capacity)
        self.state, self.history = list(state), []
        self.deep = deep[column.name]
        self.store = [2.0 * c / h for c in column.capacity]
        inner = list(column.inner)
        diagonal = [d + g + p for d, g, p in zip(self.store, [*inner, column.to_deep], [0.0, *inner])]
        diagonal[0] += column.to_outside
        for i in range(self.size - 2, -1, -1):
            diagonal[i] -= inner[i] * inner[i] / diagonal[i + 1]
        self.diagonal = diagonal
        self.inner = inner
        self.ratio = [g / d for g, d in zip(inner, diagonal[1:])]
        self.first_with = diagonal[0] + column.to_air
        self.pull = column.to_air * (1.0 - column.to_air / self.first_with)
        self.upward = list(range(self.size - 2, -1, -1))
        self.rest = [(i + 1, self.ratio[i], diagonal[i + 1]) for i in range(self.size - 1)]

    def forward(self, k, outside, sun, attached):
        """Right-hand sides from the deep end up; returns the heat the air would get were it at 0 °C [W]."""
        column, state, store = self.column, self.state, self.store
        right = [d * t for d, t in zip(store, state)]
        right[-1] += column.to_deep * self.deep[k]
        right[0] += column.to_outside * outside + column.sun_share * sun
        ratio = self.ratio
        for i in self.upward:
            right[i] += ratio[i] * right[i + 1]
        self.right = right
        return column.to_air * right[0] / self.first_with if attached else 0.0

    def back(self, air, attached):
        """Temperatures at the middle, from the air down, and the state at the end of the step."""
        right, state = self.right, self.state
        t = (right[0] + self.column.to_air * air) / self.first_with if attached else right[0] / self.diagonal[0]
        self.history.append(t)
        state[0] = 2.0 * t - state[0]
        for i, ratio, diagonal in self.rest:
            t = right[i] / diagonal + ratio * t
            self.history.append(t)
            state[i] = 2.0 * t - state[i]


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
        limit = humidity.saturated(air)
        day = inputs.light[k]
        wet = humidity.read(humidity.drying[day], air)
        shone = inputs.shine[k] * humidity.read(humidity.shining[day], air)
        a = mass + flow + wet
        b = mass * ratio + flow * inputs.vapour[k] + wet * limit + shone
        new, wet_panes = b / a, []
        # Panes join from the coldest: each drips only if the air that is left is still wetter than its own saturation.
        panes = sorted(
            (humidity.saturated(air - share * (air - inputs.pane[k])), exchange, share)
            for exchange, share in humidity.panes[inputs.drawn[k]]
        )
        for saturated, exchange, share in panes:
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
