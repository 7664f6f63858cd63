"""From an even layout to a working sign: what to cut, hold and power, and what the wire does to the light.

Files:

    strings.py     the rows of a cabinet as strings of modules
    wire.py        copper conductors: AWG or mm², and their resistance
    class_2.py     limits of class 2 supplies, and how a supply stands against them
    ladder.py      the voltage along a string of modules on its wire
    dimming.py     a module's light against the voltage at its terminals
    wiring.py      every string on its wire: voltages, currents, and each module's share of its light
    failures.py    the face with a module, a row, a supply or a joint dead
    prices.py      what the parts cost, bought in whole packs
    price_list.py  a list of prices, read from a CSV file
    running.py     what the sign takes from the mains in a year, and what that costs
    service.py     how many spares, and how far one must reach
    taking_out.py  what must come out to change what

Nothing here says that an installation is safe or keeps a code: numbers are set side by side, and a person judges.
"""
