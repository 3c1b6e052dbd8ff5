"""Charts that answer one question each, as plain functions from numbers to SVG: all of them under one name."""

from heatlib.classroom.axes import Axis, Line, tick_words
from heatlib.classroom.bar_charts import bars, comparison, grouped_bars
from heatlib.classroom.line_charts import course, lines, shortfall_words
from heatlib.classroom.map_chart import heat_map

__all__ = [
    "Axis",
    "Line",
    "bars",
    "comparison",
    "course",
    "grouped_bars",
    "heat_map",
    "lines",
    "shortfall_words",
    "tick_words",
]
