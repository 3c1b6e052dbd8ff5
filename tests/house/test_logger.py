"""A logger's CSV: every form read right, everything doubtful reported by row, nothing guessed, nothing altered.

Expected values are what was written into each file;
°F to °C by the definition of the two scales (32 °F = 0 °C, 212 °F = 100 °C).
"""

from datetime import datetime, timedelta

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from heatlib.house.logger import bridge_gaps, read_logger

START = datetime(2024, 1, 15, 0, 0)


def stamps(n, minutes=60, start=START, form="%Y-%m-%d %H:%M"):
    return [(start + timedelta(minutes=minutes * i)).strftime(form) for i in range(n)]


def text(rows, header="time,temp (°C)", delimiter=","):
    return "\n".join([header, *(delimiter.join(str(c) for c in row) for row in rows)]) + "\n"


def read(rows, header="time,temp (°C)", delimiter=",", encoding="utf-8", **options):
    return read_logger(text(rows, header, delimiter).encode(encoding), **options)


def series(values, **options):
    return read(list(zip(stamps(len(values)), values)), **options)


# ---- how a file is understood


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_delimiters_encodings_and_line_ends(delimiter, encoding, end):
    raw = text(zip(stamps(3), [1.5, -2.25, 0]), delimiter=delimiter, header=f"time{delimiter}temp (°C)").replace(
        "\n", end
    )
    record, report = read_logger(raw.encode(encoding))
    assert record.column().tolist() == [1.5, -2.25, 0]
    assert record.row.tolist() == [2, 3, 4]
    assert not report.findings


def test_decimal_comma():
    record, report = read(zip(stamps(3), ["1,5", "-2,25", "0"]), header="time;temp (°C)", delimiter=";")
    assert record.column().tolist() == [1.5, -2.25, 0]
    assert report.understood["decimal"] == "','"


def test_decimal_comma_in_quotes_between_commas():
    record, _ = read_logger('time,temp (°C)\n2024-01-01 00:00,"1,5"\n2024-01-01 01:00,"-2,5"\n'.encode())
    assert record.column().tolist() == [1.5, -2.5]


def test_points_and_commas_mixed_are_refused_unless_told():
    rows = list(zip(stamps(3), ["1,5", "2.5", "3,5"]))
    with pytest.raises(ValueError, match="comma and some with a point"):
        read(rows, header="time;temp (°C)", delimiter=";")
    with pytest.raises(ValueError, match=r"row 3 .*'2.5'"):
        read(rows, header="time;temp (°C)", delimiter=";", decimal=",")


def test_bare_decimal_comma_between_commas_is_refused_with_a_hint():
    with pytest.raises(ValueError, match=r"row 2 .*decimal comma"):
        read(zip(stamps(3), ["1,5", "2,5", "3,5"]))


def test_fahrenheit_from_header_and_told():
    for header, options in (("time,temp (°F)", {}), ("time,temp", {"unit": "F"}), ("time,Temp_F", {})):
        record, _ = read(zip(stamps(3), [32, 212 - 90, -40]), header=header, **options)
        assert record.column() == pytest.approx([0, 50, -40], abs=1e-12)


def test_unit_neither_stated_nor_told_is_refused():
    with pytest.raises(ValueError, match="unit='F' or unit='C'"):
        read(zip(stamps(2), [1, 2]), header="time,temp")


def test_told_unit_against_the_header_is_refused():
    with pytest.raises(ValueError, match="which is right"):
        read(zip(stamps(2), [1, 2]), unit="F")


def test_mixed_units_by_column_are_read_each_as_it_says_and_reported():
    rows = [(stamp, 50, 10) for stamp in stamps(2)]
    record, report = read(rows, header="time,inside (°F),outside (°C)")
    assert record.temperatures["inside"] == pytest.approx([10, 10])
    assert record.temperatures["outside"] == pytest.approx([10, 10])
    assert [f.kind for f in report.findings] == ["unit"]


