"""Settings for all tests."""

from __future__ import annotations

import os

# As the program does: its arrays are small, and threads of the linear algebra library only wait.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
