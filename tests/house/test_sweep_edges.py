"""How a sweep shares its work: batches, workers that fail in every way, processes that can't be had, and the bar.

The seasons themselves are put in by hand here: each says which house, weather and options it was counted for.
"""

from concurrent.futures import Future

import pytest

from heatlib.house import sweep as sweep_module
from heatlib.house.sweep import sweep

OPTIONS = {"crops": ("lettuce",), "step": 600.0}


@pytest.fixture(autouse=True)
def counted(monkeypatch):
    """Seasons in place of a run: one by one, or stepped together."""
    one_by_one, together = [], []

    def season(house, weather, *, crops, step):
        one_by_one.append(house)
        return house, weather, crops, step

    def run_together(houses, weather, step):
        together.append(list(houses))
        return [(house, weather, step) for house in houses]

    monkeypatch.setattr(sweep_module, "season", season)
    monkeypatch.setattr(sweep_module, "run_together", run_together)
    monkeypatch.setattr(sweep_module, "crop_rows", lambda crops: crops)
    monkeypatch.setattr(sweep_module, "season_of", lambda course, crops: (course[0], course[1], crops, course[2]))
    return one_by_one, together


@pytest.fixture
def bars(monkeypatch):
    made = []

    class Bar:
        def __init__(self, **told):
            self.told, self.count = told, 0
            made.append(self)

        def __enter__(self):
            return self

        def __exit__(self, *_):
            pass

        def update(self, many):
            self.count += many

    monkeypatch.setattr("tqdm.tqdm", Bar)
    return made


class Workers:
    """An executor that does each batch by itself, or fails as told: with an error on submit, or from the future."""

    def __init__(self, on_submit=None, in_result=None, failures=10**9):
        self.on_submit, self.in_result, self.failures, self.sizes = on_submit, in_result, failures, []

    def submit(self, function, houses, weather, options):
        self.sizes.append(len(houses))
        fails = len(self.sizes) <= self.failures
        if fails and self.on_submit:
            raise self.on_submit
        future = Future()
        if fails and self.in_result:
            future.set_exception(self.in_result)
        else:
            future.set_result(function(houses, weather, options))
        return future


def done(n, **more):
    return [(i, "weather", *(OPTIONS | more).values()) for i in range(n)]


def swept(n, *executor, **how):
    return sweep(range(n), "weather", *executor, **({"crops": ["lettuce"], "step": 600.0, "progress": False} | how))


@pytest.mark.parametrize(
    "n, many, sizes",
    [
        (0, 1, []),
        (1, 1, [1]),
        (11, 1, [1] * 11),  # one by one here: what is done is done
        (12, 1, [12]),  # a dozen for a worker are stepped together
        (50, 1, [50]),
        (51, 1, [26, 25]),  # no more than 50 at once
        (101, 1, [34, 34, 33]),
        (8, 2, [1] * 8),  # fewer: four batches for each worker
        (22, 2, [3] * 7 + [1]),
        (23, 2, [12, 11]),
        (24, 2, [12, 12]),
        (100, 2, [50, 50]),
        (101, 2, [26, 26, 26, 23]),
        (3, 16, [1, 1, 1]),
    ],
)
def test_how_designs_are_cut_into_batches(n, many, sizes):
    batches = sweep_module._batches(list(range(n)), many)
    assert [len(batch) for batch in batches] == sizes and [i for batch in batches for i in batch] == list(range(n))


def test_here_few_designs_run_one_by_one_and_a_dozen_together(counted):
    one_by_one, together = counted
    assert swept(11, workers=1) == done(11) and one_by_one == list(range(11)) and not together
    one_by_one.clear()
    assert swept(12, workers=1) == done(12) and not one_by_one and together == [list(range(12))]


def test_all_crops_and_a_quarter_of_an_hour_when_left_out():
    assert sweep([0], "weather", progress=False) == done(1, crops=None, step=900.0)
    assert sweep(iter([0]), "weather", crops=iter(["lettuce"]), step=600.0, workers=1) == done(1)


