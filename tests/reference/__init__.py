"""Outside values: published, derived here, or a second library on the same points."""