def test_mixed_units_in_the_cells_are_reported_where_they_change():
    record, report = series(["20 °C", "21 °C", "68 °F", "66.2F"], header="time,temp")
    assert record.column() == pytest.approx([20, 21, 20, 19])
    assert [(f.row, f.kind) for f in report.findings] == [(4, "unit")]


def test_a_cell_against_its_column_is_unreadable():
    with pytest.raises(ValueError, match=r"row 3 .*'68 °F'"):
        series(["20", "68 °F", "20"])


def test_a_switch_of_unit_within_a_column_is_reported_not_mended():
    values = [20.0, 19.5, 19.2, 66.0, 65.5, 65.0]
    record, report = series(values)
    assert record.column().tolist() == values
    assert [(f.row, f.kind) for f in report.findings] == [(5, "unit")]


def test_two_temperatures_and_humidity():
    rows = [(stamp, 50, -5, 12) for stamp in stamps(2)]
    record, report = read(rows, header="Date/Time,RH (%),Outdoor Temp (°C),Indoor Temp (°C)")
    assert record.temperatures["outside"].tolist() == [-5, -5]
    assert record.temperatures["inside"].tolist() == [12, 12]
    assert record.humidity.tolist() == [0.5, 0.5]
    assert report.understood["inside"] == "Indoor Temp (°C)"


def test_humidity_that_may_be_per_cent_or_share_is_refused_unless_told():
    rows = [(stamp, 10, 0.6) for stamp in stamps(2)]
    with pytest.raises(ValueError, match="per cent or a share"):
        read(rows, header="time,temp C,humidity")
    assert read(rows, header="time,temp C,humidity", humidity_unit="share")[0].humidity.tolist() == [0.6, 0.6]
    assert read(rows, header="time,temp C,humidity", humidity_unit="%")[0].humidity == pytest.approx([0.006, 0.006])


def test_impossible_humidity_is_missing_and_reported():
    record, report = read([(s, 10, h) for s, h in zip(stamps(3), [90, 104, 80])], header="time,temp C,RH %")
    assert np.isnan(record.humidity).tolist() == [False, True, False]
    assert record.column().tolist() == [10, 10, 10]
    assert [(f.row, f.kind) for f in report.findings] == [(3, "humidity")]


@pytest.mark.parametrize(("unit", "one"), [("mph", 0.44704), ("km/h", 1 / 3.6), ("m/s", 1), ("knots", 0.514444)])
def test_wind(unit, one):
    record, _ = read([(s, 10, 8) for s in stamps(2)], header=f"time,temp C,wind speed ({unit})")
    assert record.wind_speed == pytest.approx([8 * one] * 2, rel=1e-5)


def test_wind_without_unit_is_refused_and_a_gale_of_a_thousand_stops():
    with pytest.raises(ValueError, match="wind_unit"):
        read([(s, 10, 8) for s in stamps(2)], header="time,temp C,wind")
    with pytest.raises(ValueError, match=r"row 2 .*1048 mph"):
        read([(s, 10, w) for s, w in zip(stamps(2), [1048, 8])], header="time,temp C,wind mph")


def test_header_below_a_title():
    raw = "Plot Title: bench\nserial;12345\n\n" + text(zip(stamps(2), [1, 2]))
    record, _ = read_logger(raw.encode())
    assert record.row.tolist() == [5, 6]


def test_ambiguous_columns_are_refused_and_can_be_told():
    rows = [(s, 1, 2, 3) for s in stamps(2)]
    header = "time,temp 1 C,temp 2 C,temp 3 C"
    with pytest.raises(ValueError, match=r"inside='…' .*temp 1 C"):
        read(rows, header=header)
    record, _ = read(rows, header=header, inside="temp 3 C", outside="temp 1 C")
    assert {k: v[0] for k, v in record.temperatures.items()} == {"inside": 3, "outside": 1}
    with pytest.raises(ValueError, match="nearest: temp 3 C"):
        read(rows, header=header, inside="temp 3")
    with pytest.raises(ValueError, match="two purposes"):
        read(rows, header=header, inside="temp 1 C", outside="temp 1 C")
    with pytest.raises(ValueError, match="named 'temp C'"):
        read([(s, 1, 2) for s in stamps(2)], header="time,temp C,temp C")


