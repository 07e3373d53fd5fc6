"""Reports as HTML."""
