"""The folded answers of lessons 6 to 10: one unit system in each, and numbers that the sliders show."""

import re
from math import cos, exp, pi

import pytest

from heatlib.classroom import answers
from heatlib.classroom.views import lesson_06, lesson_07, lesson_08, lesson_09, lesson_10
from heatlib.units import SYSTEMS

VIEWS = (
    lesson_06.floor_and_edge, lesson_06.soil_year, lesson_06.night_on_the_floor, lesson_07.pane_by_month,
    lesson_07.sun_in_the_house, lesson_07.where_it_lands, lesson_08.night, lesson_08.hour, lesson_08.logged,
    lesson_09.pipe, lesson_09.day, lesson_09.house, lesson_10.night, lesson_10.choices, lesson_10.others,
)  # fmt: skip
OTHER = {
    "metric": re.compile(r"\d\s?(°F|Btu/h|kBtu|gal|ft|lb|mph|cfm|in(?! an hour))(?!\w)"),
    "US": re.compile(r"\d\s?(°C|m³|m²|mm|m|kg|m/s|MJ|kWh|litres?|L)(?!\w)"),
}
NUMBER = re.compile(r"[−-]?\d[\d\u202f]*(?:\.\d+)?")


def numbers(text):
    """Read the numbers of a sentence, in their order."""
    return [float(one.replace("\u202f", "").replace("−", "-")) for one in NUMBER.findall(text)]


def said(view_function, task, units="metric"):
    """Read the numbers of one answer."""
    return numbers(answers.answers_to(view_function)(units)[task])


def drawn(view_function, **values):
    return view_function.spec.draw(view_function.spec.start() | values, "metric")


def shown(view_function, name, **values):
    """Read one of the numbers below the picture, with the sliders at these values."""
    return numbers(drawn(view_function, **values).numbers[name])[0]


@pytest.mark.parametrize("units", SYSTEMS)
@pytest.mark.parametrize("view_function", VIEWS, ids=lambda f: f"{f.__module__[-2:]}-{f.__name__}")
def test_each_task_is_answered_in_one_unit_system(view_function, units):
    written = answers.answers_to(view_function)(units)
    assert list(written) == ["Find", "Push", "Why"]
    assert re.search(r"\d", " ".join(written.values()))
    for sentence in written.values():
        assert sentence[0].isupper() or sentence[0].isdigit()
        assert sentence.endswith(".") and not re.search(r"\b(nan|inf|None)\b|[{}]", sentence)
        assert not OTHER[units].search(sentence), sentence


def test_the_house_as_warm_as_the_deep_soil():
    even = said(lesson_06.floor_and_edge, "Find")[0]
    name = "lost into the deep ground (− comes out of it)"
    flows = [shown(lesson_06.floor_and_edge, name, edge_depth=0.0, inside=even + step) for step in (-0.5, 0.5)]
    assert flows[0] < 0 < flows[1]


def test_the_first_step_of_foam_saves_most():
    start, end, watts, last = said(lesson_06.floor_and_edge, "Push")
    totals = [shown(lesson_06.floor_and_edge, "saved by the foam down the edge", edge_depth=d) for d in (0.05, 0.1)]
    assert (start, end) == (0, 0.05) and totals[0] == pytest.approx(watts, abs=0.6)  # both are shown to whole watts
    assert totals[1] - totals[0] < watts and last < watts / 4


def test_the_soil_that_is_coldest_in_april():
    """By hand: a wave is late by depth ÷ damping depth × 365.25 ÷ 2π days; 3 m ÷ 2.06 m × 58.1 is 85 days."""
    depth = said(lesson_06.soil_year, "Find")[0]
    assert depth == 3.0 and shown(lesson_06.soil_year, "days later than the surface", depth=depth) == pytest.approx(
        85, abs=1
    )
    low, high = said(lesson_06.soil_year, "Push")[1:]
    assert (low + high) / 2 == pytest.approx(7.0, abs=0.1)  # the mean of the year, an input of the place
    soft = [drawn(lesson_06.soil_year, depth=5.0).sentence, answers.answers_to(lesson_06.soil_year)("metric")["Push"]]
    assert all(f"{value:.1f} °C" in text for text in soft for value in (low, high))


def test_the_foam_with_which_gravel_beats_bare_soil():
    foam = said(lesson_06.night_on_the_floor, "Find")[0] / 1000
    bare = shown(lesson_06.night_on_the_floor, "lowest air over bare soil")
    lowest = [lesson_06.coldest_air("gravel_foam", depth) for depth in (foam - 0.005, foam)]
    assert lowest[0] <= lesson_06.coldest_air("soil") < lowest[1]
    boards = shown(lesson_06.night_on_the_floor, "lowest air", floor="boards_foam", foam=0.15)
    assert said(lesson_06.night_on_the_floor, "Push")[1:3] == [boards, bare] and boards < bare