# ---- dates and clock


@pytest.mark.parametrize(
    "form",
    [
        "%Y-%m-%d %H:%M",
        "%Y-%m-%dT%H:%M:%S",
        "%Y/%m/%d %H:%M",
        "%Y-%m-%d %H:%M:%S.%f",
        "%d.%m.%Y %H:%M",
        "%m/%d/%Y %I:%M %p",
        "%m/%d/%Y %I:%M:%S%p",
        "%d-%b-%Y %H:%M",
        "%b %d %Y %H:%M",
        "%d/%m/%Y %H:%M:%S",
    ],
)
def test_forms_of_date_and_clock(form):
    n = 48
    record, _ = read(zip(stamps(n, form=form), range(n)))
    expected = np.datetime64("2024-01-15T00:00:00") + np.arange(n) * np.timedelta64(3600, "s")
    assert (record.time == expected).all()
    assert record.column().tolist() == list(range(n))


def test_noon_and_midnight_of_the_twelve_hour_clock():
    record, _ = read([("1/15/2024 12:00 AM", 1), ("1/15/2024 12:00 PM", 2)])
    assert record.time.astype(str).tolist() == ["2024-01-15T00:00:00", "2024-01-15T12:00:00"]
    dotted, _ = read([("1/15/2024 6:00 a.m.", 1), ("1/15/2024 6:00 p.m.", 2)])
    assert dotted.time.astype(str).tolist() == ["2024-01-15T06:00:00", "2024-01-15T18:00:00"]


def test_date_and_clock_in_two_columns():
    record, _ = read([("2024-01-15", "06:00", 1), ("2024-01-15", "07:00", 2)], header="Date,Time,Temp C")
    assert record.time.astype(str).tolist() == ["2024-01-15T06:00:00", "2024-01-15T07:00:00"]


def test_day_or_month_first_is_refused_unless_told():
    rows = [(f"0{d}/02/2024 0{h}:00", 5) for d in (3, 4) for h in range(3)]
    with pytest.raises(ValueError, match="day first or month first"):
        read(rows)
    assert str(read(rows, date_order="day first")[0].time[0]) == "2024-02-03T00:00:00"
    assert str(read(rows, date_order="month first")[0].time[0]) == "2024-03-02T00:00:00"
    with pytest.raises(ValueError, match="date order"):
        read(rows, date_order="backwards")
    with pytest.raises(ValueError, match="can't be read year first"):
        read(rows, date_order="year first")


def test_one_damaged_date_does_not_decide_the_order():
    """Month-first log of 1–12 March with one cell spoilt to month 13: by that cell alone it would be day first."""
    cells = stamps(12 * 24, start=datetime(2024, 3, 1), form="%m/%d/%Y %H:%M")
    cells[100] = "13" + cells[100][2:]
    with pytest.raises(ValueError, match="day first or month first"):
        read([(c, 5 + i / 100) for i, c in enumerate(cells)])
    record, report = read([(c, 5 + i / 100) for i, c in enumerate(cells)], date_order="month first", unreadable="drop")
    assert len(record.time) == 287
    assert [f.row for f in report.findings if f.kind == "unreadable"] == [102]


def test_offset_from_utc_gives_standard_time():
    rows = [("2024-11-03T00:30:00-04:00", 1), ("2024-11-03T01:30:00-04:00", 2), ("2024-11-03T01:30:00-05:00", 3)]
    record, _ = read(rows)
    assert record.utc_offset == -5
    assert record.time.astype(str).tolist() == ["2024-11-02T23:30:00", "2024-11-03T00:30:00", "2024-11-03T01:30:00"]
    zulu, _ = read([("2024-11-03T00:30:00Z", 1), ("2024-11-03T01:30:00Z", 2)])
    assert zulu.utc_offset == 0


