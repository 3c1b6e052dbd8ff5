"""Random but valid houses in random weather, and the laws that hold in each of them.

A seed makes one house with any mix of what :mod:`heatlib.house.greenhouse` can describe, with extremes and zeros of its
ranges, and one stretch of weather. Used by ``test_random_houses.py`` for some seconds and by ``.ci/fuzz houses``.
"""

import random
import warnings
from dataclasses import MISSING, fields, replace

import numpy as np

from heatlib.house import greenhouse as g
from heatlib.house.balance import PATHS, run
from heatlib.house.bill import loss_bill
from heatlib.house.fabric import REFERENCE
from heatlib.house.greenhouse import Greenhouse, allowed_names
from heatlib.house.housefile import house_text, parse_house
from heatlib.house.weather import Weather, design_day, design_night, sunless_days
from heatlib.tables import keys

RARE = 0.25
"""How often a number stands at an end of its range."""


class Draw(random.Random):
    """Random fields by what each says of itself."""

    def number(self, rule):
        low, high = rule["low"], rule["high"]
        if rule["above"] is not None:
            low = (high - rule["above"]) * 1e-4 + rule["above"]
        chance = self.random()
        if chance < RARE:
            return self.choice((float(low), float(high)))
        if chance < 0.5 and low >= 0 and high > 0:  # small values are as likely as large ones
            least = max(low, high * 1e-4)
            return float(min(high, max(low, least * (high / least) ** self.random())))
        return self.uniform(low, high)

    def field(self, item, **more):
        rule, kind = item.metadata, item.metadata["kind"]
        if item.name in more:
            return more[item.name]
        if item.default is not MISSING and self.random() < 0.4:
            return item.default
        if kind == "number":
            return self.number(rule)
        if kind == "name":
            return self.choice(list(allowed_names(rule["allowed"])))
        if kind == "yes":
            return self.random() < 0.5
        texts = ("shed", "Haus Süd", "<b>&amp;\"'", "$x$ #let *a* _b_ @c", "=1+1", "温室")
        return self.choice(texts) if kind == "text" else ()

    def part(self, cls, **more):
        return cls(**{item.name: self.field(item, **more) for item in fields(cls)})

    def solid(self):
        return self.choice([key for key in keys("materials") if key not in LIQUID])

    def layers(self, most=3):
        return tuple(g.Layer(self.solid(), self.uniform(0.001, 0.3)) for _ in range(self.randint(1, most)))


LIQUID = ("water",)
SOILS = ("soil_dry", "soil_moist", "soil_wet", "soil_clay", "sand_gravel", "peat", "granite")


def surface(draw, name):
    skin = draw.choice(("glazing", "glazing", "layers", "u_value", "r_value"))
    given = {"glazing": None, "layers": (), "u_value": None, "r_value": None, "framing_material": draw.solid()}
    if skin == "layers":
        given["layers"] = draw.layers()
    elif skin == "glazing":
        given["glazing"] = draw.choice(list(keys("glazings")))
    else:
        given[skin] = draw.uniform(0.05, 8.0)
    area = draw.choice((0.01, 0.5, 5.0, 40.0, 300.0)) * draw.uniform(0.5, 1.5)
    return draw.part(g.Surface, name=name, area=area, **given)


def store(draw, name):
    kind = draw.choice(("barrels", "barrels", "bed"))
    material = "water" if kind == "barrels" and draw.random() < 0.8 else draw.solid()
    count, volume = draw.choice((0, 1, 3, 20, 200)), draw.choice((0.01, 0.1, 0.2, 3.0))
    return draw.part(
        g.Store, name=name, kind=kind, material=material, count=count, layers=draw.randint(1, 8),
        volume=volume, surface=volume / draw.uniform(0.02, 1.0) if kind == "bed" else None,
        diameter=draw.uniform(0.2, 0.8), height=draw.uniform(0.3, 1.2), sun_share=draw.choice((0.0, 0.1, 0.3)),
    )  # fmt: skip


