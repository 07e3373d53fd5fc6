"""What repairs cost, and the months ahead."""
