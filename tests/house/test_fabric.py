"""The skin by hand: resistances in series, curtain, snow, leaks, door, vents, and what the sky and the sun do to it."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from heatlib.conduction import bridged_u_value
from heatlib.curtain import window_with_curtain
from heatlib.glazing import glazing_u_value
from heatlib.house import fabric
from heatlib.house.greenhouse import Air, Curtain, Floor, Greenhouse, Layer, Place, Shade, SnowCover, Surface, Vents
from heatlib.house.sunlight import Gains
from heatlib.infiltration import door_flow, leakage_flow, lobby_flow
from heatlib.sky import radiation_coefficient
from heatlib.tables import entry


def k(material):
    return entry("materials", material, "conductivity").value


def house(*surfaces, **more):
    parts = {"place": Place(50.0), "floor": Floor(12.0, 14.0), "air": Air(0.0)} | more
    return Greenhouse(name="box", volume=30.0, surfaces=surfaces, **parts)


def steps(**more):
    """Weather at three steps, stated outright: noon without snow, dusk with snow, midnight without."""
    values = {
        "film": np.array([10.0, 20.0, 25.0]), "snow": np.array([False, True, False]),
        "sky_exchange": np.array([50.0, 80.0, 100.0]), "sun": np.array([400.0, 50.0, 0.0]),
        "hour": np.array([12.0, 17.0, 0.0]), "day": np.array([200.0, 200.0, 200.0]),
        "temperature": np.array([0.0, -10.0, -10.0]), "wind": np.array([4.0, 4.0, 8.0]),
        "at": lambda values: np.asarray(values, float),
    }  # fmt: skip
    return SimpleNamespace(**(values | more))


# ---- U-values


def test_u_values_are_resistances_in_series():
    """ISO 6946: films of 0.13 inside on a wall, 0.10 under a roof, 0.04 outside; a layer has d/k."""
    assert fabric.slab_resistance("plywood", 0.02) == pytest.approx(0.02 / k("plywood"), rel=1e-12)
    wall = Surface("wall", 1.0, r_value=1.83)
    assert fabric.rated_u_value(wall) == pytest.approx(1 / (0.13 + 1.83 + 0.04), rel=1e-12)
    assert fabric.rated_u_value(replace(wall, tilt=0.0)) == pytest.approx(1 / (0.10 + 1.83 + 0.04), rel=1e-12)
    assert fabric.rated_u_value(Surface("told", 1.0, u_value=1.7)) == 1.7
    for tilt, direction in ((90.0, "horizontal"), (20.0, "up")):
        pane = Surface("pane", 1.0, glazing="glass_single", tilt=tilt)
        assert fabric.rated_u_value(pane) == float(glazing_u_value("glass_single", direction))
    layers = (Layer("plywood", 0.01), Layer("eps", 0.1))
    boards = fabric.rated_u_value(Surface("boards", 1.0, layers=layers))
    assert boards == pytest.approx(1 / (0.17 + 0.01 / k("plywood") + 0.1 / k("eps")), rel=1e-12)


def test_studs_interrupt_only_what_insulates_better_than_they():
    """A tenth of studs between a steel sheet and foam: the sheet lies across them, the foam has wood in its place."""
    layers, share = (Layer("steel", 0.002), Layer("eps", 0.1)), 0.1
    assert k("steel") > k("softwood") > k("eps")
    sheet = 0.002 / k("steel")
    rows = [[sheet, sheet], [0.1 / k("eps"), 0.1 / k("softwood")]]
    got = fabric.rated_u_value(Surface("wall", 1.0, layers=layers, framing=share))
    assert got == pytest.approx(float(bridged_u_value([1 - share, share], rows, 0.13, 0.04)), rel=1e-12)
    roof = fabric.rated_u_value(Surface("roof", 1.0, tilt=0.0, layers=layers, framing=share))
    assert roof == pytest.approx(float(bridged_u_value([1 - share, share], rows, 0.10, 0.04)), rel=1e-12)
    oak = fabric.rated_u_value(Surface("wall", 1.0, layers=layers, framing=share, framing_material="hardwood"))
    assert oak > got


# ---- pieces


@pytest.mark.parametrize("glazing", ["glass_single", "glass_double", "film_single", "film_double", None])
@pytest.mark.parametrize("tilt", [0.0, 60.0, 90.0])
def test_a_piece_has_its_rated_u_value_in_the_rated_wind(glazing, tilt):
    """What goes straight through a film and what its resistance lets through come to the table's U at 25 W/m²K."""
    own = {"glazing": glazing} if glazing else {"r_value": 1.5, "absorptance": 0.7}
    surface = Surface("piece", 3.0, tilt=tilt, curtain=True, **own)
    (piece,) = fabric.pieces(house(surface, curtain=Curtain()))
    assert piece.u_value(25.0) == pytest.approx(fabric.rated_u_value(surface), rel=1e-9)
    through = entry("glazings", glazing, "infrared_transmittance").value if glazing else 0.0
    assert piece.infrared == through
    assert piece.straight == pytest.approx(through * float(radiation_coefficient(20.0, 0.0, 1.0)), rel=1e-12)
    assert piece.emissivity == (entry("glazings", glazing, "emissivity").value if glazing else 0.9)
    # an even sky seen by a tilted face: (1 + cos tilt)/2
    assert piece.sky_view == pytest.approx((1 + np.cos(np.radians(tilt))) / 2, abs=1e-12)
    assert (piece.name, piece.glazed, piece.area, piece.absorptance) == (
        "piece", glazing is not None, 3.0, 0.0 if glazing else 0.7
    )  # fmt: skip
    assert piece.curtain == Curtain()
    assert fabric.pieces(house(replace(surface, curtain=False), curtain=Curtain()))[0].curtain is None


