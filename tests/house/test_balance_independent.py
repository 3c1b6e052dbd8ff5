"""Hold the stepping against an integrator that shares nothing with it: scipy's solve_ivp on equations written here.

The conductances of the nodes are read from the prepared house (they are tested elsewhere); the equations, the weather
between its values, freezing, thermostat, vent and fan are written anew below, for continuous time.
"""

import numpy as np
import pytest
from reference import Surfaces
from scipy.integrate import solve_ivp

from heatlib.house.balance import prepare, run
from heatlib.house.fabric import Gains
from heatlib.house.greenhouse import Floor, Greenhouse, Heater, Layer, Pipes, Place, Store, Surface, Vents
from heatlib.house.nodes import sun_shares
from heatlib.house.sampler import black_sky_loss
from heatlib.house.weather import Weather

SOURCE = "scipy.integrate.solve_ivp, LSODA, rtol 1e-6"


def weather(hours, mean, swing, start="2025-01-15T12:00", step=600.0, sun=0.0):
    """Sinusoidal air temperature, coldest at 3 in the morning; no wind's change, so that losses stay constant."""
    time = np.arange(0, hours * 3600 + 1, step)
    first = np.datetime64(start)
    clock = (first - first.astype("datetime64[D]")) / np.timedelta64(1, "h") + time / 3600
    air = mean + swing * np.cos(2 * np.pi * (clock - 15) / 24)
    day = np.clip(np.cos(2 * np.pi * (clock - 12) / 24), 0, None) * sun
    zero = np.zeros_like(time)
    return Weather(
        time=time, temperature=air, dew_point=air - 4, wind_speed=zero + 1.5, beam_normal=zero, diffuse_horizontal=day,
        global_horizontal=day, cloud=zero + 0.2, snow=zero > 0, start=first, latitude=46.5, longitude=-90.0,
        utc_offset=-6.0, elevation=350.0, name="sine",
    )  # fmt: skip


def house(**changes):
    bare = Greenhouse(
        name="test house",
        volume=50.0,
        place=Place(46.5, elevation=350.0),
        floor=Floor(area=21.6, perimeter=19.2, layers=(Layer("gravel", 0.075), Layer("eps", 0.05))),
        surfaces=(
            Surface("pane", area=24.0, tilt=40.0, u_value=3.3),
            Surface("walls", facing=0.0, area=45.0, r_value=1.8, absorptance=0.0),
        ),
        stores=(Store("drums", "barrels", 0.208, count=9, sun_share=0.3),),
    )
    return bare.changed(**changes)


