"""Water vapour in the air of many houses side by side; the rule is that of :mod:`moist_steps`.

Which faces drip is found without going from face to face: water settles where that leaves the air driest, so the
answer is the least over "the coldest face, the two coldest, …", without and with the pipes.
"""

import numpy as np

__all__ = ["MoistMany"]

DRY = 1e3
"""Humidity ratio said to be needed for water to settle where none can."""


class MoistMany:
    """Vapour of houses that all follow it; arrays have one value a house."""

    def __init__(self, inputs, ratios):
        humid = [one.humidity for one in inputs]
        steps, houses = len(inputs[0].outside), len(inputs)
        self.ratio = self.last = np.array(ratios)
        self.vent_flow = self.vent_before = np.zeros(houses)
        self.mass = np.array([h.air_mass / one.step for h, one in zip(humid, inputs)])
        self.latent = np.array([h.latent for h in humid])
        self.offset = np.array([2.0 * h.table_start for h in humid])
        self.most = np.array([one.vent[0] if one.vent else 0.0 for one in inputs])
        self.per_heat = np.array([1.0 / one.specific_heat for one in inputs])
        self._tables(humid)
        self._panes([h.panes for h in humid])
        names = ("vapour", "evaporated", "condensed", "pane_loss", "piped", "moist_flow")
        self.written = {name: np.zeros((steps, houses)) for name in names}

    def _tables(self, humid):
        """All tables end to end, with each house's place in them."""
        rows, tables, size = [], [], len(humid[0].table)
        for h in humid:
            tables.append(np.array(h.rising))
            rows += map(np.array, h.nodes)
        self.rows, self.size = np.concatenate(rows), size
        self.low, self.rise = np.concatenate(tables).T.copy()
        self.at_row = np.arange(len(humid)) * (len(rows) // len(humid)) * size
        self.at_table = np.arange(len(humid)) * size

    def _panes(self, lists):
        """Exchange and share of each face: first axis the list (curtain, snow), then the faces, then the houses."""
        shape = (max(map(len, lists)), max(len(group) for one in lists for group in one), len(lists))
        self.exchange, self.share = np.zeros(shape), np.zeros(shape)
        for d, one in enumerate(lists):
            for state, group in enumerate(one):
                for face, (exchange, share) in enumerate(group):
                    self.exchange[state, face, d], self.share[state, face, d] = exchange, share
        self.houses, self.nothing = np.arange(len(lists)), np.zeros(len(lists))

    def load(self, begin, rows):
        """Take over the weather of a block of steps: one row a step, one column a house."""
        self.begin, self.now = begin, rows
        self.alike = (rows["drawn"] == rows["drawn"][:, :1]).all(axis=1).tolist()

    def step(self, k, air, pipes=None):
        """Advance the humidity over step ``k``; ``pipes`` is exchange (0 where none run) and soil temperature.

        Returns the heat the air gains by it and what the pipes' soil gains [W].
        """
        i = k - self.begin
        if k:
            weight, held = 1.5 * self.mass, self.mass * (0.5 * self.last + self.ratio)
        else:
            weight, held = 2.0 * self.mass, 2.0 * self.mass * self.ratio
        flow = self.now["air_flow"][i] + self.vent_flow
        evaporation = self._evaporation(i, air)
        faces = self._faces(i, air, pipes)
        new, rates = self._solved(i, weight, held, flow, evaporation, faces)
        end = 1.5 * new - 0.5 * self.last if k else 2.0 * new - self.ratio
        dried = (end < 0.0) | (new < 0.0)
        if np.count_nonzero(dried):
            weight = np.where(dried, self.mass, weight)
            held = np.where(dried, self.mass * self.ratio, held)
            new, rates = self._solved(i, weight, held, flow, evaporation, faces)
            end = np.where(dried, new, end)
        evaporated, condensed, through, piped = rates
        self.last, self.ratio = new, end
        for name, values in zip(self.written, (new, evaporated, condensed, through, piped, flow)):
            self.written[name][k] = values
        return self.latent * (condensed - evaporated) - through - piped, piped

    def _evaporation(self, i, air):
        """Saturation, and what evaporates by dryness and by sun."""
        position = 2.0 * air - self.offset
        index = position.astype(int)
        part = position - index
        rows = self.rows[self.at_row + self.now["light"][i] * self.size + index].T
        full, dry, sunny = rows[::2] + part * rows[1::2]
        return full, dry, sunny * self.now["shine"][i]

    def _saturated(self, temperature):
        position = 2.0 * temperature - self.offset
        index = position.astype(int)
        place = self.at_table + index
        return self.low[place] + (position - index) * self.rise[place]

    def _faces(self, i, air, pipes):
        """Exchange, share, saturation there and settling of the panes; the same of the pipes, if any run."""
        drawn = self.now["drawn"][i]
        if self.alike[i]:
            exchange, share = self.exchange[drawn[0]], self.share[drawn[0]]
        else:
            exchange, share = (a[drawn, :, self.houses].T for a in (self.exchange, self.share))
        cooling = air - self.now["pane"][i]
        saturated = np.where(cooling > 0.0, self._saturated(air - share * cooling), DRY)
        soil = None
        if pipes:
            soil = pipes[0] * (pipes[1] < air), self._saturated(pipes[1])
        return exchange, share, saturated, soil

    def _solved(self, i, weight, held, flow, evaporation, faces):
        """Humidity ratio of the step; what evaporates, condenses, goes out by the panes and into the soil."""
        limit, wet, shone = evaporation
        exchange, share, saturated, (into_soil, in_soil) = *faces[:3], faces[3] or (self.nothing, DRY)
        a = weight + flow + wet
        b = held + flow * self.now["vapour"][i] + wet * limit + shone
        new = b / a
        on_panes = np.count_nonzero(saturated < new)
        if on_panes:
            a_faces = a + np.add.accumulate(exchange)
            b_faces = b + np.add.accumulate(exchange * saturated)
            if faces[3]:
                with_soil = (b_faces + into_soil * in_soil) / (a_faces + into_soil)
                new = np.minimum(new, np.minimum.reduce(with_soil))
            new = np.minimum(new, np.minimum.reduce(b_faces / a_faces))
        if faces[3]:
            new = np.minimum(new, (b + into_soil * in_soil) / (a + into_soil))
            into_soil = into_soil * (in_soil < new)
        through, all_faces = self.nothing, a + into_soil
        if on_panes:
            drips = exchange * (saturated < new)
            all_faces = all_faces + np.add.reduce(drips)
        fog = np.maximum(new - limit, 0.0) * all_faces
        new = np.minimum(new, limit)
        condensed = in_pipes = into_soil * (new - in_soil)
        if on_panes:
            rate = drips * (new - saturated)
            condensed, through = condensed + np.add.reduce(rate), self.latent * np.add.reduce(rate * share)
        return new, (wet * (limit - new) + shone, condensed + fog, through, self.latent * in_pipes)

    def vent(self, conductance):
        """Foresee the next step's flow through the vents from their conductance [W/K] in the last two."""
        flow = np.minimum(np.maximum(2.0 * conductance - self.vent_before, 0.0), self.most)
        self.vent_flow, self.vent_before = flow * self.per_heat, conductance

    def arrays(self, d):
        """Everything written down of one house, as :meth:`MoistSteps.arrays`."""
        return {name: values[:, d].copy() for name, values in self.written.items()} | {"vapour_end": self.ratio[d]}
