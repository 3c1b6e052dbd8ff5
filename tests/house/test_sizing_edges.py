"""Sizing taken apart: what each question tries, how the search goes, what it judges, and how it says so.

The house's answer to a night is put in by hand here, so that each outcome can be told beforehand; that the real house
is asked and answers right is tested in ``test_sizing.py``.
"""

import re
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from heatlib.house import sizing, sizing_search
from heatlib.house.balance import run
from heatlib.house.demo import demo_house
from heatlib.house.greenhouse import Curtain, Heater, Layer, Limits, Pipes, Store, Surface, class_rate
from heatlib.house.sizing import barrels_needed, curtain_needed, heater_needed, insulation_needed, pipe_needed
from heatlib.house.sizing_search import Outcome, Sizing, judge, least
from heatlib.house.weather import design_night
from heatlib.tables import entry

pytestmark = pytest.mark.filterwarnings("ignore:.*dayofyear.*")
NIGHT = design_night(46.5, "2025-01-20", minimum=-12.0, maximum=-4.0, step=3600.0)
HOUSE = demo_house(4)
PIPED = demo_house(9)


@pytest.fixture
def asked(monkeypatch):
    """Ask for a size and get back what would be searched for, in place of the search."""

    def record(what, quantity, house, build, weather, limit, **how):
        return SimpleNamespace(
            what=what, quantity=quantity, house=house, build=build, weather=weather, limit=limit, how=how
        )

    monkeypatch.setattr(sizing, "least", record)


# ---- what each question tries


@pytest.mark.parametrize(
    "ask, house, what, quantity, unit, steps",
    [
        (barrels_needed, HOUSE, "barrels (drums)", "count", 1.0, 256),
        (heater_needed, HOUSE, "heater", "electric_power", 50.0, 400),
        (insulation_needed, HOUSE, "insulation (eps)", "thickness", 0.01, 40),
        (pipe_needed, PIPED, "length of each pipe", "length", 1.0, 60),
        (curtain_needed, HOUSE, "night curtain", "r_value", 0.05, 60),
    ],
)
def test_what_is_asked_where_nothing_is_told(asked, ask, house, what, quantity, unit, steps):
    """Up to 256 barrels; 20 kW in steps of 50 W; 0.4 m of 0.01 m; 60 m of 1 m; 3 m²K/W of 0.05."""
    got = ask(house, NIGHT)
    assert (got.what, got.quantity, got.weather, got.limit) == (what, quantity, NIGHT, None)
    assert got.house == house
    assert got.how == {"unit": unit, "largest": steps, "cases": True, "progress": True}
    told = ask(house, [NIGHT], 5.0, cases=False, progress=False)
    assert (told.weather, told.limit) == ([NIGHT], 5.0)
    assert told.how == {"unit": unit, "largest": steps, "cases": False, "progress": False}
    with pytest.raises(ValueError, match="house"):
        ask("a house", NIGHT)


@pytest.mark.parametrize(
    "ask, house, name, low, high, most",
    [
        (heater_needed, HOUSE, "W", 1, 5000, 1e6),
        (insulation_needed, HOUSE, "m", 0.001, 0.1, 3),
        (pipe_needed, PIPED, "m", 0.1, 10, 500),
        (curtain_needed, HOUSE, "m²K/W", 0.01, 1, 5),
    ],
)
def test_steps_and_the_most_to_try_at_their_ends(asked, ask, house, name, low, high, most):
    for unit in (low, high):
        how = ask(house, NIGHT, unit=unit, largest=most).how
        assert how["unit"] == unit and how["largest"] == round(most / unit)
        assert ask(house, NIGHT, unit=unit, largest=unit).how["largest"] == 1
        with pytest.raises(ValueError, match=re.escape(f"largest must be between {unit:g} and {most:g} {name}, ")):
            ask(house, NIGHT, unit=unit, largest=unit * 0.99)
    for unit in (low * 0.99, high * 1.01):
        with pytest.raises(ValueError, match=re.escape(f"unit must be between {low:g} and {high:g} {name}, ")):
            ask(house, NIGHT, unit=unit)
    with pytest.raises(ValueError, match="largest must be between"):
        ask(house, NIGHT, unit=low, largest=most * 1.01)


def test_steps_are_counted_without_round_off(asked):
    """0.3 m²K/W is three steps of 0.1, though 0.3/0.1 is 2.999… in floating point; and 0.35 holds three."""
    for largest in (0.3, 0.35):
        assert curtain_needed(HOUSE, NIGHT, unit=0.1, largest=largest).how["largest"] == 3


