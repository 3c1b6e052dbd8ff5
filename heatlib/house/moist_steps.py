"""Water vapour in the air, step by step: what evaporates, what leaks and vents carry, what drips, what turns to fog."""

import numpy as np

__all__ = ["MoistSteps"]


class MoistSteps:
    """Water vapour in the air, by the same rule as the air itself.

    Air temperature and vents are foreseen from the last two steps, so that the heat of the vapour is known when the air
    is solved for; water that saturated air can't hold falls as fog and is written down as condensed.
    """

    def __init__(self, inputs, ratio):
        humidity = inputs.humidity
        self.history, self.evaporated, self.condensed, self.pane_loss, self.piped = [], [], [], [], []
        self.flows, self.ratio, self.last, self.vent_flow, self.vent_before = [], ratio, ratio, 0.0, 0.0
        panes = [[(exchange, share, share) for exchange, share in group] for group in humidity.panes]
        # columns read in every step, walked through side by side
        self.each = list(
            zip(
                inputs.air_flow,
                inputs.vapour,
                inputs.shine,
                inputs.light,
                inputs.pane,
                [panes[d] for d in inputs.drawn],
            )
        )
        self.fixed = (
            humidity.air_mass / inputs.step, humidity.latent, humidity.table, humidity.drying, humidity.shining,
            2.0 * humidity.table_start,
        )  # fmt: skip
        self.most = inputs.vent[0] if inputs.vent else 0.0
        self.per_heat = 1.0 / inputs.specific_heat

    def step(self, k, air, pipes=None, backward=False):
        """Advance the humidity over step ``k``; ``pipes`` is exchange [kg/s] and temperature of pipes that run.

        ``backward`` steps by the first-order rule, which never falls below nothing. Returns the heat the air gains by
        it (negative while drying) and what the pipes' soil gains [W].
        """
        mass, latent, table, drying, shining, start = self.fixed
        leak, vapour, shine, day, outer, panes = self.each[k]
        flow = leak + self.vent_flow
        if backward:
            weight, held = mass, mass * self.ratio
        elif k:
            weight, held = 1.5 * mass, mass * (0.5 * self.last + self.ratio)
        else:
            weight, held = 2.0 * mass, 2.0 * mass * self.ratio
        position = 2.0 * air - start
        index = int(position)
        part = position - index
        low = table[index]
        limit = low + part * (table[index + 1] - low)
        dries, shines = drying[day], shining[day]
        wet = dries[index] + part * (dries[index + 1] - dries[index])
        shone = (shines[index] + part * (shines[index + 1] - shines[index])) * shine
        a = weight + flow + wet
        b = held + flow * vapour + wet * limit + shone
        new, dripping, cooling = b / a, [], air - outer or 1e-9
        if pipes:
            panes = _with_pipes(panes, pipes, air, cooling)
        # The coldest face comes first; each drips only if the air that is left is still wetter than its saturation.
        for exchange, share, straight in panes:
            position = 2.0 * (air - share * cooling) - start
            index = int(position)
            low = table[index]
            saturated = low + (position - index) * (table[index + 1] - low)
            if new <= saturated:
                break
            a += exchange
            b += exchange * saturated
            new = b / a
            dripping.append((saturated, exchange, straight))
        fog = 0.0
        if new > limit:
            fog = (new - limit) * a
            new = limit
        end = new if backward else 1.5 * new - 0.5 * self.last if k else 2.0 * new - self.ratio
        if end < 0.0 or new < 0.0:  # so sudden a drying that the second-order rule shoots past nothing
            return self.step(k, air, pipes, True)
        evaporated = wet * (limit - new) + shone
        condensed, through, piped = fog, 0.0, 0.0
        for saturated, exchange, straight in dripping:
            rate = exchange * (new - saturated)
            condensed += rate
            if straight is None:
                piped = latent * rate
            else:
                through += rate * straight
        through *= latent
        self.last, self.ratio = new, end
        self.history.append(new)
        self.evaporated.append(evaporated)
        self.condensed.append(condensed)
        self.pane_loss.append(through)
        self.piped.append(piped)
        self.flows.append(flow)
        return latent * (condensed - evaporated) - through - piped, piped

    def vent(self, conductance):
        """Foresee the next step's flow through the vents from their conductance [W/K] in the last two."""
        self.vent_flow = min(self.most, max(0.0, 2.0 * conductance - self.vent_before)) * self.per_heat
        self.vent_before = conductance

    def arrays(self):
        """Everything written down, by name of the kernel's result [kg/kg, kg/s, W]."""
        names = ("evaporated", "condensed", "pane_loss", "piped")
        lists = {name: np.array(getattr(self, name)) for name in names}
        return lists | {
            "vapour": np.array(self.history), "moist_flow": np.array(self.flows), "vapour_end": self.ratio,
        }  # fmt: skip


def _with_pipes(panes, pipes, air, cooling):
    """Put running pipes among the panes by how cold they are; their ``None`` sends the heat to the soil."""
    exchange, soil = pipes
    if soil >= air:
        return panes
    return sorted([*panes, (exchange, (air - soil) / cooling, None)], key=lambda pane: -pane[1] * cooling)
