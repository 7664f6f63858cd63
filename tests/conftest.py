"""What holds for every test."""

from __future__ import annotations

import os

# Before NumPy is imported: on matrices as small as these, threads that wait for each other only cost time.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
