"""A logger's CSV at the edges of what is stated: limits at their very ends, odd forms, every column, every report.

Expected values are what was written into each file, or follow from the limits that docstrings and constants state.
"""

from datetime import timedelta

import numpy as np
import pytest
from test_logger import START, read, series, stamps, text

from heatlib.house import logger_record
from heatlib.house.logger import bridge_gaps, read_logger
from heatlib.house.logger_cells import read_values
from heatlib.house.logger_clock import clock_jumps, read_clock
from heatlib.house.logger_doubts import gaps, spikes, stuck, unit_changes, usual_step
from heatlib.house.logger_record import Notes
from heatlib.house.logger_text import Table, find_columns, read_table, unit_in_header


def kinds(report):
    assert all(isinstance(finding.text, str) and finding.text for finding in report.findings)
    return [(finding.row, finding.kind) for finding in report.findings]


def clock(*seconds, start="2024-01-15T00:00:00"):
    return np.datetime64(start, "s") + np.array(seconds).astype("timedelta64[s]")


# ---- cells


@pytest.mark.parametrize("length, good", [(40, True), (41, False)])
@pytest.mark.parametrize("end", ["", " C"])
def test_a_cell_with_a_reading_has_forty_characters_at_most(length, good, end):
    """A column with a cell such as 1e1 is read cell by cell; 1.00…0 is 1 however many noughts it has."""
    cell = "1." + "0" * (length - 2 - len(end)) + end
    record, report = series(["1e1", cell, "2"], unreadable="drop")
    assert np.isfinite(record.column()[1]) == good
    assert report.count("unreadable") == (not good)
    assert record.column()[0] == 10


def test_a_point_among_commas_is_seen_in_cells_of_forty_characters_and_with_a_sign():
    for cell in ("+2.5", "2." + "5" * 38):
        with pytest.raises(ValueError, match="comma and some with a point"):
            read(zip(stamps(2), ["1,5", cell]), header="time;temp C", delimiter=";")
    rows = zip(stamps(2), ["1,5", "2." + "5" * 39])
    with pytest.raises(ValueError, match="row 3 "):
        read(rows, header="time;temp C", delimiter=";")


def test_units_written_in_cells_in_all_their_forms():
    """0 °C is 32 °F, 20 °C is 68 °F, −40 is the same in both."""
    cells = ["20℃", "68℉", "20 º C", "68degF", "20c", "−40 °F", "+20°C", "68 f"]
    record, report = read(zip(stamps(len(cells)), cells), header="time,temp")
    assert record.column() == pytest.approx([20, 20, 20, 20, 20, -40, 20, 20], abs=1e-12)
    assert [row for row, kind in kinds(report) if kind == "unit"] == [3, 4, 5, 6, 7, 8, 9]
    assert sum("'temp'" in finding.text for finding in report.findings) == 7
    assert not report.count("empty") and not report.count("unreadable")


def test_a_told_unit_may_repeat_the_header_and_each_cell():
    for header, cells, unit in (("time,temp (°F)", [50, 32], "F"), ("time,temp", ["50 °F", "32F"], "F")):
        record, report = read(zip(stamps(2), cells), header=header, unit=unit)
        assert record.column() == pytest.approx([10, 0], abs=1e-12) and not report.findings
    with pytest.raises(ValueError, match=r"row 2 .*'50 °F'"):
        read(zip(stamps(2), ["50 °F", "32F"]), header="time,temp", unit="C")


def test_a_column_whose_cells_are_all_empty_asks_for_no_unit():
    record, report = read(zip(stamps(2), ["", "-"]), header="time,temp")
    assert np.isnan(record.column()).all() and kinds(report) == [(2, "empty"), (3, "empty")]


def test_two_units_are_spoken_of_only_where_the_header_states_two():
    rows = [(stamp, 50, 50) for stamp in stamps(2)]
    record, report = read(rows, header="time,inside (°F),outside", unit="F")
    assert record.temperatures["outside"] == pytest.approx([10, 10]) and not report.findings
    finding = read(rows, header="time,inside (°F),outside (°C)")[1].findings[0]
    assert finding.row == 1 and "inside in °F, outside in °C" in finding.text


@pytest.mark.parametrize("cell", ["", "-", "---", "NA", "nan", "none"])
def test_an_empty_cell_is_empty_in_every_column(cell):
    header = "time,temp C,RH %,wind m/s"
    record, report = read([(stamps(2)[0], cell, cell, cell), (stamps(2)[1], 1, 50, 3)], header=header)
    assert [np.isnan(a).tolist() for a in (record.column(), record.humidity, record.wind_speed)] == [[True, False]] * 3
    assert kinds(report) == [(2, "empty")] * 3
    for finding, name in zip(report.findings, ("'temp C'", "'RH %'", "'wind m/s'")):
        assert name in finding.text


def test_an_unreadable_cell_of_any_column_is_named_once_and_dropped_alone():
    header, rows = "time,temp C,RH %,wind m/s", [(s, 1, 50, 3) for s in stamps(4)]
    for column, value in ((1, "wet"), (2, "damp"), (3, "strong")):
        one = [list(row) for row in rows]
        one[2][column] = value
        with pytest.raises(ValueError, match=f"row 4 .*'{value}'"):
            read(one, header=header)
        record, report = read(one, header=header, unreadable="drop")
        assert kinds(report) == [(4, "unreadable")]
        seen = [np.isnan(a)[2] for a in (record.column(), record.humidity, record.wind_speed)]
        assert seen == [column == 1, column == 2, column == 3]


def test_humidity_at_its_ends():
    """0 and 100 % are possible, −1 and 101 are not; the same for shares."""
    rows = [(s, 1, h) for s, h in zip(stamps(4), [0, 100, -1, 101])]
    record, report = read(rows, header="time,temp C,RH %")
    assert record.humidity[:2].tolist() == [0, 1] and np.isnan(record.humidity[2:]).all()
    assert kinds(report) == [(4, "humidity"), (5, "humidity")]
    assert "-1 in column 'RH %'" in report.findings[0].text
    rows = [(s, 1, h) for s, h in zip(stamps(4), [0, 1, -0.01, 1.01])]
    record, report = read(rows, header="time,temp C,RH", humidity_unit="share")
    assert record.humidity[:2].tolist() == [0, 1] and np.isnan(record.humidity[2:]).all()
    assert kinds(report) == [(4, "humidity"), (5, "humidity")]