def clock_with_summer_time(start, hours, forward=None, back=None, minutes=60):
    """Hourly stamps of a clock that is put forward and back at the given standard times."""
    result = []
    for i in range(hours * 60 // minutes):
        t = start + timedelta(minutes=minutes * i)
        summer = (forward is not None and t >= forward) and (back is None or t < back)
        summer = summer or (forward is None and back is not None and t < back)
        result.append((t + timedelta(hours=summer)).strftime("%Y-%m-%d %H:%M"))
    return result


@pytest.mark.parametrize("minutes", [5, 15, 60])
def test_summer_time_ends(minutes):
    """First Sunday of November 2024 in the US: 2 o'clock summer time becomes 1 o'clock."""
    start = datetime(2024, 11, 2, 12)
    cells = clock_with_summer_time(start, 24, back=datetime(2024, 11, 3, 1), minutes=minutes)
    rows = [(c, i / 10) for i, c in enumerate(cells)]
    with pytest.raises(ValueError, match=r"put back .*summer_time='remove'"):
        read(rows)
    record, report = read(rows, summer_time="remove")
    expected = np.datetime64(start) + np.arange(len(rows)) * np.timedelta64(minutes, "m")
    assert (record.time == expected).all()
    assert record.column() == pytest.approx(np.arange(len(rows)) / 10)
    assert report.count("summer time") == 1
    assert report.count("gap") == report.count("repeat") == report.count("order") == 0


def test_summer_time_begins():
    """Second Sunday of March 2024 in the US: 2 o'clock becomes 3 o'clock summer time."""
    start = datetime(2024, 3, 9, 12)
    cells = clock_with_summer_time(start, 24, forward=datetime(2024, 3, 10, 2))
    rows = [(c, i / 10) for i, c in enumerate(cells)]
    record, report = read(rows)
    assert report.count("summer time") == report.count("gap") == 1
    record, report = read(rows, summer_time="remove")
    assert (np.diff(record.time) == np.timedelta64(1, "h")).all()
    assert report.count("gap") == 0
    record, report = read(rows, summer_time="keep")
    assert report.count("gap") == 1
    assert report.count("summer time") == 0


def test_a_whole_year_with_both_changes():
    start = datetime(2024, 1, 1)
    cells = clock_with_summer_time(start, 366 * 24, datetime(2024, 3, 10, 2), datetime(2024, 11, 3, 1))
    record, report = read([(c, i % 50 / 5) for i, c in enumerate(cells)], summer_time="remove")
    assert (np.diff(record.time) == np.timedelta64(1, "h")).all()
    assert report.count("summer time") == 2


def test_the_same_hour_missing_on_a_weekday_is_a_gap_only():
    rows = [(s, i) for i, s in enumerate(stamps(12, start=datetime(2024, 3, 12))) if i != 3]
    report = read(rows)[1]
    assert [(f.row, f.kind) for f in report.findings] == [(4, "gap")]


# ---- doubtful rows


def test_unreadable_rows_stop_and_are_named():
    with pytest.raises(ValueError, match=r"row 4 .*'ERR'.*1 more.*unreadable='drop'"):
        series(["1", "2", "ERR", "3", "oops"])
    record, report = series(["1", "2", "ERR", "3", "oops"], unreadable="drop")
    assert np.isnan(record.column()).tolist() == [False, False, True, False, True]
    assert [f.row for f in report.findings if f.kind == "unreadable"] == [4, 6]


@pytest.mark.parametrize("value", ["-999", "-127", "inf", "1e9", "0x10", "1_0", "--5", "90.1", "-60.1"])
def test_impossible_readings_stop(value):
    with pytest.raises(ValueError, match=r"row 3 "):
        series(["1", value, "2"])


@pytest.mark.parametrize("value", ["90", "-60", "−5", "+3", ".5", "1e1"])
def test_odd_but_possible_readings_pass(value):
    record, _ = series(["1", value, "2"])
    assert record.column()[1] == float(value.replace("−", "-"))


@pytest.mark.parametrize(
    "line", ["2024-01-15 02:30", "a,b,c", '2024-01-15 02:30,"5', "not a date,5", "2024-13-45 00:00,3"]
)
def test_a_broken_line_is_named(line):
    raw = text(zip(stamps(3), [1, 2, 3])) + line + "\n"
    with pytest.raises(ValueError, match="row 5 "):
        read_logger(raw.encode())
    record, report = read_logger(raw.encode(), unreadable="drop")
    assert record.column().tolist() == [1, 2, 3]
    assert [(f.row, f.kind) for f in report.findings] == [(5, "unreadable")]


@pytest.mark.parametrize("cell", ["", "--", "NaN", "n/a", "NULL"])
def test_an_empty_cell_is_missing_and_reported(cell):
    record, report = series(["1", cell, "2"])
    assert np.isnan(record.column()).tolist() == [False, True, False]
    assert [(f.row, f.kind) for f in report.findings] == [(3, "empty")]


@pytest.mark.parametrize("raw", [b"", b"\n\n", b"\xef\xbb\xbf", b"time,temp C\n", b"time,temp C\r\n\r\n"])
def test_empty_or_header_only_is_refused(raw):
    with pytest.raises(ValueError, match=r"empty|no readings"):
        read_logger(raw)


def test_no_header_no_text_no_file(tmp_path):
    with pytest.raises(ValueError, match="header line"):
        read_logger(b"2024-01-01 00:00,3\n2024-01-01 01:00,4\n")
    with pytest.raises(ValueError, match="no readable text"):
        read_logger(b"\x00\x01\x02\x03")
    with pytest.raises(ValueError, match="can't be opened"):
        read_logger(tmp_path / "missing.csv")
    with pytest.raises(ValueError, match="must be a path or bytes"):
        read_logger(17)


def test_the_file_is_not_touched(tmp_path):
    path = tmp_path / "log.csv"
    path.write_bytes(text(zip(stamps(3), ["1", "ERR", "3"])).encode())
    before = (path.read_bytes(), path.stat().st_mtime_ns)
    read_logger(path, unreadable="drop", bridge=3)
    read_logger(str(path), unreadable="drop")
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before
    assert [p.name for p in tmp_path.iterdir()] == ["log.csv"]


def test_equal_repeats_count_once():
    s = stamps(3)
    record, report = read([(s[0], 1), (s[1], 2), (s[1], 2), (s[2], 3)])
    assert record.column().tolist() == [1, 2, 3]
    assert [(f.row, f.kind) for f in report.findings] == [(4, "repeat")]


@pytest.mark.parametrize(("told", "kept"), [("first", 2), ("last", 6), ("mean", 4)])
def test_contradicting_repeats(told, kept):
    s = stamps(3)
    rows = [(s[0], 1), (s[1], 2), (s[1], 6), (s[2], 3)]
    with pytest.raises(ValueError, match=r"row 4 .*than row 3.*repeats="):
        read(rows)
    record, report = read(rows, repeats=told)
    assert record.column().tolist() == [1, kept, 3]
    assert [(f.row, f.kind) for f in report.findings] == [(4, "repeat")]


def test_out_of_order_and_newest_first():
    s = stamps(6)
    order = [0, 1, 4, 2, 3, 5]
    record, report = read([(s[i], i) for i in order])
    assert record.column().tolist() == list(range(6))
    assert [(f.row, f.kind) for f in report.findings] == [(5, "order")]
    record, report = read([(s[i], i) for i in reversed(range(6))])
    assert record.column().tolist() == list(range(6))
    assert [(f.row, f.text) for f in report.findings] == [(7, "the file is newest first; read from its end")]
    assert record.row.tolist() == [7, 6, 5, 4, 3, 2]


def test_spike_and_stuck_sensor():
    values = [5 + 0.1 * i for i in range(40)]
    values[10] = 40
    values[20:33] = [7.0] * 13
    record, report = series(values)
    assert record.column().tolist() == values
    assert [(f.row, f.kind) for f in report.findings] == [(12, "spike"), (22, "stuck")]
    values[32] = 7.5
    values[31] = 7.4
    assert series(values)[1].count("stuck") == 0


def test_a_cold_snap_is_no_spike():
    assert not series([5, 5, -6, -6, -6, 4, 4])[1].findings


def test_gaps_are_reported_and_bridged_only_when_told():
    rows = [(s, i) for i, s in enumerate(stamps(12)) if i not in (3, 4, 8, 9, 10)]
    record, report = read(rows)
    assert len(record.time) == 7
    assert [(f.row, f.kind) for f in report.findings] == [(4, "gap"), (7, "gap")]
    record, report = read(rows, bridge=3)
    assert record.column().tolist() == [0, 1, 2, 3, 4, 5, 6, 7, 11]
    assert record.row.tolist() == [2, 3, 4, 0, 0, 5, 6, 7, 8]
    assert report.count("bridged") == 1
    with pytest.raises(ValueError, match="bridge must be between 0 and 3 h"):
        read(rows, bridge=4)


def test_empty_cells_are_bridged_too_but_no_end_is_made_up():
    record, report = series(["", "1", "", "3", ""], bridge=2)
    assert record.column()[1:4].tolist() == [1, 2, 3]
    assert np.isnan(record.column()[[0, 4]]).all()
    assert report.count("bridged") == 1
    assert np.isnan(bridge_gaps(series(["1", "", "3"])[0], 1.9)[0].column()[1])


def test_options_are_checked():
    for options in (
        {"unreadable": "skip"},
        {"repeats": "all"},
        {"summer_time": "yes"},
        {"unit": "K"},
        {"decimal": ";"},
    ):
        with pytest.raises(ValueError, match="is not known"):
            series([1, 2], **options)
    with pytest.raises(ValueError, match=r"argument .tempreature. is not known .*temperature"):
        series([1, 2], tempreature="temp (°C)")


def test_the_report_reads_as_text():
    report = series(["1", "", "2"])[1]
    assert "row 3: no reading" in str(report)
    assert str(series([1, 2])[1]).splitlines()[1:] == ["nothing doubtful found"]


def test_part_of_a_record():
    record, _ = series(range(10))
    part = record.between("2024-01-15T02:00", "2024-01-15T04:00")
    assert part.column("temperature").tolist() == [2, 3, 4]
    with pytest.raises(ValueError, match="no reading between"):
        record.between("2025-01-15T02:00", "2025-01-15T04:00")
    with pytest.raises(ValueError, match="temperature column"):
        record.column("inside")


# ---- anything at all

GOOD = text([(s, f"{i / 7:.2f}", 50) for i, s in enumerate(stamps(30))], header="time,temp (°C),RH %").encode()


def survives(raw):
    try:
        record, report = read_logger(raw, unreadable="drop", repeats="mean", summer_time="keep", bridge=3)
    except ValueError as error:
        assert str(error)
        assert "\n" not in str(error)
        return
    assert len(record.time) >= 2
    assert (np.diff(record.time) > np.timedelta64(0, "s")).all()
    for values in record.temperatures.values():
        good = values[np.isfinite(values)]
        assert ((good >= -60) & (good <= 90)).all()
    assert str(report)


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=400))
@example(b"time,temp C\n\x00")
@example(b"\xff\xfetime")
@example(b"time,temp C\n9999-99-99 99:99,1\n")
def test_any_bytes_give_a_record_or_one_sentence(raw):
    survives(raw)