def test_barrels_fewer_and_more(asked):
    """Nine drums catch 0.15 of the sun: three 0.05, eighteen no more; where none stands yet any number catches it."""
    house = HOUSE.changed("stores.drums.sun_share", 0.15)
    assert house.store("drums").count == 9
    for count, share in ((0.0, 0.0), (3.0, 0.05), (9.0, 0.15), (18.0, 0.15)):
        drums = barrels_needed(house, NIGHT).build(house, count).store("drums")
        assert drums.count == count and drums.sun_share == pytest.approx(share, abs=1e-15)
    none = house.changed("stores.drums.count", 0)
    assert barrels_needed(none, NIGHT).build(none, 4.0).store("drums").sun_share == 0.15
    leaky = house.changed("air.air_change_rate", 3.0)
    assert barrels_needed(house, NIGHT).build(leaky, 4.0).air.air_change_rate == 3.0


def test_which_barrels(asked):
    tubs = Store("tubs", "barrels", 0.1, count=2.0, sun_share=0.1)
    both = HOUSE.changed("stores", (*HOUSE.stores, tubs))
    got = barrels_needed(both, NIGHT, store="tubs")
    assert got.what == "barrels (tubs)"
    built = got.build(both, 1.0)
    assert built.store("tubs").count == 1 and built.store("tubs").sun_share == pytest.approx(0.05)
    assert built.store("drums") == both.store("drums")
    put_in = barrels_needed(HOUSE, NIGHT, store=tubs)
    assert put_in.house == both and put_in.build(put_in.house, 5.0).store("tubs").count == 5
    with pytest.raises(ValueError, match=r"store='…', .*\(barrels in the house: drums, tubs\)"):
        barrels_needed(both, NIGHT)
    with pytest.raises(ValueError, match=r"\(barrels in the house: none\)"):
        barrels_needed(HOUSE.changed("stores", ()), NIGHT)
    bed = Store("bed", "bed", 1.0, material="gravel", surface=3.0)
    assert barrels_needed(HOUSE.changed("stores", (*HOUSE.stores, bed)), NIGHT).what == "barrels (drums)"


def test_how_many_barrels_to_try(asked):
    for most in (1, 1000):
        assert barrels_needed(HOUSE, NIGHT, largest=most).how["largest"] == most
    for most in (0, 1001, 2.5):
        with pytest.raises(ValueError, match=r"^largest must be .*1000 barrels|whole"):
            barrels_needed(HOUSE, NIGHT, largest=most)


def test_a_heater_keeps_its_place_and_band_and_reaches_the_limit(asked):
    """Its setpoint is the limit where it is lower; a higher one stays, and so does that of a heater in a store."""
    bare = HOUSE.changed("heater", None).changed("limits", Limits(minimum=4.0))
    assert heater_needed(bare, NIGHT).build(bare, 500.0).heater == Heater(500.0, 4.0)
    assert heater_needed(bare, NIGHT, 7.0).build(bare, 500.0).heater == Heater(500.0, 7.0)
    for setpoint, limit, expected in ((3.0, 5.0, 5.0), (6.0, 5.0, 6.0), (5.0, 5.0, 5.0)):
        house = bare.changed("heater", Heater(800.0, setpoint, 1.5, "air", "propane"))
        got = heater_needed(house, NIGHT, limit)
        assert got.build(house, 250.0).heater == Heater(250.0, expected, 1.5, "air", "propane")
        assert got.build(house, 0.0).heater is None
    house = bare.changed("heater", Heater(800.0, 3.0, 1.5, "drums", "propane"))
    assert heater_needed(house, NIGHT, 5.0).build(house, 250.0).heater == Heater(250.0, 3.0, 1.5, "drums", "propane")
    for limit in (-20, 30):
        assert heater_needed(bare, NIGHT, limit).limit == limit
    for limit in (-20.1, 30.1):
        with pytest.raises(ValueError, match="limit must be between -20 and 30 °C"):
            heater_needed(bare, NIGHT, limit)