PIECE = fabric.Piece("film", True, 2.0, 0.2, 1.5, Curtain(r_value=0.5, edge_leak=0.25), 0.5, 0.8, 0.3, 0.0)
"""A film with a curtain: in a wind of 20 W/m²K it lets 1/(0.2 + 0.05) + 1.5 = 5.5 W/m²K through."""


def test_a_film_s_two_ways_run_side_by_side():
    behind = float(window_with_curtain(5.5, 0.5, open_share=0.25))
    assert PIECE.u_value(20.0) == pytest.approx(5.5, rel=1e-12)
    assert PIECE.u_value(20.0, True) == pytest.approx(behind, rel=1e-12) and behind < 5.5
    assert replace(PIECE, curtain=None).u_value(20.0, True) == pytest.approx(5.5, rel=1e-12)
    # its face feels 0.8 of what a black one gives off, by 4/20 of it inside; 0.3 goes straight through
    assert PIECE.sky_factor(20.0) == pytest.approx(2.0 * 0.5 * (0.8 * 4 / 20 + 0.3), rel=1e-12)
    assert PIECE.sky_factor(20.0, True) == pytest.approx(PIECE.sky_factor(20.0) * behind / 5.5, rel=1e-12)


def test_snow_lies_in_series_on_a_piece_and_shows_its_own_face():
    cover = SnowCover(0.2, "snow_settled")
    snowed = fabric.snowed(PIECE, cover)
    without_film = 1 / 0.2 + 1.5
    expected = 1 / (1 / without_film + 0.2 / k("snow_settled") + 1 / 20)
    assert snowed.u_value(20.0) == pytest.approx(expected, rel=1e-12)
    # emissivity of snow 0.98 (from memory); no ray goes through; a pane under it warms nothing in the sun
    assert snowed.sky_factor(20.0) == pytest.approx(2.0 * 0.5 * 0.98 * expected / 20, rel=1e-12)
    assert (snowed.infrared, snowed.absorptance, snowed.name) == (0.0, 0.0, "film")
    # the table's snow throws 0.8 back
    assert fabric.snowed(replace(PIECE, glazed=False, absorptance=0.7), cover).absorptance == 0.2


def test_snow_lies_only_where_it_is_told_and_stays():
    flat, steep = Surface("flat", 1.0, tilt=10.0, u_value=3.0), Surface("steep", 1.0, tilt=60.0, u_value=3.0)
    snowy = house(flat, steep, snow_cover=SnowCover(0.2, slides_from=45.0))
    bare, under = fabric.pieces(snowy), fabric.pieces(snowy, snow=True)
    assert under[0] == fabric.snowed(bare[0], snowy.snow_cover) != bare[0] and under[1] is bare[1]
    assert fabric.pieces(house(flat), snow=True)[0] == fabric.pieces(house(flat))[0]


# ---- the skin step by step


