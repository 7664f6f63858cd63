"""From an even layout to a working sign: what to cut, hold and power, and what the wire does to the light.

Files:

    strings.py         the rows of a cabinet as strings of modules
    wire.py            copper conductors: AWG or mm², and their resistance
    class_2.py         limits of class 2 supplies, and how a supply stands against them
    ladder.py          the voltage along a string of modules on its wire
    dimming.py         a module's light against the voltage at its terminals
    wiring.py          every string on its wire: voltages, currents, and each module's share of its light
    rules.py           by what a sign is built and kept up: what a study says
    cutting.py         what to cut from which roll: the fewest rolls, the fewest joints, the most left in one piece
    cut_lengths.py     lengths to be cut from rolls, and the plans that a person would make
    cut_programme.py   the integer programme of cutting, solved stage by stage
    cut_chains.py      rows joined from the end of one roll to the beginning of another
    cut_anywhere.py    rows joined in any way, for what short or few joints leave open
    whole_numbers.py   linear programmes in whole numbers, in silence and in time
    supports.py        where a row is held: the fewest supports that keep its rules, as even as can be
    holding.py         where every row of a sign is held, rows of one line together
    supply_kind.py     a kind of supply, circuits, and whether they fit
    pieces.py          rows that are more than one supply may feed, in pieces
    supplies.py        which supply feeds what: the fewest, evenly, neighbours together or apart
    sharing_out.py     the integer programme of that
    neighbours.py      sequences in blocks, members exchanged
    parts.py           small parts by the study's rules: needed, come with rolls, to buy
    assembly.py        all of these put together, and what is not told or cannot be done
    failures.py        the face with something dead, and the worst of many
    losses.py          what of a sign may fail, and what each failure takes from its modules
    prices.py          what the parts cost, bought in whole packs
    running.py         what the sign takes from the mains in a year, and what that costs
    service.py         how many spares, and how far one must reach
    taking_out.py      what must come out to change what
    upkeep.py          what a sign costs to build and to run, and what keeps it up

Nothing here says that an installation is safe or keeps a code: numbers are set side by side, and a person judges.
"""
