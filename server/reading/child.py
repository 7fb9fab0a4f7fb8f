"""The process that reads one file: bytes on standard input, a packed sheet or refusal on standard output."""

from __future__ import annotations

import sys
import warnings

from calibration.refusal import Refusal
from server.reading.formats import MOST_BYTES, parse
from server.reading.limits import MEMORY, confine
from server.reading.wire import pack, pack_refusal


def answer(data: bytes, name: str) -> bytes:
    """Return what reading some bytes gives, packed; never raises but for a defect of the process itself."""
    try:
        return pack(parse(data, name))
    except Refusal as refusal:
        return pack_refusal(refusal)
    except MemoryError:
        return pack_refusal(Refusal(f"Reading the file takes more than {MEMORY >> 20} MiB: simplify it."))
    except RecursionError:
        return pack_refusal(Refusal("The file is nested too deep to be read: ungroup it."))
    except Exception as error:
        words = f"The file could not be read ({type(error).__name__}): save it again, simplified."
        return pack_refusal(Refusal(words))


def main() -> None:
    """Read standard input, named by the last argument, within the limits."""
    warnings.simplefilter("ignore")
    data = sys.stdin.buffer.read(MOST_BYTES + 1)
    confine()
    sys.stdout.buffer.write(answer(data, sys.argv[-1]))
    sys.stdout.buffer.flush()
