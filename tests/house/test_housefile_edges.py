"""House files at their edges: what a refusal points at, what is written where, and what a template keeps."""

import os
import stat

import pytest
from test_housefile import TEXT

from heatlib.house import housefile
from heatlib.house.demo import demo_house
from heatlib.house.greenhouse import Curtain, Greenhouse, Heater, Layer, Sighting, Store, Tree, Vents
from heatlib.house.housefile import HouseFileError, house_text, parse_house, read_house, read_quantity, save_house

WALL = 'area = 10\nr_value = "R-19"'


@pytest.mark.parametrize(
    ("good", "bad", "says"),
    [
        ("latitude = 45", "latitude = true", r"line 5: latitude must be a number in °, but it is true, a yes or no$"),
        ("count = 3", "count = true", r"line 24: count must be a number, but it is true, a yes or no$"),
        ('closes = "17:30"', "closes = 17:30:00", r"line 29: closes must be a time in quotes, such as .17:30., but"),
        ("[place]", "[floor.x]\ny = 1\n[place]", r"line 4: x is not known here \(known: area, perimeter, "),
        ("[place]", "Xtra = 1\n[place]", r"line 4: Xtra is not known here \(known: name, volume, place, "),
        ("[[surfaces]]", "[[surface]]", r"line 10: surface is not known here \(nearest: surfaces, "),
        ("area = 10", "widthh = 10", r"line 18: widthh is not known here \(nearest: width"),
        ("area = 6.0", "widthh = 6.0", r"line 7: widthh is not known here \((?!nearest: width)"),
        (WALL, 'name2 = "x"', r"line 18: name2 is not known here \(nearest: name"),
        (TEXT[TEXT.index("[[surfaces]]") : TEXT.index("[[stores]]")], "", r"the house needs at least one surface$"),
        ('name = "wall"\n', "", r"line 16: surface entry 2 needs name, and it is missing$"),
        ('volume = "350 ft3"', "#", r"^shed: shed needs volume, and it is missing$"),
        ('name = "shed"', "#", r"^shed: the house needs name, and it is missing$"),
        ("area = 6.0", "#", r"line 6: floor needs area, and it is missing$"),
        (WALL, 'area = 10\nlayers = [ { material = "eps" } ]', r"line 19: layer entry 1 needs thickness, and it is "),
        (WALL, "area = 10\nlayers = [ 5 ]", r"line 19: entry 1 must be a table of keys, but it is 5$"),
        (WALL, "area = 10\nlayers = 5", r"line 19: layers must be a list of tables, but it is 5$"),
        (
            "[heater]",
            "[air]\ntightness = 'sealed'\nair_change_rate = 1\n[heater]",
            r"line 26: air takes either tightness",
        ),
        ('rule = "clock"', 'rule = ["a", "b"]', r"line 30: rule must be a text in quotes, but it is a list of 2$"),
        (WALL, WALL + "\ncurtain = 1", r"line 20: curtain must be true or false, but it is 1$"),
        ('edge_r_value = "R-10"', "edge_position = 5", r"line 9: edge position must be a text in quotes, but it is 5$"),
        (
            'edge_r_value = "R-10"',
            'edge_position = "up"',
            r"line 9: edge.position 'up' is not known \(known: horizontal",
        ),
        (
            "area = 10",
            "width = 501\nheight = 2",
            r"line 18: width must be greater than 0 m and at most 500 m, .* 501 m$",
        ),
        (
            "area = 10",
            "width = 0\nheight = 2",
            r"line 18: width must be greater than 0 m and at most 500 m, but it is 0",
        ),
        ("area = 10", "height = 5", r"line 16: .* needs both, and width is missing$"),
        ("area = 10", "width = 5", r"line 16: .* needs both, and height is missing$"),
        (
            "area = 10",
            "width = 5\nheight = 2\ncount = 0",
            r"line 20: count must be greater than 0 and at most 500, but",
        ),
        ("area = 10", 'width = 5\nheight = 2\ncount = "3"', r"line 20: count must be a plain number without quotes"),
        (
            "area = 10",
            "area = 10\nheight = 2",
            r"line 18: a surface takes either its area or width and height, not both",
        ),
        (
            'closes = "17:30"',
            'closes = "24:30"',
            r"line 29: closes must be between 0 and 24 h, .*, written as '24:30'$",
        ),
        ('closes = "17:30"', 'closes = "5:60"', r"line 29: closes must be a time such as "),
        (
            'facing = "south-east"',
            'facing = "up"',
            r"line 12: facing must be .* it is 'up' \(nearest: north, north-east, ",
        ),
        ('"shed"', '"a\\qb"', r"line 2: this is not readable as TOML \(invalid character 'q' in string\)$"),
        ("latitude = 45", "latitude = 45 46", r"line 5: this is not readable as TOML \(unexpected character: '4'\)$"),
    ],
)
def test_a_refusal_points_at_its_place(good, bad, says):
    assert good in TEXT
    with pytest.raises(HouseFileError, match=says) as error:
        parse_house(TEXT.replace(good, bad, 1), "shed")
    assert str(error.value).startswith("shed")


