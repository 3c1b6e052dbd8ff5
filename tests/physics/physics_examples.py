"""One valid call of every public function of the physics, with what each of its numbers may not be.

``test_refusals.py`` and ``test_arrays.py`` walk this table; a new public function without an entry fails there.
"""

import importlib
import inspect
import pkgutil
from collections.abc import Callable
from dataclasses import dataclass, field, fields, is_dataclass

import numpy as np

import heatlib
from heatlib import beds, floors, glazing, infiltration, pipe_soil, shade, sun, transmission

TEMPERATURE = (-61.0, 91.0)
SKY = (-273.2, 91.0)
POSITIVE = (0.0, -1.0)
NOT_NEGATIVE = (-0.01,)
SHARE = (-0.01, 1.01)
OPEN_SHARE = (0.0, -0.01, 1.01)
MOIST_AIR = (-61.0, 91.0, -41.0, 61.0)
PRESSURE = (0.0, 69e3, 106e3, -101325.0)
ANY = ()


@dataclass(frozen=True)
class Number:
    """A number among the arguments: a valid value, a second one, bad ones, and the words that a refusal calls it by."""

    value: float
    other: float
    bad: tuple = ANY
    called: str = ""
    single: bool = False
    """Whether a list is refused because the function answers for one value only."""


@dataclass(frozen=True)
class Example:
    """A valid call: ``numbers`` by argument, other arguments ``given``; ``call`` where numbers sit inside objects."""

    numbers: dict = field(default_factory=dict)
    given: dict = field(default_factory=dict)
    call: Callable | None = None
    lists: str = ""
    """``"panes"`` where panes and moments stand along different axes, ``"time"`` where lists are courses of time."""


def one(value, other, bad=ANY, called=""):
    return Number(value, other, bad, called, single=True)


def of(value, other, bad=ANY, called=""):
    return Number(value, other, bad, called)


def degrees(value, other, called=""):
    return Number(value, other, TEMPERATURE, called)


GAP = {
    "thickness": of(0.02, 0.1, (*POSITIVE, 1.1)),
    "warm": degrees(20.0, 5.0, "inside face"),
    "cold": degrees(-10.0, 12.0, "outside face"),
    "tilt": of(90.0, 30.0, (-1.0, 181.0)),
    "emissivity_1": of(0.9, 0.2, OPEN_SHARE, "emissivity"),
    "emissivity_2": of(0.9, 0.5, OPEN_SHARE, "emissivity"),
    "height": of(1.0, 0.3, (*POSITIVE, 21.0)),
}
HUMID = of(0.6, 0.95, SHARE, "relative humidity")
AIR_PRESSURE = of(101325.0, 85e3, PRESSURE, "air pressure")
MOIST = {"temperature": of(20.0, -5.0, MOIST_AIR), "relative_humidity": HUMID, "pressure": AIR_PRESSURE}
PIPE = {
    "flow": of(0.1, 0.005, (*POSITIVE, 51.0), "air flow"),
    "length": of(20.0, 5.0, (*POSITIVE, 501.0)),
    "diameter": of(0.1, 0.2, (*POSITIVE, 3.0)),
    "count": of(4.0, 1.0, (*POSITIVE, 0.5), "number of pipes"),
}
PIPE_AIR = {
    "temperature": of(15.0, 40.0, TEMPERATURE),
    "pressure": of(101325.0, 85e3, (0.0, 49e3, 111e3), "air pressure"),
}
PIPE_SOIL = {"soil_resistance": of(0.1, 1.0, (-0.01, 101.0))}
SHEET = {
    "index": of(1.526, 1.3, (0.9, 3.1), "refractive index"),
    "extinction": of(4.0, 100.0, (*NOT_NEGATIVE, 5001.0)),
    "thickness": of(0.003, 0.01, (*NOT_NEGATIVE, 0.2)),
    "covers": one(2.0, 1.0, (0.0, -1.0, 1.5, 6.0), "number of sheets"),
}
SUN = {"zenith": of(40.0, 75.0, (-1.0, 181.0), "zenith"), "azimuth": of(200.0, 120.0, (-1.0, 361.0), "azimuth")}
LIGHT = {
    "beam": of(600.0, 100.0, (-1.0, 1700.0)),
    "diffuse": of(100.0, 250.0, (-1.0, 1700.0)),
    "all_light": of(560.0, 300.0, (-1.0, 1700.0), "global"),
    "outside": of(1361.0, 1400.0, (1100.0, 1600.0), "outside the atmosphere"),
}
ELEVATION = of(0.0, 1500.0, (-291.0, 3001.0))
DOOR = {
    "width": of(0.8, 1.0, (*POSITIVE, 11.0)),
    "height": of(2.0, 1.8, (*POSITIVE, 11.0)),
    "inside": degrees(15.0, -3.0),
    "outside": degrees(-5.0, 10.0),
    "seconds": of(10.0, 20.0, (-1.0, 3601.0), "time"),
    "openings": of(6.0, 3.0, (-1.0, 1001.0)),
}
DISCHARGE = of(0.6, 0.4, OPEN_SHARE, "discharge coefficient")
FUEL_HEAT = {"useful_heat": of(3.6e8, 1e7, (-1.0, 1e14)), "efficiency": of(0.8, 0.5, OPEN_SHARE)}


def _pane_irradiance(zenith, azimuth, beam, diffuse, all_light, outside, **rest):
    sky = sun.Sky(beam, diffuse, all_light, outside)
    return sun.pane_irradiance(sun.SunPosition(zenith, azimuth), sky, **rest)


def _cloudy_sky(zenith, beam, diffuse, all_light, cloud):
    return sun.cloudy_sky(sun.Sky(beam, diffuse, all_light), sun.SunPosition(zenith, 180.0), cloud)


def _sun_through(beam, circumsolar, sky, ground, incidence, **rest):
    return transmission.sun_through(sun.PaneSun(beam, circumsolar, sky, ground, incidence), "glass", **rest)


def _tree_light(zenith, azimuth, transmittance, direction, distance, height, crown_base, crown_width):
    tree = shade.Tree(direction, distance, height, crown_base, crown_width)
    return shade.tree_light(sun.SunPosition(zenith, azimuth), tree, transmittance)


def _freezing_depth(k_frozen, c_frozen, k_thawed, c_thawed, **rest):
    from heatlib.frost import freezing_depth

    return freezing_depth(frozen=(k_frozen, c_frozen), thawed=(k_thawed, c_thawed), **rest)


def _one_piece(area, pane, share, frame):
    return glazing.pieced_u_value([(pane, area, share, frame), ("glass_single", 1.0)])


