"""Numbers from outside for sewing, checks and cost, each with its unit, range and reference."""

from __future__ import annotations

from server.leather.norms import Norm

_PRACTICE = "common practice, no source"
_MEMORY = "from memory, no source at hand"

LEAST_MARGIN = Norm(2.5, "mm", 2.0, 4.0, "least leather between a stitch hole and the edge; " + _PRACTICE)
LEAST_SLOT_MARGIN = Norm(3.0, "mm", 2.5, 6.4, "least leather between a slot or punched hole and the edge; " + _PRACTICE)
LEAST_NECK = Norm(2.5, "mm", 2.0, 4.0, "least leather between a slot and a stitch hole; " + _PRACTICE)
FOLD_CLEARANCE = Norm(1.0, "mm", 0.5, 3.0, "half the length of a stitch hole: nearer, a fold tears it; " + _PRACTICE)
WELT_SHARE = Norm(1.0, "1", 1.0, 1.5, "welt as a share of the blade's spine: at least as thick; " + _PRACTICE)

PITCH_MATCH = Norm(0.05, "1", 0.02, 0.05, "share by which a row's pitch may miss the seam's; " + _PRACTICE)
PUNCH_MATCH = Norm(0.5, "mm", 0.2, 1.0, "how far a punch may miss the size that is drawn; " + _PRACTICE)
THREADS_IN_HOLE = Norm(2.0, "1", 2.0, 2.0, "a saddle stitch takes two threads through each hole; derived")
THREAD_SHARE = Norm(0.2, "1", 0.15, 0.25, "thread that looks well as a share of the pitch; " + _PRACTICE)
LINK_SHARE = Norm(1.5, "1", 1.0, 2.0, "longest stitch from one line to another as a share of the pitch; " + _PRACTICE)
ARM_SPAN = Norm(
    1600.0, "mm", 1000.0, 2500.0, "thread a maker can pull through at arm's length, both ways; " + _PRACTICE
)

GLUE_OPEN = Norm(10.0, "min", 1.0, 30.0, "glue is left until it is tacky before the faces are joined; " + _PRACTICE)
GLUE_CURE = Norm(30.0, "min", 10.0, 1440.0, "glue is left before the joint is cut, punched or sewn; " + _PRACTICE)
DRYING = Norm(1440.0, "min", 480.0, 2880.0, "wet-moulded leather is left to dry; " + _PRACTICE)

WASTE_MARKUP = Norm(0.30, "1", 0.05, 0.6, "leather bought above the net area of the pieces; " + _PRACTICE)
SQUARE_FOOT = Norm(9.290304, "dm2", 9.29, 9.291, "NIST SP 811, appendix B.8: 1 ft2 = 0.09290304 m2 exactly")
MEMORY = _MEMORY
PRACTICE = _PRACTICE
