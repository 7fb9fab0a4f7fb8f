"""``python -m tests.speed``: print how long things take. ``--no-browser`` leaves the drag out."""

from __future__ import annotations

import os
import platform
import sys

from tests.speed import bringing, pages, rooms
from tests.speed.drag import dragging
from tests.speed.printing import printing

if __name__ == "__main__":
    print(f"Python {platform.python_version()} on {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}")
    rooms.drafting()
    rooms.adjusting()
    rooms.warping()
    rooms.homographies()
    rooms.projecting()
    printing()
    bringing.reading()
    bringing.bringing()
    if "--no-browser" not in sys.argv[1:]:
        dragging()
        pages.main()
