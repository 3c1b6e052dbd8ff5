"""Layers that hold heat, all of them as one linear network taken apart into its own modes.

Each mode decays by itself, so a step costs one sum (what the network tells the air) and one list (its new state),
however many floors, beds and rings of soil there are. What drives the layers from outside is worked out for all steps
beforehand. While the pipe fan stands, the pipes' ground is loose from the air: that is a second set of modes.
"""

from math import sqrt
from operator import mul

import numpy as np

__all__ = ["Network", "Walk"]

BLOCK = 1024
"""Steps whose drive is held as plain floats at a time: a whole year of lists would keep the garbage collector busy."""


class _Modes:
    """The network's modes under the midpoint rule, with the fan running or not."""

    def __init__(self, ways, capacity, contact, ring, drivers, places, h):
        root = np.sqrt(capacity)
        rates, vectors = _taken_apart(np.vstack([ways, np.diag(np.sqrt(contact))]) / root)
        self.shapes = vectors / root[:, None]
        self.amounts = (vectors * root[:, None]).T
        shrink = 1.0 / (1.0 + rates * h / 2)
        felt = contact @ self.shapes
        self.pull = float(contact.sum() - h / 2 * (felt * shrink) @ felt)
        self.read = (felt * shrink).tolist()
        # what a mode loses in a step, not what it keeps: a share near 1 would be rounded alike in every step
        self.loss = (h * rates * shrink).tolist()
        self.push = (h * shrink * felt).tolist()
        self.drivers, self.response = drivers, (places @ self.shapes) * (h * shrink)
        self.response_read = self.response @ felt / 2
        self.begin, self.drive, self.drive_read = -BLOCK, [], []
        at_ring = self.shapes[ring]
        self.ring = at_ring.tolist()
        self.ring_push = (h * shrink * at_ring).tolist()
        self.ring_read = float(h / 2 * (shrink * at_ring) @ felt)

    def driven(self, begin, end):
        """What drives each mode from outside in some steps, and what the air feels of that at once."""
        drivers = self.drivers[begin:end]
        return drivers @ self.response, drivers @ self.response_read

    def load(self, k):
        """Bring the block of drive with step ``k`` into plain floats; returns the step's place in it."""
        self.begin = k - k % BLOCK
        self.drive, self.drive_read = (values.tolist() for values in self.driven(self.begin, self.begin + BLOCK))
        return k - self.begin


def _taken_apart(ways):
    """Rates [1/s] at which the modes decay, and the modes, one a column.

    By the singular values of the ways of heat, not the eigenvalues of the matrix they make: these are known only to the
    round-off of the fastest, and heat would get lost between a thin layer of seconds and soil of years beside it.
    """
    _, singular, modes = np.linalg.svd(ways)
    rates = np.zeros(ways.shape[1])
    rates[: len(singular)] = singular**2
    return rates, modes.T


class Network:
    """All columns of a house, before they are sent on their way by :meth:`start`."""

    def __init__(self, inputs):
        self.columns = columns = inputs.columns
        sizes = [len(column.capacity) for column in columns]
        self.starts_at = at = np.concatenate([[0], np.cumsum(sizes)]).astype(int)
        n = int(at[-1])
        # one row a way of heat, between two nodes or out of one: ways.T @ ways is the matrix of conductances
        ways, contact, node = [], {True: np.zeros(n), False: np.zeros(n)}, np.eye(n)
        drivers, places = [inputs.outside, inputs.sun], [np.zeros(n), np.zeros(n)]
        ring = 0
        for column, first, end in zip(columns, at, at[1:]):
            ways += [sqrt(g) * (node[i] - node[i + 1]) for i, g in enumerate(column.inner, first)]
            ways.append(sqrt(column.to_outside) * node[first])
            places[0][first], places[1][first] = column.to_outside, column.sun_share
            if column.to_deep:
                ways.append(sqrt(column.to_deep) * node[end - 1])
                drivers.append(inputs.deep[column.name])
                places.append(np.zeros(n))
                places[-1][end - 1] = column.to_deep
            contact[True][first] = column.to_air
            if column.fan:
                ring = int(first)
            else:
                contact[False][first] = column.to_air
        names = [column.name for column in columns]
        for one, layer, other, other_layer, g in inputs.links:
            i, j = at[names.index(one)] + layer, at[names.index(other)] + other_layer
            ways.append(sqrt(g) * (node[i] - node[j]))
        capacity = np.array([c for column in columns for c in column.capacity])
        self.has_fan = any(column.fan for column in columns)
        driven = np.array(drivers).T, np.array(places)
        self._parts = np.array(ways), capacity, contact, ring, *driven, inputs.step
        self._modes = {}

    def modes(self, on):
        """Modes with the fan running or not, taken apart when they are first asked for."""
        if on not in self._modes:
            ways, capacity, contact, *rest = self._parts
            self._modes[on] = _Modes(ways, capacity, contact[on], *rest)
        return self._modes[on]

    def start(self, temperatures):
        """Set out from the layers' temperatures, column by column [°C]."""
        return Walk(self, [t for column in temperatures for t in column])

    def by_column(self, layers):
        """Cut an array whose first axis is all layers into those of the columns."""
        return [layers[a:b] for a, b in zip(self.starts_at, self.starts_at[1:])]


class Walk:
    """A network on its way; the state is the list of the modes' strengths."""

    def __init__(self, network, temperatures):
        self.network, self.on, self.now = network, False, network.modes(False)
        self.state = (self.now.amounts @ np.array(temperatures)).tolist()
        # flat lists of floats: thousands of small lists would keep the garbage collector busy
        self.states, self.flags, self.turned = list(self.state), [], {}

    def switch(self, on):
        """Take the state apart anew when the fan starts or stops."""
        if on != self.on and self.network.has_fan:
            temperatures = self.now.shapes @ np.array(self.state)
            self.on, self.now = on, self.network.modes(on)
            self.state = (self.now.amounts @ temperatures).tolist()
            self.turned[len(self.flags)] = self.state

    def flow(self, k):
        """Heat to the air during step ``k`` were the air at 0 °C [W]."""
        now = self.now
        i = k - now.begin
        if not 0 <= i < BLOCK:
            i = now.load(k)
        return sum(map(mul, now.read, self.state)) + now.drive_read[i]

    def ring_temperature(self):
        """Temperature of the soil next to the pipes at the start of the step [°C]."""
        return sum(map(mul, self.now.ring, self.state))

    def back(self, k, air, wet):
        """Bring the modes to the end of step ``k``, whose :meth:`flow` was asked; ``wet`` [W] dripped in the pipes."""
        now = self.now
        drive = now.drive[k - now.begin]
        state = [z + (d + p * air - a * z) for a, z, d, p in zip(now.loss, self.state, drive, now.push)]
        if wet:
            state = [z + wet * p for z, p in zip(state, now.ring_push)]
        self.states += state
        self.flags.append(self.on)
        self.state = state

    def temperatures(self):
        """Layers' temperatures at the middle of each step, for each column one row a layer [°C]."""
        states = np.array(self.states).reshape(len(self.flags) + 1, -1)
        starts, ends = states[:-1].copy(), states[1:]
        for k, state in self.turned.items():
            starts[k] = state
        middle, ran = (starts + ends) / 2, np.array(self.flags)
        result = np.empty_like(middle)
        for on in set(self.flags):
            result[ran == on] = middle[ran == on] @ self.network.modes(on).shapes.T
        return self.network.by_column(result.T)

    def end(self):
        """Layers' temperatures at the end, column by column [°C]."""
        return [layers.tolist() for layers in self.network.by_column(self.now.shapes @ np.array(self.state))]
