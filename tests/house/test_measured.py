"""What a logged night says: known values recovered, with errors as large as stated."""

import numpy as np
import pytest

from heatlib.house.balance import run
from heatlib.house.compared import compare_cooling, compare_heated
from heatlib.house.demo import demo_house
from heatlib.house.greenhouse import Heater
from heatlib.house.logger_record import Record
from heatlib.house.measured import fit_cooling, fit_heated
from heatlib.house.weather import design_night

pytestmark = pytest.mark.filterwarnings("ignore:.*dayofyear.*")
START = np.datetime64("2024-01-15T18:00:00")


def record(hours, inside, outside):
    time = START + np.round(np.asarray(hours) * 3600).astype("timedelta64[s]")
    step = float(np.median(np.diff(hours))) * 3600
    return Record(time, {"inside": inside, "outside": outside}, None, None, np.arange(len(hours)), step, None)


def cooling(hours, rate, first, low, fall):
    """Closed form of dT/dt = −k(T − u) with u = low + fall·t (a straight line)."""
    lag = low - fall / rate
    return lag + fall * hours + (first - lag) * np.exp(-rate * hours)


def heated(hours, loss, storage, first, watts):
    """Closed form for a constant power and 0 °C outside."""
    end = watts / loss
    return end + (first - end) * np.exp(-loss / storage * 3600 * hours)


def noise(rng, n, sigma, rho):
    errors = rng.normal(0, sigma, n)
    for i in range(1, n):
        errors[i] = rho * errors[i - 1] + np.sqrt(1 - rho**2) * errors[i]
    return errors


@pytest.mark.parametrize("rate", [0.01, 0.05, 0.3, 1.5])
def test_cooling_without_noise(outside, rate):
    hours = np.linspace(0, 12, 73)
    fit = fit_cooling(record(hours, cooling(hours, rate, 12.0, -5.0, -0.4), -5.0 - 0.4 * hours))
    outside(
        "measured.fit_cooling", fit.rate, rate, source="closed form of a cooling lump", rel=1e-6,
        why="optimiser's tolerance",
    )  # fmt: skip
    assert np.abs(fit.residuals).max() < 1e-6
    assert fit.time_constant == pytest.approx(1 / rate, rel=1e-6)


@pytest.mark.parametrize(("loss", "storage"), [(40.0, 2e6), (200.0, 2e6), (90.0, 10e6)])
def test_heated_without_noise(outside, loss, storage):
    hours = np.linspace(0, 10, 61)
    fit = fit_heated(record(hours, heated(hours, loss, storage, 3.0, 1500.0), 0 * hours), 1500.0)
    outside(
        "measured.fit_heated", [fit.loss, fit.storage], [loss, storage], source="closed form, heated lump", rel=1e-4,
        why="optimiser's tolerance, and storage taken as roughly known",
    )  # fmt: skip


def test_steady_heated_night_is_power_over_difference():
    hours = np.linspace(0, 10, 61)
    rng = np.random.default_rng(3)
    fit = fit_heated(record(hours, 12.0 + rng.normal(0, 0.05, 61), 0 * hours), 1200.0)
    assert fit.loss == pytest.approx(100.0, rel=0.01)
    assert fit.low < 100 < fit.high


def test_power_by_reading_and_part_of_a_record():
    hours = np.linspace(0, 10, 61)
    inside = heated(hours, 90.0, 3e6, 5.0, 1500.0)
    whole = record(hours, inside, 0 * hours)
    watts = np.full(61, 1500.0)
    assert fit_heated(whole, watts).loss == pytest.approx(90, rel=1e-4)
    part = fit_heated(whole, watts, "2024-01-15T20:00", "2024-01-16T02:00")
    assert part.loss == pytest.approx(90, rel=1e-4)
    assert str(part.time[0]) == "2024-01-15T20:00:00"
    assert len(part.measured) == 37


def test_missing_readings_are_left_out():
    hours = np.linspace(0, 12, 73)
    inside = cooling(hours, 0.08, 12.0, -5.0, -0.4)
    inside[10:14] = np.nan
    fit = fit_cooling(record(hours, inside, -5.0 - 0.4 * hours))
    assert fit.rate == pytest.approx(0.08, rel=1e-6)
    assert len(fit.time) == 69