@pytest.mark.parametrize(
    ("stated", "shown"),
    [("2.5", "2.5"), ("[1]", "a list of 1"), ("{ a = 1 }", "a table of keys"), ("2024-01-01", "the date or time 2024"),
     ('"two"', "'two'"), ("true", "true, a yes or no"), ("false", "false, a yes or no")],
)  # fmt: skip
def test_a_format_that_is_no_number_is_shown_as_written(stated, shown):
    with pytest.raises(HouseFileError, match=f"^shed: format must be a whole number, but it is {shown}") as error:
        parse_house(f"format = {stated}\n{TEXT}", "shed")
    with pytest.raises(HouseFileError) as again:
        house_text(demo_house(), f"format = {stated}\n{TEXT}")
    assert str(again.value) == str(error.value).replace("shed", "template", 1)


def test_formats_from_the_first_to_todays():
    for number, says in ((0, r"between 1 and 2, but it is 0$"), (3, "but it is 3; it was written by a newer version")):
        with pytest.raises(HouseFileError, match=says):
            parse_house(f"format = {number}\n{TEXT}")
    assert parse_house(f"format = 2\n{TEXT}") == parse_house(TEXT)
    old = TEXT.replace("[[surfaces]]", "  [[ surface ]]").replace("[[stores]]", "[[store]]")
    old = f" format = 1\n{old}[ leaks ]\n\tair_changes = 2.5\n"
    with pytest.warns(UserWarning, match=r"^house file is in format 1, read as format 2; ") as said:
        house = parse_house(old)
    assert said[0].filename == __file__, "the warning names the line of whoever reads the file"
    assert house == parse_house(TEXT).changed("air.air_change_rate", 2.5)
    kept = house_text(house.changed("heater.power", 900.0), old)
    assert " format = 2\n" in kept and "  [[ surfaces ]]" in kept and "\tair_change_rate = 2.5" in kept
    with pytest.raises(HouseFileError, match=r"^odd, line 1: format is stated twice$|^odd.*twice"):
        parse_house("format = 1\nformat = 1\n" + TEXT, "odd")


def test_a_file_is_read_to_its_longest(tmp_path):
    path = tmp_path / "long.toml"
    path.write_bytes(TEXT.encode() + b"#" * (1_000_000 - len(TEXT.encode())))
    assert read_house(path) == parse_house(TEXT)
    path.write_bytes(path.read_bytes() + b"#")
    with pytest.raises(HouseFileError, match=r"long.toml: a house file has at most 1000 kB, but this one has more$"):
        read_house(path)
    path.write_bytes(b"\xef\xbb\xbf" + TEXT.encode())
    assert read_house(str(path)) == parse_house(TEXT)
    path.write_bytes("# Grüße\n# und mehr\nname = 'Häuschen'\n".encode("latin-1"))
    with pytest.raises(HouseFileError, match=r"long.toml, line 1: this is not a text file in UTF-8"):
        read_house(path)
    path.write_bytes(b"# one\n# two\nname = 'H\xe4uschen'\n")
    with pytest.raises(HouseFileError, match=r"long.toml, line 3: this is not a text file in UTF-8"):
        read_house(path)


