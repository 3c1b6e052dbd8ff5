"""Many designs on many workers: the same results, in order, even when a worker is killed."""

import os
import signal
from concurrent.futures import Future, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import replace

import pytest

from heatlib.house import sweep as sweep_module
from heatlib.house.demo import demo_house
from heatlib.house.season import season
from heatlib.house.sweep import sweep
from heatlib.house.weather import design_day

pytestmark = pytest.mark.filterwarnings("ignore:.*dayofyear.*")
DAYS = dict(minimum=2.0, maximum=12.0, elevation=350.0)


def weather(days=3):
    return design_day(46.5, "2025-04-01", days=days, **DAYS)


def designs(n=8):
    return [demo_house(1).changed("stores.drums.count", float(i)) for i in range(n)]


def one_by_one(houses, days):
    return [season(house, days, crops=["lettuce"]) for house in houses]


@pytest.fixture(scope="module")
def expected():
    return one_by_one(designs(), weather())


def test_in_this_process(expected):
    assert sweep(designs(), weather(), crops=["lettuce"], workers=1) == expected
    assert sweep([], weather()) == []
    assert len({result.lowest for result in expected}) == len(expected)


def test_on_processes(expected):
    assert sweep(designs(), weather(), crops=["lettuce"], workers=2, progress=False) == expected


def test_on_threads_of_the_caller(expected):
    with ThreadPoolExecutor(2) as pool:
        assert sweep(designs(), weather(), pool, crops=["lettuce"], progress=False) == expected


class Crowd:
    """Workers that die: the first ``losses`` batches come back as lost; later ones are done here."""

    def __init__(self, losses):
        self.losses, self.batches = losses, 0

    def submit(self, function, *arguments):
        future = Future()
        self.batches += 1
        if self.batches <= self.losses:
            future.set_exception(BrokenProcessPool("a worker died"))
        else:
            future.set_result(function(*arguments))
        return future


@pytest.mark.parametrize("losses", [0, 1, 5, 1000])
def test_lost_batches_are_done_again(expected, losses):
    assert sweep(designs(), weather(), Crowd(losses), crops=["lettuce"], progress=False) == expected


def test_results_that_came_back_are_kept(expected):
    """Only the lost batch is handed out a second time."""
    crowd = Crowd(1)
    sweep(designs(), weather(), crowd, crops=["lettuce"], progress=False)
    assert crowd.batches == 8 + 1


def nearly(one):
    """A season's numbers, rounded where stepping many designs together may differ from one by one: by round-off."""
    close = ("lowest", "highest", "heat", "fan_energy")
    energy = {path: round(value, 3) for path, value in one.energy.items()}
    return replace(one, energy=energy, closure=0.0, **{name: round(getattr(one, name), 6) for name in close})


@pytest.mark.parametrize("losses", [0, 1, 1000])
def test_many_designs_are_stepped_together_and_say_the_same(losses):
    """26 designs for two workers: batches of 13; a lost one goes out in pairs. Each result is near its own run."""
    houses = designs(26)
    crowd = Crowd(losses)
    results = sweep(houses, weather(), crowd, crops=["lettuce"], progress=False)
    assert crowd.batches == {0: 2, 1: 2 + 7, 1000: 2 + 2 + 2}[losses] and max(r.closure for r in results) < 1e-9
    assert [nearly(r) for r in results] == [nearly(r) for r in one_by_one(houses, weather())]


def test_batches_hold_every_design_once():
    for n in (0, 1, 7, 23, 24, 99, 100, 101, 200, 1000):
        for many in (1, 2, 16):
            batches = sweep_module._batches(list(range(n)), many)
            assert [i for batch in batches for i in batch] == list(range(n))
            assert all(len(batch) <= sweep_module._MOST_TOGETHER for batch in batches)
    assert [len(b) for b in sweep_module._batches(list(range(200)), 2)] == [50] * 4


def _killing(houses, days, options):
    """Do a batch; the first worker to get the design with three drums dies by the hardest signal there is."""
    flag = os.environ["SWEEP_TEST_FLAG"]
    if any(house.store("drums").count == 3 for house in houses) and not os.path.exists(flag):
        with open(flag, "w") as file:
            file.write("died")
        os.kill(os.getpid(), signal.SIGKILL)
    return [season(house, days, **options) for house in houses]


def test_a_killed_process_loses_nothing(expected, tmp_path, monkeypatch):
    monkeypatch.setenv("SWEEP_TEST_FLAG", str(tmp_path / "flag"))
    monkeypatch.setattr(sweep_module, "_batch", _killing)
    results = sweep(designs(), weather(), crops=["lettuce"], workers=2, progress=False)
    assert (tmp_path / "flag").read_text() == "died"
    assert results == expected


def test_a_bad_house_is_named_not_retried():
    bad = designs()[0].changed("vents", None)
    with pytest.raises(ValueError, match="bananna"):
        sweep([bad] * 5, weather(), crops=["bananna"], workers=2, progress=False)
    with pytest.raises(ValueError, match="no whole night"):
        sweep(designs(), weather(1), Crowd(0), progress=False)
    with pytest.raises(ValueError, match="workers must be between 1"):
        sweep(designs(), weather(), workers=1000)


def test_the_bar_goes_to_the_error_stream_and_only_when_it_takes_long(capsys):
    sweep(designs(2), weather(), progress=True)
    captured = capsys.readouterr()
    assert captured.out == ""
    assert "design" not in captured.err


@pytest.mark.slow
def test_a_cluster_of_two_workers_one_killed(expected, tmp_path):
    """dask's scheduler through the same call; a worker is killed in the middle and nothing is missing."""
    from distributed import Client, LocalCluster

    where = dict(processes=True, host="127.0.0.1", dashboard_address=None, silence_logs=50)
    with LocalCluster(n_workers=2, threads_per_worker=1, local_directory=str(tmp_path), **where) as cluster:
        with Client(cluster) as client:
            assert sweep(designs(), weather(), client, crops=["lettuce"], progress=False) == expected
            victim = next(iter(client.run(os.getpid).values()))
            client.submit(os.kill, victim, signal.SIGKILL, pure=False, retries=0)
            assert sweep(designs(), weather(), client, crops=["lettuce"], progress=False) == expected
