"""Water vapour in the air, step by step: what evaporates, what leaks and vents carry, what drips, what turns to fog."""

import numpy as np

__all__ = ["MoistSteps", "plain"]


class MoistSteps:
    """Water vapour in the air, by the same rule as the air itself.

    Air temperature and vents are foreseen from the last two steps, so that the heat of the vapour is known when the air
    is solved for; water that saturated air can't hold falls as fog and is written down as condensed.
    """

    def __init__(self, inputs, ratio):
        humidity = inputs.humidity
        self.ratio, self.last, self.vent_flow, self.vent_before = ratio, ratio, 0.0, 0.0
        self.air_flow, self.vapour, self.shine = map(plain, (inputs.air_flow, inputs.vapour, inputs.shine))
        self.light, self.outer, self.drawn = map(plain, (inputs.light, inputs.pane, inputs.drawn))
        self.panes = humidity.panes
        self.mass, self.latent = humidity.air_mass / inputs.step, humidity.latent
        self.table, self.nodes = humidity.rising, humidity.nodes
        self.offset = 2.0 * humidity.table_start
        self.most = inputs.vent[0] if inputs.vent else 0.0
        self.per_heat = 1.0 / inputs.specific_heat
        self.written = []

    def step(self, k, air, pipes=None, backward=False):
        """Advance the humidity over step ``k``; ``pipes`` is exchange [kg/s] and temperature of pipes that run.

        ``backward`` steps by the first-order rule, which never falls below nothing. Returns the heat the air gains by
        it (negative while drying) and what the pipes' soil gains [W].
        """
        mass, ratio, last, latent = self.mass, self.ratio, self.last, self.latent
        flow = self.air_flow[k] + self.vent_flow
        if backward:
            weight, held = mass, mass * ratio
        elif k:
            weight, held = 1.5 * mass, mass * (0.5 * last + ratio)
        else:
            weight, held = 2.0 * mass, 2.0 * mass * ratio
        position = 2.0 * air - self.offset
        index = int(position)
        part = position - index
        full, fuller, dry, drier, sunny, sunnier = self.nodes[self.light[k]][index]
        limit, wet = full + part * fuller, dry + part * drier
        shone = (sunny + part * sunnier) * self.shine[k]
        a = weight + flow + wet
        b = held + flow * self.vapour[k] + wet * limit + shone
        drips_a, drips_b, out_a, out_b, soil_a, soil_b = self._drips(k, air, a, b, pipes)
        a += drips_a
        new, fog = (b + drips_b) / a, 0.0
        if new > limit:
            fog = (new - limit) * a
            new = limit
        end = new if backward else 1.5 * new - 0.5 * last if k else 2.0 * new - ratio
        if end < 0.0 or new < 0.0:  # so sudden a drying that the second-order rule shoots past nothing
            return self.step(k, air, pipes, True)
        evaporated = wet * (limit - new) + shone
        condensed = fog + new * drips_a - drips_b
        through = latent * (new * out_a - out_b)
        piped = latent * (new * soil_a - soil_b)
        self.last, self.ratio = new, end
        self.written += (new, evaporated, condensed, through, piped, flow)
        return latent * (condensed - evaporated) - through - piped, piped

    def _drips(self, k, air, a, b, pipes):
        """What faces on which water settles add to ``a`` and ``b``: all of them, what goes straight out, the pipes.

        The coldest face comes first; each drips only if the air that is left is still wetter than its saturation.
        Faces warmer than the air stay dry.
        """
        cooling, table, offset, ratio = air - self.outer[k], self.table, self.offset, b / a
        drips_a = drips_b = out_a = out_b = soil_a = soil_b = 0.0
        panes = self.panes[self.drawn[k]] if cooling > 0.0 else ()
        if pipes and pipes[1] < air:
            panes = _with_pipes(panes, pipes, air, cooling)
        for exchange, share in panes:
            position = 2.0 * (pipes[1] if share is None else air - share * cooling) - offset
            index = int(position)
            low, rise = table[index]
            saturated = low + (position - index) * rise
            if ratio <= saturated:
                break
            settles = exchange * saturated
            drips_a += exchange
            drips_b += settles
            ratio = (b + drips_b) / (a + drips_a)
            if share is None:
                soil_a, soil_b = exchange, settles
            else:
                out_a += exchange * share
                out_b += settles * share
        return drips_a, drips_b, out_a, out_b, soil_a, soil_b

    def vent(self, conductance):
        """Foresee the next step's flow through the vents from their conductance [W/K] in the last two."""
        self.vent_flow = min(self.most, max(0.0, 2.0 * conductance - self.vent_before)) * self.per_heat
        self.vent_before = conductance

    def arrays(self):
        """Everything written down, by name of the kernel's result [kg/kg, kg/s, W]."""
        names = ("vapour", "evaporated", "condensed", "pane_loss", "piped", "moist_flow")
        columns = np.array(self.written).reshape(-1, len(names)).T
        return dict(zip(names, columns)) | {"vapour_end": self.ratio}


def plain(values):
    """Turn an array into a list of plain numbers, which Python steps through faster.

    Parameters
    ----------
    values : array_like
        One value a step [–].

    Returns
    -------
    list
        The same values [–].
    """
    return np.asarray(values).tolist()


def _with_pipes(panes, pipes, air, cooling):
    """Put running pipes among the panes by how cold they are; a share of ``None`` marks them."""
    exchange, soil = pipes
    before = [pane for pane in panes if pane[1] * cooling >= air - soil]
    return [*before, (exchange, None), *panes[len(before) :]]
