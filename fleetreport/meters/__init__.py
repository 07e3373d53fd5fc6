"""Which readings are believed, and what went wrong with the others."""
