"""What was changed, taken back, or put in the bin."""
