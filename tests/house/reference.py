"""A greenhouse in continuous time, written anew for scipy's solve_ivp: nothing of the library's stepping is used.

Read from the library are numbers only: conductances and capacities of the prepared house, its tables of evaporation
and of saturated air. The equations, and the weather between its values, are those of this file: air, layers, water
that freezes, heater, vent, vapour, drips on panes and in pipes, faces in the sun, and the heat all of it carries.
"""

import numpy as np
from scipy.integrate import solve_ivp

from heatlib.house import fabric, sampler, vapour
from heatlib.house.nodes import sun_shares
from heatlib.tables import entry


class Surfaces:
    """The faces of floor and beds, each a node without heat of its own between the air and its first layer.

    It takes up its share of the sun, and has the temperature at which what comes and what goes are alike.
    """

    def __init__(self, prepared):
        house = prepared.house
        top = house.floor.layers[0] if house.floor.layers else None
        soil = next(c for c in prepared.inputs.columns if c.name == "floor").capacity[0]
        material = top.material if top else house.floor.soil
        thick = top.thickness if top else soil / volumetric_heat(material) / house.floor.area
        self.inner = {"floor": half_layer(material, thick, house.floor.area)}
        for store in house.stores:
            if store.material != "water":
                area = store.count * store.surface
                thick = store.volume / store.surface / store.layers
                self.inner[store.name] = half_layer(store.material, thick, area)
        self.shares = sun_shares(house)

    def flows(self, column, air, layer, sun):
        """Heat from the air to the face, and from the face into the first layer [W]."""
        inner = self.inner[column.name]
        film = 1 / (1 / column.to_air - 1 / inner)
        face = (film * air + inner * layer + self.shares[column.name] * sun) / (film + inner)
        return film * (air - face), inner * (face - layer)


def half_layer(material, thickness, area):
    """Conductance from the face of a layer to its middle [W/K]."""
    return 2.0 * entry("materials", material, "conductivity").value * area / thickness


def volumetric_heat(material):
    """Heat capacity of a cubic metre [J/m³K]."""
    return entry("materials", material, "density").value * entry("materials", material, "specific_heat").value


