"""The loss bill: worked cases by hand, sums, and measures that save no watt twice."""

from dataclasses import replace

import numpy as np
import pytest

from heatlib.conduction import outside_film
from heatlib.glazing import glazing_u_value
from heatlib.house import nodes
from heatlib.house.balance import PATHS
from heatlib.house.bill import _bill, loss_bill, savings
from heatlib.house.demo import demo_house
from heatlib.house.greenhouse import Air, Floor, Greenhouse, Place, Plants, SnowCover, Surface
from heatlib.moist_air import humidity_ratio, pressure_at, saturation_humidity_ratio
from heatlib.moisture import condensation_rate, evaporation_heat
from heatlib.tables import entry


def factory():
    """Factory of Murphy & McKay, example 9.1, its fabric above ground at 21 K; inner wall and floor left out."""
    rows = (
        ("W", 150, 1.2), ("N", 200, 1.2), ("N windows", 40, 5.6), ("E", 75, 1.2), ("S", 200, 1.2),
        ("S windows", 40, 5.6), ("roof", 1000, 0.7),
    )  # fmt: skip
    surfaces = tuple(Surface(name, float(area), u_value=u) for name, area, u in rows)
    return Greenhouse(
        name="factory", volume=5000.0, place=Place(50.0), floor=Floor(1.0, 1.0), surfaces=surfaces, air=Air(0.0)
    )


def test_fabric_of_a_published_building(outside):
    """Murphy & McKay, Energy Management, example 9.1, p. 252.

    58 308 W, of which the floor 18 900 and the inner wall −450.
    """
    wind = 4.0  # the ordinary wind at which U-values are stated
    walls = loss_bill(factory(), 21.0, 0.0, wind, cloud=1.0).watts("walls")
    outside(
        "house.loss_bill", walls, 58308.0 - 1000 * 0.9 * 21 + 75 * 2.0 * 3, rel=0.02,
        source="MURPHY, example 9.1, p. 252",
        why="the stated U-values hold at a film of 25 W/m²K; 4 m/s gives nearly that",
    )  # fmt: skip


def test_leaks_of_a_published_case(outside):
    """Murphy & McKay, example 9.3: Q = 0.33·N·V·ΔT in ordinary units; by tables 0.336 at 20 °C, 0.361 at 0 °C."""
    house = factory().changed("air.air_change_rate", 2.0)
    leaks = loss_bill(house, 20.0, 0.0).watts("leaks")
    outside(
        "house.loss_bill leaks", leaks, 0.348 * 2.0 * 5000.0 * 20.0, source="MURPHY 9.3; COOLPROP", rel=0.01,
        why="0.348 at 10 °C, between the two values of dry air",
    )  # fmt: skip


@pytest.mark.parametrize("lesson", [0, 3, 10])
def test_rows_sum_to_the_whole_and_are_sorted(lesson):
    bill = loss_bill(demo_house(lesson), 2.0, -24.0)
    watts = [row.watts for row in bill.rows]
    assert sum(watts) == pytest.approx(bill.total, rel=1e-12) and watts == sorted(watts, reverse=True)
    assert sum(row.share for row in bill.rows) == pytest.approx(1.0, abs=1e-12)
    assert bill.sensible + bill.latent == pytest.approx(bill.total, rel=1e-12)
    assert bill.latent == pytest.approx(bill.watts("vapour_leaks") + bill.watts("wet_panes"), rel=1e-12)
    for key in ("glazing", "walls", "sky"):
        row = next(row for row in bill.rows if row.key == key)
        assert sum(row.parts.values()) == pytest.approx(row.watts, rel=1e-9)
    assert all(row.label == PATHS[row.key] and row.label for row in bill.rows)
    latent = {"vapour_leaks", "wet_panes"}
    assert {row.key: row.kind for row in bill.rows} == {
        row.key: "latent" if row.key in latent else "sensible" for row in bill.rows
    }
    assert bill.rows[0].btu_per_hour == pytest.approx(bill.rows[0].watts * 3.412142, rel=1e-6)


def test_no_difference_no_loss_but_to_sky_and_ground():
    bill = loss_bill(demo_house(), 5.0, 5.0, cloud=1.0)
    for key in ("glazing", "walls", "leaks", "door"):
        assert bill.watts(key) == 0.0


def test_a_floor_exchanges_nothing_where_ground_air_and_outside_are_alike():
    house = factory().changed(**{"place.ground_mean": 8.0, "place.ground_swing": 0.0})
    bill = loss_bill(house, 8.0, 8.0)
    assert bill.watts("edge") == pytest.approx(0.0, abs=1e-9) and bill.watts("ground") == pytest.approx(0.0, abs=1e-9)