def test_what_is_no_house_file_at_all_is_shown(tmp_path):
    with pytest.raises(HouseFileError, match=r"it can't be read \(Is a directory\)$"):
        read_house(tmp_path)
    with pytest.raises(HouseFileError, match=r"^'null\\x00.toml' is no path$"):
        read_house("null\0.toml")
    with pytest.raises(HouseFileError, match=r"^the house file must be told by its path, but it is 5$"):
        read_house(5)
    with pytest.raises(HouseFileError, match=r"^shed: a house file must be text, but it is 5$"):
        parse_house(5, "shed")
    with pytest.raises(HouseFileError, match=r"^shed: the file is empty$"):
        parse_house("# nothing\n", "shed")


@pytest.mark.parametrize(
    ("raw", "quantity", "unit", "value"),
    [
        (3, "length", "m", 3),
        ("north", "compass", "°", 0.0),
        ("west", "compass", "°", 270.0),
        ("7:05", "clock", "h", 7 + 5 / 60),
        ("24:00", "clock", "h", 24.0),
        ("0:59", "clock", "h", 59 / 60),
        ("10 ft", "length", "m", 3.048),
    ],
)
def test_words_of_a_file_become_numbers(raw, quantity, unit, value):
    assert read_quantity(raw, quantity, unit, "it") == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("raw", "quantity", "unit", "says"),
    [
        ("25:00", "clock", "h", "^it must be a time such as .*, but it is '25:00'$"),
        ("7:5", "clock", "h", "it must be a time"),
        ("3", "", "°", "^it must be a number in ° without quotes, but it is the text '3'$"),
        ("3", "", "", "^it must be a plain number without quotes, but it is the text '3'$"),
        ("nort", "compass", "°", r"it is 'nort' \(nearest: north, north-"),
        ("x" * 99, "compass", "°", r"\(nearest: north, north-east, east, "),
        ("5 gal", "length", "m", "one of the units m"),
    ],
)
def test_words_that_are_no_numbers_are_shown(raw, quantity, unit, says):
    with pytest.raises(ValueError, match=says):
        read_quantity(raw, quantity, unit, "it")


@pytest.mark.parametrize(
    ("text", "slip"),
    [
        ("1,052 ft", "no comma"),
        (" 3,5 ft", "no comma"),
        ("51 1/2 ft", "fraction"),
        ("1 / 2 in", "fraction"),
        ("6' 3", "feet and inches"),
        ("6.5ft 3", "feet and inches"),
        ("6.5 ft", ""),
        ("six", ""),
        ("R-10", ""),
    ],
)
def test_forms_of_numbers_that_are_not_read(text, slip):
    said = housefile._number_slip(text)
    assert slip in said and bool(said) == bool(slip) and (not said or said.startswith("; "))


def test_panes_are_counted_by_width_height_and_number():
    """12 ft × 2 m, and three of 0.5 m × 4 m."""
    house = parse_house(TEXT.replace("area = 10", "width = 0.5\nheight = 4\ncount = 3"))
    assert house.surface("pane").area == pytest.approx(12 * 0.3048 * 2) and house.surface("wall").area == 6.0
    wide = parse_house(TEXT.replace("area = 10", "width = 500\nheight = 0.1"))
    assert wide.surface("wall").area == pytest.approx(50.0)


