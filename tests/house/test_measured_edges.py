"""A logged night's fit against an independent one: scipy's own least squares, weights written out as a full matrix."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import curve_fit
from scipy.stats import t as student
from test_measured import cooling, heated, noise, record

from heatlib.house.measured import FEWEST, _correlation, fit_cooling, fit_heated

SOURCE = "scipy.optimize.curve_fit with the full covariance of first-order correlated errors"


def interval(value, error, n, rho):
    """19 times out of 20: Student's t, of n(1 − ρ)/(1 + ρ) independent readings, on the logarithm of the value."""
    freedom = max(n * (1 - rho) / (1 + rho) - 2, 3)
    factor = np.exp(student.ppf(0.975, freedom) * error / value)
    return value / factor, value * factor


def covariance(hours, rho):
    step = np.median(np.diff(hours))
    return np.maximum(rho, 1e-300) ** (np.abs(np.subtract.outer(hours, hours)) / step) if rho else np.eye(len(hours))


def cooled(hours, logarithm, first):
    return cooling(hours, np.exp(logarithm), first, -6.0, -0.3)


@pytest.mark.parametrize("kind", ["up and down", "white", "carried over"])
@pytest.mark.parametrize("spacing", ["even", "uneven"])
def test_a_cooling_night_is_fitted_as_an_independent_least_squares_does(outside, kind, spacing):
    """Errors that go up and down have no carry-over at all: plain least squares. Gaps weaken the carry-over."""
    rng, hours = np.random.default_rng(11), np.arange(40) / 4
    if spacing == "uneven":
        hours = np.delete(hours, [5, 6, 20, 31])
    n = len(hours)
    errors = {
        "up and down": 0.1 * (-1.0) ** np.arange(n),
        "white": rng.normal(0, 0.1, n),
        "carried over": np.convolve(rng.normal(0, 0.1, n + 3), [1, 0.8, 0.6, 0.4], "valid"),
    }[kind]
    inside = cooled(hours, np.log(0.08), 12.0) + errors
    fit = fit_cooling(record(hours, inside, -6.0 - 0.3 * hours))
    assert kind == "white" or (fit.correlation == 0) == (kind == "up and down")
    best, cov = curve_fit(
        cooled, hours, inside, p0=(np.log(0.1), 10.0), sigma=covariance(hours, fit.correlation), absolute_sigma=False
    )
    rate, error = np.exp(best[0]), np.exp(best[0]) * np.sqrt(cov[0, 0])
    got = [fit.rate, fit.standard_error, fit.low, fit.high]
    outside("measured.fit_cooling", got, [rate, error, *interval(rate, error, n, fit.correlation)], source=SOURCE,
            rel=1e-3, why="numerical derivatives of both fits")  # fmt: skip
    assert np.abs(fit.modelled - cooled(hours, *best)).max() < 1e-4
    assert fit.noise == pytest.approx(np.std(inside - cooled(hours, *best)), rel=1e-3)
    assert (fit.measured == inside).all() and fit.residuals == pytest.approx(inside - fit.modelled)


def test_fewer_than_twelve_readings_are_taken_to_carry_over_at_least_a_fifth(outside):
    """11 and 12 readings whose errors go up and down: the former are weighed with 0.2, the latter with nothing."""
    for n, rho in ((11, 0.2), (12, 0.0)):
        hours = np.arange(float(n))
        inside = cooled(hours, np.log(0.08), 12.0) + 0.1 * (-1.0) ** np.arange(n)
        fit = fit_cooling(record(hours, inside, -6.0 - 0.3 * hours))
        best, cov = curve_fit(cooled, hours, inside, p0=(np.log(0.1), 10.0), sigma=covariance(hours, rho))
        rate = np.exp(best[0])
        error = rate * np.sqrt(cov[0, 0])
        outside("measured.fit_cooling short", [fit.rate, fit.standard_error, fit.low, fit.high],
                [rate, error, *interval(rate, error, n, rho)], source=SOURCE, rel=1e-3,
                why="numerical derivatives of both fits")  # fmt: skip
        assert fit.correlation == rho


@pytest.mark.parametrize("watts", [1500.0, 400.0])
def test_a_heated_night_is_fitted_as_an_independent_least_squares_does(outside, watts):
    """Loss and storage both well told: what is roughly known of the storage beforehand then hardly matters."""
    hours = np.arange(60) / 4

    def warmed(hours, loss, storage, first):
        return heated(hours, np.exp(loss), np.exp(storage), first, watts)

    inside = warmed(hours, np.log(60.0), np.log(2e6), 1.0) + 0.05 * (-1.0) ** np.arange(60)
    fit = fit_heated(record(hours, inside, 0 * hours), watts)
    best, cov = curve_fit(warmed, hours, inside, p0=(np.log(80.0), np.log(1e6), 2.0))
    loss, error = np.exp(best[0]), np.exp(best[0]) * np.sqrt(cov[0, 0])
    freedom = 60 - 3
    factor = np.exp(student.ppf(0.975, freedom) * error / loss)
    outside("measured.fit_heated", [fit.loss, fit.standard_error, fit.low, fit.high, fit.storage],
            [loss, error, loss / factor, loss * factor, np.exp(best[1])], source=SOURCE, rel=0.01,
            why="a hundredth for what is known of the storage beforehand")  # fmt: skip
    assert fit.correlation == 0 and fit.noise == pytest.approx(np.std(inside - warmed(hours, *best)), rel=1e-3)
    assert (fit.measured == inside).all() and fit.residuals == pytest.approx(inside - fit.modelled)


