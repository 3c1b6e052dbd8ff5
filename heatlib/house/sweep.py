"""Many designs through one stretch of weather, on all cores or on other workers; no result is lost with a worker.

Where there are many, each worker steps a batch of them together (:mod:`heatlib.house.together`).
Workers are anything with ``submit(function, *arguments)`` that returns futures: a pool of ``concurrent.futures``, or
the client of a cluster.
"""

import os
from concurrent.futures import ProcessPoolExecutor
from contextlib import ExitStack
from multiprocessing import get_context

from heatlib._check import number
from heatlib.house.season import crop_rows, season, season_of
from heatlib.house.together import run_together

__all__ = ["sweep"]

_WORTH_PROCESSES = 4
"""Fewer designs than this are done here: starting processes takes longer."""
_TRIES = 3
"""How often designs whose worker died are handed out again before they are done here."""
_PIECES = 4
"""Batches for each worker where designs are run one by one: the work is shared evenly, the weather sent seldom."""
_WORTH_TOGETHER = 12
"""From so many designs for a worker on, they are stepped together; fewer are faster one by one."""
_MOST_TOGETHER = 50
"""More at once would want over a gigabyte for a year, and be lost with a worker."""


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
        How many processes, 1 to 512; all cores when left out; 1 stays in this process. With an executor: how many
        workers it has, 2 when left out [–].
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

    Notes
    -----
    Two dozen designs and more are stepped together, which changes results by round-off, some 1e-12 of them, and makes
    a year of 200 designs some ten times faster than 200 years one after the other.

    Examples
    --------
    >>> from heatlib.house.demo import demo_house
    >>> from heatlib.house.weather import design_day
    >>> days = design_day(46.5, "2025-05-01", minimum=8.0, maximum=18.0, days=2)
    >>> [result.nights for result in sweep([demo_house(0), demo_house(1)], days, progress=False)]
    [1, 1]
    """
    houses = list(houses)
    usual = 2 if executor is not None else os.cpu_count() or 1
    many = int(number("workers", usual if workers is None else workers, "", 1, 512))
    options = {"crops": None if crops is None else tuple(crops), "step": step}
    results = {}
    with _bar(len(houses), progress) as bar:
        if executor is None and (many == 1 or len(houses) < _WORTH_PROCESSES):
            _here(houses, weather, options, results, bar)
        elif executor is not None:
            _by_workers(executor, many, houses, weather, options, results, bar)
        else:
            _by_processes(many, houses, weather, options, results, bar)
        _here(houses, weather, options, results, bar)
    return [results[i] for i in range(len(houses))]


def _bar(total, progress):
    from tqdm import tqdm

    return tqdm(total=total, delay=1.0, disable=not progress, unit="design", leave=False)


def _here(houses, weather, options, results, bar):
    """Do in this process whatever has no result yet."""
    for batch in _batches([i for i in range(len(houses)) if i not in results], 1):
        results.update(zip(batch, _batch([houses[i] for i in batch], weather, options)))
        bar.update(len(batch))


def _batches(left, many):
    """Cut the open designs into batches for so many workers."""
    each = -(-len(left) // many)
    rounds = -(-each // _MOST_TOGETHER) if each >= _WORTH_TOGETHER else _PIECES if many > 1 else max(1, each)
    size = max(1, -(-len(left) // (many * rounds)))
    return [left[at : at + size] for at in range(0, len(left), size)]


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
    handed = []
    for batch in _batches(left, many):
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
    """Seasons of a batch of designs."""
    if len(houses) < _WORTH_TOGETHER:
        return [season(house, weather, **options) for house in houses]
    table = crop_rows(options["crops"])
    return [season_of(course, table) for course in run_together(houses, weather, options["step"])]
