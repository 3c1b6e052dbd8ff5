"""The house so far: the demo house's loss bill after a lesson's measure, beside the one before it; always computed."""

from functools import lru_cache

from heatlib.classroom import charts, course
from heatlib.classroom.picture import Picture
from heatlib.house.bill import loss_bill
from heatlib.house.demo import DESIGN_NIGHT, demo_house
from heatlib.storage import heat_content
from heatlib.units import format_quantity, from_display, to_display, unit_of

__all__ = ["WARM", "bill_after", "bill_picture", "stored_heat"]

WARM = 15.0
"""Temperature of the stores in the evening for the comparison of what they hold (a stated case, no forecast) [°C]."""


@lru_cache
def bill_after(number):
    """Return the loss bill on the design night after the measures of lessons 1 to ``number``."""
    house = demo_house(after_lesson=number)
    return loss_bill(house, house.limits.minimum, DESIGN_NIGHT["coldest"])


@lru_cache
def stored_heat(number):
    """Return what the stores give between :data:`WARM` and the crop's limit after a lesson's measure [J]."""
    house = demo_house(after_lesson=number)
    stores = [store for store in house.stores if store.count]
    return sum(heat_content(s.material, s.count * s.volume, house.limits.minimum, WARM) for s in stores)


def bill_picture(number, units):
    """Draw the loss bill after a lesson with the change since the lesson before.

    Parameters
    ----------
    number : int
        Number of the lesson [–].
    units : str
        ``"metric"`` or ``"US"`` [text].

    Returns
    -------
    Picture
        Sorted bars, the sentence, and the totals [–].
    """
    row = course.lesson(number)
    now, before, bare = bill_after(number), bill_after(number - 1), bill_after(0)
    label = unit_of("heat_flow", units).label
    svg = charts.bars(
        _amounts(now, units),
        label,
        to_display(max(line.watts for line in bare.rows), "heat_flow", units),
        before=dict(_amounts(before, units)),
        title=f"Heat lost on the design night after lesson {number}",
    )
    numbers = _numbers(number, now, before, bare, units)
    paths = ", ".join(f"{line.label} {_flow(line.watts, units)}" for line in now.rows)
    description = f"Bars of the heat lost by each path after lesson {number}, in {label}: {paths}."
    return Picture(svg, _sentence(row, now, before, bare, units), description, numbers)


def _amounts(bill, units):
    return [(line.label, to_display(line.watts, "heat_flow", units)) for line in bill.rows]


def _flow(watts, units):
    return format_quantity(watts, "heat_flow", units)


def _as_shown(watts, units):
    """Round as the page does, so that a reader who subtracts two shown numbers gets the third [W]."""
    shown = to_display(watts, "heat_flow", units)
    return from_display(float(f"{shown:.3g}"), "heat_flow", units)


def _sentence(row, now, before, bare, units):
    night = format_quantity(DESIGN_NIGHT["coldest"], "temperature", units, digits=2)
    done = f"{row.measure[0].upper()}{row.measure[1:]}"
    loss = f"at {night} the house loses {_flow(now.total, units)}"
    saved, share = _as_shown(before.total, units) - _as_shown(now.total, units), now.total / bare.total
    if abs(before.total - now.total) < 0.5:
        return f"{done}: {loss}, as before. This measure changes what comes back at night, not what is lost."
    return f"{done}: {loss}, {_flow(saved, units)} less than before and {share:.0%} of what the bare house lost."


def _numbers(number, now, before, bare, units):
    heat = stored_heat(number)
    numbers = {
        "lost now": _flow(now.total, units),
        "lost before this lesson": _flow(before.total, units),
        "lost by the bare house": _flow(bare.total, units),
    }
    if heat:
        span = f"{format_quantity(WARM, 'temperature', units, digits=2)} down to the crop's limit"
        numbers[f"held by the stores, from {span}"] = format_quantity(heat, "heat_in_store", units)
        numbers["hours of loss that this covers"] = format_quantity(heat / now.total, "time", units, digits=2)
    return numbers