def test_the_skin_adds_up_its_pieces_at_each_step():
    """A film pane behind a curtain and a dark roof under snow, at noon, at dusk (snow) and at midnight."""
    pane = Surface("pane", 4.0, glazing="film_single", curtain=True)
    roof = Surface("roof", 10.0, tilt=0.0, r_value=1.0, absorptance=0.5)
    shade = Shade(0.25, 1.0, 365.0, 10.0, 14.0)
    box = house(pane, roof, curtain=Curtain(light=0.4), snow_cover=SnowCover(0.1), shade=shade, air=Air(1.0))
    sample = steps()
    sun = Gains({"pane": np.array([800.0, 100.0, 0.0])}, {"roof": np.array([300.0, 60.0, 0.0])})
    got = fabric.skin(box, sample, sun)
    clear, roofing = fabric.pieces(box)
    snowed = fabric.pieces(box, snow=True)[1]
    # at dusk the sun has just the curtain's limit of 50 W/m²: it stays open; at midnight it is drawn
    assert got.drawn.tolist() == [False, False, True]
    glazing = [4.0 * clear.u_value(film, drawn) for film, drawn in zip(sample.film, got.drawn)]
    on_roof = [roofing, snowed, roofing]
    walls = [10.0 * piece.u_value(film) for piece, film in zip(on_roof, sample.film)]
    assert got.conductances["glazing"] == pytest.approx(glazing, rel=1e-12)
    assert got.conductances["walls"] == pytest.approx(walls, rel=1e-12)
    assert not got.conductances["door"].any() and got.conductances["leaks"].all()
    assert got.loss == pytest.approx(sum(got.conductances.values()), rel=1e-12)
    sky = [
        (clear.sky_factor(film, drawn) + piece.sky_factor(film)) * black
        for film, drawn, piece, black in zip(sample.film, got.drawn, on_roof, sample.sky_exchange)
    ]
    assert got.sky == pytest.approx(sky, rel=1e-12)
    # what the roof takes up is felt inside by U/h: half of the sun bare, a fifth under snow
    felt = [
        on * 10.0 * taken * piece.u_value(film) / film
        for on, taken, piece, film in zip((300.0, 60.0, 0.0), (0.5, 0.2, 0.5), on_roof, sample.film)
    ]
    assert got.walls_sun == pytest.approx(felt, rel=1e-12)
    # cloth hangs from 10 to 14 o'clock and keeps a quarter out; the drawn curtain would let 0.4 through
    assert got.sun.tolist() == [600.0, 100.0, 0.0]
    assert got.film is sample.film


def test_each_dark_wall_warms_the_house_by_its_own_sun():
    walls = [Surface(name, area, r_value=1.0, absorptance=0.5) for name, area in (("east", 4.0), ("west", 6.0))]
    sun = {"east": np.array([200.0, 0.0, 0.0]), "west": np.array([100.0, 50.0, 0.0])}
    got, sample = fabric.skin(house(*walls), steps(), Gains({}, sun)), steps()
    u = np.array([fabric.pieces(house(*walls))[0].u_value(film) for film in sample.film])
    assert got.walls_sun == pytest.approx((4.0 * sun["east"] + 6.0 * sun["west"]) * 0.5 * u / sample.film, rel=1e-12)


def test_a_drawn_curtain_lets_its_share_of_light_through_and_only_behind_it():
    curtain = Curtain(light=0.4, rule="clock", closes=0.0, opens=24.0)
    panes = Surface("behind", 1.0, glazing="glass_single", curtain=True), Surface("free", 1.0, glazing="glass_single")
    sun = Gains({"behind": np.full(3, 100.0), "free": np.full(3, 10.0)}, {})
    assert fabric.skin(house(*panes, curtain=curtain), steps(), sun).sun.tolist() == [50.0] * 3


def test_snow_that_lies_on_no_step_changes_nothing():
    roof = Surface("roof", 10.0, tilt=0.0, r_value=1.0)
    sample = steps(snow=np.zeros(3, bool))
    with_cover, without = (
        fabric.skin(house(roof, snow_cover=cover), sample, Gains({}, {})) for cover in (SnowCover(0.3), None)
    )
    assert with_cover.sun.dtype == float and with_cover.sun.tolist() == [0.0] * 3, "no pane, no sun"
    assert np.array_equal(with_cover.loss, without.loss) and np.array_equal(with_cover.sky, without.sky)