def test_what_tells_per_cent_from_a_share():
    """A % in the header or in the cells, or a value above 1.5; 1.5 itself leaves it open."""
    for header, cells, expected in (
        ("time,temp C,RH %", [0.5, 0.6], [0.005, 0.006]),
        ("time,temp C,RH", [0.5, 1.6], [0.005, 0.016]),
        ("time,temp C,RH", ["50 %", "60%"], [0.5, 0.6]),
        ("time,temp C,RH", ["50", "60%"], [0.5, 0.6]),
    ):
        record, _ = read([(s, 1, h) for s, h in zip(stamps(2), cells)], header=header)
        assert record.humidity == pytest.approx(expected)
    with pytest.raises(ValueError, match="per cent or a share"):
        read([(s, 1, h) for s, h in zip(stamps(2), [0.5, 1.5])], header="time,temp C,RH")
    with pytest.raises(ValueError, match=r"row 3 .*'50X'"):
        read([(s, 1, h) for s, h in zip(stamps(2), ["50 %", "50X%"])], header="time,temp C,RH")


def test_wind_at_its_ends():
    """Calm is a wind; 75 m/s, 270 km/h, is the strongest taken for one."""
    rows = [(s, 1, w) for s, w in zip(stamps(4), [0, 75, 75.1, -1])]
    record, report = read(rows, header="time,temp C,wind (m/s)", unreadable="drop")
    assert record.wind_speed[:2].tolist() == [0, 75] and np.isnan(record.wind_speed[2:]).all()
    assert kinds(report) == [(4, "unreadable"), (5, "unreadable")]
    with pytest.raises(ValueError, match=r"row 4 .*75\.1 m/s.*1 more"):
        read(rows, header="time,temp C,wind (m/s)")


@pytest.mark.parametrize("word", ["kmh", "kph", "KM/H", "Mph"])
def test_words_for_wind_in_headers(word):
    one = 0.44704 if word == "Mph" else 1 / 3.6
    record, _ = read([(s, 1, 9) for s in stamps(2)], header=f"time,temp C,wind speed {word}")
    assert record.wind_speed == pytest.approx([9 * one] * 2, rel=1e-12)
    told, _ = read([(s, 1, 9) for s in stamps(2)], header="time,temp C,wind", wind_unit=word.lower())
    assert told.wind_speed == pytest.approx([9 * one] * 2, rel=1e-12)


def test_a_word_within_a_word_is_no_unit():
    with pytest.raises(ValueError, match="wind_unit"):
        read([(s, 1, 9) for s in stamps(2)], header="time,temp C,wind mphx")


def test_the_decimal_comma_holds_in_all_columns():
    rows = [(s, "1,5", "50,5", "2,25") for s in stamps(2)]
    for options in ({}, {"decimal": ","}):
        record, _ = read(rows, header="time;temp C;RH %;wind m/s", delimiter=";", **options)
        assert [record.column()[0], record.humidity[0], record.wind_speed[0]] == pytest.approx([1.5, 0.505, 2.25])
    with pytest.raises(ValueError, match=r"row 2 .*'1,5'"):
        read(rows, header="time;temp C;RH %;wind m/s", delimiter=";", decimal=".")


def test_units_told_to_the_reader_of_cells_are_checked():
    table = read_table(b"time,temp C\n2024-01-01 00:00,32\n")
    for n, name in enumerate(("unit", "humidity_unit", "wind_unit")):
        told = [None, None, None]
        for wrong in ("stone", "X"):
            told[n] = wrong
            with pytest.raises(ValueError, match=rf"^{name} '{wrong}' is not known"):
                read_values(table, {"time": [0], "temperature": 1}, told, None, Notes(table))


# ---- dates and clock


@pytest.mark.parametrize(
    "first, second",
    [
        ("15-Jan-24 06:00", "15-Jan-24 18:00"),
        ("15 Jan 2024 6:00 AM", "15 Jan 2024 6:00 PM"),
        ("15.Jan.2024T06:00:00", "15.Jan.2024T18:00:00"),
        ("15/Jan/2024 06:00AM", "15/Jan/2024 06:00PM"),
        ("Jan 15, 2024 6:00:00 AM", "Jan 15, 2024 6:00:00 PM"),
        ("Jan 15 2024, 06:00", "Jan 15 2024, 18:00"),
        ("2024-01-15 06:00:00.750", "2024-01-15 18:00:00.750"),
        ("2024.01.15 06:00", "2024.01.15 18:00"),
        ("2024-01-15, 06:00", "2024-01-15, 18:00"),
        ("2024-01-15 6:00:00a.m.", "2024-01-15 6:00:00P.M."),
        ("2024-01-15 6:00 A.M.", "2024-01-15 6:00 P.M."),
        ("15/01/24 06:00", "15/01/24 18:00"),
        ("01/15/24 06:00", "01/15/24 18:00"),
    ],
)
def test_more_forms_of_date_and_clock(first, second):
    told = {"15/01/24 06:00": "day first", "01/15/24 06:00": "month first"}.get(first)
    times, order, offset = read_clock([first, second], date_order=told)
    assert times.astype(str).tolist() == ["2024-01-15T06:00:00", "2024-01-15T18:00:00"]
    assert offset is None
    assert order == (told or ("year first" if first.startswith("2024") else "month by name"))


def test_two_digits_for_year_month_and_day_can_be_read_three_ways():
    """24.01.15 is 15 January 2024 with the year first and 24 January 2015 with the day first; no month is the 24th."""
    cells = ["24.01.15 06:00", "24.01.15 07:00"]
    with pytest.raises(ValueError, match="day first or year first"):
        read_clock(cells)
    assert str(read_clock(cells, date_order="year first")[0][1]) == "2024-01-15T07:00:00"
    assert str(read_clock(cells, date_order="day first")[0][1]) == "2015-01-24T07:00:00"
    times, order, _ = read_clock(cells, date_order="month first")
    assert np.isnat(times).all() and order == "month first"
    with pytest.raises(ValueError, match="day first or month first or year first"):
        read_clock(["03.01.02 06:00", "03.01.02 07:00"])