def test_twice_the_glass_twice_the_loss():
    house = demo_house()
    twice = house.changed(**{f"surfaces.{s.name}.area": 2 * s.area for s in house.surfaces})
    one, two = loss_bill(house, 2.0, -20.0), loss_bill(twice, 2.0, -20.0)
    for key in ("glazing", "walls", "sky"):
        assert two.watts(key) == pytest.approx(2 * one.watts(key), rel=1e-12)
    assert two.watts("leaks") == one.watts("leaks")


def test_cloud_wind_curtain_and_dry_air_act_the_right_way():
    house, shut = demo_house(2), demo_house(3)
    base = loss_bill(house, 5.0, -15.0)
    assert loss_bill(house, 5.0, -15.0, cloud=1.0).watts("sky") < 0.3 * base.watts("sky")
    assert loss_bill(house, 5.0, -15.0, wind_speed=8.0).watts("glazing") > 1.05 * base.watts("glazing")
    assert loss_bill(shut.changed("curtain", None), 5.0, -15.0).watts("glazing") > 1.4 * loss_bill(
        shut, 5.0, -15.0
    ).watts("glazing")
    assert loss_bill(house, 5.0, -15.0, humidity=0.2).latent < 0.3 * base.latent
    assert loss_bill(house.changed("plants", Plants()), 5.0, -15.0).latent == 0.0
    assert loss_bill(house, 5.0, -15.0, day_of_year=250.0).watts("ground") < base.watts("ground")


def test_measures_that_touch_save_less_together_than_alone():
    house = demo_house()
    curtain = demo_house(3).curtain
    measures = {
        "curtain": {"curtain": curtain},
        "film": {"surfaces.sashes.glazing": "glass_and_film"},
        "sealed": {"air.air_change_rate": 0.5},
    }
    got = savings(house, measures, 2.0, -24.0)
    assert all(value > 0 for value in got.alone.values())
    assert sum(got.in_order.values()) == pytest.approx(got.together, rel=1e-9)
    assert got.before - got.after == pytest.approx(got.together, rel=1e-12)
    assert got.together < sum(got.alone.values()) - 10
    assert got.before == pytest.approx(loss_bill(house, 2.0, -24.0).total)


@pytest.mark.parametrize(
    ("change", "says"),
    [({"inside": 200.0}, "inside"), ({"outside": "cold"}, "outside"), ({"cloud": 2.0}, "cloud"),
     ({"humidity": 60}, "humidity"), ({"dew_point": 5.0}, "dew point"), ({"wind_speed": -1.0}, "wind"),
     ({"day_of_year": 0}, "day")],
)  # fmt: skip
def test_refusals(change, says):
    with pytest.raises(ValueError, match=says):
        loss_bill(demo_house(), **({"inside": 2.0, "outside": -24.0} | change))


def test_a_house_far_below_the_table_of_moist_air_still_gets_its_bill():
    assert loss_bill(demo_house(), 2.0, -45.0).total > loss_bill(demo_house(), 2.0, -24.0).total


def test_no_measures_are_refused():
    with pytest.raises(ValueError, match="at least one"):
        savings(demo_house(), {}, 2.0, -24.0)


def test_snow_on_the_roof_is_one_more_layer(outside):
    """A level pane of U 4 under 0.2 m of fresh snow in an ordinary wind: the snow's resistance in series with it."""
    pane = Surface("pane", 10.0, tilt=0.0, u_value=4.0)
    house = Greenhouse(
        name="snowed", volume=50.0, place=Place(50.0), floor=Floor(20.0, 18.0), surfaces=(pane,), air=Air(0.0),
        snow_cover=SnowCover(0.2, "snow_fresh"),
    )  # fmt: skip
    snow = 0.2 / entry("materials", "snow_fresh", "conductivity").value
    bare, covered = (loss_bill(house, 5.0, -15.0, 4.0, cloud=1.0, snow=lies) for lies in (False, True))
    outside(
        "house.loss_bill snow", covered.watts("walls"), 10.0 * 20.0 / (1 / 4.0 + snow), rel=0.01,
        source="ISO 6946: resistances in series", why="the film of 4 m/s is nearly that of the stated U-value",
    )  # fmt: skip
    assert covered.watts("walls") < 0.5 * bare.watts("walls")
    row = next(row for row in covered.rows if row.key == "walls")
    assert row.parts["pane"] == pytest.approx(row.watts, rel=1e-9)
    steep = house.changed("snow_cover.slides_from", 0.0)
    assert loss_bill(steep, 5.0, -15.0, 4.0, snow=True).total == loss_bill(steep, 5.0, -15.0, 4.0).total