def test_insulation_replaces_what_is_there_and_leaves_the_rest(asked):
    dark = [surface.name for surface in HOUSE.surfaces if surface.layers]
    assert len(dark) > 1
    boards = (Layer("eps", 0.02), Layer("softwood", 0.02), Layer("eps", 0.03), Layer("plywood", 0.012))
    house = HOUSE
    for name in dark:
        house = house.changed(f"surfaces.{name}.layers", boards)
    got = insulation_needed(house, NIGHT)
    for thickness, added in ((0.07, (Layer("eps", 0.07),)), (0.0, ())):
        built = got.build(house, thickness)
        for name in dark:
            assert built.surface(name).layers == (*added, Layer("softwood", 0.02), Layer("plywood", 0.012))
    one = insulation_needed(house, NIGHT, material="xps", surfaces=(dark[1],))
    assert one.what == "insulation (xps)"
    built = one.build(house, 0.05)
    assert built.surface(dark[1]).layers == (Layer("xps", 0.05), *boards)
    assert built.surface(dark[0]).layers == boards
    with pytest.raises(ValueError, match="surface with layers 'the moon' is not known"):
        insulation_needed(house, NIGHT, surfaces=["the moon"])
    with pytest.raises(ValueError, match="surfaces must be a list of names, but it is 'north wall'"):
        insulation_needed(house, NIGHT, surfaces="north wall")
    with pytest.raises(ValueError, match="no surface with layers"):
        insulation_needed(house, NIGHT, surfaces=[])


@pytest.mark.parametrize("flow, unit, most", [(0.2, 10.0, 500), (0.5, 10.0, 500), (1.0, 1.0, 60), (1.0, 7.0, 490)])
def test_pipes_are_no_longer_than_a_fan_can_blow_through(asked, flow, unit, most):
    """By trying each length in turn; the answer says how far was searched where that is less than was asked."""
    house = PIPED.changed("pipes", replace(PIPED.pipes, length=1.0, flow=flow))

    def stands(length):
        try:
            house.changed("pipes.length", length)
        except ValueError:
            return False
        return True

    steps = next((n for n in range(1, round(most / unit) + 1) if not stands(n * unit)), round(most / unit) + 1) - 1
    got = pipe_needed(house, NIGHT, unit=unit, largest=most)
    assert got.how["largest"] == steps
    assert got.what == "length of each pipe" or f"(of at most {steps * unit:g} m" in got.what
    assert (got.what == "length of each pipe") == (steps == round(most / unit))


def test_pipes_and_curtain_of_no_size_are_gone(asked):
    got = pipe_needed(PIPED, NIGHT)
    assert got.build(PIPED, 7.0).pipes == replace(PIPED.pipes, length=7.0)
    assert got.build(PIPED, 0.0).pipes is None
    own = HOUSE.changed("curtain", Curtain(r_value=0.9, edge_leak=0.4, rule="clock"))
    got = curtain_needed(own, NIGHT)
    assert got.build(own, 0.25).curtain == Curtain(r_value=0.25, edge_leak=0.4, rule="clock")
    assert got.build(own, 0.0).curtain is None
    bare = HOUSE.changed("curtain", None)
    assert curtain_needed(bare, NIGHT).build(bare, 0.25).curtain == Curtain(r_value=0.25)
    unmarked = bare.changed("surfaces", tuple(replace(s, curtain=False) for s in bare.surfaces))
    with pytest.raises(ValueError, match="curtain = true"):
        curtain_needed(unmarked, NIGHT)
    one = unmarked.changed(f"surfaces.{unmarked.surfaces[0].name}.curtain", True)
    assert curtain_needed(one, NIGHT).what == "night curtain"


# ---- the search


class Ledger:
    """A made-up answer of a house to a night: so many K for each drum, from a lowest air without any."""

    def __init__(self, bare, each, most=1000.0):
        self.bare, self.each, self.most, self.tried, self.starts = bare, each, most, [], []

    def __call__(self, house, weathers, limit, *, initial=None, step=300.0):
        self.tried.append((house, weathers))
        self.starts.append(initial)
        count = house.store("drums").count
        lowest = self.bare + self.each * min(count, self.most)
        return Outcome(lowest, max(0.0, limit - lowest), weathers[0].name)


def drums(base, count):
    return base.changed("stores.drums.count", count)


def search(monkeypatch, ledger, limit=0.0, **how):
    monkeypatch.setattr(sizing_search, "judge", ledger)
    how = {"unit": 1.0, "largest": 40, "cases": False} | how
    return least("drums", "count", HOUSE, drums, NIGHT, limit, **how)


@pytest.mark.parametrize("needed", [*range(18), 31, 32, 33, 39, 40])
def test_the_least_is_found_whatever_it_is(monkeypatch, needed):
    """With 1 K a drum and −n K without any, n drums are exactly enough for 0 °C, and n−1 lie 1 K below."""
    ledger = Ledger(-float(needed), 1.0)
    got = search(monkeypatch, ledger)
    assert (got.answer, got.best_amount, got.outcome.lowest, got.holds) == (needed, needed, 0.0, True)
    assert (got.limiting, got.helps, got.low, got.high, got.cases) == (None, "", None, None, False)
    assert (got.what, got.quantity, got.limit, got.margin, got.best) == ("drums", "count", 0.0, 0.0, 0.0)
    if needed:
        assert (got.less, got.at_one_less) == (needed - 1, Outcome(-1.0, 1.0, NIGHT.name))
    else:
        assert got.less is None and got.at_one_less is None
    counts = [house.store("drums").count for house, _ in ledger.tried]
    assert len(counts) == len(set(counts)) <= 2 + 2 * np.log2(max(needed, 1)) + 1  # doubling, then halving


