"""Shared fixtures: ``outside`` holds a value against something published and keeps a record of how near it came."""

import json
import re

import numpy as np
import pytest
from hypothesis import HealthCheck, settings

# A slow or busy machine is no error: without this a law fails where one of its cases takes a fifth of a second.
settings.register_profile("patient", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("patient")


def pytest_addoption(parser):
    parser.addoption("--outside-report", metavar="FILE", help="write the record of all outside checks as Markdown")


@pytest.fixture
def outside(record_property):
    """Compare a result with a value from outside the project, and record function, source and deviation."""

    def check(function, got, expected, *, source, rel=0.0, abs=0.0, why):
        """Fail unless ``got`` is within ``rel``·|expected| + ``abs`` of ``expected``; ``why`` explains both."""
        assert rel > 0 or abs > 0, "an outside check states its tolerance"
        got, expected = np.asarray(got, dtype=float), np.asarray(expected, dtype=float)
        assert got.shape == expected.shape, f"{function}: shapes {got.shape} and {expected.shape}"
        deviation = np.abs(got - expected)
        allowed = rel * np.abs(expected) + abs
        scale = np.maximum(np.abs(expected), 1e-300)
        record = {
            "function": function,
            "source": source,
            "count": int(got.size),
            "relative": float(np.max(deviation / scale)),
            "used": float(np.max(deviation / allowed)),
            "why": why,
        }
        record_property("outside", json.dumps(record))
        assert np.all(deviation <= allowed), f"{function}: {got} against {expected} ({source}); allowed {allowed}"

    return check


_records = []
_BY_HAND = re.compile("by hand|same equation|same arithmetic")


def pytest_runtest_logreport(report):
    if report.when == "call":
        _records.extend(json.loads(value) for name, value in report.user_properties if name == "outside")


def pytest_terminal_summary(terminalreporter, config):
    if not _records:
        return
    functions = {record["function"] for record in _records}
    values = sum(record["count"] for record in _records)
    terminalreporter.write_line(
        f"{len(_records)} checks against outside sources ({values} values, {len(functions)} functions)"
    )
    again = sum(bool(_BY_HAND.search(record["source"] + record["why"])) for record in _records)
    terminalreporter.write_line(f"{again} of them work an equation by hand: these find slips, not a wrong equation")
    if config.getoption("--outside-report"):
        with open(config.getoption("--outside-report"), "w", encoding="utf-8") as page:
            page.write(_markdown(_records))


def _markdown(records):
    lines = [
        "| function | source | values | largest deviation | of what is allowed | why this tolerance |",
        "|---|---|---|---|---|---|",
    ]
    for record in sorted(records, key=lambda r: (r["function"], r["source"])):
        cells = [f"`{record['function']}`", record["source"], record["count"], f"{record['relative']:.2g}"]
        cells += [f"{record['used']:.0%}", record["why"]]
        lines.append("| " + " | ".join(str(cell).replace("|", "\\|") for cell in cells) + " |")
    return "\n".join(lines) + "\n"