def test_the_year_first_of_four_digits_is_sure():
    assert read_clock(["2024-03-02 06:00"])[1] == "year first"
    assert read_clock(["2024-03-02 06:00"], date_order="year first")[1] == "year first"
    with pytest.raises(ValueError, match="'2024-03-02 06:00', can't be read day first"):
        read_clock(["2024-03-02 06:00"], date_order="day first")


def test_the_order_is_open_where_each_way_reads_what_the_other_cannot():
    """13 to 20 January month first; 25/01 can only be day first: one of them is wrong, and who knows which."""
    cells = [f"01/{day}/2024 00:00" for day in range(13, 21)] + ["25/01/2024 00:00"]
    with pytest.raises(ValueError, match="day first or month first"):
        read_clock(cells)
    times, order, _ = read_clock(cells, date_order="month first")
    assert np.isnat(times).tolist() == [False] * 8 + [True] and order == "month first"


def test_the_order_is_sure_where_the_other_way_reads_less_and_leaps():
    """10 to 16 January month first: day first the 10th to 12th would be October to December, a month every midnight."""
    cells = [f"01/{day}/2024 {hour:02d}:00" for day in range(10, 17) for hour in range(0, 24, 6)]
    times, order, _ = read_clock(cells)
    assert order == "month first" and not np.isnat(times).any()
    assert str(times[-1]) == "2024-01-16T18:00:00"


def test_one_reading_a_day_makes_no_leap():
    """1 to 12 February at noon, day first, and one cell with the month spoilt to 13: so month first reads one more.

    Read month first, the same cells leap from month to month; read day first, they go on by exactly a day.
    """
    cells = [f"{day:02d}/02/2024 12:00" for day in range(1, 13)] + ["02/13/2024 12:00"]
    with pytest.raises(ValueError, match="day first or month first"):
        read_clock(cells)
    assert read_clock(cells, date_order="day first")[1] == "day first"
    # 1 and 2 December, or 12 January and 12 February; the third can only be 13 February, 23 h after the second
    with pytest.raises(ValueError, match="day first or month first"):
        read_clock(["01/12/2024 12:00", "02/12/2024 12:00", "02/13/2024 11:00"])


@pytest.mark.parametrize(
    "cell, local, hours",
    [
        ("2024-01-15T06:00:00+05:30", "2024-01-15T06:00:00", 5.5),
        ("2024-01-15T06:00:00-0330", "2024-01-15T06:00:00", -3.5),
        ("2024-01-15 06:00 +0545", "2024-01-15T06:00:00", 5.75),
        ("2024-01-15 06:00:00.250Z", "2024-01-15T06:00:00", 0),
        ("2024-01-15 6:00 PM -05:00", "2024-01-15T18:00:00", -5),
        ("2024-01-15 6:00PM-05:00", "2024-01-15T18:00:00", -5),
        ("01/15/2024 6:00:00 AM Z", "2024-01-15T06:00:00", 0),
    ],
)
def test_offsets_from_utc_in_all_their_forms(cell, local, hours):
    times, order, offset = read_clock([cell])
    assert str(times[0]) == local and offset == hours
    assert order == ("month first" if cell.startswith("01/15") else "year first")


def test_offsets_are_taken_from_the_cells_that_state_one():
    times, _, offset = read_clock(["2024-07-15T06:00:00+02:00", "2024-07-15 07", "2024-12-15T06:00:00+01:00"])
    assert offset == 1
    assert times.astype(str).tolist() == ["2024-07-15T05:00:00", "NaT", "2024-12-15T06:00:00"]


def test_what_is_no_date_is_shown_and_the_first_cells_may_be_empty():
    with pytest.raises(ValueError, match="it holds 'morning'"):
        read_clock(["", "morning", "evening"])
    with pytest.raises(ValueError, match="it holds ''"):
        read_clock(["", ""])
    assert np.isnat(read_clock(["", "2024-01-15 06:00"])[0]).tolist() == [True, False]
    assert not np.isnat(read_clock(["?"] * 499 + ["2024-01-15 06:00"])[0][499])
    with pytest.raises(ValueError, match="must hold a date with a clock time"):
        read_clock(["?"] * 500 + ["2024-01-15 06:00"])
    with pytest.raises(ValueError, match="date order 'sideways' is not known"):
        read_clock(["2024-01-15 06:00"], date_order="sideways")


@pytest.mark.parametrize("month", range(1, 13))
def test_the_clock_is_changed_in_spring_and_autumn_only(month):
    """February to May and August to November, south of the equator too; the first Sunday of each month in 2024."""
    first = 1 + (6 - np.datetime64(f"2024-{month:02d}-01").astype(object).weekday()) % 7
    start = f"2024-{month:02d}-{first:02d}T01:30:00"
    expected = month in (2, 3, 4, 5, 8, 9, 10, 11)
    assert clock_jumps(clock(0, 1800 + 3600, start=start), 1800.0) == ([(1, 1)] if expected else [])
    assert clock_jumps(clock(0, 1800 - 3600, start=start), 1800.0) == ([(1, -1)] if expected else [])


def test_the_limits_of_a_change_of_the_clock():
    """One hour to within a minute; Sundays before five o'clock; readings less than three hours apart. 10 March 2024."""

    def jumps(start, apart, step=1800.0):
        return clock_jumps(clock(0, apart, start=start), step)

    sunday = "2024-03-10T01:30:00"
    assert jumps(sunday, 5400 + 60) == jumps(sunday, 5400 - 60) == [(1, 1)]
    assert jumps(sunday, 5400 + 61) == jumps(sunday, 5400 - 61) == []
    assert jumps("2024-03-09T01:30:00", 5400) == jumps("2024-03-11T01:30:00", 5400) == []
    assert jumps("2024-03-10T03:15:00", 5400) == [(1, 1)]  # 4:45
    assert jumps("2024-03-10T03:30:00", 5400) == []  # 5:00
    assert jumps("2024-03-09T23:30:00", 5400) == [(1, 1)]  # Sunday 1:00
    assert jumps(sunday, 3 * 3600 - 1, 2 * 3600.0) == [(1, 1)]
    assert jumps(sunday, 3 * 3600, 2 * 3600.0) == []