def test_a_night_whose_power_and_outside_change(outside):
    """C dT/dt = P − L (T − outside), integrated anew by scipy: power from reading to reading, outside straight."""
    hours = np.arange(0, 10.01, 0.25)
    watts = np.where(hours < 3, 2500.0, np.where(hours < 7, 200.0, 1400.0))
    around = -5.0 - 0.8 * hours + 3 * (hours > 5)
    inside = [4.0]
    for i in range(len(hours) - 1):
        span = (hours[i], hours[i + 1])

        def slope(t, y, i=i, span=span):
            return (watts[i] - 75.0 * (y - np.interp(t, span, around[i : i + 2]))) * 3600 / 1.2e6

        inside.append(solve_ivp(slope, span, [inside[-1]], rtol=1e-10, atol=1e-12).y[0, -1])
    log = record(hours, np.array(inside), around)
    fit = fit_heated(log, watts)
    outside("measured.fit_heated steps", [fit.loss, fit.storage], [75.0, 1.2e6], source="scipy.integrate.solve_ivp",
            rel=1e-4, why="optimiser's tolerance")  # fmt: skip
    assert np.abs(fit.residuals).max() < 1e-4
    assert len(fit_heated(log, watts, "2024-01-15T20:00").time) == 33  # 18:00 to 4:00, every quarter
    assert len(fit_heated(log, watts, end="2024-01-16T02:00").time) == 33
    # a part of the night takes its own part of the power, and a missing reading its own power away
    part = fit_heated(log, watts, "2024-01-15T20:00", "2024-01-16T02:00")
    assert (part.loss, part.storage) == (pytest.approx(75, rel=1e-3), pytest.approx(1.2e6, rel=1e-3))
    log.temperatures["inside"][[5, 20]] = np.nan
    log.temperatures["outside"][33] = np.nan
    missing = fit_heated(log, watts)
    assert len(missing.time) == 38 and missing.loss == pytest.approx(75, rel=2e-2)


def test_parts_of_a_night_include_both_ends():
    hours = np.arange(0, 12.01, 0.5)
    log = record(hours, cooling(hours, 0.1, 12.0, -5.0, -0.4), -5.0 - 0.4 * hours)
    fit = fit_cooling(log, "2024-01-15T19:00", "2024-01-15T22:30")
    assert len(fit.time) == FEWEST and fit.rate == pytest.approx(0.1, rel=1e-5)
    assert [str(fit.time[0]), str(fit.time[-1])] == ["2024-01-15T19:00:00", "2024-01-15T22:30:00"]
    with pytest.raises(ValueError, match="must have 8 readings or more inside and outside, but has 7"):
        fit_cooling(log, "2024-01-15T19:00", "2024-01-15T22:00")
    assert len(fit_cooling(log, start="2024-01-15T19:00").time) == 23
    assert len(fit_cooling(log, end="2024-01-15T22:30").time) == 10


def test_sentences_hold_the_numbers():
    hours = np.arange(0, 12.01, 0.5)
    inside = cooled(hours, np.log(0.05), 12.0) + 0.05 * (-1.0) ** np.arange(25)
    fit = fit_cooling(record(hours, inside, -6.0 - 0.3 * hours))
    for number in (
        f"{100 * fit.rate:.1f}%",
        f"{100 * fit.low:.1f}%",
        f"{100 * fit.high:.1f}%",
        f"{1 / fit.rate:.0f} h",
    ):
        assert number in fit.sentence
    assert "37%" in fit.sentence  # 1/e
    log = record(hours, 12.0 + 0.05 * (-1.0) ** np.arange(25), 0 * hours)
    warm = fit_heated(log, 1200.0)
    for number in (warm.loss, warm.low, warm.high):
        assert f"{number:.3g}" in warm.sentence
    assert " W/K, 19 times out of 20." in warm.sentence


def test_what_is_no_heated_night():
    hours = np.arange(0, 12.01, 0.5)
    warm, cold = record(hours, 10 + 0 * hours, 0 * hours), record(hours, 0 * hours, 10 + 0 * hours)
    for log, watts in ((warm, 0.0), (cold, 1000.0), (warm, [0.0] * 25)):
        with pytest.raises(ValueError, match="must be heated and warmer inside than outside"):
            fit_heated(log, watts)
    with pytest.raises(ValueError, match="one for each of 25 readings"):
        fit_heated(warm, [1000.0] * 24)
    for watts in (-0.001, 1000000.5):
        with pytest.raises(ValueError, match=r"power must be between 0 and 1e\+06 W, but it is"):
            fit_heated(warm, watts)
    log = record(hours, 10 + 0.01 * (-1.0) ** np.arange(25), 0 * hours)
    for watts in (1e6, 0.5):
        assert fit_heated(log, watts).loss == pytest.approx(watts / 10, rel=1e-3)
    close = record(hours, 0.5 + 0.001 * (-1.0) ** np.arange(25), 0 * hours)
    assert fit_heated(close, 100.0).loss == pytest.approx(200, rel=1e-3)


