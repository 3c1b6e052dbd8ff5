"""A live view: a plain function from values to a picture, with labelled controls in front of it.

``@view`` puts a title and controls to a function; :class:`View` shows it. Values are SI inside always: the unit system
changes labels, steps, shown numbers and the picture, never a value. The page side is ``view.js``, one small module.
"""

import inspect
import itertools
import pkgutil
from dataclasses import dataclass
from importlib import import_module
from importlib.resources import files

import anywidget
import traitlets

from heatlib._check import choice
from heatlib.classroom.controls import Choice, Slider, Toggle
from heatlib.classroom.palette import stylesheet
from heatlib.units import SYSTEMS

__all__ = ["Choice", "Slider", "Toggle", "View", "ViewSpec", "all_views", "view"]

MOST_SLIDERS = 4
MOST_PINS = 3


@dataclass(frozen=True)
class ViewSpec:
    """A view without its widget: title, controls and the function that draws."""

    title: str
    controls: tuple
    function: object

    def __post_init__(self):
        sliders = sum(isinstance(control, Slider) for control in self.controls)
        if sliders > MOST_SLIDERS:
            raise ValueError(f"a view has at most {MOST_SLIDERS} sliders, but {self.title!r} has {sliders}")
        wanted = [control.name for control in self.controls] + ["units"]
        given = list(inspect.signature(self.function).parameters)
        if given != wanted:
            raise ValueError(f"{self.name} takes {given}, but its controls say {wanted}")

    @property
    def name(self):
        """Module and name of the function."""
        return f"{self.function.__module__}.{self.function.__qualname__}"

    def start(self):
        """Return the values at the beginning."""
        return {control.name: control.check(control.value) for control in self.controls}

    def corners(self):
        """Yield every combination of slider ends and options, in both systems, as keyword arguments."""
        names = [control.name for control in self.controls]
        for system in SYSTEMS:
            for ends in itertools.product(*(control.ends() for control in self.controls)):
                yield dict(zip(names, ends)) | {"units": system}

    def draw(self, values, units):
        """Call the function."""
        return self.function(**values, units=units)


_registry = {}


def view(title, controls):
    """Make a live view of a function ``f(first, second, …, *, units) -> Picture``.

    The function stays as it is and may be called with plain values; its ``spec`` attribute describes the view.
    """

    def decorate(function):
        spec = ViewSpec(title, tuple(controls), function)
        function.spec = spec
        _registry[spec.name] = spec
        return function

    return decorate


def all_views(package="heatlib.classroom.views"):
    """Import every module of the package that holds the lessons' views and return their descriptions."""
    home = import_module(package)
    for info in pkgutil.iter_modules(home.__path__, package + "."):
        import_module(info.name)
    return [spec for name, spec in sorted(_registry.items()) if name.startswith(package + ".")]


