"""What a grower, a club leader and an engineer do with a house by hand: slips in the file, changes, saving."""

import os
import resource
import signal
import subprocess
import sys

import pytest

from heatlib.house.demo import demo_house
from heatlib.house.greenhouse import Heater, Layer, Store, Tree
from heatlib.house.housefile import HouseFileError, house_text, parse_house, read_house, save_house
from heatlib.house.logger import read_logger
from heatlib.house.recorded import read_year

LEAN_TO = """\
# Our lean-to, measured on a Sunday in May
name = "Anne's lean-to"
volume = "1200 ft3"   # paced out

[place]   # behind the barn
latitude = 44.9
elevation = "840 ft"

[floor]
area = "160 ft2"
perimeter = "52 ft"
edge_r_value = "R-10"
edge_depth = "2 ft"

[[surfaces]]   # ten of them
name = "school sashes"
facing = "south"
tilt = 60
width = "30 in"
height = "5 ft"
count = 10
glazing = "glass_salvaged"
curtain = true

[[surfaces]]
name = "ends"
facing = "east"
area = "90 sq ft"
layers = [
  { material = "plywood", thickness = "0.5 in" },  # inside
  { material = "glass_fibre", thickness = "3.5 in" },
  # old boards
  { material = "softwood", thickness = "1 in" },
]
framing = 0.15

[[stores]]
name = "drums"
kind = "barrels"
volume = "55 gal"
count = 6

# the bed was dug in 2019
[[stores]]
name = "bed"
kind = "bed"
volume = "50 ft3"
material = "soil_moist"
surface = "30 ft2"

# bought second-hand
[heater]
power = "1.2 kW"
setpoint = "38 °F"
fuel = "propane"

# a quilt
[curtain]
r_value = "R-2"
rule = "clock"
closes = "17:30"
"""


def test_us_units_are_those_of_their_definitions():
    """By hand: 1 ft = 0.3048 m, 1 gal = 231 in³, 1 in = 0.0254 m, R-1 = 0.17611 m²K/W, °C = (°F − 32)/1.8."""
    house = parse_house(LEAN_TO)
    assert house.volume == pytest.approx(1200 * 0.3048**3)
    assert house.place.elevation == pytest.approx(840 * 0.3048)
    assert house.floor.edge_r_value == pytest.approx(1.7611, rel=1e-4)
    assert house.surface("school sashes").area == pytest.approx(10 * 30 * 60 * 0.0254**2)
    assert house.surface("ends").layers[1].thickness == pytest.approx(3.5 * 0.0254)
    assert house.store("drums").volume == pytest.approx(55 * 231 * 0.0254**3)
    assert house.heater.setpoint == pytest.approx(10 / 3) and house.curtain.closes == 17.5


@pytest.mark.parametrize(
    ("right", "slip", "line", "says"),
    [
        ('"52 ft"', "52 ft", 11, 'a value with a unit stands in quotes, such as "12 ft"'),
        ('"52 ft"', "“52 ft”", 11, "quotes must be straight ones"),
        ('"52 ft"', "", 11, "a value is missing after the equals sign"),
        ('"52 ft"', "15,8", 11, "a decimal point and no comma, such as 34.5 or 1200"),
        ('"52 ft"', '"1,052 ft"', 11, "a decimal point and no comma, such as 34.5 or 1200"),
        ('"52 ft"', '"51 1/2 ft"', 11, "a fraction as a decimal"),
        ('"52 ft"', '"51\' 6 in"', 11, "feet and inches as one number, such as 6.5 ft"),
        ('"52 ft"', '"52 gal"', 11, "one of the units m, cm, mm"),
        ('"52 ft"', '"5200 ft"', 11, "at most 1000 m, but it is 1584.96 m, written as '5200 ft'"),
        ("curtain = true", "curtain = True", 23, "yes and no are written true and false"),
        ('facing = "south"', "facing = south", 17, 'a word stands in quotes, such as "south"'),
        ("tilt = 60", "tilt 60", 18, "each line needs a key, an equals sign and a value"),
        ("tilt = 60", "tilt = 060", 18, "does not begin with a 0"),
        ("framing = 0.15", "framing = .15", 35, "a digit before its decimal point, such as 0.5"),
        ('"school sashes"', '"school sashes', 16, "a quote is opened and not closed"),
        ("edge_depth", "edge depth", 13, "a key is one word, with _ in place of a blank"),
        ("[heater]", "[heater", 52, r"the name of a section stands in \[ \]"),
        ("[floor]", "[floorr]", 9, r"floorr is not known here \(nearest: floor\)"),
        ("[[stores]]", "[stores]", 44, r"stores is stated twice; .* two brackets, such as \[\[stores\]\]"),
        ("latitude = 44.9\n", "", 5, "place needs latitude, and it is missing"),
        ('volume = "50 ft3"\n', "", 44, "store bed needs volume, and it is missing"),
        ('"17:30"', "17:30", 61, 'closes must be a time in quotes, such as "17:30"'),
        ('"propane"', '"propan"', 55, r"fuel 'propan' is not known \(nearest: propane\)"),
    ],
)
def test_each_slip_of_the_pen_is_named_with_its_line(right, slip, line, says):
    assert right in LEAN_TO
    with pytest.raises(HouseFileError, match=f"^shed, line {line}: [^\n]*{says}[^\n]*$"):
        parse_house(LEAN_TO.replace(right, slip, 1), "shed")


