"""The plan of a greenhouse: everything its two pages say, computed from the house, its weather and its prices.

All numbers are SI here; :mod:`heatlib.classroom.plan_pages` writes them in the reader's units.
"""

from dataclasses import dataclass, replace

import numpy as np

from heatlib.classroom.conditions import FUELS, night_weather, winter_weather
from heatlib.classroom.own_fields import DRUM, Draft, entries, fuel_of
from heatlib.classroom.works import Purchase, order_of_works
from heatlib.house import fabric
from heatlib.house.balance import run
from heatlib.house.bill import loss_bill
from heatlib.house.greenhouse import Heater
from heatlib.house.sizing import heater_needed
from heatlib.house.sizing_search import judge
from heatlib.other_heat import fuel_needed
from heatlib.tables import entry

__all__ = ["WINTERS", "Assumption", "FuelCost", "Option", "Plan", "lowest_air", "make_plan", "night_hours"]

WINTERS = 10
"""Winters over which barrels and heat are weighed against each other; common practice, no source."""
UNIT = 50.0
"""Step in which the heaters of a small house are sized; that of a great one is as much coarser [W]."""
PLENTY = 4.0
"""A heater of so many times the steady loss holds the limit in any ordinary winter, to see what heat that takes."""
_FEW = 4
_DAY = 86400.0
DRUM_WIDTH = 0.572
"""Across a drum of 208 L, as a barrel of the house file is where nothing is said [m]."""


@dataclass(frozen=True)
class Option:
    """So many barrels, with the heater they leave to buy."""

    barrels: int
    unheated: float
    """Lowest air of the cold night without a heater [°C]."""
    power: float | None
    """Heater that holds the limit in the cold night; None where not even a huge one does [W]."""
    heat: float
    """Heat of an ordinary winter [J]."""
    winter_cost: float
    """[money]"""
    to_buy: float
    """Barrels more than there are, and a heater where one is needed and there is none [money]."""

    @property
    def in_all(self):
        """Buying and :data:`WINTERS` winters of heat [money]."""
        return self.to_buy + WINTERS * self.winter_cost


@dataclass(frozen=True)
class Assumption:
    """One thing that is not known exactly, and the heater with which the limit holds at either end."""

    name: str
    quantity: str
    low: float
    typical: float
    high: float
    power_low: float | None
    power_high: float | None


@dataclass(frozen=True)
class FuelCost:
    """What a winter's heat takes of one fuel, and what it costs at the reader's price and over the usual range."""

    fuel: str
    amount: float
    """[kWh, m³, L or kg, as the table of fuels has it]"""
    unit: str
    """Of the price, such as ``per L`` [text]."""
    price: float
    cost: float
    low: float
    high: float


@dataclass(frozen=True)
class Plan:
    """All that the pages say."""

    draft: Draft
    is_demo: bool
    bill: object
    """Loss bill of the house as it stands [W]."""
    bill_after: object
    """Loss bill after the works [W]."""
    works: tuple
    after: object
    """The house after the works, with barrels and heater of the chosen option [Greenhouse]."""
    options: tuple
    chosen: Option
    today: object
    """Course of the cold night as the house stands [Course]."""
    course: object
    """Course of the cold night after the works [Course]."""
    assumptions: tuple
    purchases: tuple
    fuels: tuple = ()
    """The chosen option's heat by fuel, the cheapest first."""

    @property
    def house(self):
        """The house as it stands [Greenhouse]."""
        return self.draft.house

    @property
    def conditions(self):
        """Weather and prices [Conditions]."""
        return self.draft.conditions

    @property
    def fuel(self):
        """What the heater runs on: as the house's own says, else as the reader chose [name]."""
        return fuel_of(self.house, self.conditions)

    @property
    def needed(self):
        """Heater to buy: the chosen option's, or more where the unkind ends of the assumptions ask for it [W]."""
        powers = [self.chosen.power, *(one for a in self.assumptions for one in (a.power_low, a.power_high))]
        known = [power for power in powers if power is not None]
        return max(known, default=0.0) if self.chosen.power is not None else None


