"""What a cutaway draws, as plain numbers: the section of a house, what stores heat in it, and its heat paths."""

import math
from dataclasses import dataclass, field

from heatlib._check import choice, number
from heatlib.classroom.placing import Room

__all__ = ["DARK", "GROUND", "HEIGHT", "PLACES", "WIDTH", "FloorLayer", "Flow", "Frame", "Section", "Store"]

WIDTH, HEIGHT = 640, 420
GROUND = 298
"""Height on the picture where the outside ground lies [points]."""
DARK = ("north_roof", "north_wall", "base")
"""The dark parts of the shell: roof and wall on the north, and the boarded base."""


@dataclass(frozen=True)
class FloorLayer:
    """A layer of the floor from above downwards: ``look`` is gravel, foam, concrete, wood or soil; thickness [m]."""

    name: str
    thickness: float
    look: str = "gravel"


@dataclass(frozen=True)
class Section:
    """What stands there. Lengths [m]; counts [–]; ``insulated`` names the dark parts that hold the insulation."""

    width: float = 3.6
    length: float = 6.0
    eaves: float = 1.8
    ridge: float = 2.9
    boarded_base: float = 1.0
    insulation: float = 0.0
    insulated: tuple[str, ...] = DARK
    panes: int = 1
    north_glazed: bool = False
    floor: tuple[FloorLayer, ...] = ()
    edge_depth: float = 0.0
    curtain: bool = False
    heater: bool = False
    pipes: int = 0
    pipe_depth: float = 0.6
    pipe_diameter: float = 0.1
    snow: float = 0.0
    vent_open: bool = False

    def __post_init__(self):
        number("width of the house", self.width, "m", 0.5, 60)
        number("length of the house", self.length, "m", 0.5, 500)
        number("height at the eaves", self.eaves, "m", 0.3, 10)
        number("height at the ridge", self.ridge, "m", self.eaves, 15)
        number("insulation thickness", self.insulation, "m", 0, 1)
        for part in self.insulated:
            choice("insulated part", part, DARK)


@dataclass(frozen=True)
class Store:
    """Barrels or a bed: temperature [°C], ``fill`` the share of its heat [0–1], ``ice`` the share frozen [0–1]."""

    kind: str
    label: str
    temperature: float
    fill: float
    count: int = 1
    ice: float = 0.0
    diameter: float = 0.58
    height: float = 0.88

    def __post_init__(self):
        choice("kind of store", self.kind, ("barrel", "bed"))
        number(f"fill of {self.label}", self.fill, "", 0, 1)
        number(f"frozen share of {self.label}", self.ice, "", 0, 1)


@dataclass(frozen=True)
class Flow:
    """One heat path: ``place`` is a key of :data:`PLACES`; heat flow positive when the house loses it [W]."""

    place: str
    label: str
    watts: float
    strong: bool = True

    def __post_init__(self):
        choice("place of a heat path", self.place, PLACES)
        number(f"heat flow of {self.label}", self.watts, "W")


PLACES = {
    "south_roof": "right",
    "south_wall": "right",
    "south_base": "right",
    "edge": "right",
    "sun": "right",
    "sky": "right",
    "moisture": "left",
    "north_roof": "left",
    "north_wall": "left",
    "leaks": "middle",
    "ends": "middle",
    "floor": "middle",
    "heater": "middle",
    "stores": "middle",
    "pipes": "middle",
}
"""Where an arrow can be, and the side on which its words stand."""


@dataclass
class Frame:
    """Metres to points, and the corners of the house."""

    section: Section
    scale: float = field(init=False)
    stores_end: float = field(init=False)
    room: Room = field(init=False)

    def __post_init__(self):
        w, r = self.section.width, self.section.ridge
        deepest = max(self.section.pipe_depth if self.section.pipes else 0.0, self.section.edge_depth, 0.5)
        self.scale = min(78.0, 284.0 / w, 236.0 / r, 96.0 / deepest)
        self.left, self.right = WIDTH / 2 - w * self.scale / 2, WIDTH / 2 + w * self.scale / 2
        self.middle, self.stores_end = WIDTH / 2, self.left + 60
        self.eaves, self.ridge = self.y(self.section.eaves), self.y(r)
        self.room = Room(4, 4, WIDTH - 4, HEIGHT - 6)

    def y(self, height):
        return GROUND - height * self.scale

    def on_roof(self, share, side):
        """Return a point on the roof, ``share`` of the way from eaves to ridge; side +1 south, −1 north."""
        foot = self.right if side > 0 else self.left
        return foot + (self.middle - foot) * share, self.eaves + (self.ridge - self.eaves) * share

    def out_of_roof(self, side):
        """Return the direction square to the roof, pointing out."""
        run, rise = self.right - self.middle, self.eaves - self.ridge
        length = math.hypot(run, rise) or 1.0
        return side * rise / length, -run / length
