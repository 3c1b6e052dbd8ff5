"""Layers that hold heat, all of them as one linear network taken apart into its own modes.

Each mode decays by itself, so a step costs one sum (what the network tells the air) and one list (its new state),
however many floors, beds and rings of soil there are. What drives the layers from outside is worked out for all steps
beforehand. While the pipe fan stands, the pipes' ground is loose from the air: that is a second set of modes.
"""

from operator import mul

import numpy as np

__all__ = ["Network"]


class _Modes:
    """The network's modes under the midpoint rule, with the fan running or not."""

    def __init__(self, matrix, capacity, contact, ring, source, h):
        root = np.sqrt(capacity)
        rates, vectors = np.linalg.eigh((matrix + np.diag(contact)) / np.outer(root, root))
        self.shapes = vectors / root[:, None]
        self.amounts = (vectors * root[:, None]).T
        shrink = 1.0 / (1.0 + rates * h / 2)
        felt = contact @ self.shapes
        self.pull = float(contact.sum() - h / 2 * (felt * shrink) @ felt)
        self.read = (felt * shrink).tolist()
        self.keep = (2.0 * shrink - 1.0).tolist()
        self.push = (h * shrink * felt).tolist()
        drive = (source @ self.shapes) * (h * shrink)
        self.drive_read = (drive @ felt / 2).tolist()
        self.drive = drive.tolist()
        at_ring = self.shapes[ring]
        self.ring = at_ring.tolist()
        self.ring_push = (h * shrink * at_ring).tolist()
        self.ring_read = float(h / 2 * (shrink * at_ring) @ felt)


class Network:
    """All columns of a house on their way; the state is the list of the modes' strengths."""

    def __init__(self, inputs, temperatures, fan_on):
        self.columns = columns = inputs.columns
        sizes = [len(column.capacity) for column in columns]
        self.starts_at = at = np.concatenate([[0], np.cumsum(sizes)]).astype(int)
        n, steps = int(at[-1]), len(inputs.outside)
        matrix, source, contact = np.zeros((n, n)), np.zeros((steps, n)), {True: np.zeros(n), False: np.zeros(n)}
        outside, sun = np.array(inputs.outside, dtype=float), np.array(inputs.sun, dtype=float)
        ring = 0
        for column, first, end in zip(columns, at, at[1:]):
            for i, g in enumerate(column.inner, first):
                matrix[i : i + 2, i : i + 2] += g * np.array([[1.0, -1.0], [-1.0, 1.0]])
            matrix[first, first] += column.to_outside
            matrix[end - 1, end - 1] += column.to_deep
            source[:, first] += column.to_outside * outside + column.sun_share * sun
            source[:, end - 1] += column.to_deep * np.array(inputs.deep[column.name], dtype=float)
            contact[True][first] = column.to_air
            if column.fan:
                ring = int(first)
            else:
                contact[False][first] = column.to_air
        names = [column.name for column in columns]
        for one, layer, other, other_layer, g in inputs.links:
            i, j = at[names.index(one)] + layer, at[names.index(other)] + other_layer
            matrix[np.ix_([i, j], [i, j])] += g * np.array([[1.0, -1.0], [-1.0, 1.0]])
        capacity = np.array([c for column in columns for c in column.capacity], dtype=float)
        running = (True, False) if inputs.fan and any(column.fan for column in columns) else (False,)
        self.modes = {on: _Modes(matrix, capacity, contact[on], ring, source, inputs.step) for on in running}
        self.on = fan_on and True in self.modes
        self.now = self.modes[self.on]
        flat = [t for column in temperatures for t in column]
        self.state = (self.now.amounts @ np.array(flat, dtype=float)).tolist()
        self.starts, self.ends, self.flags = [], [], []

    def switch(self, on):
        """Take the state apart anew when the fan starts or stops."""
        if on != self.on and True in self.modes:
            temperatures = self.now.shapes @ np.array(self.state)
            self.on, self.now = on, self.modes[on]
            self.state = (self.now.amounts @ temperatures).tolist()

    def flow(self, k):
        """Heat to the air during step ``k`` were the air at 0 °C [W]."""
        return sum(map(mul, self.now.read, self.state)) + self.now.drive_read[k]

    def ring_temperature(self):
        """Temperature of the soil next to the pipes at the start of the step [°C]."""
        return sum(map(mul, self.now.ring, self.state))

    def back(self, k, air, wet=0.0):
        """Bring the modes to the end of step ``k``; ``wet`` [W] is heat of water that dripped in the pipes."""
        now, state = self.now, self.state
        self.starts.append(state)
        state = [a * z + d + p * air for a, z, d, p in zip(now.keep, state, now.drive[k], now.push)]
        if wet:
            state = [z + wet * p for z, p in zip(state, now.ring_push)]
        self.ends.append(state)
        self.flags.append(self.on)
        self.state = state

    def temperatures(self):
        """Layers' temperatures at the middle of each step, for each column one row a layer [°C]."""
        middle = (np.array(self.starts) + np.array(self.ends)) / 2
        result = middle @ self.modes[False].shapes.T
        if True in self.modes:
            ran = np.array(self.flags)
            result[ran] = middle[ran] @ self.modes[True].shapes.T
        return [result[:, a:b].T for a, b in zip(self.starts_at, self.starts_at[1:])]

    def end(self):
        """Layers' temperatures at the end, column by column [°C]."""
        flat = self.now.shapes @ np.array(self.state)
        return [flat[a:b].tolist() for a, b in zip(self.starts_at, self.starts_at[1:])]
