"""Pure shapes in millimetres: x right, y down, nothing but geometry."""