def test_fewer_than_four_designs_and_one_worker_stay_in_this_process(monkeypatch):
    asked = []
    monkeypatch.setattr(sweep_module, "_by_processes", lambda many, *_: asked.append(many))
    assert swept(3, workers=2) == done(3) and swept(9, workers=1) == done(9) and asked == []
    assert swept(4, workers=2) == done(4) and asked == [2]
    assert swept(4, workers=512) == done(4) and asked == [2, 512]
    monkeypatch.setattr("os.cpu_count", lambda: 7)
    swept(4)
    assert asked[-1] == 7
    monkeypatch.setattr("os.cpu_count", lambda: None)  # nobody knows: one
    assert swept(4) == done(4) and len(asked) == 3
    for workers in (0, 513):
        with pytest.raises(ValueError, match="workers must be between 1 and 512, but it is"):
            swept(4, workers=workers)


def test_an_executor_is_taken_for_two_workers_unless_told(monkeypatch):
    monkeypatch.setattr("os.cpu_count", lambda: 7)  # which says nothing of somebody else's workers
    for told, sizes in (({}, [12, 12]), ({"workers": 2}, [12, 12]), ({"workers": 1}, [24]), ({"workers": 3}, [2] * 12)):
        workers = Workers()
        assert swept(24, workers, **told) == done(24) and workers.sizes == sizes
    few = Workers()
    assert swept(1, few) == done(1) and few.sizes == [1]  # handed out, however few


@pytest.mark.parametrize("how", ["on_submit", "in_result"])
def test_lost_batches_are_handed_out_three_times_and_then_done_here(how, counted):
    workers = Workers(**{how: RuntimeError("gone")})
    assert swept(4, workers) == done(4)
    assert len(workers.sizes) == 3 * 4 and counted[0] == [0, 1, 2, 3]
    once = Workers(**{how: RuntimeError("gone")}, failures=1)
    assert swept(4, once) == done(4) and len(once.sizes) == 4 + 1
    assert swept(4, Workers()) == done(4)


@pytest.mark.parametrize("how", ["on_submit", "in_result"])
def test_what_is_wrong_with_a_design_is_said_at_once(how):
    workers = Workers(**{how: ValueError("a bad house")})
    with pytest.raises(ValueError, match="a bad house"):
        swept(4, workers)
    assert len(workers.sizes) == (1 if how == "on_submit" else 4)


class Pool(Workers):
    made = []

    def __init__(self, many, *, mp_context):
        super().__init__(in_result=RuntimeError("killed"), failures=1 if not Pool.made else 0)
        Pool.made.append((many, mp_context.get_start_method()))

    def __enter__(self):
        return self

    def __exit__(self, *_):
        pass


def test_a_pool_that_lost_a_worker_is_replaced(monkeypatch):
    """Processes start anew (spawn): the first pool loses one of four batches, the second does it; no third is made."""
    monkeypatch.setattr(Pool, "made", [])
    monkeypatch.setattr(sweep_module, "ProcessPoolExecutor", Pool)
    assert swept(4, workers=3) == done(4)
    assert Pool.made == [(3, "spawn")] * 2


@pytest.mark.parametrize("error", [OSError("no processes here"), ImportError("no semaphores here")])
def test_where_no_process_can_be_had_the_work_is_done_here(monkeypatch, error, counted):
    def none(*_, **__):
        raise error

    monkeypatch.setattr(sweep_module, "ProcessPoolExecutor", none)
    assert swept(4, workers=2) == done(4) and counted[0] == [0, 1, 2, 3]


def test_the_bar_counts_every_design_once(bars):
    for n, executor in ((5, ()), (13, ()), (24, (Workers(),)), (4, (Workers(in_result=RuntimeError(), failures=5),))):
        swept(n, *executor, progress=True, workers=None if executor else 1)
        assert bars[-1].count == bars[-1].told["total"] == n
        assert bars[-1].told["delay"] == 1.0 and not bars[-1].told["disable"]
    swept(2, progress=False)
    assert bars[-1].told["disable"]
    sweep([0], "weather")
    assert not bars[-1].told["disable"]