def maybe(draw, make):
    return make() if draw.random() < 0.5 else None


def door(draw):
    openings = draw.choice((0.0, 4.0, draw.uniform(0, 200)))
    return {"door_openings": openings, "door_seconds": draw.uniform(0, min(3600.0, 3600 / max(openings, 1)))}


def plants(draw, floor):
    return (
        draw.part(g.Plants, area=min(5000.0, floor * draw.choice((0.0, 0.3, 1.0, 9.9))))
        if draw.random() < 0.6
        else g.Plants()
    )


def tree(draw, name):
    low = draw.choice((0.0, draw.uniform(0, 10)))
    return draw.part(g.Tree, name=name, crown_base=low, height=low + draw.uniform(0.1, 30))


def house(draw):
    """Return a random valid house."""
    stores = tuple(store(draw, f"store {i}") for i in range(draw.choice((0, 0, 1, 1, 2, 3))))
    waters = [s.name for s in stores if s.kind == "barrels" and s.material == "water" and s.count]
    vents = maybe(draw, lambda: draw.part(g.Vents, opens_at=draw.uniform(10, 60)))
    roof = 40.0 if vents is None else vents.opens_at - 0.1
    band = draw.choice((0.001, 0.5, 3.0))
    heater = maybe(
        draw,
        lambda: draw.part(
            g.Heater, band=band, setpoint=draw.uniform(-20, min(40.0, roof - band)),
            power=draw.choice((0.0, 500.0, 1e4, 1e6)), place=draw.choice(["air", "air", *waters]), fuel="electricity",
        ),
    )  # fmt: skip
    low = draw.choice((None, draw.uniform(-20, 20)))
    pipes = maybe(
        draw,
        lambda: draw.part(
            g.Pipes, length=draw.uniform(1, 100), flow=draw.choice((0.005, 0.05, 0.15)),
            count=float(draw.choice((0, 3, 20))), diameter=draw.uniform(0.1, 0.3), depth=draw.uniform(0.2, 3.0),
            spacing=draw.uniform(0.31, 2.0), on_below=low, on_above=draw.choice((24.0, draw.uniform(21, 60))),
            fan_power=draw.choice((None, 0.0, 60.0)),
        ),
    )  # fmt: skip
    area = draw.choice((1.0, 20.0, 500.0, 5000.0))
    facings = draw.sample(range(0, 360, 15), draw.randint(2, 5))
    return Greenhouse(
        name=draw.choice(("shed", "<script>alert(1)</script>", "Дом №1")),
        volume=draw.choice((0.1, 5.0, 50.0, 2000.0, 50e3)),
        place=draw.part(g.Place),
        floor=draw.part(g.Floor, area=area, perimeter=4 * area**0.5 * draw.uniform(1.0, 3.0), soil=draw.choice(SOILS),
                        layers=draw.layers() if draw.random() < 0.5 else ()),
        surfaces=tuple(surface(draw, f"side {i}") for i in range(draw.choice((1, 2, 5)))),
        air=draw.part(g.Air, tightness=None, **door(draw)),
        plants=plants(draw, area),
        stores=stores, pipes=pipes, heater=heater, curtain=maybe(draw, lambda: draw.part(g.Curtain)), vents=vents,
        shade=maybe(draw, lambda: draw.part(g.Shade)),
        trees=tuple(tree(draw, f"tree {i}") for i in range(draw.choice((0, 0, 2)))),
        horizon=tuple(draw.part(g.Sighting, facing=float(f)) for f in facings) if draw.random() < 0.3 else (),
        snow_cover=maybe(draw, lambda: draw.part(g.SnowCover)), limits=draw.part(g.Limits, crop="leafy greens"),
    )  # fmt: skip


