"""Find room for words: remember what is taken on a picture, and take the first place that is free, or the least bad.

Boxes are reckoned with :func:`heatlib.classroom.svg.text_width`, so that words found apart stay apart in any font a
picture is shown in.
"""

import math
from itertools import pairwise

from heatlib.classroom import svg as s

__all__ = ["Room"]

UP, DOWN = 0.8, 0.25
"""How far letters reach above and below the line they stand on, in parts of their size [–]."""
OUTSIDE = 300.0
"""What each point beyond the edge counts, so that words leave the paper last of all [–]."""


class Room:
    """The room on a picture.

    Parameters
    ----------
    left, top, right, bottom : float
        Where words may stand [points].
    """

    def __init__(self, left, top, right, bottom):
        self._edges = (left, top, right, bottom)
        self._taken, self._dots = [], []

    def take(self, left, top, right, bottom, weight=1.0):
        """Mark a box as taken; words on it count as much worse as ``weight`` says."""
        if right > left and bottom > top:
            self._taken.append((left, top, right, bottom, weight))

    def take_line(self, points, near=5.0):
        """Mark a line through points as taken; long stretches are filled with points ``near`` to each other."""
        points = list(points)
        self._dots.append(points[0])
        for (x1, y1), (x2, y2) in pairwise(points):
            parts = max(1, math.ceil(math.hypot(x2 - x1, y2 - y1) / near))
            self._dots += [(x1 + (x2 - x1) * n / parts, y1 + (y2 - y1) * n / parts) for n in range(1, parts + 1)]

    def take_words(self, x, y, lines, size=s.FONT_SIZE, anchor="start", bold=False, pitch=16.0):
        """Mark lines of words as taken, the first standing at ``(x, y)``."""
        self.take(*_box(x, y, lines, size, anchor, bold, pitch), 8.0)

    def place(self, places, lines, size=s.FONT_SIZE, bold=True, pitch=16.0):
        """Choose one of ``places`` = (x, y, anchor) for lines of words, take it and return it."""
        boxes = [_box(x, y, lines, size, anchor, bold, pitch) for x, y, anchor in places]
        best, least = 0, math.inf
        for index, box in enumerate(boxes):
            cost = self._cost(box)
            if cost < least - 1e-9:
                best, least = index, cost
            if cost == 0:
                break
        self.take(*boxes[best], 8.0)
        return places[best]

    def _cost(self, box):
        left, top, right, bottom = box
        cost = sum(
            weight * max(0.0, min(right, r) - max(left, x)) * max(0.0, min(bottom, b) - max(top, y))
            for x, y, r, b, weight in self._taken
        )
        cost += 25.0 * sum(left < x < right and top < y < bottom for x, y in self._dots)
        x, y, r, b = self._edges
        return cost + OUTSIDE * (max(0, x - left) + max(0, right - r) + max(0, y - top) + max(0, bottom - b))


def _box(x, y, lines, size, anchor, bold, pitch):
    wide = max((s.text_width(line, size, bold) for line in lines), default=0.0)
    left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
    return left, y - UP * size, left + wide, y + pitch * (len(lines) - 1) + DOWN * size
