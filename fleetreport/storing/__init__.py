"""Rows into the database, every one accounted for."""