def weather(draw, place):
    """Return a random stretch of weather, from a mild day to the worst the ranges allow."""
    low = draw.choice((-60.0, draw.uniform(-40, 30), draw.uniform(-20, 10), 40.0))
    high = min(60.0, low + draw.choice((0.0, draw.uniform(0, 25))))
    date = f"2025-{draw.randint(1, 12):02d}-{draw.randint(1, 28):02d}"
    more = dict(
        minimum=low, maximum=high, wind_speed=draw.choice((0.0, 0.5, 5.0, 60.0)), snow=draw.random() < 0.3,
        longitude=place.longitude, utc_offset=place.utc_offset, elevation=place.elevation,
        dew_point=draw.choice((None, None, max(-80.0, low - draw.uniform(0, 40)))),
        step=draw.choice((300.0, 900.0, 3600.0)),
    )  # fmt: skip
    kind = draw.randrange(4)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        if kind == 0:
            cloud, before = draw.choice((0.0, 1.0)), draw.randint(0, 1)
            return design_night(place.latitude, date, cloud=cloud, days_before=before, **more)
        if kind == 1:
            return sunless_days(place.latitude, date, sunless=1, days_before=0, **more)
        if kind == 2:
            return design_day(place.latitude, date, cloud=draw.random(), days=1, **more)
    return wild(draw, place, date)


def wild(draw, place, date):
    """Weather that leaps from value to value within the widest ranges."""
    rows = draw.choice((2, 10, 40))
    step = draw.choice((600.0, 3600.0))
    noise = np.random.default_rng(draw.randrange(2**32))
    air = noise.uniform(*draw.choice(((-60, 60), (-30, 0), (0, 50))), rows)
    beam, diffuse = noise.uniform(0, 1000, rows), noise.uniform(0, 400, rows)
    if draw.random() < 0.3:
        beam, diffuse = 0 * beam, 0 * diffuse
    return Weather(
        time=step * np.arange(rows), temperature=air, dew_point=np.maximum(air - noise.uniform(0, 30, rows), -80.0),
        wind_speed=noise.uniform(0, 40, rows), beam_normal=beam, diffuse_horizontal=diffuse,
        global_horizontal=diffuse + 0.3 * beam, cloud=noise.uniform(0, 1, rows), snow=noise.uniform(0, 1, rows) > 0.5,
        start=np.datetime64(f"{date}T{draw.randint(0, 23):02d}:00"), latitude=place.latitude, longitude=place.longitude,
        utc_offset=place.utc_offset or 0.0, elevation=place.elevation, name="wild",
    )  # fmt: skip


def trial(seed):
    """Make the house of a seed, run it, and return everything that is wrong with it."""
    draw = Draw(seed)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            warnings.filterwarnings("ignore", message=".*dayofyear.*")
            model = house(draw)
            air = weather(draw, model.place)
            return faults(draw, model, air)
    except Exception as error:
        last = error.__traceback__
        while last.tb_next:
            last = last.tb_next
        place = f"{last.tb_frame.f_code.co_filename.rpartition('/')[2]}:{last.tb_lineno}"
        return [f"{type(error).__name__} in {place}: {error}"[:300]]


def faults(draw, model, air):
    step = draw.choice((60.0, 300.0, 300.0, 900.0, 3600.0))
    step = max(min(step, float(air.time[-1])), 10.0)
    course = run(model, air, step)
    wrong = sound(course)
    if parse_house(house_text(model)) != model:
        wrong.append("a house file does not come back as it was written")
    wrong += bill_laws(draw, model, air)
    wrong += course_laws(draw, model, air, step, course)
    return wrong


