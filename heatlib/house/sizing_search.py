"""Search for the least that holds a limit, check it at one less, and say what stands in the way where nothing does."""

import math
from dataclasses import dataclass, replace

import numpy as np

from heatlib._check import TEMPERATURE, shortened, single
from heatlib.house.balance import prepare, run
from heatlib.house.greenhouse import Curtain, Heater, Layer, class_rate
from heatlib.house.weather import Weather, checked_weather
from heatlib.tables import entry
from heatlib.units import format_quantity, to_display, unit_of

__all__ = ["Outcome", "Sizing", "judge", "least"]

_DAY = 86400.0
_SHORTEST = 36 * 3600.0
"""Weather shorter than this shows no day before the night, and so not what the stores hold [s]."""
_MORE_SURFACE = 8
"""Barrels cut into so many smaller ones hold the same heat with more surface: is surface what limits?"""
_FULL = 20.0
"""Stores this warm at the noon before the night count as charged when asking what limits [°C]."""
_CASES = {"low": (0.7, 2.0, 1.15), "high": (1.4, -2.0, 0.85)}
"""Leakage times, outside plus [K], sun times: a kind and an unkind case; common practice, no source."""
_FOAM, _EDGE = 0.1, (1.4, 0.6)
"""What insulating adds in the question whether loss is what limits: foam [m]; R [m²K/W] and depth [m] at the edge."""
_DRIEST = -40.0
"""A dew point below this holds next to no vapour; the unkind case leaves it as it is [°C]."""
_WORDS = {
    "surface": "the stores hold enough heat but can't give it up fast enough: more surface (smaller or spaced barrels)",
    "charge": "the stores go into the night too cold: more sun on them, or heat in them beforehand",
    "loss": "the house loses more than its stores can give back: insulate and seal first",
    "nothing stored": "nothing in the house keeps heat for the night: insulate and seal first, then put stores in",
}


@dataclass(frozen=True)
class Outcome:
    """How a night went: its lowest air, how long it was too cold, and in which of the weathers."""

    lowest: float
    """[°C]"""
    hours_below: float
    """[h]"""
    weather: str
    """Name of the weather that was worst [text]."""


@dataclass(frozen=True)
class Sizing:
    """The least that holds the limit, or why nothing does."""

    what: str
    """What was sized, with its unit [text]."""
    answer: float | None
    """Least amount that holds the limit; None where it can't be reached [unit of ``what``]."""
    limit: float
    """Temperature to hold [°C]."""
    outcome: Outcome
    """How the night goes with the answer, or with the best that can be reached [°C, h]."""
    at_one_less: Outcome | None
    """How it goes with one step less; None where the answer is none at all [°C, h]."""
    less: float | None
    """One step less [unit of ``what``]."""
    best_amount: float
    """Amount at which the night is warmest among those tried; the answer where there is one [unit of ``what``]."""
    limiting: str | None
    """``surface``, ``charge`` or ``loss`` where the limit can't be reached [text]."""
    helps: str
    """What would help where it can't be reached [text]."""
    low: float | None
    """Answer in the kind case: tighter, 2 K milder, more sun; None where out of reach [unit of ``what``]."""
    high: float | None
    """Answer in the unkind case; None where out of reach [unit of ``what``]."""
    cases: bool
    """Whether the kind and the unkind case were searched for [yes/no]."""
    quantity: str
    """Name of the quantity for :func:`heatlib.units.format_quantity` [text]."""

    @property
    def holds(self):
        """Whether the limit can be held [yes/no]."""
        return self.answer is not None

    @property
    def best(self):
        """Warmest reachable lowest air [°C]."""
        return self.outcome.lowest

    @property
    def margin(self):
        """Lowest air above the limit; negative where it can't be held [K]."""
        return self.outcome.lowest - self.limit

    @property
    def sentence(self):
        """The result in one plain sentence, metric [text]."""
        return self.words("metric")

    def words(self, system):
        """Return the result in one plain sentence in a unit system, ``"metric"`` or ``"US"`` [text]."""

        def warmth(value):
            return format_quantity(value, "temperature", system)

        def amount(value):
            if not value:
                return "out of reach" if value is None else "none"
            return f"{value:.0f}" if self.quantity == "count" else format_quantity(value, self.quantity, system)

        if not self.holds:
            return (
                f"{self.what}: {warmth(self.limit)} can't be reached; at best it falls to {warmth(self.best)} "
                f"({amount(self.best_amount)}): {self.helps}."
            )
        spare = _decimals(self.margin, "temperature_difference", system)
        enough = f"{amount(self.answer)} will hold" if self.answer else "none is needed to hold"
        text = f"{self.what}: {enough} {warmth(self.limit)} with {spare} to spare"
        if self.at_one_less:
            hours = format_quantity(self.at_one_less.hours_below * 3600, "time", system, digits=2)
            colder = f"{_decimals(self.at_one_less.lowest, 'temperature', system)}, and it is too cold for {hours}"
            text += f"; with {amount(self.less)} it falls to {colder}"
        ends = f" (kind case {amount(self.low)}, unkind case {amount(self.high)})" if self.cases else ""
        return f"{text}{ends}."