def test_amounts_are_steps_times_their_unit(monkeypatch):
    """Units of 3: 9 drums are three of them, and with 0.5 K a drum they are enough for what lacks 4 K; 6 are not."""
    got = search(monkeypatch, Ledger(-4.0, 0.5), unit=3.0)
    assert (got.answer, got.less, got.best_amount) == (9.0, 6.0, 9.0)
    assert got.outcome.lowest == 0.5 and got.at_one_less.lowest == -1.0


def test_the_most_allowed_is_tried_and_no_more(monkeypatch):
    monkeypatch.setattr(sizing_search, "_limiting", lambda *_: ("loss", "insulate"))
    ledger = Ledger(-11.0, 1.0)
    got = search(monkeypatch, ledger, largest=10)
    assert max(house.store("drums").count for house, _ in ledger.tried) == 10
    assert (got.answer, got.less, got.at_one_less, got.holds) == (None, None, None, False)
    assert (got.best_amount, got.best, got.margin) == (10, -1.0, -1.0)
    assert (got.limiting, got.helps) == ("loss", "insulate")
    assert search(monkeypatch, Ledger(-10.0, 1.0), largest=10).answer == 10
    twos = search(monkeypatch, Ledger(-11.0, 0.25), largest=10, unit=2.0)
    assert (twos.answer, twos.best_amount, twos.best) == (None, 20.0, -6.0)
    # where more makes it colder, the best is none
    worse = search(monkeypatch, Ledger(-1.0, -1.0), largest=10, unit=2.0)
    assert (worse.answer, worse.best_amount, worse.best) == (None, 0.0, -1.0)


def test_the_house_s_own_limit_and_the_range_of_others(monkeypatch):
    house = HOUSE.changed("limits", Limits(minimum=3.0))
    monkeypatch.setattr(sizing_search, "judge", Ledger(-2.0, 1.0))
    how = dict(unit=1.0, largest=99, cases=False)
    assert least("d", "count", house, drums, NIGHT, None, **how).answer == 5
    assert least("d", "count", house, drums, NIGHT, 0, **how).answer == 2
    assert least("d", "count", house, drums, NIGHT, 30, **how).answer == 32
    assert least("d", "count", house, drums, NIGHT, -20, **how).answer == 0
    for limit in (-20.1, 30.1):
        with pytest.raises(ValueError, match="limit must be between -20 and 30 °C"):
            least("d", "count", house, drums, NIGHT, limit, **how)


def test_the_kind_and_the_unkind_case(monkeypatch):
    """0.7 and 1.4 times the leaks, 2 K warmer and colder, 1.15 and 0.85 times the sun: one K for 2 K, made up here."""

    class ByOutside(Ledger):
        def __call__(self, house, weathers, limit, **more):
            self.bare = weathers[0].temperature.min()
            return super().__call__(house, weathers, limit, **more)

    ledger = ByOutside(0.0, 0.5)  # 12 K lack, 10 in the kind case, 14 in the unkind one
    got = search(monkeypatch, ledger, cases=True)
    assert (got.answer, got.low, got.high, got.cases) == (24.0, 20.0, 28.0, True)
    seen = {}
    for house, weathers in ledger.tried:
        seen[house.air.air_change_rate / HOUSE.air.air_change_rate] = weathers
    assert sorted(seen) == pytest.approx([0.7, 1.0, 1.4])
    for leak, warmer, sun in ((0.7, 2.0, 1.15), (1.4, -2.0, 0.85)):
        (moved,) = next(weathers for factor, weathers in seen.items() if factor == pytest.approx(leak))
        assert moved.temperature == pytest.approx(NIGHT.temperature + warmer)
        assert moved.dew_point == pytest.approx(NIGHT.dew_point + warmer)
        assert NIGHT.beam_normal.max() > 100
        for name in ("beam_normal", "diffuse_horizontal", "global_horizontal"):
            assert getattr(moved, name) == pytest.approx(getattr(NIGHT, name) * sun)
        assert (moved.wind_speed == NIGHT.wind_speed).all() and (moved.cloud == NIGHT.cloud).all()
    out = search(monkeypatch, ByOutside(0.0, 0.5), cases=True, largest=27)
    assert (out.answer, out.low, out.high) == (24.0, 20.0, None)
    two = search(monkeypatch, ByOutside(0.0, 0.5), cases=True, unit=2.0)
    assert (two.answer, two.low, two.high) == (24.0, 20.0, 28.0)


