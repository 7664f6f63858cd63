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
    cutting.py     what to cut from which roll: the fewest rolls, the fewest joints, the most left in one piece
    cut_lengths.py     lengths to be cut from rolls, and the plans that a person would make
    cut_programme.py   the integer programme of cutting, solved stage by stage
    cut_chains.py      rows joined from the end of one roll to the beginning of another
    cut_anywhere.py    rows joined in any way, for what short or few joints leave open
    parts.py       small parts by the study's rules: needed, come with rolls, to buy
    supply_kind.py one kind of supply, the circuits it may feed, and whether it may feed some together
    pieces.py      how many modules one supply may feed, and where a row that has more is cut
    supplies.py    which supply feeds what: as few as can be, evenly loaded, neighbours together or apart
    sharing_out.py     circuits of some kinds to as few supplies as can be, by an integer programme, and evenly
    neighbours.py  a sequence in even blocks, and members exchanged until none is better placed
    whole_numbers.py   linear programmes in whole numbers, solved in silence
    supports.py    where a row is held: the fewest supports that keep its rules, as even as can be

Nothing here says that an installation is safe or keeps a code: numbers are set side by side, and a person judges.
"""
