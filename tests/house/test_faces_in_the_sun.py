"""What becomes of sun at the face of floor, bed and boards, and how far the guesses behind it reach."""

import numpy as np
import pytest

from heatlib.house import nodes
from heatlib.house.balance import prepare, run
from heatlib.house.demo import DESIGN_NIGHT, demo_house
from heatlib.house.greenhouse import Floor, Layer, SnowCover
from heatlib.house.weather import design_night
from heatlib.tables import entry

HAND = "a node without heat between two resistances: what it takes up parts in inverse proportion to them"


def night():
    place = demo_house().place
    return design_night(
        place.latitude, "2025-01-20", minimum=DESIGN_NIGHT["coldest"], maximum=DESIGN_NIGHT["warmest"], snow=True,
        longitude=place.longitude, utc_offset=place.utc_offset, elevation=place.elevation, days_before=0,
    )  # fmt: skip


def test_a_face_shares_its_sun_between_air_and_ground(outside):
    """Film 1/7 m²K/W above, half of 10 cm of foam below: the film is 9 % of the way, so 91 % goes to the air."""
    conductivity = entry("materials", "eps", "conductivity").value
    floor = Floor(21.6, 19.2, layers=(Layer("eps", 0.1),))
    column = nodes.floor_column(demo_house().changed("floor", floor), 0.5)
    film, half = 1 / 7, 0.05 / conductivity
    outside("nodes.floor_column sun_to_air", column.sun_to_air, 0.5 * half / (film + half), source=HAND, rel=1e-12,
            why="closed form")  # fmt: skip
    outside("nodes.floor_column sun_share", column.sun_share, 0.5 * film / (film + half), source=HAND, rel=1e-12,
            why="closed form")  # fmt: skip


def test_a_thin_first_layer_keeps_nearly_all_and_nothing_is_lost():
    thin = Floor(21.6, 19.2, layers=(Layer("concrete", 0.002),))
    column = nodes.floor_column(demo_house().changed("floor", thin), 0.4)
    assert column.sun_to_air < 0.01 * 0.4
    for lesson in (0, 8):
        house = demo_house(lesson)
        shares = nodes.sun_shares(house)
        columns, waters = nodes.store_nodes(house, shares)
        columns = (nodes.floor_column(house, shares["floor"]), *columns)
        taken = sum(c.sun_share + c.sun_to_air for c in columns) + sum(w.sun_share for w in waters)
        assert taken + shares["air"] + shares["reflected"] == pytest.approx(1.0, abs=1e-12)


def test_boards_pass_some_of_their_sun_outside(outside):
    """A bare board passes U·R_si of what it takes up to the outside, a well insulated wall next to nothing."""
    bare = demo_house()

    def with_u(u):
        changed = tuple(s if s.glazing else type(s)(s.name, s.area, s.facing, s.tilt, u_value=u) for s in bare.surfaces)
        return nodes.sun_shares(bare.changed("surfaces", changed))

    tight, loose = with_u(1e-9), with_u(2.0)
    assert tight["floor"] == loose["floor"]
    outside("nodes.sun_shares", loose["air"], tight["air"] * (1 - 2.0 * 0.13), source="ISO 6946: R_si = 0.13 m²K/W",
            rel=1e-6, why="closed form")  # fmt: skip
    assert loose["reflected"] - tight["reflected"] == pytest.approx(tight["air"] - loose["air"], abs=1e-12)


def test_what_the_air_gives_the_stores_is_what_they_gain():
    """A bed has no other neighbours: what comes by its face is sun taken up and heat from the air, and no more."""
    course = run(demo_house(8), night())
    taken = nodes.sun_shares(course.house)["bed"] * course.sun.sum() * course.step
    got = course.exchange["bed"].sum() * course.step + taken
    assert got == pytest.approx(course.stored["bed"], abs=1e-6 * taken)
    assert course.closure < 1e-9


@pytest.mark.parametrize(
    ("guess", "values", "coldest", "warmest"),
    [("WALL_SHARE", (0.1, 0.5), 0.5, 1.0), ("WALL_ABSORPTANCE", (0.25, 0.6), 0.5, 2.0)],
)
def test_guesses_reach_no_further_than_they_say(monkeypatch, guess, values, coldest, warmest):
    """Each guess from one end of its range to the other, against what it stands at; the size is told beside it."""
    weather = night()

    def ends(lesson):
        air = run(demo_house(lesson), weather).air[-288:]
        return np.array([air.min(), air.max()])

    for lesson in (0, 4, 8):
        usual = ends(lesson)
        for value in values:
            monkeypatch.setattr(nodes, guess, value)
            moved = np.abs(ends(lesson) - usual)
            monkeypatch.undo()
            assert moved[0] < coldest and moved[1] < warmest
            assert moved.max() > 0.01


def test_how_far_the_deep_ground_lies_matters_as_told(monkeypatch):
    """Half and twice the distance told beside the guess, in a house with pipes under more than its floor."""
    house = demo_house(9).changed(**{"pipes.count": 20, "pipes.on_below": 5.0})
    usual = run(house, night()).lowest_air
    for distance in (0.25, 1.0):
        monkeypatch.setattr(nodes, "DEEP_DISTANCE", distance)
        assert 0.001 < abs(run(house, night()).lowest_air - usual) < 0.5


def test_a_house_of_dry_plants_follows_its_vapour_too():
    """Nothing evaporates, so leaks dry the air, and what drips is only what the air held at the start."""
    dry, wet = (run(demo_house(4).changed("plants.wetness", wetness), night()) for wetness in (0.0, 0.5))
    assert set(dry.energy) == set(wet.energy) and "wet_panes" in dry.energy
    assert dry.closure < 1e-9 and dry.energy["wet_panes"] < 0.1 * wet.energy["wet_panes"]
    assert dry.humidity[-1] < 0.7 * wet.humidity[-1]


def test_snow_on_panes_keeps_them_drier():
    """Under snow a pane is warmer inside, so less settles on it."""
    white = demo_house(4).changed("snow_cover", SnowCover(0.2, slides_from=45.0))
    panes = prepare(white, night()).inputs.humidity.panes
    assert len(panes) == 4
    assert min(share for _, share in panes[2]) < min(share for _, share in panes[0])
