"""Water vapour step by step, by hand: saturation is made a straight line, so that every balance can be solved.

And many houses in one go against one by one, where they differ in all they have: the one is the outside of the other.
"""

import numpy as np
import pytest
from test_kernel import damp, made, moisture

from heatlib.house.kernel import Humidity
from heatlib.house.moist_many import MoistMany
from heatlib.house.moist_steps import MoistSteps

LATENT = 2.5e6
NAMES = ("air_flow", "vapour", "shine", "light", "pane", "drawn")


def stepped(ratio, air, steps=1, pipes=None, vents=(), humidity=None, **told):
    """Steps of 60 s in air of 60 kg: 1 kg/s of its mass a step; returns what was written and the last heats."""
    more = {"vent": (2012.0, 20.0, 2.0)} if vents else {}
    moist = MoistSteps(made(steps, 60.0, humidity=humidity or damp(), **more, **moisture(steps, **told)), ratio)
    for k in range(steps):
        heats = moist.step(k, air, pipes)
        if vents:
            moist.vent(vents[k])
    return moist.arrays(), heats


def test_what_leaks_carry(outside):
    """m·dw/dt = flow·(w_out − w): an exponential with the air's own time of 60 kg over 0.05 kg/s."""
    got, heats = stepped(0.004, 20.0, 40, flow=0.05, vapour=0.001)
    wanted = 0.001 + 0.003 * np.exp(-(np.arange(40) + 0.5) * 60.0 / 1200.0)
    outside("moist_steps.step leaks", got["vapour"], wanted, source="closed form", abs=3e-6, why="steps of τ/20")
    assert heats == (0.0, 0.0) and got["moist_flow"].tolist() == [0.05] * 40
    # what is left at the end is what was there and what came in
    assert 60.0 * (got["vapour_end"] - 0.004) == pytest.approx(60.0 * 0.05 * (0.001 - got["vapour"]).sum())


def test_what_plants_give_by_dryness_and_by_sun():
    """Tight air at 20 °C, saturated with 6 g/kg: 0.1 kg/s for each kg/kg of dryness, and 2 µg/s for each W/m².

    The first step: 2·(w − 0.004) = 0.1·(0.006 − w) + 0.0002, so w = 0.0088/2.1.
    """
    got, heats = stepped(0.004, 20.0, flow=0.0, shine=100.0, humidity=damp(dry=0.1, shining=2e-6))
    w = 0.0088 / 2.1
    assert got["vapour"][0] == pytest.approx(w) and got["vapour_end"] == pytest.approx(2 * w - 0.004)
    assert got["evaporated"][0] == pytest.approx(0.1 * (0.006 - w) + 0.0002)
    assert heats == pytest.approx((-LATENT * got["evaporated"][0], 0.0))


def test_fog_is_what_saturated_air_can_not_hold():
    """10 g/kg at 20 °C, where 6 are the most: first 2·(10 − 6) g/s fall, and their heat stays in the air."""
    got, heats = stepped(0.010, 20.0, flow=0.0)
    assert got["vapour"][0] == pytest.approx(0.006) and got["condensed"][0] == pytest.approx(0.008)
    assert heats == pytest.approx((LATENT * 0.008, 0.0))


def test_panes_drip_one_after_the_other_as_the_air_is_wet_enough():
    """Air at 20 °C, −10 °C outside; faces at 5 and 14 °C hold 4.5 and 5.4 g/kg, by 1 and 2 kg/s.

    From 5 g/kg only the colder drips: (2·5 + 4.5)/3. From 5.8 too, for what it leaves, (2·5.8 + 4.5)/3 = 5.37, is drier
    than the other face. From 6 both: (2·6 + 4.5 + 2·5.4)/5. Half of the one's heat and a fifth of the other's go out.
    """
    panes = (((1.0, 0.5), (2.0, 0.2)), ())
    got, heats = stepped(0.005, 20.0, flow=0.0, pane=-10.0, humidity=damp(panes))
    w = 0.0145 / 3
    assert got["vapour"][0] == pytest.approx(w) and got["condensed"][0] == pytest.approx(w - 0.0045)
    assert got["pane_loss"][0] == pytest.approx(LATENT * 0.5 * (w - 0.0045))
    got, heats = stepped(0.0058, 20.0, flow=0.0, pane=-10.0, humidity=damp(panes))
    assert got["vapour"][0] == pytest.approx(0.0161 / 3)
    got, heats = stepped(0.0060, 20.0, flow=0.0, pane=-10.0, humidity=damp(panes))
    w = (0.012 + 0.0045 + 0.0108) / 5
    assert got["vapour"][0] == pytest.approx(w)
    out = LATENT * (0.5 * (w - 0.0045) + 0.4 * (w - 0.0054))
    assert got["pane_loss"][0] == pytest.approx(out)
    assert heats[0] == pytest.approx(LATENT * got["condensed"][0] - out)
    # behind a drawn curtain there are none here; nor where it is warmer outside, or just as warm
    for told in ({"drawn": 1, "pane": -10.0}, {"pane": 20.0}, {"pane": 30.0}):
        assert stepped(0.0060, 20.0, flow=0.0, humidity=damp(panes), **told)[0]["condensed"][0] == 0.0