def test_keys_within_long_texts_are_not_places():
    for quotes in ('"""', "'''"):
        note = f"note = {quotes}\n[heater]\npower = 3\n{quotes}\n"
        bad = note + TEXT.replace('"1.2 kW"', "-5")
        with pytest.raises(HouseFileError, match=r"^shed, line 30: power must be"):
            parse_house(bad, "shed")
    one_line = 'note = """all on one line"""\n' + TEXT.replace('"1.2 kW"', "-5")
    with pytest.raises(HouseFileError, match=r"^shed, line 27: power must be"):
        parse_house(one_line, "shed")
    quoted = TEXT.replace("power", '"power"').replace('"1.2 kW"', "-5").replace("[heater]", "[ 'heater' ]")
    with pytest.raises(HouseFileError, match=r"^shed, line 26: power must be"):
        parse_house(quoted, "shed")
    dotted = TEXT.replace('[heater]\npower = "1.2 kW"\nsetpoint = "35 °F"\n', "")
    with pytest.raises(HouseFileError, match=r"^shed, line 1: power must be"):
        parse_house("heater . power = -5\n" + dotted, "shed")


def test_layers_of_a_second_wall_are_found():
    layer = '[[surfaces.layers]]\nmaterial = "eps"\nthickness = '
    text = TEXT.replace(WALL, f"area = 10\n{layer}0.1\n{layer}-1\n")
    with pytest.raises(HouseFileError, match=r"^shed, line 24: thickness must be"):
        parse_house(text, "shed")


# ---- writing


def test_a_new_file_says_what_it_is_and_leaves_out_what_needs_no_telling():
    house = parse_house(TEXT)
    text = house_text(house)
    assert text.startswith("# A house file of heatlib.") and "\nformat = 2\n" in text and "\r" not in text
    assert parse_house(text) == house and "[vents]" not in text and "wetness" not in text
    for what, thing in (("what is to be written must be a Greenhouse, but it is 5", 5),):
        with pytest.raises(HouseFileError, match=what):
            house_text(thing)


def test_line_ends_stay_mixed_where_they_are_mixed():
    for template in (TEXT, TEXT.replace("\n", "\r\n"), TEXT.replace("\n", "\r\n", 5)):
        assert house_text(parse_house(TEXT), template) == template
        new = house_text(parse_house(TEXT).changed("vents", Vents(27.0)), template)
        ends = new.count("\r\n"), new.count("\n")
        assert ends[0] == ends[1] if template.count("\n") == template.count("\r\n") else ends[0] in (0, 5)


def test_values_keep_the_unit_and_the_form_of_the_file():
    house = parse_house(TEXT)
    changed = house.changed(
        **{"volume": 10.0, "floor.perimeter": 3.048, "surfaces.pane.facing": 90.0, "surfaces.wall.r_value": 1.761101837,
           "heater.power": 850.0, "heater.setpoint": 5.0, "curtain.closes": 7.25, "floor.area": 7.5,
           "stores.drums.count": 4}
    )  # fmt: skip
    text = house_text(changed, TEXT)
    for line in ('perimeter = "10 ft"', 'facing = "east"', 'power = "0.85 kW"', 'setpoint = "41 °F"', 'closes = "7:15"',
                 "area = 7.5", "count = 4", 'volume = "353.'):  # fmt: skip
        assert line in text, line
    again = parse_house(text)
    assert '\nr_value = "R-' in text and text.count("\n") == TEXT.count("\n")
    assert (again.volume, again.floor.perimeter, again.surface("wall").r_value, again.heater.setpoint) == pytest.approx(
        (10.0, 3.048, 1.761101837, 5.0), rel=1e-13
    )
    odd = house.changed(**{"curtain.closes": 17.123456, "surfaces.pane.facing": 91.5})
    text = house_text(odd, TEXT)
    assert "closes = 17.123456\n" in text and "facing = 91.5\n" in text and parse_house(text) == odd
    # so near the melting point that no text in °F reads back as the same number: the nearest one is written
    near = parse_house(house_text(house.changed("heater.setpoint", 1e-10), TEXT))
    assert near.heater.setpoint == pytest.approx(1e-10, abs=1e-13)
    area = house_text(house.changed("surfaces.pane.area", 8.0), TEXT)
    assert "width" not in area and "height" not in area and parse_house(area).surface("pane").area == 8.0


