"""Textbook constants and the arithmetic of the exercises' printed answers, without the library.

Each ``by_hand_NN.py`` has ``BY_HAND`` (task → function of the printed numbers and the unit system, giving the answer in
the reader's units, or letter → merit for a choice), ``SANE`` (task → range of answers that make sense to a grower in
either system: common practice, no source) and, where 1.5 % is too near, ``CLOSE`` (task → relative tolerance, with its
reason).
"""

from importlib import import_module

WATER = {"metric": 4.186, "US": 8.34}
"""Heat that water takes [kJ/L·°C, Btu/gal·°F]: OpenStax College Physics m42224; definition of the Btu × 8.34 lb/gal."""
FREEZING_AT = {"metric": 0, "US": 32}
FREEZING_HEAT = {"metric": 334, "US": 144 * 8.34}
"""Heat of freezing [kJ/L, Btu/gal]: OpenStax m42225; 144 Btu/lb, the usual handbook value, from memory."""
WATER_WEIGHT = {"metric": 1.0, "US": 8.34}
KILOWATT_HOUR = {"metric": 3.6, "US": 3.412}
"""[MJ, kBtu]: 3600 s; University of Connecticut's table of fuels, 3412 Btu/kWh."""
TO_HOURS = {"metric": 1 / 3.6, "US": 1}
"""What turns kJ over W, or Btu over Btu/h, into hours."""


def worked(number):
    """Return the arithmetic of one exercise."""
    return import_module(f"by_hand_{number:02d}")