def test_the_tilt_that_lets_most_through_in_january():
    tilt, most, upright = said(lesson_07.pane_by_month, "Find")
    through = [
        shown(lesson_07.pane_by_month, "through it", month=1, tilt=t) for t in (tilt - 10, tilt, tilt + 10, 90.0)
    ]
    assert through[1] == most == max(through) and through[3] == upright
    grey = {shown(lesson_07.pane_by_month, "through it", month=12, cloud=1.0, facing=f) for f in lesson_07.FACING}
    assert max(grey) - min(grey) < 0.01 and said(lesson_07.pane_by_month, "Push")[0] in grey


def test_what_fresh_snow_adds_in_february():
    view_function = lesson_07.sun_in_the_house
    snow, grass = (shown(view_function, "let in", month=2, ground=g) for g in ("snow_fresh", "grass"))
    assert said(view_function, "Find")[0] == pytest.approx(snow - grass, abs=0.15)  # each is rounded to a tenth
    free = [
        shown(view_function, "let in", month=m, tree="south") / shown(view_function, "let in", month=m)
        for m in range(1, 7)
    ]
    assert "From March to June" in answers.answers_to(view_function)("metric")["Push"]
    assert max(free[:2]) < 0.995 < min(free[2:])


def test_the_share_on_black_drums_that_keeps_frost_away():
    share = said(lesson_07.where_it_lands, "Find")[0] / 100
    night = [shown(lesson_07.where_it_lands, "coldest air of the night", catcher="drums_black", struck=s)
             for s in (share - 0.05, share)]  # fmt: skip
    assert night[0] <= 0 <= night[1]
    kept = shown(lesson_07.where_it_lands, "kept by the drums", catcher="drums_white", struck=0.8)
    assert said(lesson_07.where_it_lands, "Push")[0] == kept < 40  # less than half of the 80 % that strikes them


def test_brick_warms_the_day_and_drums_the_night():
    brick, water = (
        drawn(lesson_07.where_it_lands, catcher=c, struck=0.45).numbers for c in ("wall_black", "drums_black")
    )
    day, night = (
        [numbers(n[name])[0] for n in (brick, water)] for name in ("warmest air by day", "coldest air of the night")
    )
    assert day[0] > day[1] and night[0] < night[1]
    assert said(lesson_07.where_it_lands, "Why") == pytest.approx([*day, *night], abs=0.6)  # two digits


@pytest.mark.parametrize("view_function", [lesson_08.night, lesson_10.night])
def test_the_fewest_drums_for_the_greens(view_function):
    enough = int(said(view_function, "Find")[0])
    name = "coldest air" if view_function is lesson_08.night else "lowest air"
    fewer, held = (shown(view_function, name, drums=n) for n in (enough - 1, enough))
    assert fewer < 2.0 <= held  # the limit of the greens, an input


def test_the_night_after_covered_days():
    grey, clear = said(lesson_08.night, "Push")
    assert grey == pytest.approx(shown(lesson_08.night, "coldest air", cloud=1.0), abs=0.5)
    assert clear == pytest.approx(shown(lesson_08.night, "coldest air"), abs=0.05)


def test_the_hour_at_which_the_stores_stop_filling():
    assert said(lesson_08.hour, "Find")[0] == 16
    before, after = (drawn(lesson_08.hour, hour=h * 3600.0).sentence for h in (9.0, 10.5))  # after six in the morning
    assert "go into stores" in before and "come out of stores" in after


def test_the_fault_of_the_logged_night():
    rate, off = said(lesson_08.logged, "Find")
    assert rate == pytest.approx(4 * 0.35, abs=0.05)  # four times the leaks: the fault that the made-up log was given
    assert shown(lesson_08.logged, "off the readings", leaks=rate) == pytest.approx(off, abs=0.006)
    near, _, start = said(lesson_08.logged, "Push")
    assert shown(lesson_08.logged, "off the readings", skin=0.2) == near > 10 * off
    assert shown(lesson_08.logged, "off the readings") == start


def test_the_length_of_three_transfer_units():
    length = said(lesson_09.pipe, "Find")[0]
    units = [lesson_09.through("july", length=x).ntu for x in (length - 0.5, length)]
    assert units[0] < 3 <= units[1]


