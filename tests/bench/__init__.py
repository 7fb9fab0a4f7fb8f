"""The virtual bench: what the calibration is measured against."""