def sound(course):
    """What holds in every course: all finite, closed, humidity between nothing and full, known paths."""
    wrong = []
    arrays = {name: getattr(course, name) for name in ("air", "humidity", "heater", "vent", "sun")}
    arrays |= course.flows | course.exchange | course.stores | course.layers
    wrong += [f"{name} is not finite" for name, values in arrays.items() if not np.isfinite(values).all()]
    numbers = [*course.energy.values(), *course.stored.values(), *course.frozen.values(), course.closure]
    if not np.isfinite(numbers).all():
        wrong.append("an energy is not finite")
    if not course.closure < 1e-9:
        wrong.append(f"does not close: {course.closure:.2g}")
    if not ((course.humidity >= 0).all() and (course.humidity <= 1 + 1e-9).all()):
        wrong.append("impossible humidity")
    if set(course.energy) - set(PATHS):
        wrong.append("unknown path")
    if not all(0 <= share <= 1 for share in course.frozen.values()):
        wrong.append("impossible share of ice")
    power = course.house.heater.power if course.house.heater else 0.0
    if not ((course.heater >= -1e-9 * power).all() and (course.heater <= power * (1 + 1e-9)).all()):
        wrong.append("heater beyond its power")
    return wrong


def bill_laws(draw, model, air):
    """More insulation never raises the loss, nor does a tighter house or a milder night; nothing between equals.

    They hold for the sensible loss; drips and leaks of vapour go by dew points too. A colder sky than the air outside
    takes heat at the same temperature inside and out, so only the paths by conduction are nothing then.
    A colder night loses more by leaks and door below 0 °C outside: their flow is that of a house at 10 °C, so on a
    night warmer than that it grows with the warmth.
    """
    outside = float(np.clip(draw.choice((-60.0, -20.0, 5.0, float(air.temperature.min()))), -60, 29))
    inside = outside + draw.choice((0.0, 1.0, 20.0, 50.0))
    wind, cloud = draw.choice((0.0, 3.0, 40.0)), draw.choice((0.0, 1.0))
    bill = loss_bill(model, inside, outside, wind, cloud=cloud)
    wrong = []
    if not np.isfinite([row.watts for row in bill.rows]).all():
        wrong.append("a row of the bill is not finite")
    if not np.isclose(sum(row.watts for row in bill.rows), bill.total, rtol=1e-9, atol=1e-9):
        wrong.append("the bill does not sum up")
    if inside == outside:
        paths = ("glazing", "walls", "leaks", "door")
        return wrong + [f"{key} loses between equals" for key in paths if abs(bill.watts(key)) > 1e-9]
    slack = 1e-9 * sum(abs(row.watts) for row in bill.rows) + 1e-9
    for words, better in improvements(draw, model, outside):
        after = loss_bill(better, inside, outside, wind, cloud=cloud)
        if after.sensible > bill.sensible + slack:
            told = f"from {bill.sensible:.9g} to {after.sensible:.9g} W"
            wrong.append(f"{words} raises the loss {told} ({inside:g}, {outside:g}, {wind:g})")
    colder = loss_bill(model, inside, max(outside - 5.0, -60.0), wind, cloud=cloud)
    # the sky and the ground go by other temperatures; what warm air's lift drives is reckoned for a house of 10 °C
    others = ("sky", "ground", *(("door", "leaks") if outside > 0 else ()))
    mild, cold = (one.sensible - sum(map(one.watts, others)) for one in (bill, colder))
    if cold < mild - slack:
        wrong.append("a colder night loses less by conduction and leaks")
    return wrong


