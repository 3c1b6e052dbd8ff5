"""The balance in continuous time for scipy's LSODA, in plain Python floats: a fair rival for the speed of a year.

The equations of ``Reference`` in tests/house/test_balance_independent.py, which works in numpy arrays; numpy's cost of
a call on a handful of numbers would be most of what is measured. What drives the house is linear between the middles
of the steps, so both get the same weather, sun and losses.
"""

import numpy as np
from scipy.integrate import solve_ivp


class Plain:
    """Right-hand side for columns, waters, heater and vent, without fan and moisture."""

    def __init__(self, prepared):
        inputs = prepared.inputs
        assert not (inputs.fan or inputs.humidity or inputs.links) and inputs.heater and inputs.vent
        self.capacity, self.step, self.last = inputs.air_capacity, inputs.step, len(inputs.outside) - 2
        self.driven = list(zip(*(np.asarray(getattr(inputs, n)).tolist() for n in ("outside", "loss", "gain", "sun"))))
        self.columns = [
            (c.to_air, c.to_outside, c.to_deep, c.sun_share, c.capacity, c.inner, len(c.capacity),
             np.asarray(inputs.deep[c.name]).tolist())
            for c in inputs.columns
        ]  # fmt: skip
        self.waters = [
            (w.liquid, w.ice, w.fusion, w.area, w.radiation, *w.convection, w.sun_share) for w in inputs.waters
        ]
        self.heater, self.vent = inputs.heater, inputs.vent

    def __call__(self, t, y):
        air, *rest = y.tolist()
        place = t / self.step - 0.5
        i = min(max(int(place), 0), self.last)
        part = place - i
        (o1, l1, g1, s1), (o2, l2, g2, s2) = self.driven[i], self.driven[i + 1]
        outside, sun = o1 + part * (o2 - o1), s1 + part * (s2 - s1)
        power, setpoint, band, _ = self.heater
        full, opens, width = self.vent
        loss = l1 + part * (l2 - l1) + full * min(1.0, max(0.0, (air - opens) / width))
        net = g1 + part * (g2 - g1) - loss * (air - outside)
        net += power * min(1.0, max(0.0, (setpoint + band - air) / band))
        rates, at = [0.0], 0
        for to_air, to_outside, to_deep, share, capacity, inner, n, deep in self.columns:
            flow = to_air * (air - rest[at])
            net -= flow
            flow += share * sun - to_outside * (rest[at] - outside)
            for j in range(n - 1):
                down = inner[j] * (rest[at] - rest[at + 1])
                rates.append((flow - down) / capacity[j])
                flow = down
                at += 1
            rates.append((flow - to_deep * (rest[at] - deep[i])) / capacity[-1])
            at += 1
        for liquid, ice, fusion, area, rays, calm, steep, share in self.waters:
            heat = rest[at]
            water = heat / liquid if heat > 0 else min(0.0, (heat + fusion) / ice)
            flow = area * (rays + (calm + steep * abs(water - air) ** (1 / 6)) ** 2) * (air - water)
            net -= flow
            rates.append(flow + share * sun)
            at += 1
        rates[0] = net / self.capacity
        return rates

    def solve(self, air, columns, heats, times):
        """Air temperature at the times [°C]."""
        y = np.concatenate([[air], *columns, heats])
        atol = np.where(np.abs(y) > 1e4, 10.0, 1e-6)
        solution = solve_ivp(self, (0.0, times[-1]), y, "LSODA", times, rtol=1e-5, atol=atol)
        assert solution.success, solution.message
        return solution.y[0]


class InArrays(Plain):
    """The same right-hand side with numpy arrays, as one writes it for readability."""

    def __call__(self, t, y):
        place = t / self.step - 0.5
        i = min(max(int(place), 0), self.last)
        low, high = np.array(self.driven[i]), np.array(self.driven[i + 1])
        outside, loss, gain, sun = low + (place - i) * (high - low)
        power, setpoint, band, _ = self.heater
        full, opens, width = self.vent
        air, at, rates = y[0], 1, []
        net = gain - (loss + full * np.clip((air - opens) / width, 0.0, 1.0)) * (air - outside)
        net += power * np.clip((setpoint + band - air) / band, 0.0, 1.0)
        for to_air, to_outside, to_deep, share, capacity, inner, n, deep in self.columns:
            layers = y[at : at + n]
            flows = np.concatenate([[0.0], np.array(inner) * -np.diff(layers), [to_deep * (layers[-1] - deep[i])]])
            flow = to_air * (air - layers[0])
            net -= flow
            flows[0] = flow + share * sun - to_outside * (layers[0] - outside)
            rates.append(-np.diff(flows) / np.array(capacity))
            at += n
        for liquid, ice, fusion, area, rays, calm, steep, share in self.waters:
            water = y[at] / liquid if y[at] > 0 else min(0.0, (y[at] + fusion) / ice)
            flow = area * (rays + (calm + steep * abs(water - air) ** (1 / 6)) ** 2) * (air - water)
            net -= flow
            rates.append([flow + share * sun])
            at += 1
        return np.concatenate([[net / self.capacity], *rates])
