"""Files that a command writes."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from server.errors import Refusal


def write_whole(path: Path, content: bytes) -> None:
    """Write whole or not at all: a half-written file never takes the place of a good one.

    Raises:
        Refusal: it cannot be written there.

    """
    written: Path | None = None
    try:
        with tempfile.NamedTemporaryFile(dir=path.parent, prefix=".hidelight-", delete=False) as half:
            half.write(content)
        written = Path(half.name)
        written.chmod(0o666 & ~_umask())
        written.replace(path)
    except OSError as error:
        if written is not None:
            written.unlink(missing_ok=True)
        raise Refusal(f"{path} cannot be written ({error.strerror}); choose another place with --out.") from None


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