def test_more_air_takes_more_heat_and_comes_back_warmer():
    _, fast, now, warm, cool, watts, less = said(lesson_09.pipe, "Push")
    assert fast > now and warm > cool and watts > 2 * less
    assert shown(lesson_09.pipe, "air comes back with", flow=0.3) == pytest.approx(
        warm, abs=0.15
    )  # the slider ends at 0.3
    assert shown(lesson_09.pipe, "air comes back with") == cool


def test_the_bed_that_keeps_a_july_day_below_the_line():
    count, flow, many, warm = said(lesson_09.day, "Find")
    peaks = [shown(lesson_09.day, "hottest with pipes", count=20, flow=f / 3600) for f in (flow - 10, flow, 540)]
    assert count == many == 20 and peaks[2] == warm
    assert peaks[0] >= 35.0 >= peaks[1], "the red line is at 35 °C"


def test_too_many_pipes_on_the_design_night():
    six, _, twenty, none = said(lesson_09.day, "Push")[:4]
    cold = [shown(lesson_09.day, "coldest with pipes", count=n, when="january", cold=True) for n in (6, 20)]
    bare = shown(lesson_09.day, "coldest without", when="january", cold=True)
    assert [*cold, bare] == pytest.approx([six, twenty, none], abs=0.06)  # the view shows tenths
    assert six > none > twenty


def test_twenty_pipes_need_more_ground_than_the_house_has():
    """By hand: 20 pipes × 6 m × 0.45 m from pipe to pipe is 54 m²; the floor is 3.6 m × 6 m, 21.6 m²."""
    assert said(lesson_09.day, "Push")[5:7] == [54, 22]


def test_pipes_take_heat_in_an_april_night():
    midnight = drawn(lesson_09.house, when="april", hour=18 * 3600.0).sentence  # eighteen hours after six
    taken = re.search(r"the pipes take ([\d\u202f]+) W", midnight)[1]
    assert said(lesson_09.day, "Why")[0] == pytest.approx(float(taken), rel=0.05)  # two digits
    assert shown(lesson_09.day, "coldest with pipes", when="april") < shown(
        lesson_09.day, "coldest without", when="april"
    )


def test_the_hours_of_the_pipes_in_july():
    written = answers.answers_to(lesson_09.house)("metric")
    most, hottest = (int(h) + int(m) / 60 for h, m in re.findall(r"(\d\d):(\d\d)", written["Find"]))
    air = [shown(lesson_09.house, "air inside", hour=(hottest - 6 + step) * 3600) for step in (-1.5, 0, 1.5)]
    assert max(air) == air[1] and hottest - 1 <= most <= hottest
    night = [
        drawn(lesson_09.house, hour=h * 3600.0).sentence for h in (17.0, 19.5)
    ]  # an hour before midnight, and after
    assert "00:00" in written["Why"] and "pipes take" in night[0] and "pipes take" not in night[1]


def test_the_smallest_heater_without_drums():
    least = said(lesson_10.night, "Find")[1]
    cold, held = (drawn(lesson_10.night, drums=0, power=watts).sentence for watts in (least - 50, least))
    assert "too cold" in cold and "too cold" not in held


def test_leaks_hurt_more_than_an_open_curtain():
    _, leaky, bare = said(lesson_10.night, "Push")
    lowest = [shown(lesson_10.night, "lowest air", **change) for change in ({"leaks": 3.0}, {"curtain": False})]
    assert [leaky, bare] == pytest.approx(lowest, abs=0.06) and leaky < bare
    assert answers.answers_to(lesson_10.night)("metric")["Push"].startswith("The leaks")


def test_the_cheapest_pair_of_the_map():
    written = answers.answers_to(lesson_10.choices)("metric")["Find"]
    now, dear = (drawn(lesson_10.choices, price=price).numbers["cheapest on the line"] for price in (0.2, 0.4))
    assert written.startswith(now.split(",")[0]) and numbers(now)[:2] == numbers(written)[:2]
    assert numbers(dear)[0] == numbers(written)[2] > numbers(written)[0]


def test_what_more_drums_spare_of_the_heater():
    enough, first, small, last, least = said(lesson_10.choices, "Why")
    greens, seedlings = (lesson_10.drum_map("design", limit).least for limit in (2.0, 10.0))
    drums = list(lesson_10.COLUMNS)
    assert greens[drums.index(enough)] == 0 < greens[drums.index(enough) - 1]
    assert (first, last) == (drums[1], drums[-1] - drums[-2]) and small > least
    assert seedlings[0] - seedlings[1] == pytest.approx(small, abs=1) and seedlings[-1] > 0
    assert seedlings[-2] - seedlings[-1] == pytest.approx(least, abs=1)


