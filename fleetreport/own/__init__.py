"""Reports of the fleet's own: queries and templates from its folder."""
