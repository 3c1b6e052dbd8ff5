"""The folded answers to the tasks beside the views: each number is one that the reader finds with the sliders."""

import re

import pytest

from heatlib.classroom import answers
from heatlib.classroom.lesson import open_lesson
from heatlib.classroom.views import lesson_01, lesson_02, lesson_03, lesson_04, lesson_05
from heatlib.units import SYSTEMS, from_display

VIEWS = (
    lesson_01.drums_in_house, lesson_01.same_volume, lesson_01.tank, lesson_02.layers, lesson_02.patchwork,
    lesson_02.house, lesson_03.thickness, lesson_03.house, lesson_04.house, lesson_04.wind, lesson_04.door,
    lesson_05.air_map, lesson_05.pane, lesson_05.house,
)  # fmt: skip
OTHER = {
    "metric": re.compile(r"\d\s?(°F|Btu/h|kBtu|gal|ft|lb|mph|cfm|in)(?!\w)"),
    "US": re.compile(r"\d\s?(°C|m³|m²|mm|kg|m/s|MJ|litres?|L)(?!\w)"),
}


def number(text):
    """Read the first number of a sentence."""
    return float(re.search(r"[−-]?\d[\d\u202f]*(?:\.\d+)?", text)[0].replace("\u202f", "").replace("−", "-"))


def found(view_function, units="metric"):
    return number(answers.answers_to(view_function)(units)["Find"])


def drawn(view_function, **values):
    return view_function.spec.draw(view_function.spec.start() | values, "metric")


@pytest.mark.parametrize("units", SYSTEMS)
@pytest.mark.parametrize("view_function", VIEWS, ids=lambda f: f"{f.__module__[-2:]}-{f.__name__}")
def test_each_task_is_answered_in_one_unit_system(view_function, units):
    said = answers.answers_to(view_function)(units)
    assert list(said) == ["Find", "Push", "Why"]
    assert re.search(r"\d", " ".join(said.values()))
    for sentence in said.values():
        assert sentence[0].isupper() or sentence[0].isdigit()
        assert sentence.endswith(".") and not re.search(r"\b(nan|inf|None)\b", sentence)
        assert not OTHER[units].search(sentence), sentence


def test_drums_that_last_the_night():
    count = int(found(lesson_01.drums_in_house))
    hours = [
        number(drawn(lesson_01.drums_in_house, drums=n).numbers["hours of the house's loss"])
        for n in (count - 2, count)
    ]
    assert hours[0] < 14 <= hours[1]


def test_the_heater_that_keeps_ice_away():
    watts = found(lesson_01.tank)
    ice = [drawn(lesson_01.tank, power=power).numbers["first ice"] for power in (watts - 25, watts)]
    assert ice[0] != "never" and ice[1] == "never"
    assert found(lesson_01.tank, "US") == watts, "the heater is rated in watts in both systems"


def test_the_first_ice_may_come_when_the_water_is_heaviest():
    """By hand: 8 to 4 °C in air of −12 °C takes ln(20 ÷ 16) ÷ ln(20 ÷ 12) = 0.437 of the time of 8 to 0 °C."""
    course = lesson_01.tank_course(0.2, -12.0, 12.0, 0.0)
    assert course.floats / course.first_ice == pytest.approx(0.4368, abs=1e-4)  # four digits by hand
    assert lesson_01.tank_course(0.2, -12.0, 12.0, 500.0).floats == float("inf")


def test_the_load_under_a_drum():
    """By hand: 226 kg on a circle 0.572 m across, 0.257 m², is some 880 kg for each square metre."""
    said = drawn(lesson_01.drums_in_house).numbers["load on the floor under a drum"]
    assert number(said) == pytest.approx(880, rel=0.02)  # an empty drum weighs 17 to 20 kg


@pytest.mark.parametrize("units", SYSTEMS)
def test_the_gap_that_stops_getting_better(units):
    gap = from_display(found(lesson_02.layers, units), "thickness", units)
    here, wider, half = (
        sum(lesson_02.pane_layers("film", 0.004, width, 4.0, 2.0, -24.0).resistances)
        for width in (gap, 2 * gap, gap / 2)
    )
    assert abs(wider / here - 1) < 0.03 and half < 0.93 * here


def test_sashes_that_lose_as_much_as_the_sheet():
    assert found(lesson_02.patchwork) == pytest.approx(5 * 3.3 / 5.8, abs=0.06)  # U-values of the table, shown to 0.1


def test_the_foam_that_leaves_a_quarter():
    depth = found(lesson_03.thickness) / 1000
    left = [lesson_03.wall_u_value("eps", d, 0.12) / lesson_03.wall_u_value("eps", 0.0) for d in (depth - 0.01, depth)]
    assert left[0] > 0.25 >= left[1] - 0.002


def test_the_wind_that_doubles_the_loss():
    speed = found(lesson_04.wind)
    watts = [number(drawn(lesson_04.wind, wind_speed=v).numbers["lost by cracks"]) for v in (1.0, speed)]
    assert watts[1] / watts[0] == pytest.approx(2, rel=0.02)


def test_openings_where_lobby_and_film_are_equal():
    said = drawn(lesson_04.door).numbers["openings an hour at which they are equal"]
    assert found(lesson_04.door) == number(said)


def test_the_fog_that_no_longer_dries():
    dew = found(lesson_05.air_map)
    assert "takes out" in drawn(lesson_05.air_map, outside=dew - 0.5).sentence
    assert "brings in" in drawn(lesson_05.air_map, outside=dew + 0.5).sentence


def test_the_driest_air_in_which_the_sheet_drips():
    humidity = found(lesson_05.pane) / 100
    assert "it stays dry" in drawn(lesson_05.pane, humidity=humidity - 0.02).sentence
    assert "it drips" in drawn(lesson_05.pane, humidity=humidity + 0.02).sentence


def test_the_humidity_at_which_the_panes_stop_dripping():
    humidity = found(lesson_05.house) / 100
    assert "stay dry" in drawn(lesson_05.house, humidity=humidity).sentence
    assert "drips" in drawn(lesson_05.house, humidity=humidity + 0.02).sentence


def test_a_view_without_tasks_is_refused_by_name():
    with pytest.raises(ValueError, match="no answers are written for the tasks of"):
        answers.answers_to(lesson_02.kinds)


def test_answers_are_folded_and_follow_the_switch(monkeypatch):
    shown = []
    monkeypatch.setattr("heatlib.classroom.lesson.display", shown.append)
    lesson = open_lesson(4)
    lesson.answers(lesson_04.wind)
    text = shown[-1]._repr_mimebundle_()[0] if isinstance(shown[-1]._repr_mimebundle_(), tuple) else None
    html, plain = shown[-1].value, shown[-1].text
    assert text is None or text["text/plain"] == plain
    assert html.count("<details>") == 1 and " open" not in html and "m/s" in plain
    assert plain.startswith("Compare with what you found\nFind: A wind of some")
    lesson.units = "US"
    assert "mph" in shown[-1].text and "m/s" not in shown[-1].text