@settings(max_examples=300, deadline=None)
@given(st.data())
def test_any_damage_to_a_good_file(data):
    raw = bytearray(GOOD)
    for _ in range(data.draw(st.integers(1, 8))):
        at = data.draw(st.integers(0, len(raw) - 1))
        raw[at : at + data.draw(st.integers(0, 3))] = data.draw(st.binary(max_size=4))
    survives(bytes(raw))


@settings(max_examples=300, deadline=None)
@given(st.lists(st.tuples(st.text(max_size=25), st.text(max_size=12)), min_size=1, max_size=8))
@example([("0001-01-01 00:00", "1"), ("9999-12-31 23:59", "2")])
def test_any_text_below_a_header(rows):
    survives(text(rows).encode("utf-8", "surrogatepass"))


@settings(max_examples=200, deadline=None)
@given(
    st.lists(
        st.datetimes(datetime(1970, 1, 2), datetime(2100, 1, 1)).map(lambda t: t.strftime("%Y-%m-%dT%H:%M:%S+00:00")),
        min_size=1,
        max_size=9,
    )
)
def test_any_order_of_times(cells):
    survives(text([(c, i) for i, c in enumerate(cells)]).encode())


def test_the_limits_of_doubt_are_those_stated():
    """A spike is 8 K off both neighbours; a stuck sensor says the same 12 times in 6 h or more."""
    assert series([5, 5, 13.0, 5, 5])[1].count("spike") == 1
    assert series([5, 5, 12.9, 5, 5])[1].count("spike") == 0
    assert series([5, 5, 13.0, 8.1, 8.1])[1].count("spike") == 0
    ramp = [1.0, 2.0, 3.0]
    assert series([*ramp, *[7.0] * 12, *ramp])[1].count("stuck") == 1
    assert series([*ramp, *[7.0] * 11, *ramp])[1].count("stuck") == 0
    quick = list(zip(stamps(30, minutes=15), [*ramp, *[7.0] * 24, *ramp]))
    assert read(quick)[1].count("stuck") == 0
    slower = list(zip(stamps(31, minutes=15), [*ramp, *[7.0] * 25, *ramp]))
    assert read(slower)[1].count("stuck") == 1