def _one_layer(function):
    return lambda thickness, **rest: function([("gravel", thickness), ("xps", 0.05)], **rest)


def _periodic(thickness, conductivity, capacity, **rest):
    return beds.periodic_response([beds.Layer(thickness, conductivity, capacity), beds.layer("sand_dry", 0.1)], **rest)


def _course(inlet, **rest):
    radii = np.array([0.05, 0.1, 0.3])
    return pipe_soil.soil_course(
        inlet, np.full(np.shape(inlet) if isinstance(inlet, np.ndarray) else (), True), radii=radii, **rest
    )


def _spread(value):
    from heatlib.materials import Spread, spread

    return spread(lambda thickness: 2 * thickness, thickness=Spread(value, value, value))


EXAMPLES = {
    "air_gap.air_gap_conductance": Example(GAP),
    "air_gap.air_gap_resistance": Example(GAP),
    "air_gap.gap_nusselt_number": Example(
        {
            "rayleigh": of(2e4, 3e5, (-1.0, 2e9), "Rayleigh"),
            "tilt": of(90.0, 75.0, (-1.0, 181.0)),
            "slenderness": of(40.0, 10.0, (0.0, -1.0, 2e4)),
        }
    ),
    "air_gap.gap_rayleigh_number": Example(
        {name: GAP[name] for name in ("thickness", "warm", "cold")}
        | {"pressure": of(101325.0, 85e3, (0.0, 49e3, 111e3), "air pressure")}
    ),
    "air_table.from_coolprop": Example(
        {
            "temperature": one(20.0, 0.0, MOIST_AIR),
            "relative_humidity": one(0.5, 0.6, SHARE, "relative humidity"),
            "pressure": one(101325.0, 85e3, PRESSURE, "air pressure"),
        },
        {"quantity": "enthalpy"},
    ),
    "beds.bed_conductivity": Example({"void_fraction": of(0.4, 0.3, SHARE)}, {"stone": "granite", "filling": "water"}),
    "beds.layer": Example({"thickness": one(0.2, 0.3, (*POSITIVE, 21.0))}, {"material": "concrete"}),
    "beds.penetration_depth": Example(
        {"diffusivity": of(7e-7, 3e-7, (*POSITIVE, 1.0)), "period_hours": of(24.0, 48.0, POSITIVE, "period")}
    ),
    "beds.periodic_response": Example(
        {
            "thickness": one(0.2, 0.3, POSITIVE),
            "conductivity": one(1.5, 1.0, POSITIVE),
            "capacity": one(2e6, 1e6, POSITIVE, "heat capacity"),
            "period_hours": one(24.0, 48.0, POSITIVE, "period"),
            "surface_resistance": one(0.13, 0.1, NOT_NEGATIVE),
            "resistance_behind": one(1.0, 2.0, POSITIVE),
        },
        call=_periodic,
    ),
    "beds.thermal_diffusivity": Example(
        {"conductivity": of(1.5, 0.5, POSITIVE), "capacity": of(2e6, 1e6, POSITIVE, "heat capacity")}
    ),
    "conduction.bridged_u_value": Example(
        {"inside": one(0.13, 0.1, (-0.01, 11.0)), "outside": one(0.04, 0.1, (-0.01, 11.0))},
        {"fractions": [0.15, 0.85], "layers": [[0.1, 0.1], [0.8, 2.5]]},
    ),
    "conduction.flow_direction": Example(
        {
            "tilt": one(0.0, 90.0, (-1.0, 181.0)),
            "inside": one(20.0, 0.0, TEMPERATURE, "temperature"),
            "outside": one(0.0, 5.0, TEMPERATURE, "temperature"),
        }
    ),
    "conduction.heat_loss": Example(
        {
            "area": of(10.0, 4.0, POSITIVE),
            "u_value": of(5.0, 0.5, NOT_NEGATIVE, "U-value"),
            "inside": degrees(20.0, 5.0),
            "outside": degrees(-10.0, 10.0),
        }
    ),
    "conduction.inside_film": Example(
        {"temperature": degrees(20.0, 5.0), "emissivity": of(0.9, 0.1, SHARE)}, {"direction": "up"}
    ),
    "conduction.layer_resistance": Example(
        {"thickness": of(0.1, 0.05, (*POSITIVE, 11.0)), "conductivity": of(0.04, 1.0, (*POSITIVE, 501.0))}
    ),
    "conduction.layer_temperatures": Example(
        {"inside": one(20.0, 5.0, TEMPERATURE), "outside": one(-10.0, 0.0, TEMPERATURE)},
        {"resistances": [0.13, 1.0, 0.04]},
    ),
    "conduction.outside_film": Example(
        {
            "wind_speed": of(4.0, 0.0, (-0.1, 61.0)),
            "temperature": degrees(0.0, 20.0),
            "emissivity": of(0.9, 0.1, SHARE),
        }
    ),
    "conduction.parallel_u_value": Example(
        {"areas": one(3.0, 1.0, NOT_NEGATIVE, "area"), "u_values": one(5.0, 1.0, NOT_NEGATIVE, "U-value")},
        call=lambda areas, u_values: _module("conduction").parallel_u_value([areas, 2.0], [u_values, 1.0]),
    ),
    "conduction.series": Example(
        {"first": of(0.13, 1.0, (-0.01, 1001.0), "resistance"), "second": of(2.0, 0.5, (-0.01, 1001.0), "resistance")},
        call=lambda first, second: _module("conduction").series(first, 0.04, second),
    ),
    "conduction.surface_resistance": Example(
        {"wind_speed": of(4.0, 1.0, (-0.1, 61.0))}, {"direction": "up", "side": "outside"}
    ),
    "conduction.u_value": Example({"resistance": of(2.0, 0.5, (*POSITIVE, 1001.0))}),
    "crops.at_risk": Example({"temperature": one(0.0, -5.0, TEMPERATURE)}, {"names": ["lettuce", "tomato"]}),
    "crops.crop": Example(given={"name": "lettuce"}),
    "crops.crop_names": Example(),
    "crops.warmest_minimum": Example(given={"names": ["lettuce", "tomato"]}),
    "curtain.curtain_edge_flow": Example(
        {
            "height": of(2.0, 1.0, (*POSITIVE, 21.0)),
            "top_gap": of(0.01, 0.05, (-0.01, 1.1)),
            "bottom_gap": of(0.01, 0.03, (-0.01, 1.1)),
            "room": degrees(10.0, 0.0),
            "behind": degrees(0.0, 5.0),
            "discharge": DISCHARGE,
        }
    ),
    "curtain.curtain_with_gaps": Example(
        {
            "u_value": one(5.8, 3.0, (*POSITIVE, 31.0), "U-value"),
            "curtain_resistance": one(0.5, 0.2, (-0.01, 21.0)),
            "height": one(2.0, 1.0, (*POSITIVE, 21.0)),
            "top_gap": one(0.01, 0.02, (-0.01, 1.1)),
            "bottom_gap": one(0.01, 0.02, (-0.01, 1.1)),
            "inside": one(10.0, 5.0, TEMPERATURE),
            "outside": one(-10.0, 0.0, TEMPERATURE),
            "gap_resistance": one(0.18, 0.2, (0.0, -0.1, 6.0)),
            "elevation": one(0.0, 500.0, (-291.0, 3001.0)),
        }
    ),
    "curtain.temperature_under_cover": Example(
        {
            "soil": degrees(8.0, 15.0),
            "air": degrees(-2.0, 5.0),
            "cover_resistance": of(0.02, 0.5, (-0.01, 21.0)),
            "soil_coefficient": of(8.0, 0.5, (*POSITIVE, 101.0)),
            "air_coefficient": of(8.0, 0.5, (*POSITIVE, 101.0)),
            "edge_flow": of(0.0, 0.001, (-0.01, 1.1)),
        }
    ),
    "curtain.window_with_curtain": Example(
        {
            "u_value": of(5.8, 3.0, (*POSITIVE, 31.0), "U-value"),
            "curtain_resistance": of(0.5, 0.2, (-0.01, 21.0)),
            "gap_resistance": of(0.18, 0.3, (0.0, -0.1, 6.0)),
            "edge_flow": of(0.0, 0.001, (-0.01, 1.1)),
            "open_share": of(0.0, 0.5, SHARE),
        }
    ),
    "floors.floor_admittance": Example(
        {"thickness": one(0.2, 0.3, POSITIVE), "period": one(86400.0, 172800.0, POSITIVE)},
        call=_one_layer(floors.floor_admittance),
    ),
    "floors.floor_day_capacity": Example(
        {"thickness": one(0.2, 0.3, POSITIVE), "period": one(86400.0, 172800.0, POSITIVE)},
        call=_one_layer(floors.floor_day_capacity),
    ),
    "floors.floor_heat_capacity": Example(
        {"thickness": one(0.2, 0.3, POSITIVE)}, call=_one_layer(floors.floor_heat_capacity)
    ),
    "floors.floor_resistance": Example(
        {"thickness": one(0.2, 0.3, POSITIVE)}, call=_one_layer(floors.floor_resistance)
    ),
    "frost.freezing_depth": Example(
        {
            "days": of(60.0, 30.0, (-1.0, 366.0), "length of the cold"),
            "surface": one(-5.0, -10.0, TEMPERATURE),
            "start": one(4.0, 8.0, (-1.0, 91.0), "before the cold"),
            "latent_heat": one(1e8, 5e7, POSITIVE),
            "k_frozen": one(2.0, 1.5, POSITIVE, "conductivity of the frozen"),
            "c_frozen": one(2e6, 1.5e6, POSITIVE, "heat capacity of the frozen"),
            "k_thawed": one(1.5, 1.0, POSITIVE, "conductivity of the thawed"),
            "c_thawed": one(2.5e6, 2e6, POSITIVE, "heat capacity of the thawed"),
        },
        call=_freezing_depth,
    ),
    "frost.freezing_index": Example(
        {"first": one(-5.0, -2.0, TEMPERATURE, "daily mean temperature")},
        call=lambda first: _module("frost").freezing_index([first, -1.0, 3.0]),
    ),
    "frost.latent_heat_of_soil": Example(
        {"dry_density": of(1600.0, 1200.0, POSITIVE), "water_content": of(0.2, 0.1, (-0.01, 6.0))}
    ),
    "frost.stefan_depth": Example(
        {
            "index": of(500.0, 100.0, (-1.0, 1e5), "freezing index"),
            "conductivity": of(2.0, 1.0, POSITIVE),
            "latent_heat": of(1e8, 5e7, POSITIVE),
        }
    ),
    "glazing.framed_u_value": Example(
        {
            "pane_area": of(1.0, 0.5, POSITIVE),
            "pane_u_value": of(5.8, 3.0, (-0.01, 31.0), "pane U-value"),
            "frame_area": of(0.2, 0.1, NOT_NEGATIVE),
            "frame_u_value": of(2.0, 5.0, (-0.01, 31.0), "frame U-value"),
            "edge_length": of(4.0, 3.0, NOT_NEGATIVE),
            "edge_conductance": of(0.05, 0.08, (-0.01, 1.1)),
        }
    ),
    "glazing.glazing_heat_flow": Example(
        {
            "inside": degrees(20.0, 5.0),
            "outside": degrees(-5.0, 10.0),
            "sky": Number(-25.0, -10.0, SKY),
            "tilt": one(20.0, 90.0, (-1.0, 181.0)),
            "wind_speed": of(4.0, 0.0, (-0.1, 61.0)),
        },
        {"name": "film_single"},
    ),
    "glazing.glazing_names": Example(),
    "glazing.glazing_resistance": Example(given={"name": "glass_single"}),
    "glazing.glazing_u_value": Example(
        {"wind_speed": of(4.0, 1.0, (-0.1, 61.0))}, {"name": "film_single", "direction": "up"}
    ),
    "glazing.pieced_u_value": Example(
        {
            "area": one(2.0, 1.0, POSITIVE),
            "share": one(0.1, 0.2, SHARE, "frame share"),
            "frame": one(2.0, 3.0, (-0.01, 31.0), "frame U-value"),
        },
        given={"pane": 5.8},
        call=_one_piece,
    ),
    "glazing.u_value_with_snow": Example(
        {"u_value": of(5.8, 3.0, (*POSITIVE, 31.0), "U-value"), "depth": of(0.1, 0.0, (-0.01, 6.0))}
    ),
    "ground.characteristic_dimension": Example(
        {"area": of(20.0, 30.0, POSITIVE), "perimeter": of(18.0, 30.0, (*POSITIVE, 1.0))}
    ),
    "ground.damping_depth": Example(
        {"diffusivity": of(6e-7, 1e-6, (*POSITIVE, 1.0)), "period": of(86400.0, 3e7, POSITIVE)}
    ),
    "ground.edge_factor": Example(given={"insulation": "uninsulated"}),
    "ground.edge_heat_loss": Example(
        {
            "perimeter": of(18.0, 30.0, NOT_NEGATIVE),
            "factor": of(1.2, 0.5, (-0.01, 11.0), "edge factor"),
            "inside": degrees(10.0, 5.0),
            "outside": degrees(-10.0, 12.0),
        }
    ),
    "ground.edge_insulation": Example(
        {
            "width": of(0.6, 1.0, (-0.01, 6.0)),
            "resistance": of(1.5, 3.0, (-0.01, 31.0)),
            "thickness": of(0.05, 0.1, (-0.01, 1.1)),
            "conductivity": of(1.5, 2.0, POSITIVE),
            "wall_thickness": of(0.3, 0.1, (-0.01, 3.0)),
            "floor_resistance": of(0.0, 1.0, (-0.01, 31.0)),
        },
        {"position": "vertical"},
    ),
    "ground.edge_swing": Example(
        {
            "conductivity": of(1.5, 2.0, POSITIVE),
            "diffusivity": of(6e-7, 1e-6, (*POSITIVE, 1.0)),
            "wall_thickness": of(0.3, 0.1, (-0.01, 3.0)),
            "floor_resistance": of(0.0, 1.0, (-0.01, 31.0)),
        }
    ),
    "ground.frost_depth": Example(
        {
            "days": of(60.0, 30.0, (-1.0, 366.0), "length of the cold"),
            "surface": degrees(-5.0, 2.0),
            "start": of(4.0, 8.0, (0.0, -1.0, 91.0), "before the cold"),
            "diffusivity": of(6e-7, 1e-6, (*POSITIVE, 1.0)),
        }
    ),
    "ground.slab_u_value": Example(
        {
            "area": of(20.0, 30.0, POSITIVE),
            "perimeter": of(18.0, 30.0, (*POSITIVE, 1.0)),
            "conductivity": of(1.5, 2.0, POSITIVE),
            "wall_thickness": of(0.3, 0.1, (-0.01, 3.0)),
            "floor_resistance": of(0.0, 2.0, (-0.01, 31.0)),
            "edge": of(-0.05, 0.0, (0.1, -11.0)),
        }
    ),
    "ground.soil_diffusivity": Example(given={"material": "soil_moist"}),
    "ground.soil_temperature": Example(
        {
            "depth": of(1.0, 0.0, (-0.01, 51.0)),
            "day_of_year": of(30.0, 200.0, (-1.0,), "day of year"),
            "mean": of(9.0, 5.0, (-31.0, 41.0)),
            "amplitude": of(11.0, 8.0, (-0.1, 41.0)),
            "coldest_day": of(35.0, 20.0, (0.0, 367.0)),
            "diffusivity": of(6e-7, 1e-6, (*POSITIVE, 1.0)),
        }
    ),
    "ground.wave_lag": Example(
        {
            "depth": of(1.0, 0.0, (-0.01, 51.0)),
            "diffusivity": of(6e-7, 1e-6, (*POSITIVE, 1.0)),
            "period": of(86400.0, 3e7, POSITIVE),
        }
    ),
    "infiltration.air_change_heat_loss": Example(
        {
            "volume": of(40.0, 20.0, POSITIVE),
            "air_change_rate": of(2.0, 0.0, NOT_NEGATIVE),
            "inside": degrees(10.0, 5.0),
            "outside": degrees(-10.0, 8.0),
            "elevation": ELEVATION,
        }
    ),
    "infiltration.air_density": Example({"temperature": degrees(20.0, -10.0), "elevation": ELEVATION}),
    "infiltration.air_flow_heat_loss": Example(
        {
            "flow": of(0.1, 0.0, (-0.01, 1001.0)),
            "inside": degrees(10.0, 5.0),
            "outside": degrees(-10.0, 8.0),
            "elevation": ELEVATION,
        }
    ),
    "infiltration.door_flow": Example({**DOOR, "discharge": DISCHARGE}),
    "infiltration.leakage_flow": Example(
        {
            "leakage_area": of(0.05, 0.1, (-0.01, 101.0)),
            "inside": degrees(10.0, 5.0),
            "outside": degrees(-10.0, 8.0),
            "wind_speed": of(4.0, 0.0, (-0.1, 61.0)),
        }
    ),
    "infiltration.lobby_flow": Example({**DOOR, "lobby_volume": of(3.0, 6.0, POSITIVE), "discharge": DISCHARGE}),
    "infiltration.stack_wind_flow": Example(
        {
            "area": of(0.5, 0.2, NOT_NEGATIVE),
            "height": of(1.5, 2.0, (-0.01, 51.0)),
            "inside": degrees(25.0, 5.0),
            "outside": degrees(10.0, 8.0),
            "wind_speed": of(2.0, 0.0, (-0.1, 61.0)),
            "discharge": DISCHARGE,
            "wind_effect": of(0.3, 0.2, SHARE),
        }
    ),
    "infiltration.tightness_air_change_rate": Example(given={"name": infiltration.tables.keys("tightness")[0]}),
    "infiltration.ventilation_for_humidity": Example(
        {
            "vapour_flow": of(1e-4, 0.0, NOT_NEGATIVE),
            "inside_humidity_ratio": of(0.012, 0.01, (-0.01, 0.3)),
            "outside_humidity_ratio": of(0.004, 0.006, (-0.01, 0.3)),
            "density": of(1.2, 1.1, POSITIVE),
        }
    ),
    "infiltration.ventilation_for_temperature": Example(
        {
            "heat_gain": of(5000.0, 100.0, NOT_NEGATIVE),
            "conductance": of(100.0, 50.0, NOT_NEGATIVE),
            "inside": degrees(25.0, 30.0),
            "outside": degrees(15.0, 10.0),
            "elevation": ELEVATION,
        }
    ),
    "infiltration.water_equivalent": Example(
        {
            "heat_flow": of(500.0, 100.0, NOT_NEGATIVE),
            "hours": of(12.0, 6.0, (-0.1, 1e5), "time"),
            "cooling": of(10.0, 5.0, (*POSITIVE, 91.0)),
        }
    ),
    "materials.material": Example(given={"name": "gravel"}),
    "materials.material_names": Example(),
    "materials.spread": Example({"value": one(0.1, 0.2, ANY, "thickness")}, call=_spread),
    "moist_air.density": Example(MOIST),
    "moist_air.dew_point": Example({**MOIST, "relative_humidity": of(0.6, 0.95, (-0.01, 0.0, 1.01))}),
    "moist_air.enthalpy": Example(MOIST),
    "moist_air.humidity_ratio": Example(MOIST),
    "moist_air.pressure_at": Example({"elevation": ELEVATION}),
    "moist_air.relative_humidity": Example(
        {
            "temperature": of(20.0, 15.0, MOIST_AIR),
            "humidity_ratio": of(0.007, 0.002, (-0.01, 1.01)),
            "pressure": AIR_PRESSURE,
        }
    ),
    "moist_air.saturation_humidity_ratio": Example({"temperature": MOIST["temperature"], "pressure": AIR_PRESSURE}),
    "moist_air.saturation_pressure": Example({"temperature": MOIST["temperature"]}),
    "moist_air.specific_volume": Example(MOIST),
    "moist_air.wet_bulb": Example(MOIST),
    "moisture.condensation_rate": Example(
        {
            "surface": of(2.0, 12.0, MOIST_AIR, "temperature"),
            "air": of(15.0, 10.0, MOIST_AIR, "temperature"),
            "relative_humidity": HUMID,
            "convection": of(3.0, 5.0, (-0.1, 501.0)),
            "pressure": AIR_PRESSURE,
        }
    ),
    "moisture.condensed_water": Example(
        {
            "hours": of(10.0, 5.0, (-0.1, 49.0), "duration"),
            "volume": of(40.0, 20.0, POSITIVE),
            "pane_area": of(30.0, 20.0, POSITIVE),
            "surface": of(2.0, 12.0, MOIST_AIR, "temperature"),
            "inside": of(15.0, 10.0, MOIST_AIR, "temperature"),
            "relative_humidity": HUMID,
            "evaporation": of(0.1, 1.0, NOT_NEGATIVE),
            "convection": of(3.0, 5.0, (0.0, -0.1, 501.0)),
            "pressure": AIR_PRESSURE,
        }
    ),
    "moisture.evaporation_heat": Example({"temperature": degrees(20.0, -10.0)}),
    "moisture.evaporation_rate": Example(
        {
            "temperature": of(20.0, 30.0, (-1.0, 61.0)),
            "relative_humidity": HUMID,
            "net_radiation": of(200.0, -20.0, (-201.0, 1001.0)),
            "surface_resistance": of(70.0, 200.0, NOT_NEGATIVE),
            "aerodynamic_resistance": of(200.0, 100.0, POSITIVE),
            "exchange_area": of(1.0, 2.0, POSITIVE),
            "pressure": AIR_PRESSURE,
        }
    ),
    "moisture.pane_drip": Example(
        {
            "u_value": of(5.8, 1.1, (*POSITIVE, 21.0), "U-value"),
            "inside": of(15.0, 10.0, MOIST_AIR, "temperature"),
            "relative_humidity": of(0.8, 0.5, SHARE),
            "outside": degrees(-10.0, 5.0),
            "convection": of(3.0, 5.0, (-0.1, 501.0)),
            "surface_resistance": of(0.13, 0.1, (*POSITIVE, 1.1)),
            "pressure": AIR_PRESSURE,
        }
    ),
    "moisture.pane_surface_temperature": Example(
        {
            "u_value": of(5.8, 1.1, (*POSITIVE, 21.0), "U-value"),
            "inside": degrees(15.0, 10.0),
            "outside": degrees(-10.0, 5.0),
            "surface_resistance": of(0.13, 0.1, (*POSITIVE, 1.1)),
        }
    ),
    "moisture.vapour_flow": Example(
        {
            "surface": of(2.0, 12.0, MOIST_AIR, "temperature"),
            "air": of(15.0, 10.0, MOIST_AIR, "temperature"),
            "relative_humidity": HUMID,
            "convection": of(3.0, 5.0, (-0.1, 501.0)),
            "pressure": AIR_PRESSURE,
        }
    ),
    "moisture.ventilation_loss": Example(
        {
            "volume": of(40.0, 20.0, (-1.0,)),
            "air_change_rate": of(2.0, 0.5, (-0.1, 201.0), "air changes"),
            "inside": of(15.0, 10.0, MOIST_AIR, "temperature"),
            "inside_humidity": of(0.8, 0.5, SHARE, "humidity"),
            "outside": of(-5.0, 8.0, MOIST_AIR, "temperature"),
            "outside_humidity": of(0.9, 0.6, SHARE, "humidity"),
            "pressure": AIR_PRESSURE,
        }
    ),
    "other_heat.barrel_heater": Example(
        {
            "power": of(300.0, 0.0, NOT_NEGATIVE),
            "setpoint": of(25.0, 15.0, (-61.0, -1.0, 91.0)),
            "room": degrees(5.0, 20.0),
            "conductance": of(20.0, 5.0, POSITIVE),
        }
    ),
    "other_heat.cable_bed": Example(
        {
            "power_per_area": of(100.0, 0.0, NOT_NEGATIVE, "power"),
            "room": degrees(5.0, 10.0),
            "ground": degrees(8.0, 4.0),
            "resistance_up": of(0.2, 0.3, POSITIVE, "resistance upward"),
            "resistance_down": of(1.0, 2.0, POSITIVE, "resistance downward"),
        }
    ),
    "other_heat.carbon_dioxide": Example(FUEL_HEAT, {"fuel": "propane"}),
    "other_heat.compost_heat": Example(
        {
            "dry_mass": of(500.0, 200.0, NOT_NEGATIVE),
            "days": of(60.0, 30.0, POSITIVE, "duration"),
            "heat_per_dry_mass": of(1e6, 5e6, NOT_NEGATIVE),
        }
    ),
    "other_heat.compost_radiator": Example(
        {
            "heap_heat": of(500.0, 100.0, NOT_NEGATIVE, "heat of the heap"),
            "heap_temperature": degrees(50.0, 10.0),
            "room": degrees(10.0, 20.0),
            "conductance": of(10.0, 20.0, NOT_NEGATIVE),
        }
    ),
    "other_heat.electric_heat": Example(
        {
            "power": of(1000.0, 60.0, NOT_NEGATIVE),
            "share_of_time": of(0.5, 1.0, SHARE),
            "light_lost": of(0.1, 0.0, SHARE, "light lost"),
        }
    ),
    "other_heat.fuel_needed": Example(FUEL_HEAT, {"fuel": "propane"}),
    "other_heat.people_heat": Example({"count": of(3.0, 1.0, NOT_NEGATIVE, "number of people")}),
    "other_heat.useful_heat_price": Example(
        {"price_per_unit": of(1.2, 0.8, NOT_NEGATIVE, "price"), "efficiency": of(0.8, 0.5, OPEN_SHARE)},
        {"fuel": "propane"},
    ),
    "other_heat.warm_up_hours": Example(
        {
            "power": of(1500.0, 300.0, NOT_NEGATIVE),
            "heat_capacity": of(8e5, 4e5, POSITIVE),
            "start": of(5.0, 10.0, (-1.0, 91.0)),
            "goal": of(25.0, 15.0, (-1.0, 91.0), "wanted temperature"),
            "room": degrees(5.0, 0.0),
            "conductance": of(10.0, 20.0, POSITIVE),
        }
    ),
    "pipe_soil.ring_capacities": Example(
        {"density": one(1600.0, 1800.0, POSITIVE), "specific_heat": one(1000.0, 1200.0, POSITIVE)},
        {"radii": [0.05, 0.1, 0.3]},
    ),
    "pipe_soil.ring_conductances": Example({"conductivity": one(1.5, 1.0, POSITIVE)}, {"radii": [0.05, 0.1, 0.3]}),
    "pipe_soil.share_radius": Example(
        {"spacing": of(0.5, 0.3, POSITIVE), "depth_spacing": of(0.4, 0.6, POSITIVE, "height of soil")}
    ),
    "pipe_soil.soil_course": Example(
        {
            "inlet": one(30.0, 25.0, TEMPERATURE, "air drawn in"),
            "step": one(3600.0, 600.0, POSITIVE, "time step"),
            "capacity_flow": one(30.0, 20.0, POSITIVE),
            "ntu": one(1.5, 1.0, POSITIVE, "transfer units"),
            "length": one(15.0, 10.0, POSITIVE),
            "first_store": one(4e4, 5e4, POSITIVE, "heat capacities"),
            "first_way": one(20.0, 10.0, POSITIVE, "conductances"),
            "start": one(12.0, 8.0, TEMPERATURE),
        },
        call=lambda first_store, first_way, **rest: _course(
            capacities=[first_store, 3e5], conductances=[first_way, 8.0], **rest
        ),
        lists="time",
    ),
    "pipe_soil.soil_rings": Example(
        {
            "diameter": one(0.1, 0.15, POSITIVE),
            "outer_radius": one(0.4, 0.5, (0.0, -1.0, 0.01), "radius"),
            "count": one(8.0, 4.0, (0.0, -1.0, 2.5), "number of rings"),
        }
    ),
    "pipe_soil.soil_warming": Example(
        {
            "heat": of(20.0, -10.0, (-1001.0, 1001.0)),
            "distance": of(0.2, 0.5, POSITIVE),
            "hours": of(10.0, 100.0, POSITIVE, "running time"),
            "conductivity": of(1.5, 1.0, POSITIVE),
            "diffusivity": of(6e-7, 1e-6, (*POSITIVE, 1.0)),
            "spacing": of(0.5, 1.0, POSITIVE),
            "neighbours": one(2.0, 1.0, (-1.0, 1.5, 501.0)),
        }
    ),
    "pipes.effectiveness": Example({"ntu": of(1.0, 0.0, NOT_NEGATIVE, "transfer units")}),
    "pipes.fan_power": Example(
        {
            "flow": of(0.1, 0.0, NOT_NEGATIVE),
            "pressure_drop": of(50.0, 100.0, NOT_NEGATIVE),
            "efficiency": of(0.25, 0.5, OPEN_SHARE),
        }
    ),
    "pipes.pipe_conductance": Example({**PIPE, **PIPE_AIR, **PIPE_SOIL}),
    "pipes.pipe_flow": Example(
        {
            "inlet": of(30.0, 40.0, TEMPERATURE, "temperature"),
            "soil": of(12.0, 5.0, TEMPERATURE, "temperature"),
            **PIPE,
            "relative_humidity": of(0.9, 0.3, SHARE),
            "pressure": of(101325.0, 85e3, PRESSURE, "air pressure"),
            **PIPE_SOIL,
            "fittings": of(1.5, 3.0, NOT_NEGATIVE),
            "efficiency": of(0.25, 0.5, OPEN_SHARE),
        }
    ),
    "pipes.pipe_friction": Example({"reynolds": of(2e4, 1000.0, (0.0, -1.0, 1e9), "Reynolds")}),
    "pipes.pipe_nusselt": Example(
        {
            "reynolds": of(2e4, 3000.0, (0.0, -1.0, 1e9), "Reynolds"),
            "prandtl": of(0.71, 7.0, (0.0, -1.0, 2001.0), "Prandtl"),
        },
        {"corrugated": True},
    ),
    "pipes.pressure_drop": Example({**PIPE, **PIPE_AIR, "fittings": of(1.5, 3.0, NOT_NEGATIVE)}),
    "pipes.transfer_units": Example({**PIPE, **PIPE_AIR, **PIPE_SOIL}),
    "shade.horizon_height": Example(
        {"azimuth": of(170.0, 20.0, (-1.0, 361.0), "direction")},
        {"directions": [0.0, 180.0], "heights": [10.0, 30.0]},
    ),
    "shade.horizon_light": Example(
        {"direction": one(10.0, 20.0, (-1.0, 361.0)), "height": one(10.0, 20.0, (-1.0, 91.0))},
        call=lambda direction, height: shade.horizon_light([direction, 180.0], [height, 30.0]),
    ),
    "shade.leafage": Example(
        {
            "day_of_year": of(140.0, 20.0, (0.0, 367.0), "day of year"),
            "leaves_out": one(130.0, 120.0, (0.0, 367.0), "bud break"),
            "leaves_full": one(150.0, 160.0, (0.0, 367.0), "full leaf"),
            "leaves_turn": one(270.0, 260.0, (0.0, 367.0), "leaves turn"),
            "leaves_gone": one(300.0, 310.0, (0.0, 367.0), "leaves are gone"),
        }
    ),
    "shade.shaded": Example(
        SUN,
        call=lambda zenith, azimuth: shade.shaded(sun.SunPosition(zenith, azimuth), [0.0, 180.0], [10.0, 55.0]),
    ),
    "shade.tree_light": Example(
        {
            **SUN,
            "transmittance": of(0.3, 0.6, SHARE, "crown"),
            "direction": one(200.0, 190.0, (-1.0, 361.0)),
            "distance": one(5.0, 6.0, POSITIVE),
            "height": one(10.0, 9.0, (*POSITIVE, 1.0)),
            "crown_base": one(2.0, 1.0, NOT_NEGATIVE, "bottom of the crown"),
            "crown_width": one(6.0, 4.0, POSITIVE, "width of the crown"),
        },
        call=_tree_light,
    ),
    "shade.tree_transmittance": Example(
        {
            "leaves": of(0.5, 1.0, SHARE),
            "bare": of(0.65, 0.7, OPEN_SHARE),
            "leafy": of(0.2, 0.3, OPEN_SHARE),
        }
    ),
    "sky.cloudy_sky_temperature": Example(
        {
            "air": degrees(5.0, 20.0, "temperature"),
            "clear_sky": Number(-15.0, 0.0, SKY, "temperature"),
            "cloud_cover": of(0.5, 1.0, SHARE),
        }
    ),
    "sky.kelvin": Example({"temperature": Number(0.0, 20.0, SKY)}),
    "sky.pair_emissivity": Example(
        {"emissivity_1": of(0.9, 0.1, OPEN_SHARE, "emissivity"), "emissivity_2": of(0.9, 0.5, OPEN_SHARE, "emissivity")}
    ),
    "sky.radiation_coefficient": Example(
        {
            "t1": Number(20.0, 0.0, SKY, "temperature"),
            "t2": Number(0.0, -20.0, SKY, "temperature"),
            "emissivity": of(0.9, 0.1, SHARE),
        }
    ),
    "sky.sky_emissivity_berdahl_martin": Example(
        {"dew_point": degrees(5.0, -45.0), "hour": of(0.0, 13.0, (-0.1, 24.1))}
    ),
    "sky.sky_loss": Example(
        {
            "surface": Number(5.0, 15.0, SKY, "temperature"),
            "air": Number(0.0, 10.0, SKY, "temperature"),
            "sky": Number(-20.0, -5.0, SKY, "temperature"),
            "tilt": of(30.0, 90.0, (-1.0, 181.0)),
            "emissivity": of(0.9, 0.1, SHARE),
        }
    ),
    "sky.sky_temperature_berdahl_martin": Example(
        {"air": degrees(10.0, 20.0), "dew_point": degrees(5.0, -45.0), "hour": of(0.0, 13.0, (-0.1, 24.1))}
    ),
    "sky.sky_temperature_swinbank": Example({"air": degrees(10.0, -10.0)}),
    "sky.sky_view": Example({"tilt": of(30.0, 90.0, (-1.0, 181.0))}),
    "snow.snow_light": Example({"depth": of(0.1, 0.0, (-0.01, 6.0))}),
    "storage.bed_density": Example({"void_fraction": of(0.4, 0.3, SHARE)}, {"stone": "granite"}),
    "storage.bed_heat_capacity": Example({"void_fraction": of(0.4, 0.3, SHARE)}, {"stone": "granite"}),
    "storage.bed_heat_content": Example(
        {
            "volume": of(2.0, 1.0, NOT_NEGATIVE),
            "void_fraction": of(0.4, 0.3, SHARE),
            "cold": degrees(5.0, -5.0),
            "warm": degrees(20.0, 30.0),
        },
        {"stone": "granite", "filling": "water"},
    ),
    "storage.floor_load": Example({"mass": of(250.0, 100.0, NOT_NEGATIVE), "footprint": of(0.3, 0.5, POSITIVE)}),
    "storage.heat_capacity": Example(given={"material": "water"}),
    "storage.heat_content": Example(
        {"volume": of(0.2, 1.0, NOT_NEGATIVE), "cold": degrees(5.0, -5.0), "warm": degrees(20.0, 30.0)},
        {"material": "water"},
    ),
    "storage.store_mass": Example({"volume": of(0.2, 1.0, NOT_NEGATIVE)}, {"material": "water"}),
    "storage.water_enthalpy": Example({"temperature": degrees(20.0, -10.0)}),
    "storage.water_temperature": Example({"enthalpy": of(8e4, -4e5, (-1e6, 1e6), "heat in the water")}),
    "sun.clear_day": Example(
        {
            "latitude": one(45.0, 50.0, (-91.0, 91.0)),
            "longitude": one(-75.0, 10.0, (-181.0, 181.0)),
            "utc_offset": one(-5.0, 1.0, (-13.0, 15.0), "UTC offset"),
            "turbidity": one(3.0, 4.0, (0.0, -1.0, 11.0)),
            "elevation": one(100.0, 500.0, (-291.0, 3001.0)),
            "step": one(3600.0, 7200.0, (0.0, -1.0, 7000.0), "time step"),
        },
        {"date": np.datetime64("2026-03-21")},
    ),
    "sun.clear_sky": Example(
        {
            "zenith": SUN["zenith"],
            "turbidity": of(3.0, 4.0, (0.0, 11.0)),
            "elevation": of(100.0, 500.0, (-291.0, 3001.0)),
            "outside": LIGHT["outside"],
        },
        call=lambda zenith, **rest: sun.clear_sky(sun.SunPosition(zenith, 180.0), **rest),
    ),
    "sun.cloudy_sky": Example(
        {
            "zenith": SUN["zenith"],
            "beam": LIGHT["beam"],
            "diffuse": LIGHT["diffuse"],
            "all_light": LIGHT["all_light"],
            "cloud": of(0.5, 1.0, SHARE),
        },
        call=_cloudy_sky,
    ),
    "sun.day_times": Example(
        {"step": one(3600.0, 7200.0, (0.0, -1.0, 7000.0), "time step")}, {"date": np.datetime64("2026-03-21")}
    ),
    "sun.extraterrestrial": Example(given={"time": np.datetime64("2026-03-21T12:00")}),
    "sun.incidence_angle": Example(
        {
            **SUN,
            "facing": of(180.0, 90.0, (-1.0, 361.0), "direction of the pane"),
            "tilt": of(60.0, 90.0, (-1.0, 181.0)),
        },
        call=lambda zenith, azimuth, **rest: sun.incidence_angle(sun.SunPosition(zenith, azimuth), **rest),
        lists="panes",
    ),
    "sun.linke_turbidity": Example(
        {
            "latitude": one(45.0, 50.0, (-91.0, 91.0)),
            "longitude": one(-75.0, 10.0, (-181.0, 181.0)),
            "month": one(3.0, 7.0, (0.0, 13.0, 2.5)),
        }
    ),
    "sun.pane_irradiance": Example(
        {
            **SUN,
            **LIGHT,
            "facing": of(180.0, 90.0, (-1.0, 361.0), "direction of the pane"),
            "tilt": of(60.0, 90.0, (-1.0, 181.0)),
            "albedo": of(0.2, 0.7, SHARE),
        },
        call=_pane_irradiance,
        lists="panes",
    ),
    "sun.sun_position": Example(
        {
            "latitude": one(45.0, 50.0, (-91.0, 91.0)),
            "longitude": one(-75.0, 10.0, (-181.0, 181.0)),
            "utc_offset": one(-5.0, 1.0, (-13.0, 15.0), "UTC offset"),
            "elevation": one(100.0, 500.0, (-291.0, 3001.0)),
            "temperature": one(12.0, 20.0, TEMPERATURE),
        },
        {"time": np.datetime64("2026-03-21T12:00")},
    ),
    "surfaces.air_properties": Example({"film_temperature": PIPE_AIR["temperature"], "pressure": PIPE_AIR["pressure"]}),
    "surfaces.barrel_length": Example(
        {"diameter": of(0.6, 0.5, (*POSITIVE, 11.0)), "height": of(0.9, 0.8, (*POSITIVE, 11.0))}
    ),
    "surfaces.barrel_surface": Example(
        {"diameter": of(0.6, 0.5, (*POSITIVE, 11.0)), "height": of(0.9, 0.8, (*POSITIVE, 11.0))}
    ),
    "surfaces.exposed_fraction": Example(
        {
            "diameter": of(0.6, 0.5, (*POSITIVE, 11.0)),
            "gap": of(0.1, 0.3, NOT_NEGATIVE),
            "neighbours": of(2.0, 1.0, (-1.0, 1.5, 3.0)),
        }
    ),
    "surfaces.natural_convection": Example(
        {
            "surface": degrees(20.0, 5.0),
            "air": degrees(10.0, 15.0),
            "length": of(0.9, 0.3, POSITIVE),
            "pressure": PIPE_AIR["pressure"],
        },
        {"shape": "up"},
    ),
    "surfaces.quick_terms": Example(
        {
            "length": of(0.9, 0.3, POSITIVE),
            "film_temperature": PIPE_AIR["temperature"],
            "pressure": PIPE_AIR["pressure"],
        }
    ),
    "surfaces.surface_coefficient": Example(
        {
            "surface": degrees(20.0, 5.0),
            "air": degrees(10.0, 15.0),
            "length": of(0.9, 0.3, POSITIVE),
            "emissivity": of(0.9, 0.5, SHARE),
            "view": of(1.0, 0.5, SHARE),
            "pressure": PIPE_AIR["pressure"],
        }
    ),
    "tables.entry": Example(given={"name": "materials", "key": "gravel", "property_name": "density"}),
    "tables.keys": Example(given={"name": "materials"}),
    "tables.table": Example({}, {"name": "materials"}),
    "tables.properties": Example(given={"name": "materials", "key": "gravel"}),
    "transmission.absorbed_shares": Example(
        {
            "struck": one(0.6, 0.6, SHARE, "strikes"),
            "absorptance": one(0.9, 0.5, SHARE),
            "area": one(5.0, 3.0, POSITIVE),
            "pane_area": one(10.0, 5.0, NOT_NEGATIVE),
            "pane_transmittance": one(0.8, 0.6, SHARE, "transmittance"),
        },
        call=lambda struck, absorptance, area, **rest: transmission.absorbed_shares(
            [struck, 0.4], [absorptance, 0.5], [area, 8.0], **rest
        ),
    ),
    "transmission.angle_modifier": Example({"angle": of(60.0, 0.0, (-1.0, 181.0))}, {"kind": "twin_wall"}),
    "transmission.diffuse_angle": Example({"tilt": of(30.0, 90.0, (-1.0, 91.0))}),
    "transmission.diffuse_transmittance": Example(
        {name: one(n.value, n.other, n.bad, n.called) for name, n in SHEET.items()}
    ),
    "transmission.fresnel_reflectance": Example({"angle": of(60.0, 0.0, (-1.0, 91.0)), "index": SHEET["index"]}),
    "transmission.glazing_kind": Example(given={"glazing": "glass_single"}),
    "transmission.incidence_transmittance": Example({"angle": of(60.0, 95.0, (-1.0, 181.0)), **SHEET}),
    "transmission.solar_property": Example(
        given={"name": transmission.tables.keys("sunlit_surfaces")[0], "property_name": "solar_absorptance"}
    ),
    "transmission.sun_through": Example(
        {
            "beam": of(300.0, 100.0, (-1.0,)),
            "circumsolar": of(50.0, 20.0, (-1.0,)),
            "sky": of(60.0, 30.0, (-1.0,)),
            "ground": of(20.0, 10.0, (-1.0,)),
            "incidence": of(40.0, 60.0, (-1.0, 181.0), "angle"),
            "solar_transmittance": of(0.85, 0.7, SHARE),
            "tilt": of(60.0, 90.0, (-1.0, 91.0)),
            "dirt": of(0.05, 0.0, SHARE),
            "frame": of(0.1, 0.0, SHARE),
        },
        call=_sun_through,
        lists="panes",
    ),
    "units.format_quantity": Example(
        {"value": one(20.0, 5.0, ANY, "temperature"), "digits": one(3, 4, (0.0, -1.0, 2.5, 16.0))},
        {"quantity": "temperature", "system": "US"},
    ),
    "units.from_display": Example(
        {"value": of(68.0, 50.0, ANY, "temperature")}, {"quantity": "temperature", "system": "US"}
    ),
    "units.parse_quantity": Example(given={"text": "3 ft", "quantity": "length"}),
    "units.to_display": Example(
        {"value": of(20.0, 5.0, ANY, "temperature")}, {"quantity": "temperature", "system": "US"}
    ),
    "units.unit_of": Example(given={"quantity": "length", "system": "US"}),
    "units.with_label": Example(given={"text": "80", "label": "%"}),
}