# ---- doubts


def test_the_usual_step():
    assert usual_step(clock(0, 600, 1200, 3000, 4800)) == 600  # a tie: the shortest
    assert usual_step(clock(7200, 0, 0, 0, 3600)) == 3600  # repeats are no step
    with pytest.raises(ValueError, match="two different times"):
        usual_step(clock(0, 0, 0))


def test_a_gap_is_more_than_one_and_a_half_steps():
    assert gaps(clock(0, 5400, 9000), 3600.0) == []
    assert gaps(clock(0, 5401, 9001), 3600.0) == [(0, 5401 / 3600)]
    assert gaps(clock(0, 3600, 10800), 3600.0) == [(1, 2.0)]
    with pytest.raises(ValueError, match="step must be greater than 0 s, but it is 0 s"):
        gaps(clock(0, 1), 0.0)


def test_the_limits_of_a_spike():
    """8 K off both neighbours, which agree within 3 K and lie four hours apart at most."""
    hours = clock(*range(0, 5 * 3600, 3600))
    assert spikes(hours, np.array([5, 5, 16.0, 8, 8])).tolist() == [2]
    assert spikes(hours, np.array([5, 5, -4.0, 5, 5])).tolist() == [2]
    assert spikes(hours, np.array([5, 5, -3.0, 5, 5])).tolist() == [2]
    assert spikes(hours, np.array([5, 5, -2.9, 5, 5])).tolist() == []
    assert spikes(hours, np.array([5, 20.0, 35.0, 50.0, 65.0])).tolist() == []
    assert spikes(hours, np.array([5, 5, np.nan, 30.0, 5])).tolist() == [3]
    assert spikes(hours[:3], np.array([5, 20.0, 5])).tolist() == [1]
    assert spikes(hours[:2], np.array([5, 20.0])).tolist() == spikes(hours[:0], np.array([])).tolist() == []
    assert spikes(clock(0, 7200, 14400), np.array([5, 20.0, 5])).tolist() == [1]
    assert spikes(clock(0, 7200, 14401), np.array([5, 20.0, 5])).tolist() == []


def test_a_stuck_sensor_at_either_end_of_the_record():
    hours = clock(*range(0, 20 * 3600, 3600))
    assert stuck(hours, np.array([7.0] * 20)) == [(0, 19)]
    assert stuck(hours, np.array([7.0] * 12 + [1, 2, 3, 4, 5, 6, 7, 8])) == [(0, 11)]
    assert stuck(hours, np.array([1, 2, 3, 4, 5, 6, 7.5, 8, *[7.0] * 12])) == [(8, 19)]
    assert stuck(hours, np.array([7.0] * 9 + [np.nan] + [7.0] * 10)) == []
    assert stuck(hours[:0], np.array([])) == []
    half_hours = clock(*range(0, 13 * 1800, 1800))  # 13 readings, 6 h from first to last
    assert stuck(half_hours, np.array([7.0] * 13)) == [(0, 12)]
    assert stuck(half_hours, np.array([7.0] * 12 + [8.0])) == []


def test_the_limits_of_a_change_of_unit():
    """10 K of step, 1 K of fit, a third of the step before and after, two hours. 20 °C is 68 °F, 10 °C 50 °F."""
    hours = clock(0, 3600, 7200, 10800)

    def found(*values, times=hours):
        return unit_changes(times, np.array(values, dtype=float)).tolist()

    assert found(20, 20, 68, 68) == found(68, 68, 20, 20) == [2]
    assert found(-27.5, -27.5, -17.5, -17.5) == [2]  # −27.5 °C is −17.5 °F: 10 apart
    assert found(-27.6, -27.6, -17.68, -17.68) == []
    assert found(10, 10, 51, 51) == found(10, 10, 49, 49) == found(50, 50, 11, 11) == found(50, 50, 9, 9) == [2]
    assert found(10, 10, 51.1, 51) == found(50, 50, 11.1, 11) == found(50, 50, 8.9, 9) == []
    assert found(20, 20, 68, 83) == found(35, 20, 68, 68) == found(5, 20, 68, 53) == [2]
    assert found(20, 20, 68, 84) == found(36, 20, 68, 68) == found(4, 20, 68, 68) == found(20, 20, 68, 52) == []
    assert found(20, 20, 68, 68, times=clock(0, 3600, 10800, 14400)) == [2]
    assert found(20, 20, 68, 68, times=clock(0, 3600, 10801, 14400)) == []
    assert found(20, 20, 68, 68, times=clock(0, 36000, 39600, 99999)) == [2]  # only the step itself must be short
    assert found(20, 20, 68) == found(20) == []
    more = clock(*range(0, 6 * 3600, 3600))
    assert found(20, np.nan, 20, 68, 68, 68, times=more) == [3]


def test_the_report_names_the_place_and_the_value():
    values = [5 + 0.1 * i for i in range(40)]
    values[10], values[20:33] = 40, [7.25] * 13
    spike, still = series(values)[1].findings
    assert "temperature" in spike.text and "40.0 °C" in spike.text
    assert "7.2 °C until row 34" in still.text  # reading 32 stands in row 34; 7.25 to one digit, half to even
    rows = [(s, i) for i, s in enumerate(stamps(6)) if i not in (3, 4)]
    (gap,) = read(rows)[1].findings
    assert gap.row == 4 and "3 h after 2024-01-15T02:00:00" in gap.text


# ---- order, summer time, repeats


def test_a_file_out_of_order_is_newest_first_only_where_most_steps_go_back():
    s = stamps(7)
    for order, rows in (([0, 4, 1, 5, 2, 6, 3], [4, 6, 8]), ([1, 0, 3, 2, 5, 4], [3, 5, 7])):
        record, report = read([(s[i], i) for i in order])
        assert record.column().tolist() == sorted(order)
        assert kinds(report) == [(row, "order") for row in rows]
    record, report = read([(s[i], i) for i in (2, 1, 0)])
    assert record.column().tolist() == [0, 1, 2] and kinds(report) == [(4, "order")]


