"""German, in parts by report."""
