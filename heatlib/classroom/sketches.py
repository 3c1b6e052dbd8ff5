"""Plain line drawings for the printed sheets: readable after photocopying, every line with its words beside it.

A sheet may carry any picture; these are for the lessons whose task needs a thing drawn with its sizes.
"""

from heatlib.classroom import svg as s
from heatlib.classroom.givens import Given
from heatlib.classroom.picture import Picture
from heatlib.units import format_quantity

__all__ = ["drum_by_day_and_night"]

WIDTH, HEIGHT = 420, 250


def drum_by_day_and_night(volume, warm, cold, heat, mass, units):
    """Draw one drum twice: warm in the evening, cold in the morning, with the heat it gave back between.

    Parameters
    ----------
    volume : float
        Volume of the water [m³].
    warm, cold : float
        Temperature in the evening and in the morning [°C].
    heat : float
        Heat given back [J].
    mass : float
        Mass of the water [kg].
    units : str
        ``"metric"`` or ``"US"`` [text].

    Returns
    -------
    Picture
        The drawing [–].
    """
    evening, morning = (Given("temperature", value).shown(units).text for value in (warm, cold))
    given, size = format_quantity(heat, "heat_in_store", units), Given("store_volume", volume).shown(units).text
    weight = format_quantity(mass, "mass", units)
    parts = [
        *_drum(30, "evening", evening, 0.0),
        *_drum(280, "morning", morning, 1.0),
        s.arrow(152, 135, 264, 135, 16, "muted"),
        s.text(208, 108, "heat given back", 14, "middle"),
        s.text(208, 172, given, 17, "middle", bold=True),
        s.line(10, 222, WIDTH - 10, 222, "ink", 2),
        s.text(208, 242, f"{size} of water, {weight} on the floor", 14, "middle"),
    ]
    return Picture(
        s.document(WIDTH, HEIGHT, *parts),
        f"A drum of {size} that cools from {evening} to {morning} gives back {given}.",
        f"Two drawings of one drum of {size}: {evening} in the evening, {morning} in the morning. An arrow between "
        f"them says that it gave back {given}. Its water weighs {weight}.",
        {"Heat given back": given, "Weight of the water": weight},
    )


def _drum(left, when, temperature, shade):
    """One drum, 110 points wide, with its two hoops; ``shade`` 1 has no water mark of warmth."""
    hoops = [s.line(left, y, left + 110, y, "ink", 1.5) for y in (88, 155)]
    fill = "paper" if shade else "grid"
    return [
        s.rect(left, 22, 110, 200, fill, "ink", 2, radius=8),
        *hoops,
        s.text(left + 55, 64, when, 15, "middle"),
        s.text(left + 55, 128, temperature, 20, "middle", bold=True),
    ]