def test_moved_weather_stays_within_what_can_be_computed(monkeypatch):
    """No colder than −60 °C nor hotter than 90; air so dry that the dew point lies below −40 °C grows no drier."""
    zero = 0 * NIGHT.time
    cold = replace(NIGHT, temperature=zero - 59.0, dew_point=zero - 60.0)
    hot = replace(NIGHT, temperature=zero + 89.0, dew_point=zero + 20.0)
    nearly = replace(NIGHT, temperature=zero - 30.0, dew_point=zero - 39.0)
    close = replace(NIGHT, temperature=zero + 89.0, dew_point=zero + 88.5)
    seen = []

    def judged(house, weathers, limit, **_):
        seen.append((house.air.air_change_rate, weathers))
        return Outcome(50.0, 0.0, "")

    monkeypatch.setattr(sizing_search, "judge", judged)
    house = HOUSE.changed("air", replace(HOUSE.air, air_change_rate=25.0))
    least("d", "count", house, drums, [cold, hot, nearly, close], 0.0, unit=1.0, largest=2)
    as_is, kind, unkind = seen
    assert [rate for rate, _ in seen] == [25.0, pytest.approx(17.5), 30.0]  # 35 air changes are more than can be

    def pairs(weathers):
        return [(float(w.temperature[0]), float(w.dew_point[0])) for w in weathers]

    assert pairs(as_is[1]) == [(-59.0, -60.0), (89.0, 20.0), (-30.0, -39.0), (89.0, 88.5)]
    assert pairs(kind[1]) == [(-57.0, -58.0), (90.0, 22.0), (-28.0, -37.0), (90.0, 90.0)]
    assert pairs(unkind[1]) == [(-60.0, -60.0), (87.0, 18.0), (-32.0, -40.0), (87.0, 86.5)]


def test_every_weather_must_be_long_enough():
    short = NIGHT.between(NIGHT.clock[-1] - np.timedelta64(36 * 3600, "s"), NIGHT.clock[-1])
    assert float(short.time[-1]) == 36 * 3600
    mild = replace(short, temperature=short.temperature + 30)
    assert least("d", "count", HOUSE, drums, [mild, mild], 2.0, unit=1.0, largest=2, cases=False).answer == 0
    shorter = NIGHT.between(NIGHT.clock[-1] - np.timedelta64(35 * 3600, "s"), NIGHT.clock[-1])
    with pytest.raises(ValueError, match=r"lasts 35 h; it needs 36 h or more"):
        least("d", "count", HOUSE, drums, [NIGHT, shorter], 2.0, unit=1.0, largest=2)
    for weather in ([], (), "cold", {NIGHT.name: NIGHT}):
        with pytest.raises(ValueError, match="weather must be a Weather or a list of them"):
            least("d", "count", HOUSE, drums, weather, 2.0, unit=1.0, largest=2)
    with pytest.raises(ValueError, match="weather"):
        least("d", "count", HOUSE, drums, [NIGHT, "cold"], 2.0, unit=1.0, largest=2)


def test_the_bar_counts_every_house_tried(monkeypatch):
    """One for each try of all three cases; shown only where it was asked for."""
    bars = []

    class Bar:
        def __init__(self, **told):
            self.told, self.count = told, 0
            bars.append(self)

        def __enter__(self):
            return self

        def __exit__(self, *_):
            pass

        def update(self):
            self.count += 1

    monkeypatch.setattr("tqdm.tqdm", Bar)
    for progress in (True, False):
        ledger = Ledger(-5.0, 1.0)
        search(monkeypatch, ledger, cases=True, progress=progress)
        assert bars[-1].count == len(ledger.tried) > 12
        assert bars[-1].told["disable"] == (not progress) and bars[-1].told["delay"] == 1.0
    search(monkeypatch, Ledger(-5.0, 1.0))
    assert bars[-1].told["disable"]


# ---- the judge


def fake_run(monkeypatch, courses):
    """Let ``run`` give a made-up course for each weather by its name; keep what it was called with."""
    calls = []

    def run(house, weather, step=300.0, *, initial=None):
        calls.append((house, weather, step, initial))
        return courses[weather.name]

    monkeypatch.setattr(sizing_search, "run", run)
    return calls


def two_days(air, heater=None):
    """48 steps of an hour, their middles at the half hours."""
    time = (np.arange(48) + 0.5) * 3600
    return SimpleNamespace(time=time, air=np.array(air, float), heater=None if heater is None else np.array(heater))


