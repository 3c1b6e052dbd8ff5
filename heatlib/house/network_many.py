"""The layers of many houses side by side, as arrays with one column a house; the rule is that of :mod:`network`.

Modes do not know of each other, so houses with fewer of them are filled up with modes that stay at nothing.
"""

import numpy as np

from heatlib.house.network import BLOCK

__all__ = ["Walks"]


class Walks:
    """Networks on their way together."""

    def __init__(self, networks, temperatures):
        self.networks = networks
        houses, most = len(networks), max(int(network.starts_at[-1]) for network in networks)
        self.on = np.zeros(houses, bool)
        self.pull, self.ring_read = np.zeros(houses), np.zeros(houses)
        self.loss, self.push, self.read, self.ring, self.ring_push, self.state = np.zeros((6, most, houses))
        for d, columns in enumerate(temperatures):
            self._turn(d, np.array([t for column in columns for t in column]))
        steps = len(networks[0].modes(False).drivers)
        self.layers = [np.empty((int(network.starts_at[-1]), steps)) for network in networks]
        self.steps, self.begin, self.middle = steps, 0, np.empty((BLOCK, most, houses))
        self.ran = np.empty((BLOCK, houses), bool)

    def _turn(self, d, temperatures):
        """Take the state of one house apart by the modes that hold now."""
        now = self.networks[d].modes(bool(self.on[d]))
        n = len(now.loss)
        for name in ("loss", "push", "read", "ring", "ring_push"):
            getattr(self, name)[:n, d] = getattr(now, name)
        self.pull[d], self.ring_read[d] = now.pull, now.ring_read
        self.state[:n, d] = now.amounts @ temperatures

    def _warmth(self, d):
        """Layers' temperatures of one house as they are now [°C]."""
        now = self.networks[d].modes(bool(self.on[d]))
        return now.shapes @ self.state[: len(now.loss), d]

    def switch(self, on):
        """Take the states apart anew where a fan starts or stops."""
        for d in np.flatnonzero(on != self.on):
            if self.networks[d].has_fan:
                temperatures = self._warmth(d)
                self.on[d] = on[d]
                self._turn(d, temperatures)

    def load(self, begin):
        """Make the drive of a block of steps ready, for fans that stand and, once one runs, for those that run."""
        self.begin, self.drives = begin, {}

    def _driven(self, on):
        """Drive of all houses in this block, and what the air feels of it at once."""
        if on not in self.drives:
            end, houses = min(self.begin + BLOCK, self.steps), len(self.networks)
            drive = np.zeros((end - self.begin, *self.state.shape))
            felt = np.zeros((end - self.begin, houses))
            for d, network in enumerate(self.networks):
                if network.has_fan or not on:
                    each, felt[:, d] = network.modes(on).driven(self.begin, end)
                    drive[:, : each.shape[1], d] = each
            self.drives[on] = drive, felt
        return self.drives[on]

    def _row(self, which, i):
        """Row of drive (0) or of what is felt of it (1), each house as its fan stands or runs."""
        row = self._driven(False)[which][i]
        return np.where(self.on, self._driven(True)[which][i], row) if np.count_nonzero(self.on) else row

    def flow(self, k):
        """Heat to the air of each house during step ``k`` were it at 0 °C [W]."""
        return np.einsum("md,md->d", self.read, self.state) + self._row(1, k - self.begin)

    def ring_temperature(self):
        """Temperature of the soil next to the pipes at the start of the step [°C]."""
        return np.einsum("md,md->d", self.ring, self.state)

    def back(self, k, air, wet):
        """Bring the modes to the end of step ``k``; ``wet`` [W] is heat of water that dripped in the pipes."""
        i = k - self.begin
        state = self.state + (self._row(0, i) + self.push * air - self.loss * self.state)
        if wet is not None:
            state += self.ring_push * wet
        self.middle[i], self.ran[i] = (self.state + state) / 2, self.on
        self.state = state
        if i == BLOCK - 1 or k == self.steps - 1:
            self._write(i + 1)

    def _write(self, count):
        """Turn a block of modes into layers' temperatures."""
        where = slice(self.begin, self.begin + count)
        for d, (network, layers) in enumerate(zip(self.networks, self.layers)):
            middle, ran = self.middle[:count, : len(layers), d], self.ran[:count, d]
            for on in set(ran.tolist()):
                layers[:, where][:, ran == on] = network.modes(on).shapes @ middle[ran == on].T

    def temperatures(self, d):
        """Layers' temperatures of one house at the middle of each step, as :meth:`Walk.temperatures` [°C]."""
        return self.networks[d].by_column(self.layers[d])

    def end(self, d):
        """Layers' temperatures of one house at the end, column by column [°C]."""
        return [layers.tolist() for layers in self.networks[d].by_column(self._warmth(d))]
