"""Step many houses through the same times together: the rule of :mod:`kernel`, with numpy arrays of one value a house.

Python's cost of a step is then paid once for all houses. Each result equals that of :func:`kernel.march` but for
round-off; a test holds that. Houses may differ in all they have, except that all follow the vapour or none does.
"""

import numpy as np

from heatlib.house import kernel
from heatlib.house.moist_many import MoistMany
from heatlib.house.network import BLOCK, Network
from heatlib.house.network_many import Walks

__all__ = ["march_many"]

MOIST_ROWS = ("air_flow", "vapour", "shine", "light", "pane", "drawn")


def march_many(inputs, starts):
    """Run all steps of many houses from their starting states.

    Parameters
    ----------
    inputs : list of Inputs
        What drives each house; step and number of steps must agree [SI].
    starts : list of tuple
        Air, columns, heat of the waters and vapour of each house at the start [°C, °C, J, kg/kg].

    Returns
    -------
    iterator of Steps
        As from :func:`heatlib.house.kernel.march`, one for each house [°C, W, J].
    """
    march = _March(inputs, starts)
    # roots and quotients of houses whose vent or heater stands are worked out too, and not used
    with np.errstate(divide="ignore", invalid="ignore"):
        for k in range(march.steps):
            if k % BLOCK == 0:
                march.load(k)
            march.step(k)
    return map(march.result, range(len(inputs)))


class _March:
    """State of all houses, and what they write down."""

    def __init__(self, inputs, starts):
        self.inputs, self.steps, self.h = inputs, len(inputs[0].outside), inputs[0].step
        air, columns, heats, vapour = zip(*starts)
        self.c_air = np.array([one.air_capacity for one in inputs]) / self.h
        self.first = self.last = self.start = np.array(air)
        self.walks = Walks([Network(one) for one in inputs], columns)
        self.moist = MoistMany(inputs, vapour) if inputs[0].humidity else None
        self.controls = _Controls(inputs)
        self.waters = _Waters(inputs, heats, self.first)
        self.out = {name: np.zeros((self.steps, len(inputs))) for name in ("air", "heater", "vent", "fan")}

    def load(self, begin):
        """Bring a block of what drives the houses into arrays: one row a step, one column a house."""
        where = slice(begin, begin + BLOCK)

        def rows(name):
            return np.stack([np.asarray(getattr(one, name))[where] for one in self.inputs], axis=1)

        self.begin, self.outside, self.sun = begin, rows("outside"), rows("sun")
        loss = rows("loss")
        self.a, self.b = 1.5 * self.c_air + loss, loss * self.outside + rows("gain")
        if begin == 0:  # no middle before the first: implicit midpoint
            self.a[0] += 0.5 * self.c_air
            self.b[0] += 0.5 * self.c_air * self.first
        self.walks.load(begin)
        if self.moist:
            self.moist.load(begin, {name: rows(name) for name in MOIST_ROWS})

    def step(self, k):
        """Advance every house by one step."""
        i, walks, controls, waters = k - self.begin, self.walks, self.controls, self.waters
        if controls.any_fan:
            controls.turn_fans(self.start)
            if np.count_nonzero(controls.fan_on != walks.on):
                walks.switch(controls.fan_on)
            self.out["fan"][k] = controls.fan_on
        a = self.a[i] + walks.pull
        b = self.b[i] + self.c_air * (0.5 * self.last + self.start) + walks.flow(k) + controls.fan_heat
        wet = None
        if self.moist:
            pipes = (controls.through * controls.fan_on, walks.ring_temperature()) if controls.runs else None
            heat, wet = self.moist.step(k, 2.0 * self.start - self.last, pipes)
            b = b + heat + walks.ring_read * wet
        tank = controls.tank_heat(waters)
        waters.meet(self.sun[i], tank, self.h / 2)
        t, heat, vent = waters.agree(a, b, controls, self.outside[i], self.h / 2)
        waters.finish(k, t, self.h)
        walks.back(k, t, wet)
        if self.moist:
            self.moist.vent(vent)
        self.out["air"][k], self.out["heater"][k], self.out["vent"][k] = t, heat + np.add.reduce(tank), vent
        self.start, self.last = 1.5 * t - 0.5 * self.last if k else 2.0 * t - self.first, t

    def result(self, d):
        """What came out for one house."""
        n = len(self.inputs[d].waters)
        series = {name: values[:, d].copy() for name, values in self.out.items()}
        return kernel.Steps(
            **series, water=[w.copy() for w in self.waters.warmth[:, :n, d].T],
            touch=[w.copy() for w in self.waters.touched[:, :n, d].T], water_heat=self.waters.heat[:n, d].tolist(),
            column=self.walks.temperatures(d), column_end=self.walks.end(d), air_end=float(self.start[d]),
            moist=self.moist.arrays(d) if self.moist else {},
        )  # fmt: skip