def test_the_last_24_hours_count_and_the_worst_weather(monkeypatch):
    one, other = replace(NIGHT, name="one"), replace(NIGHT, name="other")
    air = np.full(48, 10.0)
    air[23], air[24], air[30], air[47] = -9.0, 1.0, 1.9, 2.0  # the 24 h begin with the 25th step
    worse = np.full(48, 10.0)
    worse[40:44] = 0.5
    calls = fake_run(monkeypatch, {"one": two_days(air), "other": two_days(worse)})
    assert judge(HOUSE, [one], 2.0, step=3600.0) == Outcome(1.0, 2.0, "one")
    assert judge(HOUSE, [one, other], 2.0, step=3600.0) == Outcome(0.5, 4.0, "other")
    assert judge(HOUSE, [other, one], 2.0, initial={"air": 3.0}, step=1800.0) == Outcome(0.5, 2.0, "other")
    assert calls[-1] == (HOUSE, one, 1800.0, {"air": 3.0}) and calls[0] == (HOUSE, one, 3600.0, None)
    judge(HOUSE, [one], 2.0)
    assert calls[-1][2] == 300.0


# ---- what stands in the way


def out_of_reach(monkeypatch, lifted, heater=1234.0, house=HOUSE, weathers=(NIGHT,)):
    """Search with a judge that fails the house as it is, and a heater that gives so many watts at most, once."""
    seen = []

    def judged(one, weathers, limit, *, initial=None, step=300.0):
        seen.append((one, weathers, limit, initial))
        return Outcome(lifted(one), 5.0, weathers[0].name)

    watts = np.where(np.arange(48) < 24, 40e3, 0.9 * heater)  # what it gave before the last 24 hours does not count
    watts[30] = heater
    calls = fake_run(monkeypatch, {weather.name: two_days(np.zeros(48), watts) for weather in weathers})
    monkeypatch.setattr(sizing_search, "judge", judged)
    monkeypatch.setattr(sizing_search, "_charged", lambda one, weather: lifted(one, weather))
    got = least("d", "count", house, lambda base, n: base, list(weathers), 2.0, unit=1.0, largest=1, cases=False)
    return got, seen, calls


def cut_up(house):
    return house.store("drums").count > 9


def insulated(house):
    return house.air.lobby


def lifts(surface=0.0, charge=0.0, loss=0.0):
    """A house at 0 °C that each remedy lifts by so much."""

    def lowest(house, charged=None):
        return surface * cut_up(house) + loss * insulated(house) + (charge if charged else 0.0)

    return lowest


HOUSE_WITHOUT_LOBBY = HOUSE.changed("air.lobby", False)


@pytest.mark.parametrize(
    "surface, charge, loss, named",
    [
        (2.0, 0.0, 0.0, "surface"),
        (0.0, 2.0, 0.0, "charge"),
        (0.0, 0.0, 2.0, "loss"),
        (2.0, 3.0, 2.5, "charge"),  # all are enough: the one that lifts most
        (1.9, 1.0, 0.5, "surface"),  # none is enough: the one that lifts most
        (0.5, 1.0, 1.9, "loss"),
        (0.5, 1.9, 1.0, "charge"),
    ],
)
def test_what_lifts_the_coldest_moment_most_is_named(monkeypatch, surface, charge, loss, named):
    words = {"surface": "give it up fast enough", "charge": "go into the night too cold", "loss": "insulate and seal"}
    got, _, _ = out_of_reach(monkeypatch, lifts(surface, charge, loss), house=HOUSE_WITHOUT_LOBBY)
    assert (got.answer, got.limiting) == (None, named) and words[named] in got.helps


def test_stores_must_be_warm_before_each_of_several_nights(monkeypatch):
    """The colder night counts: warm stores lift one to 5 °C and the other to 1, better insulation both to 1.5."""
    other = replace(NIGHT, name="other")
    for order in ((NIGHT, other), (other, NIGHT)):

        def lifted(house, charged=None):
            return (1.0 if charged.name == "other" else 5.0) if charged else 1.5 * insulated(house)

        got, _, calls = out_of_reach(monkeypatch, lifted, house=HOUSE_WITHOUT_LOBBY, weathers=order)
        assert got.limiting == "loss" and [weather.name for _, weather, _, _ in calls] == [w.name for w in order]


