"""Heat balance of a small greenhouse, in three floors.

``heatlib`` (this level) holds the physics: pure functions on SI floats or arrays, one idea a module.
``heatlib.house`` describes one greenhouse and runs its balance. ``heatlib.classroom`` shows it to people.
Arrows run one way: classroom → house → physics. Importing this package loads none of the heavy libraries.
"""

__version__ = "1.0.0"