class _Controls:
    """Heaters, vents and fans of all houses; those that a house lacks have no power, or a threshold never reached."""

    def __init__(self, inputs):
        heaters = [one.heater or kernel.NO_HEATER for one in inputs]
        power, self.setpoint, self.band, in_store = map(np.array, zip(*heaters))
        self.top = self.setpoint + self.band
        most = max(len(one.waters) for one in inputs)
        self.tank = power * (np.arange(most)[:, None] == in_store)
        self.any_tank, self.power = self.tank.any(), np.where(in_store < 0, power, 0.0)
        vents = [one.vent or kernel.NO_VENT for one in inputs]
        self.vent_full, self.vent_at, self.vent_band = map(np.array, zip(*vents))
        fans = [one.fan or kernel.NO_FAN for one in inputs]
        self.above, self.below, self.hysteresis, self.fan_power = map(np.array, zip(*fans))
        self.any_fan, self.fan_on = any(one.fan for one in inputs), np.zeros(len(inputs), bool)
        self.fan_heat, self.runs, self.nothing = np.zeros(len(inputs)), 0, np.zeros(len(inputs))
        through = [next((c.to_air for c in one.columns if c.fan), 0.0) / one.specific_heat for one in inputs]
        self.through = np.array(through)

    def of(self, d):
        """Controls of one house, as the plain kernel has them."""
        names = ("power", "setpoint", "top", "band", "vent_full", "vent_at", "vent_band")
        return tuple(float(getattr(self, name)[d]) for name in names)

    def turn_fans(self, air):
        """Read the thermostats of the fans."""
        slack = np.where(self.fan_on, self.hysteresis, 0.0)
        self.fan_on = (air > self.above - slack) | (air < self.below + slack)
        self.fan_heat, self.runs = self.fan_on * self.fan_power, np.count_nonzero(self.fan_on)

    def tank_heat(self, waters):
        """Heat into each water store from a heater of its own [W]."""
        if not self.any_tank:
            return self.tank
        return self.tank * np.clip((self.top - waters.temperature()) / self.band, 0.0, 1.0)

    def solve(self, a, b, outside):
        """Air temperature, heat and vent conductance that fit together, where ``a·t = b`` but for heater and vent."""
        t = b / a
        heat = vent = self.nothing
        cold = (t < self.top) & (self.power > 0.0)
        hot = (t > self.vent_at) & ~cold
        if np.count_nonzero(cold):
            warmed, given = self._heated(a, b)
            t, heat = np.where(cold, warmed, t), np.where(cold, given, heat)
        if np.count_nonzero(hot):
            aired, opened = self._vented(a, b, outside)
            t, vent = np.where(hot, aired, t), np.where(hot, opened, vent)
        return t, heat, vent

    def _heated(self, a, b):
        full = (b + self.power) / a
        slope, at_full = self.power / self.band, full <= self.setpoint
        left = (a * self.top - b) / (a + slope)
        return np.where(at_full, full, self.top - left), np.where(at_full, self.power, slope * left)

    def _vented(self, a, b, outside):
        slope = self.vent_full / self.vent_band
        linear, extra = a + slope * (self.vent_at - outside), b - a * self.vent_at
        root = np.sqrt(linear * linear + 4.0 * slope * extra)
        x = np.where(linear >= 0.0, 2.0 * extra / (linear + root), (root - linear) / (2.0 * slope))
        full, part = (b + self.vent_full * outside) / (a + self.vent_full), x < self.vent_band
        return np.where(part, self.vent_at + x, full), np.where(part, slope * x, self.vent_full)