@pytest.mark.parametrize("last, steady", [(10.0, True), (10.4, False)])
def test_what_a_steady_night_does_not_say_of_storage_is_taken_as_five_hours_of_loss(outside, last, steady):
    """As one more reading of ln C: 5 h of mean power over mean difference, to within 3; scipy is given it, too."""
    hours = np.arange(49) / 4
    inside = np.linspace(10.0, last, 49) + 0.05 * (-1.0) ** np.arange(49)
    fit = fit_heated(record(hours, inside, 0 * hours), 1000.0)
    usual = np.log(5 * 3600 * 1000.0 / np.mean(inside))

    def told(hours, loss, storage, first):
        return np.append(heated(hours, np.exp(loss), np.exp(storage), first, 1000.0), storage)

    start = (np.log(100.0), usual, 10.0)
    for _ in range(4):  # how much a reading weighs is known only once it is fitted
        fitted = heated(hours, *np.exp(start[:2]), start[2], 1000.0)
        weights = [float(np.std(inside - fitted))] * 49 + [3.0]
        start, _ = curve_fit(told, hours, np.append(inside, usual), p0=start, sigma=weights)
    outside("measured.fit_heated steady", [fit.loss, np.log(fit.storage)], [np.exp(start[0]), start[1]], source=SOURCE,
            rel=2e-3, why="numerical derivatives of both fits")  # fmt: skip
    assert (abs(start[1] - usual) < 0.3) == steady


@pytest.mark.parametrize("rho, within", [(0.3, 0.02), (0.5, 0.012), (0.6, 0.02)])
def test_how_far_errors_carry_over_is_told_rightly_on_the_mean(rho, within):
    """A fitted line takes some 0.06 of the carry-over out of the errors; what is told is right again on the mean.

    1500 first-order series of 60 errors; their mean has a standard deviation of 0.0035.
    """
    rng, hours = np.random.default_rng(8), np.arange(60.0)
    told = []
    for _ in range(1500):
        errors = noise(rng, 60, 1.0, rho)
        told.append(_correlation(errors - np.polyval(np.polyfit(hours, errors, 1), hours), 2))
    assert np.mean(told) == pytest.approx(rho, abs=within)
    assert _correlation(np.ones(60), 2) == 0.97 and _correlation(np.zeros(60), 2) == 0.0


def test_a_night_that_begins_without_a_lead_tells_all_the_same():
    """Inside and outside alike at first; then the outside falls a twentieth of a kelvin an hour, 0.6 K in all."""
    hours = np.arange(0, 12.01, 0.25)
    fit = fit_cooling(record(hours, cooling(hours, 0.1, 5.0, 5.0, -0.05), 5.0 - 0.05 * hours))
    assert fit.rate == pytest.approx(0.1, rel=1e-4)


def test_a_lead_that_never_changes_says_too_little():
    """Inside 5 K above an outside that stands still: the loss is nothing, or the house is heated; not to be told."""
    hours = np.arange(0, 12.01, 0.5)
    with pytest.raises(ValueError, match="says too little"):
        fit_cooling(record(hours, 5 + 0.1 * (-1.0) ** np.arange(25), 0 * hours))
    with pytest.raises(ValueError, match="says too little"):
        fit_cooling(record(hours, 0.5 + 0 * hours, 0 * hours))
    falling = 3.0 - 0.5 * hours
    with pytest.raises(ValueError, match="nothing can be fitted"):
        fit_cooling(record(hours, falling, falling))


@pytest.mark.parametrize(
    "n, expected",
    [
        # two up, two down: raw 1/n; shown 1/n + (1 + 9/n)/n; and √((1 − shown²)/n) on top, in part between 12 and 60
        (8, 0.390625 + 0.325463),  # shown 0.125 + 2.125/8
        (12, 0.229167 + 0.280994),  # shown 0.083333 + 1.75/12
        (36, 0.0625 + 0.5 * 0.166341),  # shown 0.027778 + 1.25/36; half way from 12 to 60
        (60, 0.035833),  # shown 0.016667 + 1.15/60
        (80, 0.026406),  # shown 0.0125 + 1.1125/80
    ],
)
def test_carry_over_is_taken_a_standard_error_higher_where_readings_are_few(n, expected):
    """The docstring's rule worked by hand for errors whose products of neighbours sum to one."""
    errors = np.resize([1.0, 1.0, -1.0, -1.0], n)
    assert _correlation(errors, 2) == pytest.approx(expected, abs=2e-6)