@pytest.mark.slow
@pytest.mark.parametrize("rho", [0.0, 0.8])
@pytest.mark.parametrize("kind", ["cooling", "heated"])
def test_stated_error_holds_nineteen_times_out_of_twenty(kind, rho):
    """500 noisy logs; 0.95 of 500 has a standard deviation of 0.01.

    Against white noise three of them are allowed; where errors carry over, the carry-over itself is estimated from one
    night, which theory gives no exact interval for: 0.03 more.
    """
    rng = np.random.default_rng(20240115)
    hours = np.arange(120) / 12
    true = 0.08 if kind == "cooling" else 90.0
    clean = cooling(hours, 0.08, 12.0, -6.0, -0.5) if kind == "cooling" else heated(hours, 90.0, 1.5e6, 4.0, 1400.0)
    around = -6.0 - 0.5 * hours if kind == "cooling" else 0 * hours
    inside, errors = 0, []
    for _ in range(500):
        log = record(hours, clean + noise(rng, 120, 0.2, rho), around)
        fit = fit_cooling(log) if kind == "cooling" else fit_heated(log, 1400.0)
        value = fit.rate if kind == "cooling" else fit.loss
        inside += fit.low <= true <= fit.high
        errors.append((value - true) / fit.standard_error)
    share, allowed = inside / 500, 0.03 if rho == 0 else 0.06
    assert 0.95 - allowed < share < 0.95 + allowed
    assert abs(np.mean(errors)) < 0.3
    assert 0.75 < np.std(errors) < 1.25


def test_noise_and_correlation_are_recovered():
    rng = np.random.default_rng(5)
    hours = np.arange(600) / 30
    log = record(hours, cooling(hours, 0.08, 12.0, -6.0, -0.2) + noise(rng, 600, 0.3, 0.7), -6.0 - 0.2 * hours)
    fit = fit_cooling(log)
    assert fit.noise == pytest.approx(0.3, rel=0.2)
    assert fit.correlation == pytest.approx(0.7, abs=0.1)


def test_four_times_the_readings_halve_the_error():
    rng = np.random.default_rng(7)
    few, many = [], []
    for _ in range(40):
        for count, errors in ((60, few), (240, many)):
            hours = np.linspace(0, 10, count)
            log = record(hours, cooling(hours, 0.08, 12.0, -6.0, -0.2) + rng.normal(0, 0.2, count), -6.0 - 0.2 * hours)
            errors.append(fit_cooling(log).standard_error)
    assert np.mean(few) / np.mean(many) == pytest.approx(2, rel=0.15)


@pytest.mark.parametrize("count, carried", [(8, 0.0), (10, 0.0), (10, 0.5)])
def test_few_readings_by_hand_hold_the_truth_about_as_often_as_they_say(count, carried):
    """19 of 20: of 100 nights at least 84 hold the true 0.08 per hour (binomial, 1 in 10 000)."""
    rng, hours, held = np.random.default_rng(3), np.arange(float(count)), 0
    for _ in range(100):
        log = record(
            hours, cooling(hours, 0.08, 12.0, -6.0, -0.2) + noise(rng, count, 0.2, carried), -6.0 - 0.2 * hours
        )
        fit = fit_cooling(log)
        held += fit.low <= 0.08 <= fit.high
    assert held >= 84


@pytest.mark.parametrize("count", [10, 12, 16, 25])
def test_few_readings_whose_errors_carry_over_hold_the_truth_too(count):
    """19 of 20: 200 nights have a standard deviation of 0.0154; three of them are allowed below 0.95.

    With the carry-over taken as it shows, 0.86 to 0.93 of such nights hold the truth: few readings show too little.
    """
    rng, hours, held = np.random.default_rng(1), np.linspace(0, 12, count), 0
    around = -10 + 2 * np.sin(hours / 3)
    clean = _lump_by_small_steps(hours, around, 0.06, 12.0)
    for _ in range(200):
        fit = fit_cooling(record(hours, clean + noise(rng, count, 0.3, 0.6), around))
        held += fit.low <= 0.06 <= fit.high
    assert held >= (0.95 - 3 * 0.0154) * 200


def _lump_by_small_steps(hours, around, rate, first):
    """Euler's rule at a hundred thousandth of the night, outside linear between readings."""
    fine = np.linspace(hours[0], hours[-1], 100_001)
    outside, value, result = np.interp(fine, hours, around), first, [first]
    for k in range(len(fine) - 1):
        value += rate * (outside[k] - value) * (fine[1] - fine[0])
        result.append(value)
    return np.interp(hours, fine, result)