def test_two_readable_rows_are_needed_and_enough():
    s = stamps(2)
    assert read([(s[0], 1), (s[1], 2)])[0].column().tolist() == [1, 2]
    with pytest.raises(ValueError, match="at least two readable rows"):
        read([(s[0], 1), ("noon", 2)], unreadable="drop")
    with pytest.raises(ValueError, match="two different times"):
        read([(s[0], 1), (s[0], 1)])


def test_a_clock_put_the_same_way_twice_is_refused():
    """The clocks of 10 and 17 March 2024, both Sundays, go from 1:00 to 3:00."""
    rows = [("2024-03-10 00:00", 1), ("2024-03-10 01:00", 2), ("2024-03-10 03:00", 3)]
    rows += [("2024-03-17 00:00", 4), ("2024-03-17 01:00", 5), ("2024-03-17 03:00", 6)]
    with pytest.raises(ValueError, match="put the same way twice: tell summer_time='keep'"):
        read(rows, summer_time="remove")
    assert len(read(rows, summer_time="keep")[0].time) == 6


def test_which_way_the_clock_was_put_is_told_with_its_row():
    forward = [("2024-03-10 00:00", 1), ("2024-03-10 01:00", 2), ("2024-03-10 03:00", 3), ("2024-03-10 04:00", 4)]
    for told, word in (("stop", "forward"), ("remove", "forward")):
        _, report = read(forward, summer_time=told)
        finding = next(f for f in report.findings if f.kind == "summer time")
        assert finding.row == 4 and word in finding.text
    back = [("2024-11-03 00:00", 1), ("2024-11-03 01:00", 2), ("2024-11-03 01:00", 3), ("2024-11-03 02:00", 4)]
    with pytest.raises(ValueError, match=r"row 4 .* put back at 2024-11-03T01:00:00"):
        read(back)
    record, report = read(back, summer_time="remove")
    assert kinds(report) == [(4, "summer time")] and "back" in report.findings[0].text
    assert record.time.astype(str).tolist() == [f"2024-11-0{d}:00:00" for d in ("2T23", "3T00", "3T01", "3T02")]


@pytest.mark.parametrize(("told", "kept"), [("first", 2), ("last", 10), ("mean", 6)])
def test_three_readings_at_one_time(told, kept):
    s = stamps(4)
    rows = [(s[0], 1), (s[1], 2), (s[1], 6), (s[1], 10), (s[2], 3), (s[3], 4), (s[3], 4)]
    record, report = read(rows, repeats=told)
    assert record.column().tolist() == [1, kept, 3, 4]
    assert record.row.tolist() == [2, 3, 6, 7]
    assert kinds(report) == [(4, "repeat"), (5, "repeat"), (8, "repeat")]
    assert told in report.findings[0].text and "2024-01-15T01:00:00" in report.findings[0].text


def test_repeats_with_empty_cells():
    s, header = stamps(3), "time,inside C,outside C"
    record, report = read([(s[0], 1, ""), (s[0], 1, ""), (s[1], 2, 3)], header=header)
    assert len(record.time) == 2 and report.count("repeat") == 1
    assert "2024-01-15T00:00:00" in report.findings[-1].text or "2024-01-15T00:00:00" in report.findings[0].text
    rows = [(s[0], 2, ""), (s[0], 6, ""), (s[1], 4, 8), (s[1], "", 8), (s[2], 1, 1)]
    with pytest.raises(ValueError, match=r"row 3 .*than row 2"):
        read(rows, header=header)
    for told, inside in (("mean", [4, 4, 1]), ("first", [2, 4, 1]), ("last", [6, np.nan, 1])):
        record, _ = read(rows, header=header, repeats=told)
        np.testing.assert_array_equal(record.temperatures["inside"], inside)
        np.testing.assert_array_equal(record.temperatures["outside"], [np.nan, 8, 1])


def test_no_reading_and_a_nought_are_two_readings():
    s = stamps(2)
    with pytest.raises(ValueError, match=r"row 3 .*than row 2"):
        read([(s[0], ""), (s[0], 0), (s[1], 1)])


def test_first_and_last_mean_their_order_in_the_file():
    s = stamps(3)
    rows = [(s[0], 1), (s[2], 3), (s[1], 7), (s[1], 5)]
    assert read(rows, repeats="first")[0].column().tolist() == [1, 7, 3]
    assert read(rows, repeats="last")[0].column().tolist() == [1, 5, 3]
    many = [(stamp, value + half) for value, stamp in enumerate(stamps(50)) for half in (0, 0.5)]
    many = [*many[1::2][::-1], *many[::2]]  # the halves stand first in the file, from the last to the first
    assert read(many, repeats="first")[0].column().tolist() == [value + 0.5 for value in range(50)]
    assert read(many, repeats="last")[0].column().tolist() == list(range(50))


# ---- record, report, bridging


def full(values=(1, 2, 3, 4), missing=()):
    rows = [(s, v, 10 * v, v / 2) for i, (s, v) in enumerate(zip(stamps(len(values)), values)) if i not in missing]
    return read(rows, header="time,temp C,RH %,wind m/s")


def test_a_part_of_a_record_keeps_all_that_belongs_to_it():
    rows = [(f"2024-01-15T0{i}:00:00-05:00", i, 10 * i, i / 2) for i in range(4)]
    whole, _ = read(rows, header="time,temp C,RH %,wind m/s")
    part = whole.between("2024-01-15T01:00", "2024-01-15T02:00")
    assert part.humidity == pytest.approx([0.1, 0.2]) and part.wind_speed.tolist() == [0.5, 1.0]
    assert part.time.astype(str).tolist() == ["2024-01-15T01:00:00", "2024-01-15T02:00:00"]
    with pytest.raises(ValueError, match="no reading between 2024-01-16T00:00:00 and 2024-01-17T00:00:00"):
        whole.between("2024-01-16", "2024-01-17")
    assert part.row.tolist() == [3, 4] and part.step == 3600 and part.utc_offset == -5
    for told, name in ((("noon", "2024-01-15T02:00"), "start"), (("2024-01-15T01:00", "noon"), "end")):
        with pytest.raises(ValueError, match=f"^{name} "):
            whole.between(*told)
    bare = series([1, 2, 3])[0].between("2024-01-15T01:00", "2024-01-15T02:00")
    assert bare.humidity is None and bare.wind_speed is None and bare.utc_offset is None