class Reference:
    """Right-hand side in continuous time; the state holds temperatures, the water's heat and the flows' integrals."""

    rtol, longest = 1e-6, 300.0

    def __init__(self, prepared, sky_factor, through=None):
        self.air_fraction = sun_shares(prepared.house)["air"]
        self.surfaces = Surfaces(prepared)
        self.inputs = prepared.inputs
        self.weather = prepared.weather
        self.sky = sky_factor * black_sky_loss(self.weather)
        self.sun = np.zeros_like(self.weather.time) if through is None else through
        self.deep_time = prepared.time
        self.loss = prepared.inputs.loss[0]
        self.fan = False

    def split(self, y):
        parts, at = [], 1
        for column in self.inputs.columns:
            parts.append(y[at : at + len(column.capacity)])
            at += len(column.capacity)
        return y[0], parts, y[at : at + len(self.inputs.waters)], y[at + len(self.inputs.waters) :]

    @staticmethod
    def water_temperature(water, heat):
        if heat > 0:
            return heat / water.liquid
        if heat < -water.fusion:
            return (heat + water.fusion) / water.ice
        return 0.0

    def heating(self, air):
        if self.inputs.heater is None:
            return 0.0
        power, setpoint, band, _ = self.inputs.heater
        return power * min(1.0, max(0.0, (setpoint + band - air) / band))

    def venting(self, air):
        if self.inputs.vent is None:
            return 0.0
        full, opens, band = self.inputs.vent
        return full * min(1.0, max(0.0, (air - opens) / band))

    def __call__(self, t, y):
        air, columns, heats, _ = self.split(y)
        outside = np.interp(t, self.weather.time, self.weather.temperature)
        sun = np.interp(t, self.weather.time, self.sun)
        sky = np.interp(t, self.weather.time, self.sky)
        heater, vent = self.heating(air), self.venting(air)
        net = heater - sky - (self.loss + vent) * (air - outside) + self.air_fraction * sun
        rates = []
        for column, layers in zip(self.inputs.columns, columns):
            if column.fan:
                flow = inward = self.fan * column.to_air * (air - layers[0])
            else:
                flow, inward = self.surfaces.flows(column, air, layers[0], sun)
            net -= flow
            rate = np.zeros(len(layers))
            rate[0] += inward - column.to_outside * (layers[0] - outside)
            for i, k in enumerate(column.inner):
                between = k * (layers[i] - layers[i + 1])
                rate[i] -= between
                rate[i + 1] += between
            deep = np.interp(t, self.deep_time, self.inputs.deep[column.name])
            rate[-1] -= column.to_deep * (layers[-1] - deep)
            rates.append(rate)
        names = [column.name for column in self.inputs.columns]
        for one, i, other, j, g in self.inputs.links:
            a, b = names.index(one), names.index(other)
            passing = g * (columns[a][i] - columns[b][j])
            rates[a][i] -= passing
            rates[b][j] += passing
        rates = [rate / np.array(column.capacity) for rate, column in zip(rates, self.inputs.columns)]
        water_rates = []
        for water, heat in zip(self.inputs.waters, heats):
            tw = self.water_temperature(water, heat)
            a, b = water.convection
            g = water.area * (water.radiation + (a + b * abs(tw - air) ** (1 / 6)) ** 2)
            water_rates.append(g * (air - tw) + water.sun_share * sun)
            net -= g * (air - tw)
        if self.fan and self.inputs.fan:
            net += self.inputs.fan[3]
        pipes = [c.to_air * (air - layers[0]) for c, layers in zip(self.inputs.columns, columns) if c.fan]
        return np.concatenate(
            [
                [net / self.inputs.air_capacity],
                *rates,
                water_rates,
                [heater, vent * (air - outside), self.fan * sum(pipes)],
            ]
        )

    def turn_fan(self, air):
        above, _, hysteresis, _ = self.inputs.fan
        self.fan = air > (above - hysteresis if self.fan else above)

    def solve(self, air, columns, heats, step, times):
        """Without a fan in one go; with one from check to check of its thermostat, once a step as in a real one."""
        y = np.concatenate([[air], *columns, heats, [0.0, 0.0, 0.0]])
        settings = {
            "method": "LSODA",
            "rtol": self.rtol,
            "atol": np.where(np.abs(y) > 1e4, 10.0, 1e-6),
            "max_step": self.longest,
        }
        if not self.inputs.fan:
            end = times[-1] + step / 2
            solution = solve_ivp(self, (0.0, end), y, t_eval=np.append(times, end), **settings)
            assert solution.success, solution.message
            return solution.y[:, :-1], solution.y[-3:, -1]
        out = []
        for middle in times:
            self.turn_fan(y[0])
            solution = solve_ivp(
                self, (middle - step / 2, middle + step / 2), y, t_eval=[middle, middle + step / 2], **settings
            )
            assert solution.success, solution.message
            out.append(solution.y[:, 0])
            y = solution.y[:, -1]
        return np.array(out).T, y[-3:]


STARTS = {"air": 10.0, "floor": 8.0, "pipes": 9.0, "drums": 12.0, "bed": 11.0}


def compare(model, wx, step=300.0, gains=None, **starts):
    """Course of the library and the reference at the same moments, from the same start."""
    prepared = prepare(model, wx, step, gains=gains)
    names = {"air", *(c.name for c in prepared.inputs.columns), *(w.name for w in prepared.inputs.waters)}
    start = {name: value for name, value in (STARTS | starts).items() if name in names}
    course = prepared.run(start)
    black = np.interp(prepared.time[0], wx.time, black_sky_loss(wx))
    through = sum(gains.through.values()) if gains else None
    reference = Reference(prepared, float(prepared.fixed["sky"][0]) / black, through)
    columns = [[start[c.name]] * len(c.capacity) for c in prepared.inputs.columns]
    heats = [start[w.name] * w.liquid for w in prepared.inputs.waters]
    y, totals = reference.solve(start["air"], columns, heats, step, course.time)
    first = 1 + sum(map(len, columns))
    waters = [
        np.array([reference.water_temperature(w, h) for h in y[first + j]])
        for j, w in enumerate(prepared.inputs.waters)
    ]
    assert y.shape[1] == len(course.time)
    return course, y[0], waters, dict(zip(("heater", "vents", "pipes"), totals))


def rms(a, b):
    return float(np.sqrt(np.mean((a - b) ** 2)))


@pytest.mark.parametrize("power", [0.0, 900.0, 20e3])
def test_a_night_at_five_minutes(outside, power):
    """A January night: drums that freeze, soil, sky, and no, too little or plenty of heater."""
    model = house(heater=Heater(power, 2.0))
    course, air, waters, totals = compare(model, weather(36, -18.0, 6.0))
    why = "the issue of a five-minute step: 0.05 K anywhere after the first half hour, when the air has settled"
    late = course.time > 1800
    worst = float(np.max(np.abs(course.air - air)[late]))
    outside("house.run air", worst, 0.0, source=SOURCE, abs=0.05, why=why)
    outside(
        "house.run drums",
        float(np.max(np.abs(course.stores["drums"] - waters[0]))),
        0.0,
        source=SOURCE,
        abs=0.05,
        why=why,
    )
    if power:
        got = -course.energy["heater"]
        outside("house.run heat", got, float(totals["heater"]), source=SOURCE, rel=1e-3, why="0.1 % of the heat")
    assert course.closure < 1e-9


