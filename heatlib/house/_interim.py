"""Physics that is about to arrive on the physics floor; each goes away as its own stands there."""

import math

import numpy as np

SIGMA = 5.670374419e-8


def layer_resistance(thickness, conductivity):
    return thickness / conductivity


def series(*resistances):
    return sum(resistances)


def u_value(resistance):
    return 1 / resistance


def outside_film(wind):
    return 4 + 4 * wind + 4.5


def radiation_coefficient(a, b, emissivity):
    return emissivity * 4 * SIGMA * ((a + b) / 2 + 273.15) ** 3


def glazing_u_value(name):
    return {"polycarbonate_twin_8": 3.3, "glass_single": 5.8, "glass_double": 2.9}[name]


def rays(name):
    return 0.9, 0.0


def air_heat_capacity(elevation):
    return 1.25 * 1006 * math.exp(-elevation / 8400)


def wind_factor(wind):
    return 0.4 + 0.15 * np.asarray(wind)


def door_flow(air, sample):
    return air.door_openings / 3600 * (2.0 if air.lobby else 8.0) * np.ones_like(sample.temperature)


def edge_conductance(floor):
    return floor.perimeter * (0.7 if not floor.edge_r_value else 0.35)


def pipe_ntu(pipes):
    return 1.5


def sky_exchange(weather):
    air = weather.temperature + 273.15
    dew = weather.dew_point
    emissivity = 0.711 + 0.0056 * dew + 0.000073 * dew**2
    clear = SIGMA * air**4 * (1 - emissivity)
    return clear * (1 - 0.84 * weather.cloud)


def soil_temperature(depth, day, place, soil):
    d = 2.2
    return place.ground_mean - place.ground_swing * math.exp(-depth / d) * np.cos(
        2 * np.pi / 365.25 * (day - place.coldest_day) - depth / d
    )


def gains_at(house, weather):
    return {}, {}