@pytest.mark.parametrize(
    ("value", "plain"), [(3.0, 3), (3.25, 3.25), (-2.0, -2), (1e15, 1e15), (999999999999999.0, 10**15 - 1)]
)
def test_whole_numbers_are_written_without_a_point(value, plain):
    got = housefile._plain(value)
    assert got == plain and type(got) is type(plain)


def test_parts_come_and_go_and_their_neighbours_stay():
    house = parse_house(TEXT)
    bed = Store("bed", "bed", 1.0, "gravel", surface=2.0)
    new = {"stores": (*house.stores, bed), "heater": None, "vents": Vents(27.0), "horizon": (Sighting(90.0, 5.0),)}
    more = house.changed(**new, **{"curtain.rule": "sun"})
    text = house_text(more, TEXT)
    assert parse_house(text) == more and "[heater]" not in text and text.index("[[stores]]") < text.index("[vents]")
    assert "# our shed\n" in text and "# measured by Ann" in text
    back = house_text(house, text)
    assert parse_house(back) == house and "[vents]" not in back and "bed" not in back
    layered = house.changed(
        **{"surfaces.wall.layers": (Layer("eps", 0.05), Layer("plywood", 0.01))} | {"surfaces.wall.r_value": None}
    )
    text = house_text(layered, TEXT)
    assert parse_house(text) == layered and "r_value" not in text.split("[[surfaces]]")[2].split("[[stores]]")[0]
    thinner = layered.changed("surfaces.wall.layers", (Layer("plywood", 0.01),))
    assert parse_house(house_text(thinner, text)) == thinner
    trees = tuple(Tree(name, 90.0, 9.0, 8.0, 4.0) for name in "abc")
    wood = house_text(house.changed("trees", trees), TEXT)
    for kept in (trees[:1], trees[1:], trees[::-1], (trees[0], trees[2]), ()):
        assert parse_house(house_text(house.changed("trees", kept), wood)).trees == kept


NOTED = (
    TEXT
    + """# by the north wall
[[trees]]
name = "maple"
facing = 90.0
distance = 9.0
height = 8.0
crown_width = 4.0
# planted in spring

# over the fence
[[trees]]
name = "oak"
facing = 180.0
distance = 9.0
height = 8.0
crown_width = 4.0
# when it is hot
[vents]
opens_at = 27.0
# that is all
"""
)


@pytest.mark.parametrize(
    ("changes", "gone"),
    [
        ({"trees": ("oak",)}, "maple"),
        ({"trees": ("maple",)}, "oak"),
        ({"trees": ()}, "[[trees]]"),
        ({"curtain": None}, "[curtain]"),
        ({"heater": None}, "[heater]"),
        ({"vents": None}, "[vents]"),
    ],
)
def test_comments_below_a_part_that_goes_stay_for_what_comes_next(changes, gone):
    """A comment above a section stands, for the reader of TOML, below the keys of the one before.

    What stands between two trees goes with both of them.
    """
    house = parse_house(NOTED)
    kept = {"trees": tuple(tree for tree in house.trees if tree.name in changes.get("trees", ("maple", "oak")))}
    smaller = house.changed(**(changes | kept))
    text = house_text(smaller, NOTED)
    assert parse_house(text) == smaller and gone in NOTED and gone not in text
    lines, between = text.splitlines(), () if smaller.trees else ("# planted in spring", "# over the fence")
    comments = [line for line in NOTED.splitlines() if line.startswith("#") and line not in between]
    assert [line for line in lines if line.startswith("#")] == comments
    if "oak" in text:
        assert lines[lines.index("# over the fence") + 1] == "[[trees]]"
    if "[vents]" in text:
        assert lines[lines.index("# when it is hot") + 1] == "[vents]"