def test_what_is_asked_when_nothing_holds(monkeypatch):
    """Barrels in eight or, where that were over a thousand, in fewer pieces; foam, curtain, edge, seals and a lobby."""
    tubs, spare = Store("tubs", "barrels", 0.16, count=300.0), Store("spare", "barrels", 0.1, count=0.0)
    bed = Store("bed", "bed", 1.0, material="gravel", surface=3.0)
    house = HOUSE_WITHOUT_LOBBY.changed("stores", (*HOUSE.stores, tubs, spare, bed))
    got, seen, calls = out_of_reach(monkeypatch, lifts(), house=house)
    assert got.helps.endswith("; or a heater of some 1300 W in the air")  # 1234 W to two digits upward
    heated, weather = calls[-1][:2]
    assert heated == house.changed("heater", Heater(50e3, 2.0, 0.1)) and weather == NIGHT
    (wide,) = (one for one, _, _, _ in seen if cut_up(one))
    assert (wide.store("drums").count, wide.store("drums").volume) == (72, house.store("drums").volume / 8)
    assert (wide.store("tubs").count, wide.store("tubs").volume) == (900, pytest.approx(0.16 / 3))
    assert (wide.store("spare"), wide.store("bed")) == (spare, bed)
    (tight,) = (one for one, _, _, _ in seen if insulated(one))
    assert all(surface.curtain for surface in tight.surfaces if surface.glazing) and tight.curtain is not None
    assert tight.air.air_change_rate <= house.air.air_change_rate
    assert (tight.floor.edge_r_value, tight.floor.edge_depth) == (1.4, 0.6)
    for before, after in zip(house.surfaces, tight.surfaces):
        if not before.glazing:
            assert after.layers == (Layer("eps", 0.1), *before.layers)


def test_tightening_makes_nothing_worse(monkeypatch):
    """A tighter house, a better edge and a curtain of one's own stay; a wall told by U or R gets the foam's R besides.

    Foam of 0.1 m and a conductivity k adds 0.1/k; an R of 30 m²K/W is the most a wall can have.
    """
    foam = 0.1 / entry("materials", "eps", "conductivity").value
    house = HOUSE.changed("curtain", Curtain(r_value=2.0)).changed("air.air_change_rate", 0.1)
    house = house.changed(**{"floor.edge_r_value": 3.0, "floor.edge_depth": 1.0})
    walls = (
        Surface("by U", area=5.0, u_value=0.5),
        Surface("by R", area=5.0, r_value=3.0),
        Surface("thick", area=5.0, r_value=29.0),
    )
    house = house.changed("surfaces", (*house.surfaces, *walls))
    _, seen, _ = out_of_reach(monkeypatch, lambda *_: 1.0, house=house)
    tight = seen[-1][0]
    assert (tight.floor.edge_r_value, tight.floor.edge_depth, tight.air.air_change_rate) == (3.0, 1.0, 0.1)
    assert tight.curtain == house.curtain and tight.air.lobby
    got = [(tight.surface(wall.name).u_value, tight.surface(wall.name).r_value) for wall in walls]
    assert got == [(None, pytest.approx(2 + foam)), (None, pytest.approx(3 + foam)), (None, 30.0)]
    leaky = HOUSE.changed("air.air_change_rate", 20.0).changed("curtain", None)
    leaky = leaky.changed("surfaces", tuple(replace(surface, curtain=False) for surface in leaky.surfaces))
    tight = out_of_reach(monkeypatch, lambda *_: 1.0, house=leaky)[1][-1][0]
    assert tight.air.air_change_rate == class_rate("sealed") and tight.curtain == Curtain()
    assert [surface.curtain for surface in tight.surfaces] == [bool(surface.glazing) for surface in leaky.surfaces]


@pytest.mark.parametrize("below, charged", [(None, False), (3.0, True)])
def test_only_stores_are_warm_in_the_question_about_charge(monkeypatch, below, charged):
    """Water, bed and a pipe bed that a fan draws on at night are at 20 °C or, where they are warmer, as they are."""
    stores = (*HOUSE.stores, Store("bed", "bed", 1.0, material="gravel", surface=3.0, layers=3))
    pipes = Pipes(length=6.0, flow=0.1, on_above=25.0, on_below=below)
    house = HOUSE.changed("stores", stores).changed("pipes", pipes)
    real, asked = sizing_search.prepare, []

    def prepared(house, weather, step):
        asked.append((weather, real(house, weather, step)))
        return SimpleNamespace(inputs=asked[-1][1].inputs, run=lambda start: asked.append(start) or start)

    monkeypatch.setattr(sizing_search, "prepare", prepared)
    for warmer in (0.0, 60.0):
        asked.clear()
        weather = replace(NIGHT, temperature=NIGHT.temperature + warmer)
        sizing_search._charged(house, weather)
        (night, ready), start = asked
        assert float(night.time[-1]) == 86400 and night.clock[-1] == weather.clock[-1]
        before = run(house, weather.between(weather.clock[0], night.clock[0]), 300.0).end
        (water,) = ready.inputs.waters
        assert start.end["drums"] == (before["drums"] if warmer else water.heat(20.0))
        assert start.end["bed"] == (before["bed"] if warmer else [20.0] * 3)
        if not warmer:
            assert start.end["pipes"] == ([20.0] * len(before["pipes"]) if charged else before["pipes"])
        assert (start.end["air"], start.end["floor"]) == (before["air"], before["floor"])
    assert min(before["bed"]) > 20  # so warm a day leaves them warmer than that