@pytest.mark.parametrize(
    ("closes", "opens", "drawn"),
    [
        (17.0, 8.0, [0.0, 7.99, 17.0, 20.0]),
        (8.0, 17.0, [8.0, 12.0, 16.99]),
        (0.0, 24.0, [0.0, 7.99, 8.0, 12.0, 16.99, 17.0, 20.0]),
        (8.0, 8.0, []),
    ],
)
def test_the_clock_closes_and_opens_on_the_minute(closes, opens, drawn):
    hours = np.array([0.0, 7.99, 8.0, 12.0, 16.99, 17.0, 20.0])
    sample = steps(hour=hours, sun=np.full(7, 500.0))
    got = fabric.curtain_drawn(Curtain(rule="clock", closes=closes, opens=opens), sample)
    assert hours[got].tolist() == drawn


def test_no_curtain_is_drawn_at_no_step():
    got = fabric.curtain_drawn(None, steps())
    assert got.dtype == bool and got.tolist() == [False] * 3


# ---- air


def test_heat_of_air_by_the_gas_law():
    """p/(R·T)·c at 10 °C: 101 325/(287.05·283.15) = 1.2466 kg/m³, times 1006 J/kgK = 1254 J/m³K."""
    assert fabric.air_heat(0.0) == pytest.approx(1254.0, rel=0.005)
    # the standard atmosphere at 1500 m has (1 − 2.25577e-5·1500)^5.25588 = 0.8345 of the pressure, and of the air
    assert fabric.air_heat(1500.0) == pytest.approx(0.8345 * fabric.air_heat(0.0), rel=1e-3)
    box = house(Surface("wall", 1.0, r_value=1.0), air=Air(0.0, contents=5e3))
    assert fabric.air_capacity(box) == pytest.approx(30.0 * fabric.air_heat(0.0) + 5e3 * 12.0, rel=1e-12)


def test_leaks_are_air_changed_times_its_heat():
    high = Place(50.0, elevation=1500.0)
    box = house(Surface("wall", 1.0, r_value=1.0), air=Air(1.2), place=high)
    expected = 30.0 * 1.2 / 3600 * fabric.air_heat(1500.0)
    assert fabric.air_conductance(box, steps()) == pytest.approx([expected] * 3, rel=1e-12)
    windy = box.changed("air.wind_dependent", True)
    got = fabric.air_conductance(windy, steps())
    # the stated rate holds at 4 m/s and 10 K; in still air and without a difference nothing drives it
    more = float(leakage_flow(0.02, 10.0, -10.0, 8.0) / leakage_flow(0.02, 10.0, 0.0, 4.0))
    assert (got[0], got[2]) == (pytest.approx(expected, rel=1e-9), pytest.approx(more * expected, rel=1e-9))
    still = steps(temperature=np.full(3, 10.0), wind=np.zeros(3))
    assert fabric.air_conductance(windy, still) == pytest.approx([0.0] * 3, abs=1e-12)


def test_doors_and_lobby_are_the_physics_floor_s():
    air = Air(0.0, door_openings=8.0, door_seconds=15.0, door_width=0.9, door_height=2.1, lobby_volume=3.0)
    box, sample = house(Surface("wall", 1.0, r_value=1.0), air=air, place=Place(50.0, elevation=900.0)), steps()
    door = (0.9, 2.1, 10.0, sample.temperature, 15.0, 8.0)
    heat = fabric.air_heat(900.0)
    assert fabric.door_conductance(box, sample) == pytest.approx(door_flow(*door) * heat, rel=1e-12)
    lobby = box.changed("air.lobby", True)
    assert fabric.door_conductance(lobby, sample) == pytest.approx(lobby_flow(*door, 3.0) * heat, rel=1e-12)
    shut = fabric.door_conductance(box.changed("air.door_openings", 0.0), sample)
    assert shut.shape == (3,) and not shut.any()


def test_vents_open_by_their_air_changes():
    wall = Surface("wall", 1.0, r_value=1.0)
    assert fabric.vent(house(wall)) is None and fabric.vent(house(wall, vents=Vents(air_change_rate=0.0))) is None
    full, opens_at, band = fabric.vent(house(wall, vents=Vents(26.0, 4.0, 12.0)))
    assert (opens_at, band) == (26.0, 4.0)
    assert full == pytest.approx(30.0 * 12.0 / 3600 * fabric.air_heat(0.0), rel=1e-12)