def test_a_column_is_named_where_there_are_two():
    record, _ = read([(s, 1, 2) for s in stamps(2)], header="time,inside C,outside C")
    assert record.column("outside").tolist() == [2, 2]
    with pytest.raises(ValueError, match="temperature column"):
        record.column()


def test_bridging_fills_every_column_and_marks_what_it_added():
    record, _ = full(range(1, 8), missing=(2, 3))
    filled, findings = bridge_gaps(record, 3)
    assert filled.column().tolist() == [1, 2, 3, 4, 5, 6, 7]
    assert filled.humidity == pytest.approx([0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7])
    assert filled.wind_speed == pytest.approx([0.5, 1, 1.5, 2, 2.5, 3, 3.5])
    assert filled.row.tolist() == [2, 3, 0, 0, 4, 5, 6]
    assert (np.diff(filled.time) == np.timedelta64(1, "h")).all()
    assert (filled.step, filled.utc_offset) == (3600, None)
    assert [(f.row, f.kind, f.text.split(":")[0]) for f in findings] == [
        (3, "bridged", name) for name in ("temperature", "humidity", "wind")
    ]
    assert all(" 3 h " in f.text for f in findings)
    same, none = bridge_gaps(record, 2.9)
    assert same.row.tolist() == record.row.tolist() and none == []


def test_a_gap_that_is_no_whole_number_of_steps_is_cut_evenly():
    """From 1:00 to 3:30 at one reading an hour: one more at 2:15. From 1:00 to 2:36: at 1:48. 1:00 to 3:48: two."""
    for minutes, expected in ((150, [75]), (96, [48]), (168, [56, 112])):
        record, _ = read(
            zip([*stamps(2), *stamps(2, start=START + timedelta(minutes=60 + minutes))], [0, 0, minutes / 10, 0])
        )
        filled, _ = bridge_gaps(record, 3)
        added = (filled.time[filled.row == 0] - filled.time[1]).astype(int) / 60
        assert added.tolist() == expected
        assert filled.column()[filled.row == 0] == pytest.approx(np.array(expected) / 10)


def test_the_limits_of_bridging(monkeypatch):
    record, _ = full(range(1, 6), missing=(2,))
    for hours in (-0.1, 3.1, float("nan")):
        with pytest.raises(ValueError, match="bridge must be between 0 and 3 h"):
            bridge_gaps(record, hours)
    assert len(bridge_gaps(record, 0)[0].time) == 4
    assert len(bridge_gaps(record, 2)[0].time) == 5
    monkeypatch.setattr(logger_record, "_MOST_ROWS", 2)
    assert len(bridge_gaps(record, 2)[0].time) == 5
    monkeypatch.setattr(logger_record, "_MOST_ROWS", 1)
    with pytest.raises(ValueError, match="one reading in 3600 s would take 2 rows, and at most 1 are added"):
        bridge_gaps(record, 2)


def test_empty_cells_are_bridged_over_the_time_told_and_no_longer():
    record, _ = series(["1", "", "", "4", "", "6"])
    assert bridge_gaps(record, 3)[0].column().tolist() == [1, 2, 3, 4, 5, 6]
    two = bridge_gaps(record, 2)
    assert np.isnan(bridge_gaps(record, 1.9999)[0].column()).sum() == 3  # two hours are longer, by half a second
    assert np.isnan(two[0].column()).tolist() == [False, True, True, False, False, False]
    assert [(f.row, f.kind) for f in two[1]] == [(5, "bridged")]


def test_how_a_file_was_understood():
    raw = "Date;Time;Inside (°F);RH %;wind m/s\n" + "".join(f"15/01/2024;0{h}:30;50,5;60;2\n" for h in range(3))
    _, report = read_logger((raw + "\n\nlost line\n").encode("cp1252"), unreadable="drop")
    assert report.understood == {
        "encoding": "cp1252", "delimiter": "';'", "decimal": "','", "dates": "day first", "inside": "Inside (°F)",
        "humidity": "RH %", "wind": "wind m/s", "usual step": "60 min",
    }  # fmt: skip
    assert report.rows == 4
    assert kinds(report) == [(7, "unreadable")] and "'lost line'" in report.findings[0].text
    first, second = str(report).splitlines()
    assert first.startswith("4 rows; encoding: cp1252; ") and first.endswith("usual step: 60 min")
    assert second.startswith("row 7: 'lost line'")


def test_findings_stand_in_the_order_of_the_rows():
    rows = list(zip(stamps(6), ["1", "", "3", "x", "5", ""]))
    rows[2] = ("noon", 3)
    report = read(rows, unreadable="drop")[1]
    assert [row for row, _ in kinds(report)] == sorted(row for row, _ in kinds(report))
    assert {(3, "empty"), (4, "unreadable"), (5, "unreadable"), (7, "empty"), (3, "gap")} == set(kinds(report))
    with pytest.raises(ValueError, match=r"row 4 .*'noon' is no date and time.*\(1 more like it\)"):
        read(rows)
    with pytest.raises(ValueError) as caught:
        read(rows[:3] + rows[4:])
    assert "more like it" not in str(caught.value)


def test_options_at_the_edge_of_the_allowed():
    rows = list(zip(stamps(2), [1, 2]))
    for options in ({"bridge": 0}, {"bridge": 3}, {"decimal": "."}, {"unit": "C"}, {"delimiter": ","}):
        assert len(read(rows, **options)[0].time) == 2
    for options, said in (
        ({"bridge": -1}, "bridge must be between 0 and 3 h"),
        ({"humidity_unit": "g"}, "humidity_unit 'g' is not known"),
        ({"wind_unit": "ft/s"}, "wind_unit 'ft/s' is not known"),
    ):
        with pytest.raises(ValueError, match=said):
            read(rows, **options)
    with pytest.raises(ValueError, match="delimiter 'x' is not known"):
        read_logger(b"time,temp C", delimiter="x")


