"""The practice workshop: a drawn bench whose truth the calibration is not told."""