class _Waters:
    """Water stores: first axis the stores of a house, second the houses; one that a house lacks has no surface."""

    def __init__(self, inputs, heats, air):
        shape = (max(len(one.waters) for one in inputs), len(inputs))
        self.all = [[(w.liquid, w.ice, w.fusion, w.sun_share) for w in one.waters] for one in inputs]
        self.area, self.rays, self.calm, self.steep, self.share, self.heat = np.zeros((6, *shape))
        self.liquid, self.ice, self.fusion = np.ones((3, *shape))
        for d, (one, held) in enumerate(zip(inputs, heats)):
            for j, (w, heat) in enumerate(zip(one.waters, held)):
                self.area[j, d], self.rays[j, d] = w.area, w.radiation
                self.share[j, d], self.heat[j, d] = w.sun_share, heat
                self.calm[j, d], self.steep[j, d] = w.convection
                self.liquid[j, d], self.ice[j, d], self.fusion[j, d] = w.liquid, w.ice, w.fusion
        self.gap = self.gap_before = self.temperature() - air
        self._take(np.zeros(shape))
        self.warmth, self.touched = np.zeros((2, len(inputs[0].outside), *shape))

    def temperature(self):
        """Temperature of each store by the heat it holds [°C]."""
        frozen = np.minimum((self.heat + self.fusion) / self.ice, 0.0)
        return np.where(self.heat >= 0.0, self.heat / self.liquid, frozen)

    def _take(self, modes):
        """Take each store for water (0), melting (1) or ice (2)."""
        self.modes, self.melting = modes, modes == 1
        self.capacity = np.where(modes == 2, self.ice, self.liquid)
        self.latent = np.where(modes == 2, self.fusion, 0.0)
        self.all_water, self.any_melting = not modes.any(), self.melting.any()

    def meet(self, sun, tank, half):
        """Work out how well each store meets the air, and what it holds by the middle of the step without the air."""
        foreseen = np.abs(2.0 * self.gap - self.gap_before)
        self.touch = self.area * (self.rays + (self.calm + self.steep * foreseen ** (1 / 6)) ** 2)
        self.fed = self.heat + half * (self.share * sun + tank)

    def agree(self, a, b, controls, outside, half):
        """Air, heat and vent, with every store in the regime of the last step or, where it changed, in its new one."""
        part = self.touch / (self.capacity + half * self.touch)
        to_a, to_b = part * self.capacity, part * (self.fed + self.latent)
        if self.any_melting:
            to_a, to_b = np.where(self.melting, self.touch, to_a), np.where(self.melting, 0.0, to_b)
        t, heat, vent = controls.solve(a + np.add.reduce(to_a), b + np.add.reduce(to_b), outside)
        self.held = self.fed + half * self.touch * t
        if self.all_water and not np.count_nonzero(self.held < 0.0):
            return t, heat, vent
        found = np.where(self.held >= 0.0, 0, np.where(self.held <= -self.fusion, 2, 1))
        changed = np.flatnonzero((found != self.modes).any(axis=0))
        if not len(changed):
            return t, heat, vent
        results = t, heat.copy(), vent.copy()
        self._agree_again(changed, results, a, b, controls, outside, half)
        return results

    def _agree_again(self, changed, results, a, b, controls, outside, half):
        """Let the plain kernel solve the few houses where something froze or thawed in this step."""
        modes = self.modes.copy()
        for d in changed:
            n = len(self.all[d])
            touch, fed = self.touch[:n, d].tolist(), self.fed[:n, d].tolist()
            *solved, agreed = kernel._agreed(
                float(a[d]), float(b[d]), touch, fed, modes[:n, d].tolist(), self.all[d], half, controls.of(d),
                float(outside[d]),
            )  # fmt: skip
            for values, value in zip(results, solved):
                values[d] = value
            modes[:n, d] = agreed
        self._take(modes)
        self.held = self.fed + half * self.touch * results[0]

    def finish(self, k, t, h):
        """Bring the stores to the end of the step, now that the air is known."""
        water = (self.held + self.latent) / (self.capacity + h / 2 * self.touch)
        water = np.where(self.melting, 0.0, water) if self.any_melting else water
        self.gap_before, self.gap = self.gap, water - t
        self.heat = 2.0 * self.fed - self.heat + h * self.touch * (t - water)
        self.warmth[k], self.touched[k] = water, self.touch