def test_a_surface_that_changes_its_place_keeps_how_it_was_written():
    house = parse_house(TEXT)
    turned = house.changed("surfaces", house.surfaces[::-1])
    text = house_text(turned, TEXT)
    assert parse_house(text) == turned and text.index('"wall"') < text.index('"pane"')
    assert sorted(filter(None, text.splitlines())) == sorted(filter(None, TEXT.splitlines()))


def test_saving_makes_a_copy_and_keeps_who_may_read_it(tmp_path):
    house, path = parse_house(TEXT), tmp_path / "shed.toml"
    assert save_house(house, str(path)) == path and os.listdir(tmp_path) == ["shed.toml"]
    assert stat.S_IMODE(path.stat().st_mode) == 0o644
    path.chmod(0o600)
    first = path.read_bytes()
    assert save_house(house.changed("heater", Heater(700.0)), path) == path
    assert sorted(os.listdir(tmp_path)) == ["shed.toml", "shed.toml.bak"]
    assert (tmp_path / "shed.toml.bak").read_bytes() == first
    assert {stat.S_IMODE(p.stat().st_mode) for p in tmp_path.iterdir()} == {0o600}
    path.write_bytes(b"\xef\xbb\xbf" + TEXT.encode())
    save_house(house, path)
    assert path.read_bytes() == b"\xef\xbb\xbf" + TEXT.encode(), "the mark of the file's encoding stays"
    other = tmp_path / "other.toml"
    save_house(house, other, like=path)
    assert b"# measured by Ann" in other.read_bytes() and read_house(other) == house
    with pytest.raises(HouseFileError, match=r"^where to save must be told by a path, but it is 5$"):
        save_house(house, 5)
    with pytest.raises(HouseFileError, match=r"^where to save must be told by a path, but it is 'a\\x00b'$"):
        save_house(house, "a\0b")


def test_what_can_not_be_put_in_place_leaves_nothing_behind(tmp_path, monkeypatch):
    house, path = parse_house(TEXT), tmp_path / "shed.toml"

    def full(*_):
        raise OSError(28, "No space left on device")

    folders, make = [], housefile.tempfile.mkstemp
    with monkeypatch.context() as patch:
        patch.setattr(housefile.tempfile, "mkstemp", lambda **given: folders.append(given["dir"]) or make(**given))
        patch.setattr(housefile.os, "replace", full)
        with pytest.raises(HouseFileError, match=r"shed.toml: it can't be written \(No space left on device\)$"):
            save_house(house, path)
        assert os.listdir(tmp_path) == []
    assert folders == [tmp_path], "only within one folder, so on one disk, does a file take another's place at once"
    save_house(house, path)
    before = path.read_bytes()
    with monkeypatch.context() as patch:
        patch.setattr(housefile.os, "fsync", full)
        with pytest.raises(HouseFileError, match=r"\(No space left on device\); the older file is as it was$"):
            save_house(house.changed("heater", None), path)
    assert path.read_bytes() == before and os.listdir(tmp_path) == ["shed.toml"]
    path.write_text("this is no house", encoding="utf-8")
    with pytest.raises(
        HouseFileError, match=r"shed.toml is no house file, so it is left as it is \(template, line 1: "
    ):
        save_house(house, path)
    assert path.read_text(encoding="utf-8") == "this is no house"


def test_every_field_that_differs_from_its_default_is_written():
    house = demo_house(10).changed(
        **{"curtain": Curtain(0.5, 0.1, 0.2, "clock", 18.0, 7.5, 40.0), "air.tightness": "sealed"}
    )
    text = house_text(house)
    assert parse_house(text) == house and isinstance(parse_house(text), Greenhouse)
    assert 'tightness = "sealed"' in text and "air_change_rate" not in text[text.index("[air]") :].split("\n[")[0]