def test_text_within_a_note_is_no_key():
    text = 'note = """\ntilt = 3\n[floor]\n"""\n' + LEAN_TO.replace("tilt = 60", "tilt = 95")
    with pytest.raises(HouseFileError, match=r"^shed, line 22: tilt must be between 0 and 90"):
        parse_house(text, "shed")


@pytest.mark.parametrize("code", ["latin-1", "cp1252", "utf-16"])
def test_another_encoding_is_refused_with_what_to_do_and_left_alone(tmp_path, code):
    path = tmp_path / "shed.toml"
    path.write_bytes(LEAN_TO.encode(code))
    with pytest.raises(HouseFileError, match="not a text file in UTF-8; open it in the editor and save it") as told:
        read_house(path)
    assert ("line 54" in str(told.value)) == (code != "utf-16"), "the ° stands in line 54"
    with pytest.raises(HouseFileError, match="left as it is"):
        save_house(demo_house(), path)
    assert path.read_bytes() == LEAN_TO.encode(code)


@pytest.mark.parametrize("start", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_what_was_not_changed_is_saved_byte_for_byte(tmp_path, start, end):
    """Also the mark of Windows editors before the text: without it some of them don't read ° any more."""
    path = tmp_path / "shed.toml"
    written = start + LEAN_TO.replace("\n", end).encode()
    path.write_bytes(written)
    save_house(read_house(path), path)
    assert path.read_bytes() == written
    save_house(read_house(path).changed("heater.power", 2000.0), path)
    assert path.read_bytes() == written.replace(b'"1.2 kW"', b'"2 kW"')


def _lines(house):
    return house_text(house, LEAN_TO).splitlines()


def test_taking_a_part_away_leaves_everything_else_where_it_was():
    old = LEAN_TO.splitlines()
    house = parse_house(LEAN_TO)
    assert _lines(house.changed("stores.bed", None)) == old[:43] + old[50:]
    assert _lines(house.changed("stores.drums", None)) == old[:36] + old[42:]
    assert _lines(house.changed("heater", None)) == old[:51] + old[56:]
    without = _lines(house.changed("stores", ()))
    assert without == old[:36] + old[50:], "the comment below the last store speaks of the heater"


def test_changed_layers_keep_place_and_remarks_and_new_ones_stand_between():
    house, old = parse_house(LEAN_TO), LEAN_TO.splitlines()
    thicker = tuple(Layer(n.material, n.thickness * (2 if n.material == "glass_fibre" else 1)) for n in layers(house))
    assert _lines(house.changed("surfaces.ends.layers", thicker)) == [
        line.replace('"3.5 in"', '"7 in"') for line in old
    ]
    foam = (layers(house)[0], Layer("xps", 0.05), *layers(house)[1:])
    found = _lines(house.changed("surfaces.ends.layers", foam))
    added = [line for line in found if line not in old]
    assert len(added) == 1 and 'material = "xps", thickness = 0.05' in added[0]
    assert [line for line in found if line not in added] == old


def layers(house):
    return house.surface("ends").layers


def test_panes_written_as_a_list_in_brackets_come_and_go():
    text = """\
name = "tunnel"
volume = 40
place = { latitude = 59.3 }
floor = { area = 18, perimeter = 17 }
surfaces = [
  { name = "south", facing = 170, area = 12, glazing = "film_double" },   # new film
  { name = "north", facing = "north", area = 20, u_value = 0.4 },
]
"""
    house = parse_house(text)
    more = (*house.surfaces, house.surfaces[1].__class__("east", 5.0, 90.0, glazing="film_single"))
    for changed in (house.changed("surfaces.north", None), house.changed("surfaces", more)):
        found = house_text(changed, text)
        assert parse_house(found) == changed and "# new film" in found


def test_a_list_in_another_order_keeps_its_remarks():
    house = parse_house(LEAN_TO)
    turned = house.changed("surfaces", house.surfaces[::-1])
    found = house_text(turned, LEAN_TO)
    assert parse_house(found) == turned
    assert sorted(filter(None, found.splitlines())) == sorted(filter(None, LEAN_TO.splitlines()))


def test_times_and_directions_are_written_as_the_writer_does():
    house = parse_house(LEAN_TO).changed(**{"curtain.closes": 16.25, "surfaces.ends.facing": 270.0})
    found = house_text(house, LEAN_TO)
    assert 'closes = "16:15"' in found and 'facing = "west"' in found and parse_house(found) == house


_SAVE = """
import os, resource, signal
from heatlib.house.housefile import HouseFileError, read_house, save_house
house = read_house("shed.toml").changed("heater.power", 3000.0)
{}
try:
    save_house(house, "shed.toml")
except HouseFileError as error:
    print(error)
"""
_KILL = "lambda *_: os.kill(os.getpid(), signal.SIGKILL)"


@pytest.mark.parametrize(
    ("trouble", "code"),
    [
        ("signal.signal(signal.SIGXFSZ, signal.SIG_IGN); resource.setrlimit(resource.RLIMIT_FSIZE, (700, 700))", 0),
        (f"os.fsync = {_KILL}", -signal.SIGKILL),
        (f"os.replace = {_KILL}", -signal.SIGKILL),
    ],
)
def test_a_full_disk_or_a_sudden_end_leaves_file_and_copy_whole(tmp_path, trouble, code):
    assert resource.RLIMIT_FSIZE is not None
    (tmp_path / "shed.toml").write_text(LEAN_TO, encoding="utf-8")
    (tmp_path / "shed.toml.bak").write_text("the copy before", encoding="utf-8")
    done = subprocess.run([sys.executable, "-c", _SAVE.format(trouble)], cwd=tmp_path, capture_output=True, text=True)
    assert done.returncode == code, done.stderr
    if code == 0:
        assert "it can't be written (File too large); the older file is as it was" in done.stdout
        assert sorted(os.listdir(tmp_path)) == ["shed.toml", "shed.toml.bak"]
    assert (tmp_path / "shed.toml").read_text(encoding="utf-8") == LEAN_TO
    assert (tmp_path / "shed.toml.bak").read_text(encoding="utf-8") == "the copy before"


@pytest.mark.parametrize(
    "changes",
    [
        {"stores.bed.sun_share": 0.8, "stores.drums.sun_share": 0.1},
        {"surfaces.sashes.u_value": 3.0, "surfaces.sashes.glazing": None},
        {"heater.place": "tank", "stores": (Store("tank", "barrels", 0.3),)},
        {"trees.oak.crown_base": 8.0, "trees.oak.height": 12.0},
        {"heater.setpoint": 28.0, "vents.opens_at": 30.0},
        {"pipes.flow": 0.6, "pipes.diameter": 0.2, "pipes.length": 60.0},
        {"plants.area": 300.0, "floor.area": 40.0},
    ],
)
def test_changes_that_fit_only_together_are_checked_together_in_any_order(changes):
    """Each of these is refused halfway in one order at least."""
    house = demo_house(10).changed("trees", (Tree("oak", 180.0, 10.0, 5.0, 4.0, 2.0),))
    one, other = house.changed(**changes), house.changed(**dict(reversed(changes.items())))
    assert one == other != house


def test_changes_of_one_call_are_made_in_their_order():
    house = demo_house(10)
    assert house.changed(**{"heater": Heater(100.0), "heater.power": 200.0}).heater == Heater(200.0)
    assert house.changed(**{"heater.power": 200.0, "heater": None}).heater is None
    assert house.changed(**{"stores.0": None, "stores.0.layers": 2}).stores[0].layers == 2
    renamed = house.changed(**{"stores.drums.name": "x", "stores.x.count": 3})
    assert (renamed.stores[0].name, renamed.stores[0].count) == ("x", 3)
    assert house.changed(**{"air.tightness": "sealed", "air.air_change_rate": 2.0}).air.tightness is None
    assert house.changed(**{"air.air_change_rate": 2.0, "air.tightness": "sealed"}).air.air_change_rate == 0.35
    assert house.changed() == house


def test_what_cannot_run_is_refused_when_the_house_is_made():
    house = demo_house(9)
    with pytest.raises(ValueError, match=r"pipes: air flow must be what a fan can press .* wider or shorter pipes"):
        house.changed("pipes.diameter", 0.02)
    with pytest.raises(ValueError, match="against each other"):
        house.changed("heater", Heater(500.0, 25.0))
    # pipes of no number carry no air; a heater in water feels the water, not the air that opens the vents
    assert house.changed(**{"pipes.diameter": 0.02, "pipes.count": 0}).pipes.count == 0
    assert house.changed("heater", Heater(500.0, 35.0, place="drums")).heater.setpoint == 35.0


def test_a_cell_in_another_unit_than_its_header_is_said_so():
    text = b"time,temp C\n2024-01-15 18:00,5.0\n2024-01-15 19:00,41.0 \xc2\xb0F\n"
    with pytest.raises(
        ValueError, match=r"row 3 .*'41.0 °F' in column 'temp C' is no temperature in °C; correct the row"
    ):
        read_logger(text)


def test_a_file_of_another_kind_is_no_weather(tmp_path):
    path = tmp_path / "shed.toml"
    path.write_text(LEAN_TO, encoding="utf-8")
    for kind in ("epw", "tmy3"):
        with pytest.raises(ValueError, match=f"can't be read as {kind}: (it does not state|its lines are not)"):
            read_year(path, kind)
