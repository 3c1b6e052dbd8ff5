"""Many designs through one stretch of weather, on all cores or on other workers; no result is lost with a worker.

Workers are anything with ``submit(function, *arguments)`` that returns futures: a pool of ``concurrent.futures``, or
the client of a cluster.
"""

import os
from concurrent.futures import ProcessPoolExecutor
from contextlib import ExitStack
from multiprocessing import get_context

from heatlib._check import number
from heatlib.house.season import season

__all__ = ["sweep"]

_WORTH_PROCESSES = 4
"""Fewer designs than this are done here: starting processes takes longer."""
_TRIES = 3
"""How often designs whose worker died are handed out again before they are done here."""
_PIECES = 4
"""Batches for each worker: small enough to share work evenly, large enough to send the weather seldom."""


def sweep(houses, weather, executor=None, *, crops=None, step=900.0, workers=None, progress=True):
    """Run many houses through the same weather and count the season of each.

    In a script, processes start the script again: keep the call under ``if __name__ == "__main__":``.

    Parameters
    ----------
    houses : sequence of Greenhouse
        The designs [SI inside].
    weather : Weather
        A season or a year [°C].
    executor : object, optional
        Anything with ``submit`` that returns futures; left out, processes on this machine [–].
    crops : sequence of str, optional
        As for :func:`heatlib.house.season.season` [text].
    step : float
        As for :func:`heatlib.house.season.season` [s].
    workers : int, optional
        How many processes, 1 to 512; all cores when left out; 1 stays in this process [–].
    progress : bool
        Whether a bar shows on the error stream after a second [yes/no].

    Returns
    -------
    list of Season
        One for each house, in the order given [–].

    Raises
    ------
    ValueError
        If a house, the weather or an option can't be used; the first of them is named.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> from heatlib.house.weather import design_day
    >>> days = design_day(46.5, "2025-05-01", minimum=8.0, maximum=18.0, days=2)
    >>> [result.nights for result in sweep([demo_house(0), demo_house(1)], days, progress=False)]
    [1, 1]
    """
    houses = list(houses)
    many = int(number("workers", workers or os.cpu_count() or 1, "", 1, 512))
    options = {"crops": None if crops is None else tuple(crops), "step": step}
    results = {}
    with _bar(len(houses), progress) as bar:
        if executor is None and (many == 1 or len(houses) < _WORTH_PROCESSES):
            _here(houses, weather, options, results, bar)
        elif executor is not None:
            _by_workers(executor, 2, houses, weather, options, results, bar)
        else:
            _by_processes(many, houses, weather, options, results, bar)
        _here(houses, weather, options, results, bar)
    return [results[i] for i in range(len(houses))]


def _bar(total, progress):
    from tqdm import tqdm

    return tqdm(total=total, delay=1.0, disable=not progress, unit="design", leave=False)


def _here(houses, weather, options, results, bar):
    """Do in this process whatever has no result yet."""
    for i, house in enumerate(houses):
        if i not in results:
            results[i] = season(house, weather, **options)
            bar.update()


def _by_processes(many, houses, weather, options, results, bar):
    """Use processes; a pool that lost a worker is broken, so its open designs go to a new one."""
    for _ in range(_TRIES):
        if len(results) == len(houses):
            return
        with ExitStack() as stack:
            try:
                pool = stack.enter_context(ProcessPoolExecutor(many, mp_context=get_context("spawn")))
            except (OSError, ImportError):
                return
            _round(pool, many, houses, weather, options, results, bar)


def _by_workers(executor, many, houses, weather, options, results, bar):
    """Use the workers given; designs lost with one of them are handed out again."""
    for _ in range(_TRIES):
        if len(results) < len(houses):
            _round(executor, many, houses, weather, options, results, bar)


def _round(executor, many, houses, weather, options, results, bar):
    """Hand out all open designs once and gather what comes back; a bad design's own error is passed on."""
    left = [i for i in range(len(houses)) if i not in results]
    size = max(1, -(-len(left) // (many * _PIECES)))
    batches = [left[at : at + size] for at in range(0, len(left), size)]
    handed = []
    for batch in batches:
        try:
            handed.append((batch, executor.submit(_batch, [houses[i] for i in batch], weather, options)))
        except ValueError:
            raise
        except Exception:  # noqa: S112 - whatever a crowd of workers raises when it can take no more work
            continue
    for batch, future in handed:
        try:
            seasons = future.result()
        except ValueError:
            raise
        except Exception:  # noqa: S112 - a lost worker: its batch stays open and is done again
            continue
        results.update(zip(batch, seasons))
        bar.update(len(batch))


def _batch(houses, weather, options):
    return [season(house, weather, **options) for house in houses]