@pytest.mark.parametrize(
    "name", ["unit", "unreadable", "repeats", "summer_time", "decimal", "humidity_unit", "wind_unit"]
)
def test_options_are_looked_at_before_the_file(name):
    with pytest.raises(ValueError, match=f"^{name} 'wrong' is not known"):
        read_logger("no such file.csv", **{name: "wrong"})
    with pytest.raises(ValueError, match=f"^{name} 'X' is not known"):
        read_logger("no such file.csv", **{name: "X"})
    with pytest.raises(ValueError, match=r"no such file\.csv.* can't be opened"):
        read_logger("no such file.csv")


# ---- header and lines


def test_a_header_is_found_in_the_first_sixty_lines():
    body = text(zip(stamps(2), [1, 2]))
    assert read_logger(("title\n" * 59 + body).encode())[0].row.tolist() == [61, 62]
    with pytest.raises(ValueError, match="needs a header line"):
        read_logger(("title\n" * 60 + body).encode())


def test_a_thousand_columns_and_names_of_two_hundred_letters_are_read():
    names = ["time", "temp C", *(f"c{i}" for i in range(998))]
    data = "\n".join([",".join(names), *(",".join([s, "5", *["0"] * 998]) for s in stamps(2))])
    assert read_logger(data.encode(), temperature="temp C")[0].column().tolist() == [5, 5]
    with pytest.raises(ValueError, match="1001 columns, and at most 1000 can be read"):
        read_logger((",".join([*names, "one more"]) + "\n").encode())
    long = "temp C " + "x" * 193
    assert read([(s, 5) for s in stamps(2)], header=f"time,{long}", temperature=long, unit="C")[0].column()[0] == 5
    with pytest.raises(ValueError, match="needs a header line"):
        read([(s, 5) for s in stamps(2)], header=f"time,{long}x", temperature=long, unit="C")


def test_the_delimiter_is_what_stands_there_most_unless_told():
    table = read_table(b"time;temp, in the shade C;RH %\n2024-01-15 00:00;5;60\n")
    assert table.delimiter == ";" and table.names == ("time", "temp, in the shade C", "RH %")
    comma = read_table(b"time;x,a,temp C\n2024-01-15 00:00,1,5\n")
    assert comma.delimiter == "," and comma.names == ("time;x", "a", "temp C")
    quoted = read_table(b'"time,a,b";"temp C"\n2024-01-15 00:00;5\n')
    assert quoted.delimiter == ";" and quoted.names == ("time,a,b", "temp C")
    told = read_table(b"time;a;b,temp C\n2024-01-15 00:00,5\n", delimiter=",")
    assert told.names == ("time;a;b", "temp C") and told.columns == (["2024-01-15 00:00"], ["5"])
    with pytest.raises(ValueError, match="needs a header line"):
        read_table(b"time;temp C\n2024-01-15 00:00;5\n", delimiter="|")


def test_delimiters_at_the_end_of_lines():
    data = b"time,temp C,,\n2024-01-15 00:00,5,,\n2024-01-15 01:00,6\n2024-01-15 02:00,7,,x\n"
    table = read_table(data)
    assert table.names == ("time", "temp C") and table.columns[1] == ["5", "6"] and table.rows == [2, 3]
    ((row, line, why),) = table.odd
    assert (row, line) == (4, "2024-01-15 02:00,7,,x")
    assert "4 cells where the header has 2" in why and "decimal comma" in why
    (short,) = read_table(b"time,temp C,x\n2024-01-15 00:00,5\n").odd
    assert "2 cells where the header has 3" in short[2] and "decimal comma" not in short[2]
    (other,) = read_table(b"time;temp C\n2024-01-15 00:00;5;6\n").odd
    assert "decimal comma" not in other[2]


def test_names_that_are_empty_may_repeat_and_quotes_are_taken_off():
    table = read_table(b'time,,,"temp, C"\n"2024-01-15 00:00",1,2," 5 "\n')
    assert table.names == ("time", "", "", "temp, C")
    assert [column[0] for column in table.columns] == ["2024-01-15 00:00", "1", "2", "5"]


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be"])
def test_both_orders_of_utf_16_with_their_mark(encoding):
    mark = {"utf-16-le": b"\xff\xfe", "utf-16-be": b"\xfe\xff"}[encoding]
    table = read_table(mark + "time,temp °C\n1,2\n".encode(encoding))
    assert table.encoding == "utf-16" and table.names == ("time", "temp °C")
    with pytest.raises(ValueError, match="no readable text"):
        read_table(mark + "time,temp °C\n1,2\n".encode(encoding) + b"\xd8")


def test_the_encoding_is_told():
    for raw, encoding in ((b"", "utf-8"), (b"\xef\xbb\xbf", "utf-8-sig")):
        assert read_table(raw + "time,temp °C\n1,2\n".encode()).encoding == encoding
    assert read_table("time,temp °C\n1,2\n".encode("cp1252")).encoding == "cp1252"
    assert read_table(bytearray(b"time,temp C\n1,2\n")).encoding == "utf-8"
    with pytest.raises(ValueError, match="can't be opened: the name is not a valid path"):
        read_table("a\0b.csv")
    with pytest.raises(ValueError, match="it is list"):
        read_table([b"time,temp C"])


@pytest.mark.parametrize(
    "name, unit",
    [
        ("Temp °F", "F"), ("temp (C)", "C"), ("Fahrenheit", "F"), ("temp deg C", "C"), ("℃", "C"), ("temp_f", "F"),
        ("temp [F]", "F"), ("degrees F", "F"), ("tempC", "C"), ("temp °C or °F", None), ("factor", None), ("RH", None),
    ],
)  # fmt: skip
def test_the_unit_a_header_states(name, unit):
    assert unit_in_header(name) == unit


def columns(header, **told):
    return find_columns(read_table(f"{header}\n{','.join('1' * (header.count(',') + 1))}\n".encode()), **told)