def make_plan(draft, *, is_demo=False, progress=None, folder="."):
    """Compute a plan.

    Parameters
    ----------
    draft : Draft
        House and conditions [–].
    is_demo : bool
        Whether the house is the invented one; the plan then says so [yes/no].
    progress : callable, optional
        Called as ``progress(share, words)`` while it works [0–1, text].
    folder : path
        Where a weather file of the reader's lies [–].

    Returns
    -------
    Plan
        All that the pages say [SI].

    Raises
    ------
    ValueError
        If the house can't be run through its weather.
    """
    tell = progress or (lambda share, words: None)
    house, conditions = draft.house, draft.conditions
    limit, outside = house.limits.minimum, conditions.coldest
    tell(0.0, "the loss bill and the works")
    works = order_of_works(house, conditions.prices, limit, outside)
    after = house
    for work in works:
        after = after.changed(**work.changes)
    night = night_weather(house, conditions)
    tell(0.1, "an ordinary winter")
    winter = winter_weather(house, conditions, folder)
    gains = fabric.gains(after, winter)
    options, loss = [], loss_bill(after, limit, outside).total
    counts = _counts(_barrels(house), _room_for(house))
    for n, count in enumerate(counts):
        tell(0.15 + 0.5 * n / len(counts), f"a winter with {count} barrels")
        options.append(_option(Draft(after, conditions), count, night, winter, gains, loss, house))
    chosen = min(options, key=lambda one: (one.power is None, one.in_all, one.barrels))
    after = _with_heater(_with_barrels(after, conditions, chosen.barrels), chosen.power or 0.0, limit)
    tell(0.65, "the cold night")
    today, course = run(house, night), run(after, night)
    assumptions = _assumptions(after, conditions, night, loss, tell)
    plan = Plan(
        draft, is_demo, loss_bill(house, limit, outside), loss_bill(after, limit, outside), works, after,
        tuple(options), chosen, today, course, assumptions, (), _fuel_costs(chosen.heat, conditions),
    )  # fmt: skip
    tell(1.0, "the pages")
    return replace(plan, purchases=_purchases(plan))


def _barrels(house):
    return next((store.count for store in house.stores if store.kind == "barrels"), 0)


def _room_for(house):
    """Count the barrels that four fifths of the floor hold, each in a square of its own; common practice, no source."""
    across = next((store.diameter for store in house.stores if store.kind == "barrels"), DRUM_WIDTH)
    return int(0.8 * house.floor.area / across**2)


def _counts(now, room):
    """Choose the numbers of barrels to compare: none, half, those there are, half more, twice as many, if they fit."""
    middle = max(now, 2 * _FEW)
    tried = (round(middle / 2), middle, round(1.5 * middle), 2 * middle)
    return sorted({0, now, *(max(now, min(count, room)) if count > now else count for count in tried)})


def _with_barrels(house, conditions, count):
    """Return the house with so many barrels; those beyond today's catch no more sun than today's do."""
    now = _barrels(house)
    if count == now:
        return house
    named = {entry.name: entry for group in entries(Draft(house, conditions)).values() for entry in group}
    house = named["barrels"].put(Draft(house, conditions), float(count)).house
    if now:
        at = next(i for i, store in enumerate(house.stores) if store.kind == "barrels")
        share = house.stores[at].sun_share * min(count / now, 1.0)
        house = house.changed(f"stores.{at}.sun_share", share)
    return house


def _with_heater(house, power, limit):
    return house.changed("heater", Heater(power, limit) if power else None)


def _heater(house, night, loss):
    """Return the least heater that holds the limit through a night, for a house of such a steady loss [W]."""
    unit = UNIT * max(1.0, np.ceil(loss / 10e3))
    bare = house.changed("heater", None)
    return heater_needed(bare, night, unit=unit, largest=max(20e3, PLENTY * loss), cases=False, progress=False).answer


def _option(draft, count, night, winter, gains, loss, today):
    conditions, limit = draft.conditions, draft.house.limits.minimum
    house = _with_barrels(draft.house, conditions, count).changed("heater", None)
    unheated = judge(house, [night], limit).lowest
    power = 0.0 if unheated >= limit else _heater(house, night, loss)
    plenty = _with_heater(house, max(20e3, PLENTY * loss), limit)
    heat = max(0.0, -run(plenty, winter, 1800.0, gains=gains).energy["heater"])
    prices, more = conditions.prices, max(0, count - _barrels(today))
    heater = prices["heater"] if (power or heat > 0) and not (today.heater and today.heater.power) else 0.0
    fuel = fuel_of(today, conditions)
    cost = float(fuel_needed(fuel, heat)) * prices[fuel]
    return Option(count, unheated, power, heat, cost, more * prices["barrel"] + heater)