def test_snow_is_refused_where_the_house_tells_of_none():
    with pytest.raises(ValueError, match="no snow_cover"):
        loss_bill(demo_house(), 2.0, -24.0, snow=True)
    with pytest.raises(ValueError, match="snow must be true or false"):
        loss_bill(demo_house(), 2.0, -24.0, snow=0.3)


# ---- the rows by hand: one small house, whose numbers are followed with pencil and the physics floor


def cottage(**more):
    """A roof of one level board and two upright panes, on ordinary soil at 1000 m, with leaves, leaks and a door."""
    surfaces = (
        Surface("roof", 10.0, tilt=0.0, r_value=2.0),
        Surface("old pane", 4.0, glazing="glass_single"),
        Surface("new pane", 2.0, glazing="glass_double"),
    )
    parts = {
        "air": Air(0.8, door_openings=6.0, relative_humidity=0.9), "plants": Plants(5.0),
        "place": Place(50.0, elevation=1000.0, ground_mean=6.0, ground_swing=0.0),
    }  # fmt: skip
    return Greenhouse(name="cottage", volume=30.0, floor=Floor(12.0, 14.0), surfaces=surfaces, **(parts | more))


def midnight_sky(outside, dew_point):
    """What a black level face loses to a clear sky at midnight [W/m²]: Berdahl and Martin 1984, from memory.

    Emissivity of the sky 0.711 + 0.56 (t/100) + 0.73 (t/100)² + 0.013 cos(2π·hour/24), with the dew point t in °C.
    """
    emissivity = 0.711 + 0.56 * dew_point / 100 + 0.73 * (dew_point / 100) ** 2 + 0.013
    return 5.670374e-8 * (outside + 273.15) ** 4 * (1 - emissivity)


def test_what_is_left_out_of_the_call_is_what_the_docstring_says():
    house = cottage(place=Place(50.0))
    told = dict(dew_point=-14.0, cloud=0.0, humidity=0.9, day_of_year=15.0, snow=False)
    assert loss_bill(house, 8.0, -10.0) == loss_bill(house, 8.0, -10.0, 1.0, **told)


def test_a_roof_s_loss_to_the_sky_by_hand():
    """Its outside gives off 0.9 of what a black one would; U/h of that is felt inside.

    1/U = 0.10 (heat going up) + 2 + 1/h, with the film h of the wind in place of the table's 1/0.04.
    """
    film = float(outside_film(4.0))
    u = 1 / (0.10 + 2.0 + 1 / film)
    sky = next(row for row in loss_bill(cottage(), 10.0, -5.0, 4.0, dew_point=-10.0).rows if row.key == "sky")
    assert sky.parts["roof"] == pytest.approx(10.0 * 0.9 * u / film * midnight_sky(-5.0, -10.0), rel=1e-5)


def test_a_floor_is_a_chain_with_a_side_way_at_its_top():
    """Nothing flows into settled layers: the top one lies where its three ways balance, the rest is one resistance."""
    house, inside, outside, deep = cottage(), 12.0, -8.0, 6.0
    column = nodes.floor_column(house, 1.0)
    down = 1 / (sum(1 / g for g in column.inner) + 1 / column.to_deep)
    ways = (column.to_air, column.to_outside, down)
    top = sum(g * t for g, t in zip(ways, (inside, outside, deep))) / sum(ways)
    bill = loss_bill(house, inside, outside)
    assert len(column.capacity) > 3 and column.to_outside > 0
    assert bill.watts("edge") == pytest.approx(column.to_outside * (top - outside), rel=1e-9)
    assert bill.watts("ground") == pytest.approx(down * (top - deep), rel=1e-9)