@pytest.mark.parametrize(
    "header, found",
    [
        ("time,greenhouse temp C,ambient temp C", {"time": [0], "inside": 1, "outside": 2}),
        ("time,Temp out,Temp in", {"time": [0], "inside": 2, "outside": 1}),
        ("time,indoor", {"time": [0], "inside": 1}),
        ("time,outdoor temp", {"time": [0], "outside": 1}),
        ("time,probe °C", {"time": [0], "temperature": 1}),
        ("time,dew point °C,temp °C", {"time": [0], "temperature": 2}),
        ("time,temp °C,inside humidity,outside wind", {"time": [0], "temperature": 1, "humidity": 2, "wind": 3}),
        ("Time,Date,temp °C", {"time": [1, 0], "temperature": 2}),
        ("timestamp,temp °C,wind direction,wind speed", {"time": [0], "temperature": 1, "wind": 3}),
        ("time,temp °C,RH 1,RH 2", {"time": [0], "temperature": 1}),
        ("MeasureTime,InsideTemp,OutsideTemp", {"time": [0], "inside": 1, "outside": 2}),
    ],
)
def test_which_column_is_what(header, found):
    assert columns(header) == found


def test_every_part_can_be_told():
    header = "when,clock time,a,b,c,d,e"
    told = dict(time="when", inside="a", outside="b", humidity="c", wind="d")
    assert columns(header, **told) == {"time": [0], "inside": 2, "outside": 3, "humidity": 4, "wind": 5}
    assert columns(header, time="when", temperature="e") == {"time": [0], "temperature": 6}
    assert columns("time,temp 1 C,temp 2 C,RH 1,RH 2", temperature="temp 2 C", humidity="RH 2") == {
        "time": [0], "temperature": 2, "humidity": 4,
    }  # fmt: skip
    assert columns("time,temp C,wind 1,wind 2", wind="wind 1") == {"time": [0], "wind": 2, "temperature": 1}
    for part in ("inside", "outside", "temperature"):  # one temperature told: no other is looked for
        assert columns("time,temp 1 C,temp 2 C", **{part: "temp 2 C"}) == {"time": [0], part: 2}
    for part in ("time", "inside", "outside", "temperature", "humidity", "wind"):
        with pytest.raises(ValueError, match=f"{part} column 'zzz' is not known"):
            columns(header, **(told | {part: "zzz"}))


def test_every_column_can_be_told_to_the_reader():
    """Names that say nothing, told one by one; a name with a slip in it gets the nearest."""
    rows = [(s, 50, 23, 60, 9) for s in stamps(2)]
    told = dict(time="time of day", inside="a", outside="b", humidity="c", wind="d")
    units = dict(unit="F", humidity_unit="%", wind_unit="m/s")
    record, _ = read(rows, header="time of day,a,b,c,d", **told, **units)
    assert [record.temperatures[part][0] for part in ("inside", "outside")] == pytest.approx([10, -5])
    assert (record.humidity[0], record.wind_speed[0]) == (0.6, 9)
    alone, _ = read(rows, header="time of day,a,b,c,d", time="time of day", temperature="b", unit="F")
    assert alone.column("temperature") == pytest.approx([-5, -5])
    for slip, nearest in (("tim", "time"), ("humidty", "humidity"), ("winds", "wind"), ("insyde", "inside")):
        with pytest.raises(ValueError, match=rf"^argument '{slip}' is not known \(nearest: .*{nearest}"):
            read(rows, header="time of day,a,b,c,d", **{slip: "a"})


def test_a_column_for_two_purposes_is_refused():
    for told in ({"humidity": "temp C", "temperature": "temp C"}, {"wind": "time"}, {"inside": "time"}):
        with pytest.raises(ValueError, match="two purposes"):
            columns("time,temp C,x", **told)


def test_what_leaves_the_columns_open():
    with pytest.raises(ValueError, match=r"time='…' \(candidates: 'Date', 'Date and time'\)"):
        columns("Date,Date and time,temp C")
    with pytest.raises(ValueError, match="candidates: 'Date', 'Time', 'Timestamp'"):
        columns("Date,Time,Timestamp,temp C")
    with pytest.raises(ValueError, match=r"candidates: 'time', 'x', 'y'\)"):
        columns("time,x,y")
    with pytest.raises(ValueError, match=r"candidates: 'inside 1 C', 'inside 2 C'\)"):
        columns("time,inside 1 C,inside 2 C,x")
    with pytest.raises(ValueError, match=r"time='…' \(candidates: none\)"):
        find_columns(Table(("when", "temp C"), ([], []), [], [], "utf-8", ","))
    eight = ",".join(f"inside {i} C" for i in range(8))
    with pytest.raises(ValueError, match=r"'inside 7 C'\)"):
        columns(f"time,{eight}")
    with pytest.raises(ValueError, match=r"'inside 7 C' …\)"):
        columns(f"time,{eight},inside 8 C")


def test_two_gaps_are_bridged_each_in_its_place():
    record, _ = full(range(1, 10), missing=(2, 5, 6))
    filled, _ = bridge_gaps(record, 3)
    assert filled.column().tolist() == list(range(1, 10))
    assert filled.row.tolist() == [2, 3, 0, 4, 5, 0, 0, 6, 7]


def test_small_things_in_a_file():
    """A delimiter at the end of the header; a told wind; nothing but lost lines; a cell after an unread one."""
    assert read_table(b"time,temp C,\n2024-01-15 00:00,5,\n").names == ("time", "temp C")
    rows = [(s, 1, 4) for s in stamps(2)]
    assert read(rows, header="time,temp C,blow", wind="blow", wind_unit="m/s")[0].wind_speed.tolist() == [4, 4]
    with pytest.raises(ValueError, match="row 2 of the logger's file can't be read: 'lost'"):
        read_logger(b"time,temp C\nlost\n", unreadable="drop")
    record, _ = read(zip(stamps(3), ["20 °C", "x", "21 °C"]), header="time,temp", unreadable="drop")
    np.testing.assert_array_equal(record.column(), [20, np.nan, 21])
    assert series(["20℃", "21"])[0].column().tolist() == [20, 21]
