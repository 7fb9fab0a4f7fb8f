"""Pieces on the table: laid, aligned with the leather, drawn span by span."""