def test_where_nothing_keeps_heat_nothing_more_is_asked(monkeypatch):
    bare = HOUSE.changed("stores", ())
    still = Pipes(length=6.0, flow=0.1, on_above=25.0, on_below=None)
    drawn, none = replace(still, on_below=3.0), replace(still, on_below=3.0, count=0)
    for house in (
        bare,
        HOUSE.changed("stores.drums.count", 0),
        bare.changed("pipes", still),
        bare.changed("pipes", none),
    ):
        got, seen, _ = out_of_reach(monkeypatch, lambda *_: 1.0, house=house)
        assert got.limiting == "loss" and "nothing in the house keeps heat" in got.helps and len(seen) == 2
    got, seen, _ = out_of_reach(monkeypatch, lambda *_: 1.0, house=bare.changed("pipes", drawn))
    assert "nothing in the house" not in got.helps and len(seen) == 4


@pytest.mark.parametrize("watts, named", [(49499.0, "50000 W"), (49500.0, ""), (50e3, ""), (0.0, ""), (7.0, "7 W"),
                                          (101.0, "110 W"), (110.0, "110 W"), (9999.0, "10000 W")])  # fmt: skip
def test_a_heater_is_named_only_where_one_would_do(monkeypatch, watts, named):
    """50 kW is the most; what gives 99 % of it is taken for not enough; watts to two digits upward."""
    got, _, _ = out_of_reach(monkeypatch, lifts(), heater=watts, house=HOUSE_WITHOUT_LOBBY)
    assert ("heater of some" in got.helps) == bool(named) and f"{named}" in got.helps


# ---- the words


def sized(**changes):
    base = Sizing(
        what="insulation (eps)", answer=0.1, limit=2.0, outcome=Outcome(2.25, 0.0, "n"),
        at_one_less=Outcome(-1.5, 3.0, "n"), less=0.05, best_amount=0.1, limiting=None, helps="", low=0.05, high=None,
        cases=True, quantity="thickness",
    )  # fmt: skip
    return replace(base, **changes)


def test_the_answer_in_words_and_numbers():
    """2 °C is 35.6 °F, 0.25 K are 0.45 °F, −1.5 °C is 29.3 °F; 100 mm are 3.94 in, 50 mm 1.97 in."""
    metric, us = (sized().words(system) for system in ("metric", "US"))
    for word in (
        "insulation (eps)",
        "100 mm will hold",
        "2.0 °C",
        "0.25 ",
        "with 50",
        "−1.50 °C",
        "3",
        "unkind case out of reach",
    ):
        assert word in metric
    for word in ("3.94 in", "35.6 °F", "0.45 ", "1.97 in", "29.30 °F"):
        assert word in us
    assert sized().sentence == metric and metric.endswith(").") and "too cold for 3.0 h (kind" in metric
    assert sized(cases=False).sentence.endswith("too cold for 3.0 h.")
    assert "kind case" not in sized(cases=False).sentence and sized(cases=False).sentence.endswith(".")
    whole = sized(what="drums", answer=12.0, less=11.0, low=0.0, high=15.0, quantity="count").sentence
    assert "12 will hold" in whole and "with 11 it falls" in whole and "(kind case none, unkind case 15)" in whole


def test_no_need_and_no_way_in_words():
    none = sized(answer=0.0, at_one_less=None, less=None, cases=False)
    assert "none is needed to hold 2.0 °C" in none.sentence and "falls" not in none.sentence
    lost = sized(answer=None, outcome=Outcome(-5.0, 9.0, "n"), at_one_less=None, helps="seal it", best_amount=0.4)
    assert "2.0 °C can't be reached" in lost.sentence and lost.sentence.endswith("(400 mm): seal it.")
    assert "−5.0 °C" in lost.sentence and "23.0 °F" in lost.words("US")
    assert (lost.holds, lost.best, lost.margin) == (False, -5.0, -7.0)
    assert (sized().holds, sized().best, sized().margin) == (True, 2.25, 0.25)