@pytest.mark.parametrize(
    ("soil", "piped"),
    [
        # pipes at 0 °C hold 4 g/kg and are the coldest: (2·5.2 + 4 + 4.5)/4 with the pane
        pytest.param(0.0, (0.0104 + 0.004 + 0.0045) / 4 - 0.004, id="colder than the pane"),
        # at 8 °C 4.8 g/kg, after the pane: (2·5.2 + 4.5 + 4.8)/4
        pytest.param(8.0, (0.0104 + 0.0045 + 0.0048) / 4 - 0.0048, id="warmer than the pane"),
        # at 12 °C 5.2 g/kg, wetter than the (2·5.2 + 4.5)/3 that the pane leaves
        pytest.param(12.0, 0.0, id="too warm for any dew"),
        pytest.param(20.0, 0.0, id="as warm as the air"),
    ],
)
def test_pipes_among_the_panes_by_how_cold_they_are(soil, piped):
    """A pane at 5 °C that holds 4.5 g/kg, and 1 kg/s through each; air of 5.2 g/kg at 20 °C."""
    got, heats = stepped(0.0052, 20.0, pipes=(1.0, soil), flow=0.0, pane=-10.0, humidity=damp((((1.0, 0.5),), ())))
    assert got["piped"][0] == heats[1] == pytest.approx(LATENT * piped, abs=1e-6)
    pane = got["vapour"][0] - 0.0045
    assert got["condensed"][0] == pytest.approx(pane + piped)
    assert heats[0] == pytest.approx(LATENT * (pane + piped) - LATENT * (0.5 * pane + piped))


def test_in_pipes_as_warm_as_the_air_fog_is_fog():
    """Their soil gets nothing of what the air can't hold."""
    got, heats = stepped(0.010, 20.0, pipes=(1.0, 20.0), flow=0.0)
    assert heats[1] == 0.0 and got["condensed"][0] == pytest.approx(0.008)


def test_vapour_never_falls_below_nothing():
    """Dry air of 7 times the room's in a step: the second-order rule would end below nothing.

    First step: 2·0.004/(2 + 7), twice that less 0.004 is < 0. So by the first order: 1·0.004/(1 + 7).
    A step on, from two alike: (1.5 w − 0.5 last) of 2·…/(1.5 + 7) is < 0 too.
    """
    got, _ = stepped(0.004, 20.0, flow=7.0, vapour=0.0)
    assert got["vapour"][0] == got["vapour_end"] == pytest.approx(0.0005)
    moist = MoistSteps(made(2, 60.0, humidity=damp(), **moisture(2, flow=0.0)), 0.004)
    moist.step(0, 20.0)
    moist.air_flow[1], moist.vapour[1] = 7.0, 0.0
    moist.step(1, 20.0)
    assert moist.ratio == moist.last == pytest.approx(0.0005)


def test_the_vents_flow_is_foreseen_from_the_last_two_steps():
    """1006 J/kgK: 503 W/K after none makes 1006 next, 1 kg/s; 1509 after it 2515, but 2012 is all there is; then −2."""
    got, _ = stepped(0.004, 20.0, 5, vents=(503.0, 1509.0, 0.0, 0.0, 0.0), flow=0.1)
    assert got["moist_flow"] == pytest.approx([0.1, 1.1, 2.1, 0.1, 0.1])


# ---- many together