def improvements(draw, model, outside):
    """Houses that insulate better or leak less, with what was done.

    Foam at the edge counts where it is colder outside than in the ground: else it keeps out what warms the floor.
    """
    found = []
    for piece in model.surfaces:
        if piece.layers:
            more = (*piece.layers, g.Layer("eps", 0.05))
            found.append(("foam on a wall", model.changed(f"surfaces.{piece.name}.layers", more)))
        elif piece.r_value:
            found.append(("more R", model.changed(f"surfaces.{piece.name}.r_value", min(30.0, piece.r_value * 1.5))))
        elif piece.u_value:
            found.append(("less U", model.changed(f"surfaces.{piece.name}.u_value", piece.u_value * 0.7)))
    found.append(("half the leaks", model.changed("air.air_change_rate", model.air.air_change_rate / 2)))
    found.append(("a lobby", model.changed("air.lobby", True)))
    floor = model.floor
    deeper = {"floor.edge_r_value": min(20.0, floor.edge_r_value + 1.0), "floor.edge_depth": max(0.3, floor.edge_depth)}
    if outside < model.place.ground_mean - model.place.ground_swing - 1:
        found.append(("foam at the edge", model.changed(**deeper)))
    if any(piece.curtain for piece in model.surfaces):
        if model.curtain:
            found.append(("a thicker curtain", model.changed("curtain.r_value", min(5.0, model.curtain.r_value + 0.5))))
        else:
            found.append(("a curtain", model.changed("curtain", g.Curtain())))
    return draw.sample(found, min(2, len(found)))


def course_laws(draw, model, air, step, course):
    """Laws of the whole course.

    Colder outside never lowers the heater's work: true where nothing but the air outside differs (same sky loss, same
    dew point, no vapour, no natural vents to open, an air heater with a band as wide as the step can follow). Held for
    a house without vapour whose sun, wind and dew point stay; the fan and its thermostat are taken out, for a colder
    night can switch it at another time. What warm air's lift drives through door and cracks is reckoned for a house of
    10 °C, not for the air that the heater keeps: it is least at 10 °C outside. A night warmer than 11.5 °C that gets
    3 K colder comes nearer to those 10 °C, so its leaks shrink and the heater does work less: there the law holds
    without door and lift only.
    Barrels: more of them never lower the coldest air where they stand in a dark house without a heater that starts
    settled as warm as or warmer than it gets later: then each is a weight on the same side. Held from an equal start
    warmer than all outside, in the dark, in steps of ten minutes at most: in steps of an hour the air of a house whose
    barrels hold next to nothing see-saws by a millikelvin about its course, and so hides what they hold.
    """
    wrong = []
    plain = replace(model, pipes=None, vents=None, plants=g.Plants())
    if air.temperature.max() > REFERENCE + 1.5:
        plain = plain.changed(**{"air.wind_dependent": False, "air.door_openings": 0.0})
    if model.heater and model.heater.power and model.heater.place == "air" and model.heater.band >= 0.1:
        colder = replace(air, temperature=np.maximum(air.temperature - 3.0, -60.0))
        if (colder.temperature < air.temperature - 2.9).all():
            # what the sky takes goes by the fourth power of the air's temperature: less in the cold. Held equal here.
            calm = replace(air, cloud=np.ones_like(air.cloud)), replace(colder, cloud=np.ones_like(air.cloud))
            gains = no_sun(calm[0])
            work = [-run(plain, one, step, initial=10.0, gains=gains).energy["heater"] for one in calm]
            if work[1] < work[0] * (1 - 1e-6) - 1.0:
                wrong.append(f"a colder night lowers the heater's work from {work[0]:.9g} to {work[1]:.9g} J")
    waters = [s for s in model.stores if s.kind == "barrels" and s.count]
    if waters:
        dark = replace(air, cloud=np.ones_like(air.cloud))
        still = replace(plain, heater=None)
        start = float(min(60.0, max(air.temperature.max(), model.place.ground_mean + model.place.ground_swing) + 10.0))
        coldest = []
        for count in (waters[0].count, min(1000, 2 * waters[0].count)):
            more = still.changed(f"stores.{waters[0].name}.count", count)
            coldest.append(run(more, dark, min(step, 600.0), initial=start, gains=no_sun(dark)).lowest_air)
        if coldest[1] < coldest[0] - 1e-6 * max(1.0, abs(coldest[0])):
            wrong.append(f"more barrels lower the coldest air from {coldest[0]:.9g} to {coldest[1]:.9g} °C")
    return wrong


def no_sun(air):
    from heatlib.house.sunlight import Gains

    return Gains({}, {})
