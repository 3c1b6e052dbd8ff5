"""The house in section under the noon sun: its rays at their true slope, what lies in front, and where the sun passes.

The section looks east, with south on the right; house and rays are to scale, the tree is not. It takes plain numbers.
"""

import math

from heatlib._check import number
from heatlib.classroom import svg as s
from heatlib.classroom.palette import ink

__all__ = ["sunlit_section"]

WIDTH, HEIGHT = 640, 392
GROUND, LEFT, SCALE = 312, 196, 60.0
"""Height of the ground and left wall of the house on the picture [points]; points for each metre."""
PLAN = (70, 78, 50)
"""Middle and radius of the small plan at the top left [points]."""


def sunlit_section(section, elevation, azimuths, *, snow, glare, tree, labels):
    """Draw the house with the noon rays of one day.

    Parameters
    ----------
    section : Section
        What stands there [m].
    elevation : float
        Height of the sun at noon [°].
    azimuths : sequence of float
        Directions of the sun from its rise to its set, clockwise from north [°].
    snow : bool
        Whether the ground in front is drawn white [yes/no].
    glare : float
        Share of the light that the ground throws back [0–1].
    tree : (float, float, str) or None
        Direction of a tree, its leaves from 0 to 1, and its words [°, –, text].
    labels : dict of str
        Words of ``"head"``, ``"rows"`` (a sequence), ``"sun"`` and ``"ground"`` [text].

    Returns
    -------
    str
        The drawing [SVG].
    """
    number("height of the sun at noon", elevation, "°", 0, 90)
    house = _House(section)
    pieces = [
        s.rect(0, 0, WIDTH, GROUND, "sky"),
        s.rect(0, GROUND, WIDTH, HEIGHT - GROUND, "soil"),
        s.line(0, GROUND, WIDTH, GROUND, "wood-dark", 1.5),
        *([s.rect(house.right + 4, GROUND - 8, WIDTH - house.right - 4, 12, "snow", "outside", 0.8)] if snow else []),
        *_shell(house),
        *(_tree_beside(tree) if tree and _southern(tree[0]) else []),
        *_rays(house, elevation),
        *_glare(house, glare),
        *_plan(azimuths, tree),
        *_words(house, labels, tree),
    ]
    return s.document(WIDTH, HEIGHT, *pieces)


class _House:
    """Corners of the house on the picture [points]."""

    def __init__(self, section):
        self.right = LEFT + section.width * SCALE
        self.middle = LEFT + section.width * SCALE / 2
        self.eaves, self.ridge = (GROUND - h * SCALE for h in (section.eaves, section.ridge))
        self.base = GROUND - min(section.boarded_base, section.eaves) * SCALE

    def on_roof(self, share):
        return self.right + (self.middle - self.right) * share, self.eaves + (self.ridge - self.eaves) * share


def _shell(house):
    left, right, middle = LEFT, house.right, house.middle
    inside = [(left, GROUND), (left, house.eaves), (middle, house.ridge), (right, house.eaves), (right, GROUND)]
    return [
        s.path(inside, "inside", "inside", 0.5, close=True),
        s.path([(left, GROUND), (left, house.eaves), (middle, house.ridge)], None, "wood", 8),
        s.line(right, GROUND, right, house.base, "wood", 8),
        s.path([(right, house.base), (right, house.eaves), (middle, house.ridge)], None, "water-text", 5),
        s.path([(right, house.base), (right, house.eaves), (middle, house.ridge)], None, "ice", 2.2),
        s.rect(left + 10, GROUND - 51, 34, 51, "panel", "metal", 2, radius=3),
        *(s.line(left + 10, GROUND - h, left + 44, GROUND - h, "metal", 1) for h in (17, 34)),
        s.text(left - 10, GROUND - 8, "North", anchor="end", halo=True),
        s.text(right + 10, GROUND + 22, "South", halo=True),
    ]


def _southern(direction):
    return abs(direction - 180) <= 45


def _rays(house, elevation):
    """Parallel rays onto roof and wall, each from the picture's edge, and the sun where the middle one begins."""
    east, up = math.cos(math.radians(elevation)), math.sin(math.radians(elevation))
    pieces, starts = [], []
    wall = (house.right, (house.base + house.eaves) / 2)
    for x, y in (wall, house.on_roof(0.2), house.on_roof(0.5), house.on_roof(0.8)):
        reach = min((WIDTH - 26 - x) / max(east, 1e-6), (y - 26) / max(up, 1e-6))
        starts.append((x + reach * east, y - reach * up))
        pieces.append(s.arrow(*starts[-1], x + 4 * east, y - 4 * up, 4, "sun"))
    x, y = starts[2]
    style = f"fill:{ink('sun')};stroke:{ink('sun-text')};stroke-width:1.5"
    return [*pieces, s.tag("circle", cx=x, cy=y, r=17, style=style)]


def _glare(house, glare):
    wide = 16 * number("share of the light thrown back", glare, "", 0, 1)
    x, y = house.right, (house.base + house.eaves) / 2 + 14
    return [s.arrow(x + 66, GROUND - 4, x + 6, y, max(wide, 1.2), "air")]


def _tree_beside(tree):
    """A trunk and a crown at the right edge; twigs always, leaves as thick as they are."""
    leaves, x, y = tree[1], WIDTH - 62, GROUND - 92
    crown = {"cx": x, "cy": y, "rx": 46, "ry": 60}
    style = f"fill:{ink('plant')};opacity:{0.12 + 0.6 * leaves:.2f};stroke:{ink('plant-text')};stroke-width:1.5"
    twigs = [s.line(x, GROUND - 40 - 14 * k, x + side * 30, GROUND - 78 - 16 * k, "wood-dark", 1.6)
             for k in range(4) for side in (-1, 1)]  # fmt: skip
    return [s.line(x, GROUND, x, GROUND - 130, "wood-dark", 5), *twigs, s.tag("ellipse", **crown, style=style)]


def _plan(azimuths, tree):
    """The same from above: the house, the way of the sun round it, and the tree."""
    x, y, r = PLAN

    def at(direction, radius):
        return x + radius * math.sin(math.radians(direction)), y - radius * math.cos(math.radians(direction))

    arc = [at(a, r) for a in azimuths]
    pieces = [
        s.rect(8, 8, 124, 140, "paper", "muted", radius=4),
        s.rect(x - 20, y - 12, 40, 24, "inside", "ink", 1.5),
        s.path(arc, None, "sun", 5) if len(arc) > 1 else "",
        s.text(x, y - r + 4, "N", anchor="middle", colour="muted", halo=True),
        s.text(x, 142, "from above", anchor="middle", colour="muted"),
    ]
    if tree:
        cx, cy = at(tree[0], 32)
        pieces.append(s.tag("circle", cx=cx, cy=cy, r=8, style=f"fill:{ink('plant')};stroke:{ink('plant-text')}"))
    return pieces


def _words(house, labels, tree):
    pieces = [s.text(8, 176, labels["head"], bold=True, halo=True)]
    for index, (name, amount) in enumerate(labels["rows"]):
        y = 198 + 36 * index
        pieces += [s.text(8, y, name, halo=True), s.text(8, y + 16, amount, bold=True, halo=True)]
    pieces.append(s.text(house.right - 10, house.eaves + 60, labels["sun"], anchor="end", halo=True))
    pieces.append(s.text(house.right + 10, GROUND + 44, labels["ground"], halo=True))
    if tree:
        pieces.append(s.text(WIDTH - 8, GROUND + 66, tree[2], anchor="end", halo=True))
    return pieces
