"""Tables as CSV files: see :mod:`heatlib.tables`."""