def _fuel_costs(heat, conditions):
    rows = []
    for fuel in FUELS:
        amount, usual, price = float(fuel_needed(fuel, heat)), entry("fuels", fuel, "price"), conditions.prices[fuel]
        rows.append(FuelCost(fuel, amount, usual.unit, price, amount * price, amount * usual.low, amount * usual.high))
    return tuple(sorted(rows, key=lambda row: row.cost))


def _assumptions(house, conditions, night, loss, tell):
    bare = house.changed("heater", None)
    leaks = house.air.air_change_rate

    def power(built, weather):
        return _heater(built, weather, loss)

    def leaky(times):
        return power(bare.changed("air.air_change_rate", min(leaks * times, 30.0)), night)

    def colder(by):
        return power(bare, replace(night, temperature=night.temperature + by, dew_point=night.dew_point + by))

    def sunny(times):
        sun = {name: getattr(night, name) * times for name in ("beam_normal", "diffuse_horizontal",
                                                              "global_horizontal")}  # fmt: skip
        return power(bare, replace(night, **sun))

    def windy(speed):
        return power(bare, replace(night, wind_speed=np.full_like(night.wind_speed, speed)))

    def wet(times):
        return power(bare.changed("plants.wetness", min(1.0, house.plants.wetness * times)), night)

    cold = conditions.coldest
    rows = [
        ("coldest night outside", "temperature", cold - 3, cold, cold + 3, lambda: colder(-3.0), lambda: colder(3.0)),
        ("air changes", "air_change_rate", 0.6 * leaks, leaks, 1.6 * leaks, lambda: leaky(0.6),
         lambda: leaky(1.6)),
        ("sun of the days before", "share", 0.6, 1.0, 1.2, lambda: sunny(0.6), lambda: sunny(1.2)),
        ("wind", "speed", 0.2, 0.5, 4.0, lambda: windy(0.2), lambda: windy(4.0)),
    ]  # fmt: skip
    if house.plants.area:
        wetness = house.plants.wetness
        ends = (0.5 * wetness, wetness, min(1.0, 3 * wetness))
        rows.append(("wetness of the bed", "share", *ends, lambda: wet(0.5), lambda: wet(3.0)))
    found = []
    for n, (name, quantity, low, typical, high, at_low, at_high) in enumerate(rows):
        tell(0.7 + 0.28 * n / len(rows), name)
        found.append(Assumption(name, quantity, low, typical, high, at_low(), at_high()))
    return tuple(found)


def _purchases(plan):
    prices, house = plan.conditions.prices, plan.house
    rows = [purchase for work in plan.works for purchase in work.purchases]
    more = plan.chosen.barrels - _barrels(house)
    if more > 0:
        size = next((store.volume for store in house.stores if store.kind == "barrels"), DRUM)
        rows.append(Purchase("food-grade barrels, each on firm ground", more, "count", more * prices["barrel"]))
        rows.append(Purchase("clean water to fill them", more * size, "store_volume", 0.0))
    have = house.heater.power if house.heater else 0.0
    if plan.needed and plan.needed > have:
        kind = "heater" if plan.fuel == "electricity" else f"heater for {plan.fuel.replace('_', ' ')}, with a flue,"
        rows.append(Purchase(f"{kind} with thermostat, at least", plan.needed, "electric_power", prices["heater"]))
    return tuple(rows)


def lowest_air(course):
    """Return the lowest air of the last day of a course, which is the night that counts [°C]."""
    return float(course.air[course.time > course.time[-1] - _DAY].min())


def night_hours(course):
    """Return the last day of a course by the hour, from noon to noon.

    Parameters
    ----------
    course : Course
        A cold night [SI].

    Returns
    -------
    list of dict
        ``clock``, ``outside``, ``air``, ``heater`` and each store by name [°C, W].
    """
    end = course.weather.time[-1]
    rows = []
    for when in np.arange(end - _DAY, end + 1, 3600.0):
        row = {"clock": str((course.weather.start + np.timedelta64(int(when), "s")).astype("datetime64[m]"))}
        for name, values in (("outside", course.outside), ("air", course.air), ("heater", course.heater)):
            row[name] = float(np.interp(when, course.time, values))
        row["stores"] = {name: float(np.interp(when, course.time, v)) for name, v in course.stores.items()}
        rows.append(row)
    return rows
