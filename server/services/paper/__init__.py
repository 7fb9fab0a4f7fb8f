"""Paper and drawings for other programs."""