def test_a_night_that_freezes_the_drums_hard(outside):
    """One small drum that freezes through and goes on cooling as ice."""
    model = house(stores=(Store("drums", "barrels", 0.02, count=1, diameter=0.25, height=0.4),))
    course, air, waters, _ = compare(model, weather(60, -25.0, 3.0), drums=2.0, floor=0.5, air=2.0)
    assert course.frozen["drums"] == 1.0 and course.stores["drums"][-1] < -2
    late = course.time > 1800
    outside(
        "house.run ice", course.stores["drums"][late], waters[0][late], source=SOURCE, abs=0.05, why="night at 5 min"
    )
    outside("house.run air", course.air[late], air[late], source=SOURCE, abs=0.05, why="night at 5 min")


def sunny(wx, peak):
    return Gains({"pane": wx.diffuse_horizontal * peak}, {})


def test_a_week_with_vents(outside):
    """Mild sunny days: the vents open and close every day."""
    model = house(vents=Vents(opens_at=20.0, band=3.0, air_change_rate=25.0), heater=Heater(1500.0, 9.0))
    wx = weather(168, 4.0, 7.0, sun=600.0)
    course, air, _, totals = compare(model, wx, gains=sunny(wx, 12.0))
    assert course.energy["vents"] > 1e7 and course.energy["heater"] < -1e6
    outside("house.run week air", rms(course.air, air), 0.0, source=SOURCE, abs=0.1, why="0.1 K rms in a week")
    outside(
        "house.run vents", course.energy["vents"], float(totals["vents"]), source=SOURCE, rel=1e-3, why="0.1 % of heat"
    )
    outside("house.run heat", -course.energy["heater"], float(totals["heater"]), source=SOURCE, rel=1e-3, why="0.1 %")


def test_a_week_with_the_pipe_fan(outside):
    """The fan flips at thresholds, its thermostat read once a step here and there: energy counts, not points."""
    pipes = Pipes(length=6.0, flow=0.15, count=6, fan_power=60.0, on_above=18.0, hysteresis=4.0)
    model = house(pipes=pipes, vents=Vents(opens_at=20.0, band=3.0), heater=Heater(1500.0, 8.0))
    wx = weather(168, 0.0, 8.0, sun=600.0)
    course, air, _, totals = compare(model, wx, gains=sunny(wx, 14.0))
    assert 0.05 < course.fan.mean() < 0.95
    pipe_heat = float((course.exchange["pipes"]).sum() * course.step)
    outside("house.run fan week", rms(course.air, air), 0.0, source=SOURCE, abs=0.1, why="0.1 K rms in a week")
    outside(
        "house.run pipes",
        pipe_heat,
        float(totals["pipes"]),
        source=SOURCE,
        rel=1e-3,
        why="0.1 % of pipe heat, the thermostat read once in 5 min by both",
    )
    outside("house.run heat", -course.energy["heater"], float(totals["heater"]), source=SOURCE, rel=1e-3, why="0.1 %")


def test_a_week_of_freezing_and_thawing(outside):
    """Water that goes through 0 °C both ways, with vents and a dry bed beside it."""
    stores = (
        Store("drums", "barrels", 0.208, count=2, sun_share=0.3),
        Store("bed", "bed", 1.0, surface=4.0, material="gravel", layers=3),
    )
    model = house(stores=stores, vents=Vents(opens_at=15.0))
    wx = weather(168, -14.0, 10.0, sun=600.0)
    course, air, waters, _ = compare(model, wx, gains=sunny(wx, 6.0), drums=1.0)
    ice = course.stores["drums"] == 0.0
    assert ice.any() and not ice.all()
    outside("house.run freezing week", rms(course.air, air), 0.0, source=SOURCE, abs=0.1, why="0.1 K rms in a week")
    outside("house.run thawing", rms(course.stores["drums"], waters[0]), 0.0, source=SOURCE, abs=0.1, why="0.1 K rms")


def test_halving_the_step_quarters_the_error():
    """Second order: the drums' error against a very fine course falls by about four when the step is halved."""
    model = house(heater=None)
    wx = weather(24, -5.0, 5.0)
    start = {"air": 10.0, "floor": 10.0, "drums": 12.0}
    fine = run(model, wx, 10.0, initial=start).end["drums"]
    errors = [abs(run(model, wx, step, initial=start).end["drums"] - fine) for step in (1200.0, 600.0)]
    assert errors[1] < 0.4 * errors[0]