def test_refusals():
    hours = np.linspace(0, 12, 73)
    flat = record(hours, 5 + 0 * hours, 5 + 0 * hours)
    with pytest.raises(ValueError, match="nothing can be fitted"):
        fit_cooling(flat)
    with pytest.raises(ValueError, match="8 readings or more"):
        fit_cooling(record(hours[:7], 5 + hours[:7], hours[:7]))
    with pytest.raises(ValueError, match="temperature column"):
        fit_cooling(Record(flat.time, {"inside": hours}, None, None, hours, 600.0, None))
    with pytest.raises(ValueError, match="must come from read_logger"):
        fit_cooling("log.csv")
    with pytest.raises(ValueError, match="heated and warmer"):
        fit_heated(flat, 1000.0)
    with pytest.raises(ValueError, match="one number or one for each"):
        fit_heated(flat, [1000.0, 2000.0])
    with pytest.raises(ValueError, match="power must be between 0"):
        fit_heated(flat, -5.0)
    rng = np.random.default_rng(1)
    with pytest.raises(ValueError, match="too little"):
        fit_cooling(record(hours, 5 + rng.normal(0, 3, 73), 5 + rng.normal(0, 3, 73)))


# ---- the model beside the measurement


def logged(house, weather, start, hours, sigma=0.1, seed=1):
    """A log every 10 min of a night of the model itself, with noise."""
    course = run(house, weather, 300.0)
    clock = np.datetime64(start, "s") + np.arange(0, hours * 6) * np.timedelta64(600, "s")
    seconds = (clock - weather.start).astype("timedelta64[s]").astype(float)
    rng = np.random.default_rng(seed)
    inside = np.interp(seconds, course.time, course.air) + rng.normal(0, sigma, len(clock))
    outside = np.interp(seconds, course.time, course.outside)
    return Record(clock, {"inside": inside, "outside": outside}, None, None, np.arange(len(clock)), 600.0, None), course


WEATHER = dict(minimum=-12.0, maximum=-4.0, elevation=350.0)


def test_a_house_as_described_agrees():
    weather = design_night(46.5, "2025-01-20", **WEATHER)
    house = demo_house(4)
    log, _ = logged(house, weather, "2025-01-20T18:00", 12)
    result = compare_cooling(house, log, weather, "2025-01-20T19:00", "2025-01-21T05:00")
    assert result.low < 1 < result.high or result.ratio == pytest.approx(1, abs=0.1)
    assert np.abs(result.residuals).max() < 1.5


def test_a_leakier_house_is_found_out():
    """Truth leaks much more than the description: measured over model well above 1, and the advice says leaks."""
    weather = design_night(46.5, "2025-01-20", **WEATHER)
    described = demo_house(4)
    truth = described.changed("air.air_change_rate", 4.0)
    log, _ = logged(truth, weather, "2025-01-20T18:00", 12, sigma=0.05)
    result = compare_cooling(described, log, weather, "2025-01-20T18:30", "2025-01-21T05:00")
    assert result.low > 1
    assert "look for leaks first" in result.sentence
    assert f"{result.ratio:.2g} times" in result.sentence
    assert (result.residuals[-20:] < 0).all()


def test_heated_comparison_gives_the_ratio_of_the_losses():
    """Truth is heated to 8 °C: the heat it takes over what the description takes is the answer."""
    weather = design_night(46.5, "2025-01-20", **WEATHER)
    described = demo_house(4).changed("stores", ())
    truth = described.changed("air.air_change_rate", 4.0)
    hold = Heater(1e5, 8.0, 0.01)
    log, course = logged(truth.changed("heater", hold), weather, "2025-01-20T18:00", 12, sigma=0.02)
    watts = np.interp((log.time - weather.start).astype(float), course.time, course.heater)
    result = compare_heated(described, log, watts, weather, "2025-01-20T22:00", "2025-01-21T05:00")
    _, plain = logged(described.changed("heater", hold), weather, "2025-01-20T18:00", 12)
    begin = int((np.datetime64("2025-01-20T22:00") - weather.start) / np.timedelta64(300, "s"))
    expected = course.heater[begin : begin + 84].mean() / plain.heater[begin : begin + 84].mean()
    assert result.ratio == pytest.approx(expected, rel=0.15)
    assert result.low > 1
    assert "look for leaks first" in result.sentence


def test_weather_must_cover_the_night():
    weather = design_night(46.5, "2025-01-20", **WEATHER)
    log, _ = logged(demo_house(4), weather, "2025-01-20T18:00", 12)
    with pytest.raises(ValueError, match="does not cover"):
        compare_cooling(demo_house(4), log, weather.between("2025-01-20T18:00", "2025-01-21T00:00"))
    late = weather.between("2025-01-20T12:00", "2025-01-21T12:00")
    with pytest.raises(ValueError, match="18 h or more before the night"):
        compare_cooling(demo_house(4), log, late)
    told = compare_cooling(demo_house(4), log, late, stores={"drums": 5.0, "floor": 5.0})
    assert told.modelled[0] == pytest.approx(log.column("inside")[0], abs=1.5)
