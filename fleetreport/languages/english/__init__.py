"""English, in parts by report."""