def draw(rng, steps):
    """Any house's moisture: saturation that curves, faces from cold to warm, plants, fog, draughts of dry air."""
    rise = np.cumsum(rng.uniform(0.0, 1e-4, 200))

    def nodes(most):
        return tuple(tuple(rng.uniform(0.0, most, 200)) for _ in range(2))

    def faces():
        shares = sorted(rng.uniform(0.05, 0.9, rng.integers(0, 4)), reverse=True)
        return tuple((float(rng.uniform(0.01, 2.0)), float(share)) for share in shares)

    humidity = Humidity(
        float(rng.uniform(20.0, 90.0)), float(rng.uniform(2.4e6, 2.6e6)), tuple(faces() for _ in range(4)),
        tuple(rise), -40.0, nodes(0.5), nodes(3e-6),
    )  # fmt: skip
    calm = rng.random(steps) < 0.8
    drawn = np.where(np.arange(steps) % 7 < 3, 1, rng.integers(0, 4, steps))
    # where all have the same list of faces drawn, and where not
    drawn[np.arange(steps) % 7 == 5] = 2
    given = {
        "humidity": humidity, "air_flow": np.where(calm, rng.uniform(0.0, 0.3, steps), rng.uniform(5.0, 40.0, steps)),
        "vapour": np.where(calm, rng.uniform(0.0, 0.012, steps), 0.0), "shine": rng.uniform(0.0, 300.0, steps),
        "light": rng.integers(0, 2, steps), "pane": rng.uniform(-20.0, 25.0, steps), "drawn": drawn,
    }  # fmt: skip
    return given | ({"vent": (float(rng.uniform(100.0, 3000.0)), 20.0, 2.0)} if rng.random() < 0.7 else {})


def test_just_nothing_is_not_below_nothing():
    """Twice the room's air in the first step: 2·0.004/(2 + 2), and twice that less 0.004 is nothing, by both rules."""
    inputs = made(1, 60.0, humidity=damp(), **moisture(1, flow=2.0, vapour=0.0))
    one, many = MoistSteps(inputs, 0.004), MoistMany([inputs], [0.004])
    many.load(0, {name: np.array([getattr(inputs, name)]) for name in NAMES})
    one.step(0, 20.0)
    many.step(0, np.array([20.0]))
    assert one.last == many.last[0] == 0.002 and one.ratio == many.ratio[0] == 0.0


def test_air_without_any_vapour_stays_so():
    got, heats = stepped(0.0, 20.0, 3, vapour=0.0)
    assert got["vapour"].tolist() == [0.0] * 3 and got["vapour_end"] == 0.0 and heats == (0.0, 0.0)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("runs", ["no pipes", "all pipes", "some pipes"])
def test_many_houses_in_one_go_as_each_by_itself(seed, runs):
    rng = np.random.default_rng(seed)
    steps, houses = 60, 6
    inputs = [made(steps, 60.0, **draw(rng, steps)) for _ in range(houses)]
    inputs[1] = made(steps, 60.0, specific_heat=900.0, **draw(rng, steps))
    ratios = rng.uniform(0.0, 0.01, houses)
    ratios[2] = 0.02
    many, alone = MoistMany(inputs, ratios), [MoistSteps(one, float(r)) for one, r in zip(inputs, ratios)]
    dried = 0
    for k in range(steps):
        if k % 25 == 0:
            part = {name: np.stack([getattr(one, name)[k : k + 25] for one in inputs], axis=1) for name in NAMES}
            many.load(k, part)
        air = rng.uniform(0.0, 30.0, houses)
        air[3] = inputs[3].pane[k]  # no pane is colder than the air
        soil = rng.uniform(-5.0, 30.0, houses)
        soil[4] = air[4]
        through = np.where(rng.random(houses) < (1.0 if runs == "all pipes" else 0.5), rng.uniform(0.1, 2.0, houses), 0)
        pipes = None if runs == "no pipes" or not through.any() else (through, soil)
        gained, piped = many.step(k, air, pipes)
        dried += np.count_nonzero(many.last == many.ratio)
        opened = rng.uniform(0.0, 3000.0, houses) * (rng.random(houses) < 0.5)
        opened *= [one.vent is not None for one in inputs]
        for d, one in enumerate(alone):
            own = (float(through[d]), float(soil[d])) if pipes and through[d] else None
            assert (gained[d], piped[d]) == pytest.approx(one.step(k, float(air[d]), own), rel=1e-9, abs=1e-6)
            one.vent(float(opened[d]))
        many.vent(opened)
    assert dried > 10  # by the first-order rule
    for d, one in enumerate(alone):
        wanted = one.arrays()
        assert many.arrays(d).keys() == wanted.keys()
        for name, values in many.arrays(d).items():
            assert values == pytest.approx(wanted[name], rel=1e-9, abs=1e-12), name
        assert (wanted["condensed"] > 0).sum() > 5
    if runs != "no pipes":
        assert max((one.arrays()["piped"] > 0).sum() for one in alone) > 5