def _decimals(value, quantity, system):
    """Write a temperature finely enough to show on which side of the limit it lies [text]."""
    unit = unit_of(quantity, system)
    return f"{to_display(value, quantity, system):.2f} {unit.label}".replace("-", "−")


def judge(house, weathers, limit, *, initial=None, step=300.0):
    """Run a house through each weather and judge the last 24 hours of each.

    Parameters
    ----------
    house : Greenhouse
        The house [SI inside].
    weathers : sequence of Weather
        Each ends with the night that counts [°C].
    limit : float
        Temperature to hold [°C].
    initial : dict, optional
        Temperatures at the start, as for :func:`heatlib.house.balance.run` [°C].
    step : float
        Step of the run [s].

    Returns
    -------
    Outcome
        That of the worst weather [°C, h].

    Raises
    ------
    ValueError
        As the run does.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> from heatlib.house.weather import design_night
    >>> judge(demo_house(1), [design_night(46.5, "2025-01-20", minimum=12.0, maximum=18.0)], 2.0).hours_below
    0.0
    """
    outcomes = []
    for weather in weathers:
        course = run(house, weather, step, initial=initial)
        air = course.air[course.time > course.time[-1] - _DAY]
        outcomes.append(Outcome(float(air.min()), float((air < limit).sum() * step / 3600), weather.name))
    return min(outcomes, key=lambda outcome: outcome.lowest)


def least(what, quantity, house, build, weather, limit, *, unit, largest, cases=True, progress=False):
    """Find the least number of units that holds the limit, for typical, kind and unkind inputs.

    Parameters
    ----------
    what : str
        What is sized [text].
    quantity : str
        Its quantity, for words [text].
    house : Greenhouse
        The house as it stands [SI inside].
    build : callable
        ``build(house, amount)`` returns the house with so much of it [SI inside].
    weather : Weather or sequence of Weather
        What the house must stand; each ends with its night [°C].
    limit : float or None
        Temperature to hold; None for the house's own [°C].
    unit : float
        One step of the search [unit of the quantity, SI].
    largest : int
        Most steps to try [–].
    cases : bool
        Whether to search for the kind and the unkind case too; without them it is three times faster [yes/no].
    progress : bool
        Whether a bar shows on the error stream after a second [yes/no].

    Returns
    -------
    Sizing
        Answer, margin, what one less does, or what limits [unit of the quantity].

    Raises
    ------
    ValueError
        If the weather shows no day before the night, or the limit is out of range.

    Notes
    -----
    Doubling, then halving: more of a thing is taken to be warmer; the answer is checked where it holds and at one less.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> from heatlib.house.weather import design_night
    >>> mild = design_night(46.5, "2025-01-20", minimum=12.0, maximum=18.0)
    >>> build = lambda house, n: house.changed("stores.drums.count", n)
    >>> least("drums", "count", demo_house(1), build, mild, 2.0, unit=1.0, largest=10).answer
    0.0
    """
    weathers = (weather,) if isinstance(weather, Weather) else weather
    if not isinstance(weathers, list | tuple) or not weathers:
        raise ValueError(f"weather must be a Weather or a list of them, but it is {shortened(weather)}")
    weathers = tuple(checked_weather(one) for one in weathers)
    limit = house.limits.minimum if limit is None else single("limit", limit, "°C", -20, 30)
    for one in weathers:
        if float(one.time[-1]) < _SHORTEST:
            raise ValueError(
                f"the weather {one.name!r} lasts {one.time[-1] / 3600:.0f} h; it needs 36 h or more: a day before the "
                "night shows how warm the stores really get"
            )
    with _bar(what, progress) as bar:

        def judged(base, nights):
            def outcome(k):
                bar.update()
                return judge(build(base, k * unit), nights, limit)

            return _search(outcome, limit, largest)

        n, tried = judged(house, weathers)
        least_of = {case: judged(*_moved_case(case, house, weathers))[0] for case in _CASES} if cases else {}
    ends = {case: None if least_of.get(case) is None else least_of[case] * unit for case in _CASES}
    common = dict(what=what, limit=limit, quantity=quantity, cases=cases, **ends)
    if n is None:
        best = max(tried, key=lambda k: tried[k].lowest)
        limiting, words = _limiting(build(house, best * unit), weathers, limit)
        return Sizing(
            answer=None, outcome=tried[best], at_one_less=None, less=None, best_amount=best * unit, limiting=limiting,
            helps=words, **common,
        )  # fmt: skip
    less = (tried[n - 1], (n - 1) * unit) if n else (None, None)
    return Sizing(
        answer=n * unit, outcome=tried[n], at_one_less=less[0], less=less[1], best_amount=n * unit, limiting=None,
        helps="", **common,
    )  # fmt: skip


def _search(evaluate, limit, largest):
    """Return the least whole number that holds (None if none does) and everything tried."""
    tried = {0: evaluate(0)}
    fails, n = 0, 0
    while tried[n].lowest < limit:
        if n >= largest:
            return None, tried
        fails, n = n, min(max(2 * n, 1), largest)
        tried[n] = evaluate(n)
    while n - fails > 1:
        middle = (n + fails) // 2
        tried[middle] = evaluate(middle)
        if tried[middle].lowest < limit:
            fails = middle
        else:
            n = middle
    return n, tried