UNCHECKED = {
    "air_table.build_table": "takes nothing: it asks CoolProp for the whole table",
    "air_table.write_table": "takes a folder",
    "air_table.departures": "an inner part of moist_air, which checks every argument before",
    "air_table.dew_temperature": "an inner part of moist_air, which checks every argument before",
    "air_table.ideal_enthalpy": "an inner part of moist_air, which checks every argument before",
    "air_table.saturation": "an inner part of moist_air, which checks every argument before",
    "surfaces.quick_convection": "runs in every time step on constants that quick_terms has checked",
}
"""Public functions without checks of their own, each with its reason; their docstrings must say so."""


def _module(name):
    return importlib.import_module(f"heatlib.{name}")


def public_functions():
    """Return every public function of the physics by ``module.name``."""
    found = {}
    for info in pkgutil.iter_modules(heatlib.__path__):
        if info.ispkg or info.name.startswith("_"):
            continue
        module = _module(info.name)
        for name in module.__all__:
            item = getattr(module, name)
            if inspect.isfunction(item) and item.__module__ == module.__name__:
                found[f"{info.name}.{name}"] = item
    return found


def call(name, **changed):
    """Call a function with its example's arguments, some of them changed."""
    example = EXAMPLES[name]
    values = {key: n.value for key, n in example.numbers.items()} | example.given | changed
    return (example.call or public_functions()[name])(**values)


def flat(result):
    """Return the numbers in a result as a list of arrays, whatever holds them."""
    if is_dataclass(result):
        result = tuple(getattr(result, f.name) for f in fields(result))
    if isinstance(result, dict):
        result = tuple(result.values())
    if isinstance(result, tuple | list):
        return [array for part in result for array in flat(part)]
    return [] if isinstance(result, str) else [np.asarray(result)]
