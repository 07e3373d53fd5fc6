"""What fleet.toml says, typed, every fault named by its key."""
