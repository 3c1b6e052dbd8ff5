"""The loss bill: worked cases by hand, sums, and measures that save no watt twice."""

import pytest

from heatlib.house.bill import loss_bill, savings
from heatlib.house.demo import demo_house
from heatlib.house.greenhouse import Air, Floor, Greenhouse, Place, Plants, SnowCover, Surface
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
