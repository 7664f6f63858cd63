"""Pictures of results. matplotlib lives here and nowhere else; nothing is computed beyond the layout.

Files:

    look.py          colours, sizes, fonts, the colour map and the settings that drawing goes by: one place
    lettering.py     text that fits: measured, wrapped, and placed clear of what is there already
    sheet.py         a figure laid out in inches: its heading, its axes, its key
    exposure.py      luminance to the greys that a screen shows
    drawn_map.py     a face map as it is drawn: fine enough to look smooth, coarse enough for a picture
    contours.py      contour lines of a face map, labelled where there is room
    module_marks.py  how modules are marked on it: as LEDs where one could see these, on returns plain to see
    face_plan.py     where everything goes in the picture of a lit face, and what its key says
    face_map.py      the lit face with what stands out on it, and the profile across the rows
    face_profiles.py the luminance of a face across and along its rows, as numbers
    seen_face.py     the lit face as the eye would see it, in greys
    profiles.py      luminance across the rows and along them
    section_rays.py  modules of a section across the rows, and rays that fan from them
    section_layout.py  where everything goes in the picture of a section
    cabinet_section.py  a section through the cabinet, true to scale, with the luminance outside
    comparison_plan.py  where everything goes where several faces stand side by side
    comparison.py    several faces side by side: as seen, in colours, their profiles on one axis
    pitch_curve.py   evenness against row pitch, ready to draw
    row_counts.py    row counts in the strip above a picture
    pitch_search.py  evenness against row pitch, and row pitch against depth
    plane_cells.py   the plane of row pitch and depth, ready to draw
    plane.py         evenness over that plane, and where the requirement is met
    polar.py         a beam's polar curve
    curves.py        curves over one axis, for lessons
    redrawing.py     what would make a picture late that is drawn again and again
    drawing_paper.py  paper and scales of a drawing that is true to scale
    dimensions.py    what is written along dimension lines, and where there is room
    dimension_lines.py  dimension lines drawn below a view or on its left
    title_strip.py   what a drawing is of, its scale, and a bar to measure copies by
    building_marks.py  rows as they are built, and marks for modules, supports, feeds and joints
    building_supplies.py  supplies where they are told to be, and in a strip where they are not
    building_chains.py  which distances are told along the cabinet's sides
    building_numbers.py  rows' numbers at their ends
    building_feeds.py  feed points and the numbers of their supplies
    building_brackets.py  which supplies feed which rows, where these are close
    building_section.py  the section: depth, planes of modules, throws
    building_key.py  the key of the marks that are there
    building_layout.py  where everything goes: paper, scale, room, notes
    building_plan.py  the building plan of a sign, true to scale
    assembly_plan.py  a sign that is put together, as the rows and supplies of that plan
    writing.py       a picture as the bytes of a file, the same bytes every time

Pictures know simulations and strings but not searches: protocols say what of a search's answer is drawn. Imported
by study and what stands above it. No picture goes through pyplot, so no figure outlives its last user.
"""