@pytest.mark.parametrize(
    ("inside", "dew", "humidity", "cloud", "held_at", "dew_held_at"),
    [(15.0, -12.0, 0.9, 0.0, 15.0, -12.0), (70.0, -45.0, 0.5, 1.0, 60.0, -40.0)],
)
def test_moisture_of_the_bill_by_hand(inside, dew, humidity, cloud, held_at, dew_held_at):
    """Vapour that leaks out takes its heat with it; what drips gives the pane the share U·R_si that goes through it.

    Beyond 60 and below −40 °C moist air is taken as at that end, as the course of a night does.
    """
    house, p, heat, outside = cottage(), float(pressure_at(1000.0)), float(evaporation_heat(10.0)), -8.0
    bill = loss_bill(house, inside, outside, 4.0, dew_point=dew, humidity=humidity, cloud=cloud)
    held = humidity_ratio(held_at, humidity, p)
    flow = (bill.watts("leaks") + bill.watts("door")) / (inside - outside) / 1006.0
    assert bill.watts("door") > 0
    expected = heat * flow * (held - saturation_humidity_ratio(dew_held_at, p))
    assert bill.watts("vapour_leaks") == pytest.approx(float(expected), rel=1e-9)
    settling = condensation_rate(5.0, 15.0, 0.9, 3.0, p) / (
        humidity_ratio(15.0, 0.9, p) - saturation_humidity_ratio(5.0, p)
    )
    face = outside - (1 - cloud) * midnight_sky(outside, dew) / float(outside_film(4.0))
    drips = 0.0
    for area, glazing in ((4.0, "glass_single"), (2.0, "glass_double")):
        share = min(0.95, float(glazing_u_value(glazing, "horizontal")) * 0.13)
        surface = min(60.0, inside - share * (inside - face))
        drips += heat * share * settling * area * max(0.0, held - saturation_humidity_ratio(surface, p))
    # the share is rounded to six places and the constants of the sky are short
    assert drips > 0 and bill.watts("wet_panes") == pytest.approx(float(drips), rel=1e-4)


def test_dry_air_drips_on_no_pane():
    bill = loss_bill(cottage(), 15.0, -8.0, dew_point=-12.0, humidity=0.0)
    assert bill.watts("wet_panes") == 0.0 and bill.watts("vapour_leaks") < 0


def test_shares_are_told_of_a_loss_alone():
    """A house that gains has no shares of a loss; half a watt lost has."""
    gaining = loss_bill(cottage(), -20.0, 10.0, cloud=1.0)
    assert gaining.total < 0 and {row.share for row in gaining.rows} == {0.0}
    for watts, shares in (({"walls": 0.25, "leaks": 0.125}, [2 / 3, 1 / 3]), ({"walls": 0.0}, [0.0])):
        assert [row.share for row in _bill(watts, {}).rows] == pytest.approx(shares)
    assert {row.key for row in gaining.rows if row.parts == {}} == {row.key for row in gaining.rows} - {
        "glazing", "walls", "sky"
    }  # fmt: skip


def test_savings_are_counted_at_the_moment_that_is_told():
    house, moment = demo_house(), dict(cloud=1.0, day_of_year=60.0)
    measures = {"seal": {"air.air_change_rate": 0.5}, "wet": {"plants.area": 8.0, "air.relative_humidity": 0.9}}
    got = savings(house, measures, 2.0, -24.0, 6.0, **moment)
    sealed = house.changed(**measures["seal"])
    totals = [loss_bill(h, 2.0, -24.0, 6.0, **moment).total for h in (house, sealed, sealed.changed(**measures["wet"]))]
    assert (got.before, got.after) == (totals[0], totals[2])
    assert got.in_order == {"seal": totals[0] - totals[1], "wet": totals[1] - totals[2]}
    assert got.alone["wet"] == totals[0] - loss_bill(house.changed(**measures["wet"]), 2.0, -24.0, 6.0, **moment).total


def test_refusals_of_the_bill_show_what_was_told():
    house = demo_house()
    with pytest.raises(ValueError, match=r"measure 'seal' must be .*, but it is 5$"):
        savings(house, {"seal": 5}, 2.0, -24.0)
    with pytest.raises(ValueError, match="path of the bill 'roof'"):
        loss_bill(house, 2.0, -24.0).watts("roof")
    assert loss_bill(demo_house(), 2.0, -24.0, snow=np.False_) == loss_bill(demo_house(), 2.0, -24.0)


def test_the_curtain_is_drawn_in_the_dark_of_the_bill():
    """At night there is no sun at all: a curtain that opens at the least of it is drawn too, and by the clock."""
    bare, curtain = loss_bill(demo_house(2), 5.0, -15.0).watts("glazing"), demo_house(3).curtain
    drawn = [
        loss_bill(demo_house(3).changed("curtain", replace(curtain, **rule)), 5.0, -15.0).watts("glazing")
        for rule in ({"sun_limit": 0.001}, {"sun_limit": 500.0}, {"rule": "clock", "closes": 23.9, "opens": 0.1})
    ]
    assert len(set(drawn)) == 1 and drawn[0] < 0.8 * bare