def _bar(what, progress):
    """Count the houses tried; how many there will be nobody knows."""
    from tqdm import tqdm

    return tqdm(desc=what, delay=1.0, disable=not progress, unit=" tried", leave=False)


def _moved_case(case, house, weathers):
    leak, warmer, sun = _CASES[case]
    other = house.changed("air.air_change_rate", min(house.air.air_change_rate * leak, 30.0))
    return other, [_moved(weather, warmer, sun) for weather in weathers]


def _moved(weather, warmer, sun):
    shown = {name: getattr(weather, name) * sun for name in ("beam_normal", "diffuse_horizontal", "global_horizontal")}
    temperature = np.clip(weather.temperature + warmer, *TEMPERATURE)
    dew = np.maximum(weather.dew_point + warmer, np.minimum(weather.dew_point, _DRIEST))
    return replace(weather, temperature=temperature, dew_point=np.minimum(dew, temperature), **shown)


def _limiting(house, weathers, limit):
    """Ask what if, each by itself, and name what lifts the coldest moment most; what would hold the limit goes first.

    More surface for the same heat; stores warm at the noon before; the house insulated and sealed as others are.
    """
    watts = _heat_that_holds(house, weathers, limit)
    rest = f"; or a heater of some {watts:.0f} W in the air" if watts else ""
    if not _stores(house):
        return "loss", _WORDS["nothing stored"] + rest
    lifted = {
        "surface": judge(_wide(house), weathers, limit).lowest,
        "charge": min(_charged(house, weather) for weather in weathers),
        "loss": judge(_tightened(house), weathers, limit).lowest,
    }
    enough = [remedy for remedy, lowest in lifted.items() if lowest >= limit]
    limiting = max(enough or lifted, key=lifted.get)
    return limiting, _WORDS[limiting] + rest


def _stores(house):
    """Names of what can be charged: stores, and the ground that a fan draws heat out of at night."""
    pipes = house.pipes and house.pipes.count and house.pipes.on_below is not None
    return [store.name for store in house.stores if store.count] + ["pipes"] * bool(pipes)


def _wide(house):
    """The house with its barrels cut into small ones: the same heat, more surface."""
    for store in house.stores:
        if store.kind == "barrels" and store.count:
            pieces = min(_MORE_SURFACE, 1000 // store.count)
            house = house.changed(
                **{f"stores.{store.name}.count": store.count * pieces},
                **{f"stores.{store.name}.volume": store.volume / pieces},
            )
    return house


def _charged(house, weather, step=300.0):
    """Lowest air of the last 24 hours [°C] if only the stores, not air and floor, are warm at the noon before."""
    noon = weather.clock[-1] - np.timedelta64(86400, "s")
    before = run(house, weather.between(weather.clock[0], noon), step)
    night = prepare(house, weather.between(noon, weather.clock[-1]), step)
    stores, end = _stores(house), dict(before.end)
    for water in night.inputs.waters:
        end[water.name] = max(end[water.name], water.heat(_FULL))
    for column in night.inputs.columns:
        if column.name in stores:
            end[column.name] = [max(layer, _FULL) for layer in end[column.name]]
    return night.run(replace(before, end=end)).lowest_air


def _tightened(house):
    """The house with more foam on every dark wall, a curtain under every pane, a warm edge, sealed, with a lobby."""
    foam = Layer("eps", _FOAM)
    added = _FOAM / entry("materials", "eps", "conductivity").value
    surfaces = []
    for surface in house.surfaces:
        if surface.glazing:
            surfaces.append(replace(surface, curtain=True))
        elif surface.layers:
            surfaces.append(replace(surface, layers=(foam, *surface.layers)))
        else:
            r_value = surface.r_value or 1 / surface.u_value
            surfaces.append(replace(surface, u_value=None, r_value=min(r_value + added, 30.0)))
    floor, air = house.floor, house.air
    return house.changed(
        **{"surfaces": tuple(surfaces), "curtain": house.curtain or Curtain(), "air.lobby": True},
        **{"air.air_change_rate": min(air.air_change_rate, class_rate("sealed"))},
        **{
            "floor.edge_r_value": max(floor.edge_r_value, _EDGE[0]),
            "floor.edge_depth": max(floor.edge_depth, _EDGE[1]),
        },
    )


def _heat_that_holds(house, weathers, limit):
    """Return the power of an air heater that would hold the limit, to two digits upward; None beyond 50 kW."""
    power = 50e3
    heated = house.changed("heater", Heater(power, limit, 0.1))
    peak = 0.0
    for weather in weathers:
        course = run(heated, weather)
        peak = max(peak, float(course.heater[course.time > course.time[-1] - _DAY].max()))
    return _two_digits_up(peak) if peak < 0.99 * power else None


def _two_digits_up(value):
    step = 10 ** max(0, math.floor(math.log10(value)) - 1) if value > 0 else 1
    return math.ceil(value / step) * step
