"""The practice workshop: an invented bench with a true projector that the calibration does not know."""
