"""A commented study to start from."""

from __future__ import annotations

from lumsim.units import Units

__all__ = ["starter_study"]

_STARTER = """\
# A lumsim study: one cabinet and one question. All values are an example; put in your own.
# Every length carries its unit, in quotes: "12 in", "5 1/2 in", "4 ft 6 in", "300 mm", "1.2 m".
# Look at it:       lumsim check {name}
# Light it:         lumsim light {name} --map face.png
# Widest row pitch: lumsim search {name}
# As built:         lumsim tolerance {name}
# What to build:    lumsim sheet {name}

title = "Example sign"
units = "{units}"                  # for printing: "in" or "mm"

[cabinet]
width = {width}              # inside sizes
height = {height}
depth = {depth}               # back to face

[interior]                    # diffuse reflectance, 0 black to 1: measure yours if you can
back_reflectance = 0.85       # white sign paint is about 0.80 to 0.85 (common practice, no source)
return_reflectance = 0.85     # or left_, right_, bottom_, top_return_reflectance one by one

[face]                        # both for diffuse light, as it arrives inside a cabinet;
transmittance = 0.40          # a data sheet's value for straight incidence is several points higher
reflectance = 0.40            # inner side; the two together cannot pass 1
visible_border = {border}       # strip that the retainer hides on every side
# film_transmittance = 0.30   # of a coloured film in front: on luminance only

[modules.standard]            # one table for each kind of module
lumens = 90.0                 # of one module
watts = 0.8
volts = 12.0
beam = {{ shape = "lambertian" }}
# or a cosine power, by its exponent or by the full angle between half intensities:
# beam = {{ shape = "cosine-power", half_intensity_angle = "140 deg" }}
# or {{ shape = "wide", width = 2.0 }}, {{ shape = "uniform-plane", cut_off = "60 deg" }}, {{ file = "module.ies" }} or
# {{ table = [["0 deg", 1.0], ["45 deg", 0.8], ["90 deg", 0.0]] }}
# leds = [[{led_minus}, {none}], [{led}, {none}]]      # each LED along and across the module; they share the lumens
# opening = [{long}, {short}]      # length and width of what shines, of one LED; or opening_diameter

[[rows]]                      # one or more groups of rows
module = "standard"
on = "back"                   # or a return, for an edge-lit sign: "left", "right", "bottom", "top"
# tilt = "20 deg"             # towards the top, on a return towards the face; turn = "90 deg": about its own axis
z = {z}                  # light-emitting plane above the back
# direction = "vertical"      # along the height instead of the width; on a return rows run along it, without this
pitch = {pitch}                # row to row on centre: the nearest whole number of rows, centred
# instead: count = 4 with edge_distance = {edge}; or at = [{at}]; or positions = "as-built.csv"
module_pitch = {module_pitch}         # module to module along a row
# staggered = true            # modules of each row midway between those of the rows beside it

[requirement]                 # each limit optional
stripe_max_to_min = 1.2       # stripes: luminance against its mean over one row pitch
# max_to_min = 3.0            # whole visible face, dark edges and corners included
# edge_dimming = 2.0          # middle against the darkest stretch of edge
# hot_spot_contrast = 0.05    # greatest contrast of a stripe or a dot
# max_luminance = 800         # cd/m², mean of the visible face at full output
# min_luminance = 200
# darkest_luminance = 100     # of its darkest place, at least
# named_limits = ["england-2007"]   # of a statute or standard, besides: README lists them
# wanted_luminance = 300      # not judged: the lumens that it takes are told

# [ageing]                    # then the requirement must be met new and aged
# maintenance_factor = 0.70   # on the lumens of every module
# dirt_factor = 0.90          # on the reflectances inside; transmittance stays

# [viewing]                   # what the eye may notice from there: told, and not judged
# distances = {distances}

# [search]                    # what `lumsim search` is to answer; without a question the widest row pitch
# step = {step}             # what a layout to build is rounded to
# [search.depth]              # the least depth for these rows
# within = {within}
# [search.fewest]             # the fewest modules, or watts, or rows
# of = "modules"
# row_pitch = {row_pitches}
# [search.plane]              # evenness over row pitch and depth; also [search.pitch] and [search.edge]

# [tolerance]                 # what built signs differ in: what share of them meets the requirement?
# signs = 1000                # drawn, by a seed
# flux_scatter = 0.05         # standard deviation of a module's lumens (from its data sheet)
# placing = {off}          # each module off its place, up to so much along and across
# row_sag = {off}          # middle of a horizontal row lower, up to so much
# depth = {off}            # depth of the cabinet, more or less
# bow = {bow}              # middle of the face out or in
# dead_modules = 1            # in each sign

# [modules.standard.string]   # what `lumsim sheet` cuts, holds and powers by: numbers of your own parts
# roll_modules = 90           # on a roll; pitch = {module_pitch}: module to module, stretched out
# cut_every = 1               # modules; most_joints = 1: couplers allowed in a row
# [supports]
# horizontal_interval = {interval}   # at most, of horizontal rows; vertical_interval likewise
# [power]
# supply_watts = 70.0         # of one supply; loading_share = 0.8 of it may be taken
# longest_string = {longest}    # that one supply may feed in all
# feed_length = {feed}       # from the supply to each row; feed_wire = "18 AWG"
# [costs]                     # also prices = "prices.csv" with part,price and currency = "EUR"
# hours_a_day = 10            # for kWh a year
# [service]
# opens = "front"             # or a return that comes off: how far in a hand must reach
"""

_VALUES: dict[Units, dict[str, str]] = {
    "in": {
        "width": '"84 in"',
        "height": '"36 in"',
        "depth": '"6 in"',
        "border": '"1 in"',
        "z": '"0.5 in"',
        "pitch": '"8 in"',
        "edge": '"3 in"',
        "at": '"6 in", "18 1/2 in"',
        "module_pitch": '"4 in"',
        "led_minus": '"-3/4 in"',
        "led": '"3/4 in"',
        "none": '"0 in"',
        "long": '"1/4 in"',
        "short": '"1/4 in"',
        "distances": '["10 ft", "400 ft"]',
        "step": '"1/2 in"',
        "within": '["3 in", "12 in"]',
        "row_pitches": '["4 in", "14 in"]',
        "off": '"1/8 in"',
        "bow": '"1/4 in"',
        "interval": '"34 in"',
        "longest": '"26 ft"',
        "feed": '"5 ft"',
    },
    "mm": {
        "width": '"2100 mm"',
        "height": '"900 mm"',
        "depth": '"150 mm"',
        "border": '"25 mm"',
        "z": '"12 mm"',
        "pitch": '"200 mm"',
        "edge": '"75 mm"',
        "at": '"150 mm", "460 mm"',
        "module_pitch": '"100 mm"',
        "led_minus": '"-20 mm"',
        "led": '"20 mm"',
        "none": '"0 mm"',
        "long": '"6 mm"',
        "short": '"6 mm"',
        "distances": '["3 m", "120 m"]',
        "step": '"10 mm"',
        "within": '["75 mm", "300 mm"]',
        "row_pitches": '["100 mm", "350 mm"]',
        "off": '"3 mm"',
        "bow": '"6 mm"',
        "interval": '"850 mm"',
        "longest": '"8 m"',
        "feed": '"1.5 m"',
    },
}


def starter_study(*, units: Units, name: str) -> str:
    """Text of a study file that runs as it is.

    Parameters
    ----------
    units : {"in", "mm"}
        What its lengths are written in.
    name : str
        The file's name, for the commands in its head.
    """
    return _STARTER.format(units=units, name=name, **_VALUES[units])