def test_the_heap_that_makes_the_heater_idle():
    heap = said(lesson_10.others, "Find")[0]
    busy, idle = (shown(lesson_10.others, "heater adds", dry_mass=mass) for mass in (heap - 50, heap))
    assert idle < 0.05 <= busy + 0.01 and shown(lesson_10.others, "lowest air without heater", dry_mass=heap) >= 1.9


def test_the_heap_beyond_which_nothing_is_gained():
    full = said(lesson_10.others, "Push")[0]
    lowest = [
        shown(lesson_10.others, "lowest air without heater", dry_mass=mass) for mass in (full - 200, full, 2000.0)
    ]
    assert lowest[0] < lowest[1] == lowest[2]


def test_a_lamp_of_the_evening_helps_little_at_dawn():
    _, low, high = said(lesson_10.others, "Why")
    shown_ = [shown(lesson_10.others, "lowest air without heater", lamp=watts) for watts in (0.0, 1000.0)]
    assert shown_ == pytest.approx([low, high], abs=0.06) and 0 < high - low < 2


def test_the_soil_at_arms_length_by_the_wave_of_a_textbook():
    """Carslaw and Jaeger, section 2.6: mean 7 °C, swing 12 °C, coldest on day 35; moist soil damps within 2.06 m."""
    lag = 0.7 / 2.06

    def wave(day):
        return 7 - 12 * exp(-lag) * cos(2 * pi * (day - 35) / 365.25 - lag)

    depth, day, cold, christmas = said(lesson_06.soil_year, "Why")
    assert (depth, day) == (0.7, 24)  # 20 days after 4 February
    assert cold == pytest.approx(wave(35 + lag * 365.25 / (2 * pi)), abs=0.06)  # two digits
    assert christmas == pytest.approx(wave(359), abs=0.06)


def test_the_floor_after_covered_days_and_the_last_step_of_foam():
    assert said(lesson_06.night_on_the_floor, "Why")[0] == pytest.approx(
        shown(lesson_06.night_on_the_floor, "lowest air over bare soil", sky="covered"), abs=0.5
    )
    saved = [shown(lesson_06.floor_and_edge, "saved by the foam down the edge", edge_depth=d) for d in (1.15, 1.2)]
    assert said(lesson_06.floor_and_edge, "Push")[-1] == pytest.approx(saved[1] - saved[0], abs=1)  # whole watts


def test_what_strikes_an_upright_pane():
    struck = [shown(lesson_07.pane_by_month, "on the pane", month=month) for month in (6, 12)]
    assert said(lesson_07.pane_by_month, "Why") == pytest.approx(struck, abs=0.06)  # two digits


def test_the_air_without_drums_in_the_afternoon():
    air = [shown(lesson_08.hour, "air inside", hour=10 * 3600.0, drums=drums) for drums in (0, 9)]
    assert said(lesson_08.hour, "Push") == pytest.approx(air, abs=0.5) and air[0] > air[1]


def test_the_heat_and_the_fan_of_the_pipes():
    pushed = said(lesson_09.pipe, "Push")
    for name, at in (("heat to the soil", 1), ("fan", 5)):
        fast, now = (shown(lesson_09.pipe, name, flow=flow) for flow in (0.3, 0.15))
        assert pushed[at] == pytest.approx(fast, rel=0.05)  # two digits
        assert pushed[at + 1] == pytest.approx(now, rel=0.05)
    beds = [shown(lesson_09.pipe, "heat to the soil", count=n, diameter=d) for n, d in ((16, 0.1), (4, 0.2))]
    assert said(lesson_09.pipe, "Why")[2:] == pytest.approx(beds, rel=0.05)
    assert 16 * 0.1**2 == pytest.approx(4 * 0.2**2), "both let as much air through"


def test_what_the_vents_carry_at_the_hottest_hour():
    vents = [shown(lesson_09.house, "out by leaks and vents", hour=9 * 3600.0, count=n) for n in (0, 6)]
    assert said(lesson_09.house, "Push") == pytest.approx(vents, abs=10) and vents[0] > vents[1]  # three digits


def test_forty_drums_for_the_seedlings():
    cold, watts = said(lesson_10.choices, "Push")
    assert cold == pytest.approx(shown(lesson_10.night, "lowest air", drums=40, crop="seedlings"), abs=0.06)
    assert shown(lesson_10.choices, "least heater with 40 drums", crop="seedlings", drums=40) == watts