class Everything:
    """Right-hand side of the whole house; totals of heat [J] and water [kg] are carried in the state."""

    totals = ("heater", "vents", "leaks", "sky", "wet_panes", "latent_out", "evaporated", "condensed", "pipes")

    def __init__(self, prepared, gains):
        self.house, self.weather, self.inputs = prepared.house, prepared.weather, prepared.inputs
        self.time, self.step = self.weather.time, prepared.inputs.step
        # temperatures and sun: linear between the weather's values
        at = sampler.Sampler(self.weather, self.time)
        sun = fabric.skin(self.house, at, gains)
        shares = sun_shares(self.house)
        self.rows = {"outside": self.weather.temperature, "walls": sun.walls_sun, "open": 0.0 * self.time}
        self.rows["behind"] = 0.0 * self.time
        kept = fabric.sun_kept(self.house.shade, at.day, at.hour)
        for surface in self.house.surfaces:
            hung = "behind" if surface.curtain and self.house.curtain else "open"
            self.rows[hung] = self.rows[hung] + kept * gains.through.get(surface.name, 0.0)
        # curtain, wind and sky are read once a step, at its middle, as the curtain's own switch does
        at = sampler.Sampler(self.weather, prepared.time)
        skin = fabric.skin(self.house, at, gains)
        leak = skin.conductances["leaks"] + skin.conductances["door"]
        light = self.house.curtain.light if self.house.curtain else 1.0
        passed = np.where(skin.drawn, light, 1.0)
        self.held = {"loss": skin.loss, "sky": skin.sky, "leak": leak, "passed": passed}
        if self.inputs.humidity:
            extra = vapour.vapour_inputs(self.house, at, skin, shares["floor"])
            self.held |= {name: np.array(extra[name]) for name in ("vapour", "shine", "pane", "light", "drawn")}
        self.air_share, self.fan, self.surfaces = shares["air"], False, Surfaces(prepared)

    def drivers(self, t):
        k = min(int(t / self.step), len(self.held["loss"]) - 1)
        now = {name: float(np.interp(t, self.time, values)) for name, values in self.rows.items()}
        now |= {name: values[k] for name, values in self.held.items()}
        return now | {"sun": now["open"] + now["passed"] * now["behind"]}

    def __call__(self, t, y):
        inputs, now = self.inputs, self.drivers(t)
        air, w, totals = y[0], y[1], dict.fromkeys(self.totals, 0.0)
        outside = now["outside"]
        vent = 0.0
        if inputs.vent:
            full, opens, band = inputs.vent
            vent = full * min(1.0, max(0.0, (air - opens) / band))
        heater = 0.0
        if inputs.heater:
            power, setpoint, band, _ = inputs.heater
            heater = power * min(1.0, max(0.0, (setpoint + band - air) / band))
        net = heater - (now["loss"] + vent) * (air - outside) - now["sky"] + now["walls"] + self.air_share * now["sun"]
        totals |= {
            "heater": heater,
            "vents": vent * (air - outside),
            "leaks": now["leak"] * (air - outside),
            "sky": now["sky"],
        }
        rates, at, first_of = np.zeros_like(y), 2, {}
        for column in inputs.columns:
            n = len(column.capacity)
            layers, rate = y[at : at + n], np.zeros(n)
            first_of[column.name] = at
            if column.fan:
                flow = inward = column.to_air * (air - layers[0]) if self.fan else 0.0
                totals["pipes"] += flow
            else:
                flow, inward = self.surfaces.flows(column, air, layers[0], now["sun"])
            net -= flow
            rate[0] += inward + column.to_outside * (outside - layers[0])
            steps = np.array(column.inner) * np.diff(layers)
            rate[:-1] += steps
            rate[1:] -= steps
            middles = inputs.step * (np.arange(len(inputs.outside)) + 0.5)
            rate[-1] += column.to_deep * (np.interp(t, middles, inputs.deep[column.name]) - layers[-1])
            rates[at : at + n] = rate
            at += n
        for one, i, other, j, g in inputs.links:
            a, b = first_of[one] + i, first_of[other] + j
            passing = g * (y[a] - y[b])
            rates[a] -= passing
            rates[b] += passing
        for water in inputs.waters:
            heat = y[at]
            tw = heat / water.liquid if heat > 0 else min(0.0, (heat + water.fusion) / water.ice)
            c1, c2 = water.convection
            flow = water.area * (water.radiation + (c1 + c2 * abs(tw - air) ** (1 / 6)) ** 2) * (air - tw)
            net -= flow
            rates[at] = flow + water.sun_share * now["sun"]
            at += 1
        if self.fan:
            net += inputs.fan[3]
        if inputs.humidity:
            gained, dw, to_soil = self.moisture(air, w, vent, now, totals, y, first_of)
            net += gained
            rates[1] = dw
            if to_soil:
                rates[first_of["pipes"]] += to_soil
                totals["pipes"] += to_soil
        rates[0] = net / inputs.air_capacity
        at = 2
        for column in inputs.columns:
            rates[at : at + len(column.capacity)] /= column.capacity
            at += len(column.capacity)
        rates[-len(self.totals) :] = [totals[name] for name in self.totals]
        return rates

    def moisture(self, air, w, vent, now, totals, y, first_of):
        """Water in and out of the air; nothing is stepped behind here, and nothing cut off."""
        humidity, inputs = self.inputs.humidity, self.inputs
        nodes = humidity.table_start + 0.5 * np.arange(len(humidity.table))

        def saturated(temperature):
            return float(np.interp(temperature, nodes, humidity.table))

        day, drawn = int(now["light"]), int(now["drawn"])
        flow = (now["leak"] + vent) / inputs.specific_heat
        evaporated = float(np.interp(air, nodes, humidity.drying[day])) * (saturated(air) - w)
        evaporated += float(np.interp(air, nodes, humidity.shining[day])) * now["shine"]
        condensed, through, to_soil = 0.0, 0.0, 0.0
        for exchange, share in humidity.panes[drawn]:
            rate = exchange * max(0.0, w - saturated(air - share * (air - now["pane"])))
            condensed += rate
            through += humidity.latent * rate * share
        if self.fan:
            column = next(c for c in inputs.columns if c.fan)
            soil = y[first_of[column.name]]
            rate = column.to_air / inputs.specific_heat * max(0.0, w - saturated(soil)) if soil < air else 0.0
            condensed += rate
            to_soil = humidity.latent * rate
        # fog: saturated air sheds the rest within seconds, and its heat stays in the air
        fog = max(0.0, w - saturated(air)) * humidity.air_mass / 20.0
        condensed += fog
        carried = flow * (w - now["vapour"])
        totals |= {"wet_panes": through, "latent_out": humidity.latent * carried, "evaporated": evaporated,
                   "condensed": condensed}  # fmt: skip
        gained = humidity.latent * (condensed - evaporated) - through - to_soil
        return gained, (evaporated - condensed - carried) / humidity.air_mass, to_soil

    def turn_fan(self, air):
        above, below, hysteresis, _ = self.inputs.fan
        if self.fan:
            self.fan = air > above - hysteresis or air < below + hysteresis
        else:
            self.fan = air > above or air < below


def solve(prepared, start, gains, rtol=1e-6):
    """Integrate from a start ``(air, columns, waters, vapour)``; returns air, vapour, waters' heat and the totals.

    The reference stops after each step, where curtain and fan are switched and the weather may have a bend.
    """
    system = Everything(prepared, gains)
    air, columns, waters, ratio = start
    y = np.concatenate([[air, ratio], *columns, waters, np.zeros(len(Everything.totals))])
    scale = np.where(np.abs(y) > 1e4, 10.0, 1e-6)
    scale[1] = 1e-9
    scale[-len(Everything.totals) :] = 1e-3
    step = prepared.inputs.step
    rows = []
    for middle in prepared.time:
        done, until = middle - step / 2, middle + step / 2
        if prepared.inputs.fan:
            system.turn_fan(y[0])
        got = solve_ivp(system, (done, until), y, "LSODA", [middle, until], rtol=rtol, atol=scale)
        assert got.success, got.message
        rows.append(got.y[:, 0])
        y = got.y[:, 1]
    path = np.array(rows).T
    first = 2 + sum(len(c) for c in columns)
    heats = path[first : first + len(waters)]
    return path[0], path[1], heats, dict(zip(Everything.totals, y[-len(Everything.totals) :]))
