"""What the eye complains of, on any luminance map. Knows no light: a measured map could be judged alike.

Files:

    face_map.py         FaceMap: samples over a part of the face, and a way to ask for any point
    windows.py          means over windows and stretches, from the samples' running integral
    extremes.py         the highest and lowest point of a field, polished; ties stated
    prominence.py       peaks and what they stand out by; the greatest contrast of all
    evenness.py         max/min, stripes, edge dimming, spot contrast, ripple, min/mean, variation, nine points
    numerical_error.py  how far those numbers may be off by computing
    spots.py            hot and dark spots by prominence; stripes along the rows
    gratings.py         rows and modules as gratings: the modulation of their first harmonic
    threshold.py        the contrast threshold of the eye, and over which distances it is passed
    names.py            what those numbers are called
    named_limits.py     limits from standards and statutes, each with its source and mark
    requirement.py      what is good enough, and by how much a face meets it

Imports kernels; imported by simulation. Never imports light.
"""