class View(anywidget.AnyWidget):
    """A view on the page: controls, picture, the result in a sentence, reset and pinned cases.

    Parameters
    ----------
    shown : function or ViewSpec
        A function decorated with :func:`view`, or its ``spec`` [–].
    units : str
        ``"metric"`` or ``"US"``; may be set later [text].
    **start : float, str or bool
        Values to start from where they differ from the view's own [SI].
    """

    _esm = files("heatlib.classroom").joinpath("view.js").read_text(encoding="utf-8")
    _css = stylesheet() + files("heatlib.classroom").joinpath("view.css").read_text(encoding="utf-8")

    units = traitlets.Enum(SYSTEMS, default_value="metric")
    _title = traitlets.Unicode().tag(sync=True)
    _controls = traitlets.Dict().tag(sync=True)
    _shown = traitlets.Dict().tag(sync=True)
    _pinned = traitlets.List().tag(sync=True)
    _asked = traitlets.Dict().tag(sync=True, echo_update=False)

    def __init__(self, shown, units="metric", **start):
        spec = getattr(shown, "spec", shown)
        known = {control.name: control for control in spec.controls}
        for name in start:
            choice("control", name, known)
        self.spec, self._by_name = spec, known
        self._start = spec.start() | {name: known[name].check(value) for name, value in start.items()}
        self.values = dict(self._start)
        self.error, self.failure = "", None
        self._resets, self._pin_cases, self._cache = 0, [], {}
        super().__init__(_title=spec.title, units=choice("unit system", units, SYSTEMS))
        self.picture = spec.draw(self.values, self.units)
        self._describe()
        self._show()

    def _describe(self):
        items = [c.describe(self.values[c.name], self._start[c.name], self.units) for c in self.spec.controls]
        self._controls = {"units": self.units, "items": items}

    def _settings(self, values):
        return [[c.label, c.say(values[c.name], self.units)] for c in self.spec.controls]

    def _show(self):
        picture = self.picture
        self._shown = {
            "svg": picture.svg, "sentence": picture.sentence, "description": picture.description,
            "numbers": [list(pair) for pair in picture.numbers.items()], "settings": self._settings(self._drawn),
            "case": self._drawn, "error": self.error, "asked": self._asked.get("serial", 0),
        }  # fmt: skip

    @property
    def _drawn(self):
        return self.__dict__.setdefault("_drawn_values", dict(self.values))

    def set(self, **values):
        """Set values in SI, as if the reader had moved the controls; bad ones raise."""
        for name in values:
            choice("control", name, self._by_name)
        self.values |= {name: self._by_name[name].check(value, self.units) for name, value in values.items()}
        self._redraw()
        self._describe()
        if self.failure:
            raise self.failure

    def reset(self):
        """Go back to the values of the beginning."""
        self.set(**self._start)

    def _redraw(self):
        try:
            self.picture = self.spec.draw(self.values, self.units)
        except Exception as error:
            self._fail(error)
        else:
            self.error, self.failure = "", None
            self.__dict__["_drawn_values"] = dict(self.values)
        self._show()

    def _fail(self, error):
        self.failure = error
        if isinstance(error, ValueError) and str(error):
            words = str(error).rstrip(".")
            self.error = f"{words[0].upper()}{words[1:]}. The last good picture is kept."
        else:
            kind = type(error).__name__
            self.error = f"This picture can't be drawn with these values ({kind}: {error}). The last good one is kept."

    @traitlets.observe("units")
    def _on_units(self, change):
        if not hasattr(self, "picture"):
            return
        self._describe()
        self._redraw()
        self._show_pins()

    @traitlets.observe("_asked")
    def _on_asked(self, change):
        asked = change["new"]
        system = choice("unit system", asked.get("units"), SYSTEMS)
        was_reset = asked.get("reset", 0) != self._resets
        if was_reset:
            self._resets, self.values = asked["reset"], dict(self._start)
        try:
            moved = {
                name: self._by_name[choice("control", name, self._by_name)].read(shown, system)
                for name, shown in asked.get("touched", {}).items()
            }
        except ValueError as error:
            self._fail(error)
            self._show()
        else:
            self.values |= moved
            self._redraw()
        if was_reset or system != self.units:
            self._describe()
        if asked.get("pins", []) != self._pin_cases:
            self._pin_cases = asked["pins"][:MOST_PINS]
            self._show_pins()

    def _show_pins(self):
        try:
            self._pinned = [self._pin(case) for case in self._pin_cases]
        except Exception as error:
            self._fail(error)
            self._show()

    def _pin(self, case):
        values = {c.name: c.check(case[c.name]) for c in self.spec.controls}
        key = (self.units, *values.values())
        if key not in self._cache:
            self._cache[key] = self.spec.draw(values, self.units)
        picture = self._cache[key]
        return {"svg": picture.svg, "sentence": picture.sentence, "settings": self._settings(values),
                "numbers": [list(pair) for pair in picture.numbers.items()]}  # fmt: skip

    def _repr_mimebundle_(self, **kwargs):
        live = super()._repr_mimebundle_(**kwargs)
        data, metadata = live if isinstance(live, tuple) else (live, {})
        stored = {"text/plain": self.picture.text, "image/png": self.picture.png()}
        size = {"image/png": {"width": round(self.picture.width), "alt": self.picture.description}}
        return data | stored, metadata | size
