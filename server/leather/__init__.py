"""The trade: pieces, stitches, seams, fits and drafts, in millimetres."""