def log_of(cell, header="time,temp C", rows=3):
    return "\n".join([header, *(f"2024-01-01 0{i}:00,{cell if i == 1 else i}" for i in range(rows))]).encode()


@pytest.mark.parametrize("cell", ["1" * 400, "1" * 50_000 + "x", "9" * 50_000, "inf", "1e99", "²", "1" * 50_000 + " °"])
def test_a_cell_that_is_no_reading_is_told_and_nothing_hangs(cell):
    """Patterns that try each of n digits from each of n places would need hours for 50,000 of them."""
    with pytest.raises(ValueError, match="row 3 of the logger's file can't be read") as caught:
        read_logger(log_of(cell))
    assert len(str(caught.value)) < 250
    record, report = read_logger(log_of(cell), unreadable="drop")
    assert np.isnan(record.column()[1]) and report.count("unreadable") == 1


def test_a_file_of_very_many_columns_is_refused_at_once():
    for header in ("time," + "," * 1_000_000, ",".join(["time", *map(str, range(1_000_000))])):
        with pytest.raises(ValueError, match=r"line 1 .* 100000\d columns, and at most 1000 can be read"):
            read_logger(header.encode() + b"\n1,2\n")
    names = ",".join(["time", *(f"temp {i} C" for i in range(900))])
    with pytest.raises(ValueError, match=r"candidates: 'temp 0 C'.* …\)") as caught:
        read_logger(f"{names}\n".encode() + b"1\n" * 3)
    assert len(str(caught.value)) < 300
    with pytest.raises(ValueError, match="needs a header line"):
        read_logger(b"time," + b"wind " * 100_000 + b"\n2024-01-01 00:00,1\n")


def test_bridging_never_fills_the_memory(monkeypatch):
    rows = [f"2024-01-01 {i // 3600:02d}:{i // 60 % 60:02d}:{i % 60:02d},1" for i in (0, 1, 2, 3, 7200, 14400)]
    data = ("time,temp C\n" + "\n".join(rows)).encode()
    record, _ = read_logger(data, bridge=3)
    assert len(record.time) == 14401
    monkeypatch.setattr("heatlib.house.logger_record._MOST_ROWS", 10_000)
    with pytest.raises(ValueError, match=r"one reading in 1 s would take 1439\d rows, and at most 10000 are added"):
        read_logger(data, bridge=3)
